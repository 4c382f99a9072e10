"""`journal`: what happened, to look at, add to, hand over, merge and check."""
from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path
from typing import Any

from app.commands import journal_session
from app.commands.answering import Answer
from app.commands.arguments import (
    STOP_HELP,
    add_circumstances,
    add_home,
    add_json,
    add_whistle,
    error_cents,
    frequency_hz,
    length_mm,
    lowered_cents,
    offset_mm,
    open_home,
    stop_at,
)
from app.commands.journal_add import add_facts
from app.commands.whistles import find_whistle, title
from app.errors import WorldError
from app.home import HomeLock
from app.journal import Journal
from app.journal.checking import Check, check
from app.journal.exchange import as_csv, as_json, import_file, rows
from app.records import BlowTaken
from app.whistle import decode_whistle
from app.whole_file import write_whole

FORMATS = {"json": as_json, "csv": as_csv}


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "journal", help="the log: list, show, session, add, export, import, check",
        description="The journal is only ever added to: nothing in it is changed or deleted.",
    )
    parser.set_defaults(run=_no_action)
    add_home(parser)
    actions = parser.add_subparsers(title="actions", metavar="ACTION")
    _action(actions, "list", _list, "the whistles in it")
    show = _action(actions, "show", _show, "every record of one whistle, or of all")
    add_whistle(show, required=False)
    session = _action(actions, "session", journal_session.run, "before and after: each chamber, step by step")
    add_whistle(session, required=True)
    journal_session.describe(session)
    _describe_add(_action(actions, "add", _add, "put in a reading, a plug, a change of voice, or a chord taken down"))
    export = _action(actions, "export", _export, "all records as JSON or CSV")
    add_whistle(export, required=False)
    export.add_argument("--out", metavar="FILE", help="a .json or .csv file; without it, standard output")
    export.add_argument("--format", choices=FORMATS, help="json or csv, when the name of the file does not say")
    merge = _action(actions, "import", _import, "merge an exported file, or another laptop's journal")
    merge.add_argument("file", metavar="FILE", help="exported JSON or CSV, or a journal file, whose sounds come along")
    merge.add_argument("--damaged", action="store_true", help="take what can still be read of a damaged journal file")
    checking = _action(actions, "check", _check, "is the file sound, and are all its sounds there")
    checking.add_argument("--repair", action="store_true", help="set a damaged file aside, keep what can be read")


def _action(actions: Any, name: str, run: Any, help_text: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = actions.add_parser(name, help=help_text, description=help_text.capitalize() + ".")
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)
    return parser


def _describe_add(parser: argparse.ArgumentParser) -> None:
    add_whistle(parser, required=True)
    parser.add_argument("--chamber", metavar="LETTER", help="A is the lowest; not with --chord-lowered")
    parser.add_argument("--hz", type=frequency_hz, metavar="HZ", help="a reading: the frequency that was heard")
    parser.add_argument("--stop", type=stop_at, metavar="STOP", help=f"with --hz, what closed the bore: {STOP_HELP}")
    parser.add_argument("--error", type=error_cents, default=2.0, metavar="CENTS", help="its standard error (2)")
    parser.add_argument("--length", type=length_mm, metavar="MM", help="a plug: its length off the calipers")
    parser.add_argument("--proud", type=offset_mm, default=0.0, metavar="MM", help="how far it stands out of the bore")
    parser.add_argument("--recess", type=offset_mm, default=0.0, metavar="MM", help="how far it is pushed in")
    parser.add_argument("--depth", type=length_mm, metavar="MM", help="a plug: how deep its inner face lies")
    parser.add_argument("--slug", action="store_true", help="with --depth: it is the slug, not a plug")
    parser.add_argument("--voice", metavar="NOTE", help="window, lip or fipple was changed: what was done")
    parser.add_argument("--chord-lowered", type=lowered_cents, metavar="CENTS",
                        help="the whole chord is taken so far down from its document's notes; 0: back on them")
    add_circumstances(parser)


def _no_action(arguments: argparse.Namespace) -> int:
    raise WorldError("What about the journal: list, show, session, add, export, import or check?")


def _list(arguments: argparse.Namespace) -> int:
    with Answer() as answer, Journal(open_home(arguments).journal_path) as journal:
        found = [_whistle_row(journal, filed) for filed in journal.whistles()]
        if arguments.json:
            answer.json({"whistles": found})
        else:
            for row in found:
                last = row["last_at_utc"][:16].replace("T", " ")
                answer.line(f"{row['title']}: {row['n_blows']} blows, last {last} UTC, {row['whistle_id']}")
            if not found:
                answer.line("No whistle has been put on the bench yet.")
    return 0


