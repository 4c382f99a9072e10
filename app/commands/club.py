"""`club`: a dozen numbered whistles share one evening: add them, see whose turn it is, print all their sheets."""
from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from app.club import Standing, numbered_as, queue
from app.club_book import Evening, add_whistles, join, latest_evening, standings, tell_here
from app.club_words import row_text
from app.commands.answering import Answer
from app.commands.arguments import Home, add_home, add_json, add_whistle, open_home
from app.commands.paper import UNITS, ready_painter
from app.commands.whistles import find_whistle
from app.errors import WorldError
from app.journal import Journal
from app.paper.model import PAGE_SIZES
from app.whole_file import write_whole


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "club", help="a club evening: add numbered whistles, whose turn it is, all sheets in one go",
        description="Numbered whistles at different stages share one microphone. The window keeps the same evening.",
    )
    parser.set_defaults(run=_no_action)
    add_home(parser)
    actions = parser.add_subparsers(title="actions", metavar="ACTION")
    adding = _action(actions, "add", _add, "put whistles into the evening: so many of one pattern, or one that exists")
    add_whistle(adding, required=True)
    adding.add_argument("--count", type=int, metavar="N", help="so many new ones of this pattern, numbered on")
    adding.add_argument("--anew", action="store_true", help="begin a new evening, numbered from 1")
    _action(actions, "list", _list, "every whistle: its stage, what it waits for, whose turn comes next")
    here = _action(actions, "here", _here, "its maker is back from the bench and waits for the microphone")
    here.add_argument("number", type=int, metavar="NUMBER", help="what is pencilled on the whistle")
    papers = _action(actions, "papers", _papers, "a table of all, and the record sheet and gift card of each: one PDF")
    papers.add_argument("--out", metavar="FILE", required=True, help="the PDF file to write")
    papers.add_argument("--size", choices=tuple(PAGE_SIZES), default="A4", help="of the paper in the printer (A4)")
    papers.add_argument("--units", choices=UNITS, help="what lengths are written in (as in the settings)")
    papers.add_argument("--replace", action="store_true", help="write over a file that is there already")


def _action(actions: Any, name: str, run: Any, help_text: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = actions.add_parser(name, help=help_text, description=help_text.capitalize() + ".")
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)
    return parser


def _no_action(arguments: argparse.Namespace) -> int:
    raise WorldError("What about the club evening: add, list, here or papers?")


def _add(arguments: argparse.Namespace) -> int:
    with Answer() as answer, Journal(open_home(arguments).journal_path) as journal:
        whistle = find_whistle(arguments.whistle, journal)
        if arguments.count is not None:
            added = add_whistles(journal, whistle, arguments.count, anew=arguments.anew)
        elif arguments.anew:
            raise WorldError("--anew begins an evening with new whistles: say how many by --count.")
        else:
            added = (join(journal, whistle),)
        if arguments.json:
            rows = [{"number": each.number, "whistle_id": each.id, "name": each.name} for each in added]
            answer.json({"added": rows})
        else:
            for each in added:
                answer.line(f"{each.number}: {each.name}, {each.id}")
    return 0


def _list(arguments: argparse.Namespace) -> int:
    home = open_home(arguments)
    with Answer() as answer, Journal(home.journal_path) as journal:
        evening, found = _evening(journal, home)
        waiting = [each.number for each in queue(found)]
        if arguments.json:
            answer.json({"evening": evening.name, "turn": waiting, "whistles": [_row(each) for each in found]})
        else:
            many = len({each.whistle.name for each in found}) > 1
            for each in found:
                before = waiting.index(each.number) if each.number in waiting else None
                answer.line(row_text(each, before, named=many))
    return 0


def _row(standing: Standing) -> dict[str, Any]:
    return {
        "number": standing.number, "whistle_id": standing.whistle.id, "name": standing.whistle.name,
        "stage": standing.stage.value, "task": standing.request.task.value, "letter": standing.request.letter,
        "waits_for": standing.waits.value, "back": standing.here, "since_utc": standing.since_utc,
        "n_on_note": standing.n_on_note, "n_chambers": len(standing.whistle.chambers),
    }


def _here(arguments: argparse.Namespace) -> int:
    home = open_home(arguments)
    with Answer() as answer, Journal(home.journal_path) as journal:
        evening, found = _evening(journal, home)
        back = numbered_as(found, arguments.number)
        if back is None:
            raise WorldError(f"No whistle of this evening is numbered {arguments.number}: the last is no. "
                             f"{evening.next_number - 1}.")
        tell_here(journal, back)
        if arguments.json:
            answer.json({"number": arguments.number})
        else:
            answer.line(f"{arguments.number} waits for the microphone.")
    return 0


def _papers(arguments: argparse.Namespace) -> int:
    from app.paper.club import club_papers
    from app.paper.club_jobs import members_of

    home = open_home(arguments)
    with Answer() as answer:
        with Journal(home.journal_path) as journal:
            evening, found = _evening(journal, home)
            units, size = arguments.units or home.settings.units, PAGE_SIZES[arguments.size]
            members = members_of(journal, found, units, size)
        sheet = club_papers(members, evening.name)
        write_whole(Path(arguments.out), ready_painter().pdf_of(sheet), replace=arguments.replace, what="the papers")
        if arguments.json:
            answer.json({"file": arguments.out, "n_whistles": len(members), "n_pages": len(sheet.pages)})
        else:
            answer.line(f"{arguments.out}: {len(members)} whistles, {len(sheet.pages)} pages")
    return 0


def _evening(journal: Journal, home: Home) -> tuple[Evening, tuple[Standing, ...]]:
    evening = _begun(latest_evening(journal))
    return evening, standings(journal, evening, home.settings)


def _begun(evening: Evening) -> Evening:
    if not evening.whistles:
        raise WorldError("No club evening was begun: “club add --whistle DOCUMENT --count 12” begins one.")
    return evening
