"""`hear`: every blow in sound files, and into the journal when asked."""
from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

from acoustics.blow import Blow
from acoustics.tuning import Policy, Priors, Stop
from app.commands.answering import Answer
from app.commands.arguments import (
    STOP_HELP,
    Home,
    StopAt,
    add_circumstances,
    add_home,
    add_json,
    add_whistle,
    open_home,
    stop_at,
)
from app.commands.entering import blow_records, setting_of
from app.commands.whistles import filing, find_whistle, new_id
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.place import place
from app.recording import hear_file
from app.records import Record
from app.sound_picture import picture_png
from app.voice_words import remedy_line
from app.whistle import to_plan
from app.whole_file import write_whole
from app.wording import blow_reason
from app.workflow import expected_range_hz

BAR_CHARACTERS = 30


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "hear", help="every blow in sound files",
        description="Reads every blow in sound files: when, what it was, its pitch. With --log also into the journal.",
    )
    parser.add_argument("files", nargs="+", metavar="FILE", help="WAV, FLAC, OGG or MP3")
    add_whistle(parser, required=False)
    parser.add_argument("--chamber", metavar="LETTER", help="the chamber that was blown: A is the lowest")
    parser.add_argument("--stop", type=stop_at, metavar="STOP", help=f"what closed the bore: {STOP_HELP}")
    parser.add_argument("--log", action="store_true", help="keep the blows in the journal")
    parser.add_argument("--picture", metavar="OUT", help="draw the sound and its blows into this new PNG file")
    add_circumstances(parser)
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    _require_what_log_needs(arguments)
    _require_what_picture_needs(arguments)
    with Answer() as answer:
        home = open_home(arguments)
        if arguments.whistle is None:
            heard = [(name, *_hear(name, None)) for name in arguments.files]
            _draw(arguments.picture, heard)
        else:
            heard = _hear_chamber(arguments, home)
        if arguments.json:
            drawn = {} if arguments.picture is None else {"picture": arguments.picture}
            answer.json({"files": [_file_json(*one) for one in heard], **drawn})
        else:
            for one in heard:
                _print_file(answer, *one)
            if arguments.picture is not None:
                answer.line(f"{arguments.picture} is drawn.")
    return 0


def _require_what_log_needs(arguments: argparse.Namespace) -> None:
    missing = [f"--{name}" for name in ("whistle", "chamber", "stop") if getattr(arguments, name) is None]
    if arguments.log and missing:
        raise WorldError(f"--log needs {' and '.join(missing)} too: a reading without them teaches nothing.")
    if arguments.whistle is None and (arguments.chamber or arguments.stop or arguments.covered):
        raise WorldError("--chamber, --stop and --covered mean nothing without --whistle: say which whistle was blown.")
    if arguments.whistle is not None and arguments.chamber is None:
        raise WorldError("--whistle means nothing to hear without --chamber: say which chamber was blown.")


def _require_what_picture_needs(arguments: argparse.Namespace) -> None:
    """What can be known before a long recording is read."""
    if arguments.picture is None:
        return
    if len(arguments.files) > 1:
        raise WorldError(f"--picture draws one recording and {len(arguments.files)} are named: draw each by itself.")
    out = Path(arguments.picture)
    if out.suffix.lower() != ".png":
        raise WorldError(f"The picture is to be called “{arguments.picture}” and must end in .png: it is a PNG file.")
    if out.exists():
        raise WorldError(f"{out} exists already and was left as it is: choose another name for the picture.")


def _hear_chamber(arguments: argparse.Namespace, home: Home) -> list[tuple[str, int, list[Blow]]]:
    """Hear with the chamber's own range in mind; with `--log` keep everything at once, or nothing."""
    with Journal(home.journal_path) as journal:
        whistle = find_whistle(arguments.whistle, journal)
        letter = whistle.chamber(arguments.chamber).letter
        records = journal.records(whistle.id)
        stop = arguments.stop or StopAt(Stop.FINGER, 0.0)
        setting = setting_of(whistle, letter, stop, records, arguments, home.settings.blower)
        bench = place(to_plan(whistle), standing(records), Policy(), Priors())
        range_hz = expected_range_hz(bench, letter, setting.closure) if arguments.stop else None
        heard = [(name, *_hear(name, range_hz)) for name in arguments.files]
        _draw(arguments.picture, heard)  # before anything is kept: should it fail, the same words can be typed again
        if arguments.log:
            sitting_id = new_id()
            kept: list[Record] = [*filing(whistle, journal), *([setting.plug] if setting.plug else [])]
            for number, (_, _, blows) in enumerate(heard, start=1):
                kept += blow_records(setting, blows, sitting_id, f"{sitting_id}/{number}")
            journal.append_all(kept)
    return heard


def _hear(name: str, range_hz: tuple[float, float] | None) -> tuple[int, list[Blow]]:
    return hear_file(Path(name), range_hz, _progress(name))


def _draw(out: str | None, heard: list[tuple[str, int, list[Blow]]]) -> None:
    if out is None:
        return
    ((name, _, blows),) = heard
    picture = picture_png(Path(name), blows, _progress(out))
    write_whole(Path(out), picture, replace=False, what="the picture")


def _progress(name: str) -> Callable[[float], None] | None:
    return _bar(name) if sys.stderr is not None and sys.stderr.isatty() else None


def _bar(name: str) -> Callable[[float], None]:
    """A progress bar on standard error, wiped when done."""

    def show(share: float) -> None:
        filled = round(share * BAR_CHARACTERS)
        text = f"\r{'█' * filled}{'·' * (BAR_CHARACTERS - filled)} {share:4.0%} {Path(name).name[:40]}"
        print(text if share < 1.0 else f"\r{' ' * len(text)}\r", end="", file=sys.stderr, flush=True)

    return show


def _file_json(name: str, sample_rate_hz: int, blows: list[Blow]) -> dict[str, Any]:
    return {"file": name, "sample_rate_hz": sample_rate_hz, "blows": [_blow_json(blow) for blow in blows]}


def _blow_json(blow: Blow) -> dict[str, Any]:
    return {
        "start_s": blow.start_s, "end_s": blow.end_s, "verdict": blow.verdict.value, "usable": blow.usable,
        "frequency_hz": blow.frequency_hz, "heard_hz": blow.heard_hz,
        "standard_error_cents": blow.standard_error_cents, "spread_cents": blow.spread_cents,
        "level_dbfs": blow.level_dbfs, "breath_db": blow.breath_db, "attack_ms": blow.attack_ms,
        "findings": [finding.value for finding in blow.findings], "reason": blow_reason(blow),
    }


def _print_file(answer: Answer, name: str, sample_rate_hz: int, blows: list[Blow]) -> None:
    answer.line(f"{name} ({sample_rate_hz} Hz): {len(blows) or 'no'} blow{'' if len(blows) == 1 else 's'}")
    for number, blow in enumerate(blows, start=1):
        pitch = "" if blow.heard_hz is None else f"{blow.heard_hz:8.1f} Hz  "
        answer.line(f"{number:3}  {blow.start_s:7.2f} s to {blow.end_s:.2f} s  {pitch}{blow_reason(blow)}")
        if remedy_line(blow):
            answer.line(f"     {remedy_line(blow)}")
