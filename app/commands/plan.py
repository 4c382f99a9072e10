"""`plan`: make a whistle document and plan its work, or plan one that exists."""
from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from app.choices_of_chord import choices, compass, most_chambers
from app.commands.answering import Answer
from app.commands.arguments import add_home, add_json, add_whistle, number_between, open_home, temperature_c
from app.commands.plan_body import add_body, with_said
from app.commands.plan_like import Like, add_like, heard_like, made_like, only_heard
from app.commands.plan_made import chord_of, made, of_bare_wood, require_possible
from app.commands.plan_shown import can_play_json, can_play_lines, plan_json, plan_lines
from app.commands.whistles import find_whistle
from app.errors import WorldError
from app.journal import Journal
from app.nearest_wish import nothing_fits
from app.whistle import Whistle, dump_whistle
from app.whole_file import write_whole
from app.work_plan import work_plan

UNITS = ("mm", "inch")
SIZES = ("bore", "bore_length", "window", "name")
MAKING = ("chord", "notes", "root", "inversion", "just", *SIZES)
number = number_between("The number", 1, 9999, "it is what is pencilled on the body")
a4_hz = number_between("Concert pitch A4 in Hz", 390.0, 490.0, "it is commonly 440")
lip_slope_deg = number_between("The lip's slope in degrees", 10.0, 80.0, "it is measured from the bore's axis")


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "plan", help="make a whistle document and plan its work, or plan one that exists",
        description="Makes a whistle document, or takes the one that --whistle names, and shows its plan: walls,"
        " windows, first plugs, cut list, remarks. Lengths are read as people write them: 12.7, 12.7 mm, 1/2.",
    )
    add_whistle(parser, required=False)
    parser.add_argument("--name", help="what the whistle is called")
    _add_notes(parser)
    parser.add_argument("--bore", nargs="+", metavar="MM", help="bore diameter: one for all chambers, or one for each")
    parser.add_argument("--bore-length", nargs="+", metavar="MM",
                        help="from the fipple's inner face to the plug end (as long as body, blank and bit allow)")
    parser.add_argument("--window", nargs=2, metavar=("W", "H"), help="the window: width, and height along the bore")
    parser.add_argument("--fipple-length", default="12.7 mm", metavar="MM", help="length of the fipple (12.7)")
    parser.add_argument("--wall", default="4 mm", metavar="MM", help="the wall that is wanted everywhere (4)")
    parser.add_argument("--lip-slope", type=lip_slope_deg, default=30.0, metavar="DEG", help="slope of the lip (30)")
    parser.add_argument("--wood", default="", help="what it is turned from")
    parser.add_argument("--number", type=number, metavar="N", help="the number pencilled on the body")
    parser.add_argument("--of", type=number, metavar="N", help="how many there are in this batch")
    parser.add_argument("--temperature", type=temperature_c, metavar="C", help="of the room, in °C (20)")
    parser.add_argument("--units", choices=UNITS, default="mm", help="of bare numbers, and of the plan (mm)")
    add_body(parser)
    parser.add_argument("--can-play", action="store_true", help="list the chords that this wood can play")
    parser.add_argument("--out", metavar="FILE", help="write the document to this file as well")
    parser.add_argument("--document", action="store_true", help="print the bare document in place of the plan")
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def _add_notes(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--chord", metavar="CHORD", help="by interval content: “major sixth”, “minor triad”…")
    parser.add_argument("--root", metavar="NOTE", help="the lowest chamber's note: D5, F#5, Bb4")
    parser.add_argument("--inversion", type=int, metavar="N", help="so many of the chord's lowest notes an octave up")
    parser.add_argument("--just", action="store_true", default=None, help="the chord in whole-number ratios")
    parser.add_argument("--notes", nargs="+", metavar="NOTE",
                        help="in place of a chord: every note, lowest first; A5, A5-14 (cents) or 873Hz")
    add_like(parser)
    parser.add_argument("--a4", type=a4_hz, default=440.0, metavar="HZ", help="concert pitch (440)")


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        if arguments.intervals is not None and arguments.like is None:
            raise WorldError("--intervals says what becomes of the intervals in a recording: name one with --like.")
        if arguments.can_play:
            _say_what_it_can_play(arguments, answer)
        elif arguments.like is not None and only_heard(arguments):
            _say_what_was_heard(arguments, answer)
        else:
            _say_plan(arguments, answer)
    return 0


def _say_plan(arguments: argparse.Namespace, answer: Answer) -> None:
    whistle, like = _whistle_and_like(arguments)
    plan = work_plan(whistle, units=arguments.units)
    if arguments.whistle is None:
        require_possible(whistle, plan, chord_of(arguments), arguments.units)
    document = dump_whistle(whistle)
    if arguments.out is not None:
        write_whole(Path(arguments.out), document, replace=False, what="the whistle document")
    if arguments.document:
        answer.data(document)
        return
    if arguments.json:
        answer.json(plan_json(whistle, plan, {} if like is None else {"like": like.json()}))
        return
    for line in (*(like.lines() if like is not None else ()), *plan_lines(whistle, plan, arguments.units)):
        answer.line(line)
    if arguments.out is not None:
        answer.line(f"{arguments.out} is written.")


def _whistle_and_like(arguments: argparse.Namespace) -> tuple[Whistle, Like | None]:
    """The whistle that exists or is described; and what its notes were heard in, when they were."""
    if arguments.like is not None:
        return made_like(arguments)
    if arguments.whistle is not None:
        return _named(arguments, MAKING), None
    return with_said(made(arguments), arguments), None


def _say_what_was_heard(arguments: argparse.Namespace, answer: Answer) -> None:
    like = heard_like(arguments)
    if arguments.json:
        answer.json({"like": like.json()})
        return
    for line in like.lines():
        answer.line(line)


def _say_what_it_can_play(arguments: argparse.Namespace, answer: Answer) -> None:
    if arguments.like is not None:
        raise WorldError("--can-play lists every chord of a wood and --like takes one of them: leave one of them out.")
    if arguments.whistle is not None:
        whistle = _named(arguments, SIZES)
    else:
        whistle = with_said(of_bare_wood(arguments), arguments)
    room, n_most, chord = compass(whistle), most_chambers(whistle), chord_of(arguments)
    found = choices(room, n_most, whistle.a4_hz) if chord is None else choices(room, n_most, whistle.a4_hz, (chord,))
    if arguments.json:
        answer.json(can_play_json(found, room, n_most))
        return
    for line in can_play_lines(found, n_most) if found else (nothing_fits(whistle, chord, units=arguments.units),):
        answer.line(line)


def _named(arguments: argparse.Namespace, not_with: tuple[str, ...]) -> Whistle:
    """The whistle that --whistle names, amended by what is said of body and stock."""
    given = [f"--{key.replace('_', '-')}" for key in not_with if getattr(arguments, key) is not None]
    if given:
        raise WorldError(f"--whistle shows a whistle and {given[0]} makes a new one: leave one of them out.")
    with Journal(open_home(arguments).journal_path) as journal:
        return with_said(find_whistle(arguments.whistle, journal), arguments)