def _whistle_row(journal: Journal, filed: Any) -> dict[str, Any]:
    whistle = decode_whistle(filed.document_json, f"The journal's whistle {filed.whistle_id}")
    records = journal.records(filed.whistle_id)
    return {
        "whistle_id": whistle.id, "name": whistle.name, "number": whistle.number, "of": whistle.of,
        "title": title(whistle), "revision": filed.revision, "n_records": len(records),
        "n_blows": sum(isinstance(record, BlowTaken) for record in records),
        "last_at_utc": max(record.at_utc for record in records),
    }


def _show(arguments: argparse.Namespace) -> int:
    with Answer() as answer, Journal(open_home(arguments).journal_path) as journal:
        found = rows(journal, _whistle_id(arguments, journal))
        if arguments.json:
            answer.json({"records": found})
        else:
            for row in found:
                facts = ", ".join(f"{key} {value}" for key, value in row.items() if _worth_a_look(key, value))
                answer.line(f"{row['sequence']:5} {row['at_utc'][:19]} {row['kind']}: {facts}")
    return 0


def _worth_a_look(key: str, value: Any) -> bool:
    named = key in ("kind", "sequence", "at_utc", "whistle_id", "document_json") or key.endswith("_version")
    return not named and value not in (None, "")


def _add(arguments: argparse.Namespace) -> int:
    home = open_home(arguments)
    with Answer() as answer, Journal(home.journal_path) as journal:
        kept = add_facts(arguments, journal, home.settings.blower)
        if arguments.json:
            answer.json({"added": [asdict(record) for record in kept]})
        else:
            answer.line(f"{len(kept)} record{'' if len(kept) == 1 else 's'} added.")
    return 0


def _export(arguments: argparse.Namespace) -> int:
    with Answer() as answer, Journal(open_home(arguments).journal_path) as journal:
        out = None if arguments.out is None else Path(arguments.out)
        ending = out.suffix.lower().lstrip(".") if out is not None else ""
        kind = arguments.format or (ending if ending in FORMATS else "json")
        if arguments.json and kind == "csv" and out is None:
            raise WorldError("--json prints JSON and --format csv asks for CSV: name a file for it with --out.")
        whistle_id = _whistle_id(arguments, journal)
        data = FORMATS[kind](journal, whistle_id)
        if out is None:
            answer.data(data)
            return 0
        write_whole(out, data, replace=False, what="the exported journal")
        if arguments.json:
            answer.json({"file": str(out), "format": kind, "n_records": len(journal.records(whistle_id))})
        else:
            answer.line(f"{out} is written.")
    return 0


def _import(arguments: argparse.Namespace) -> int:
    with Answer() as answer, Journal(open_home(arguments).journal_path) as journal:
        merged = import_file(journal, Path(arguments.file), damaged=arguments.damaged)
        if arguments.json:
            answer.json(asdict(merged))
        else:
            answer.line(f"{merged.n_added} records added, {merged.n_here_already} were here already.")
            if merged.n_differing:
                answer.line(f"{merged.n_differing} of those differ from what is here; what is here was kept.")
            if merged.n_sounds_copied:
                answer.line(f"{merged.n_sounds_copied} sounds were copied.")
            if merged.n_sounds_missing:
                answer.line(f"{merged.n_sounds_missing} sounds are named and lie on neither laptop.")
    return 0


def _check(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        home = open_home(arguments)
        if arguments.repair:
            with HomeLock(home.folder):  # no window may be writing into the file that is set aside
                found = check(home.journal_path, repair=True)
        else:
            found = check(home.journal_path)
        _print_check(answer, found, arguments.json)
    return 0 if found.sound or found.set_aside else 2


def _print_check(answer: Answer, found: Check, as_json_document: bool) -> None:
    if as_json_document:
        aside = None if found.set_aside is None else str(found.set_aside)
        answer.json({"sound": found.sound, **asdict(found), "set_aside": aside})
        return
    answer.line("The journal is sound." if found.sound else f"The journal is damaged: {found.faults[0]}.")
    answer.line(", ".join(f"{count} {table}" for table, count in found.n_records.items()) + " can be read.")
    if found.missing_sounds:
        answer.line(f"{len(found.missing_sounds)} sound files are missing, the first {found.missing_sounds[0]}.")
    if found.set_aside is not None:
        answer.line(f"The damaged file was set aside as {found.set_aside}; a new journal holds what could be read.")
    elif not found.sound:
        answer.line("With --repair it is set aside, and a new journal is made of what can be read.")


def _whistle_id(arguments: argparse.Namespace, journal: Journal) -> str | None:
    return None if arguments.whistle is None else find_whistle(arguments.whistle, journal).id
