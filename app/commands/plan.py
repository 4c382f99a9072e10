"""`plan`: make a whistle document, or show one."""
from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from acoustics.notes import chord_named
from app.commands.answering import Answer
from app.commands.arguments import add_home, add_json, add_whistle, number_between, open_home, temperature_c
from app.commands.whistles import find_whistle, title
from app.description import Description, described
from app.errors import WorldError
from app.journal import Journal
from app.lengths import parse_length_mm
from app.whistle import Whistle, dump_whistle
from app.whole_file import write_whole

UNITS = ("mm", "inch")
MAKING = ("chord", "notes", "root", "bore", "bore_length", "window", "name")
number = number_between("The number", 1, 9999, "it is what is pencilled on the body")
a4_hz = number_between("Concert pitch A4 in Hz", 390.0, 490.0, "it is commonly 440")


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "plan", help="make a whistle document, or show one",
        description="Makes a whistle document, or shows the one that --whistle names. Lengths are read as people write"
        " them: 12.7, 12.7 mm, 1/2. Printed sheets and help with choosing a chord come with a later version.",
    )
    add_whistle(parser, required=False)
    parser.add_argument("--name", help="what the whistle is called")
    parser.add_argument("--chord", metavar="CHORD", help="by interval content: “major sixth”, “minor triad”…")
    parser.add_argument("--root", metavar="NOTE", help="the lowest chamber's note: D5, F#5, Bb4")
    parser.add_argument("--notes", nargs="+", metavar="NOTE", help="in place of a chord: every note, lowest first")
    parser.add_argument("--bore", nargs="+", metavar="MM", help="bore diameter: one for all chambers, or one for each")
    parser.add_argument("--bore-length", nargs="+", metavar="MM", help="from the fipple's inner face to the plug end")
    parser.add_argument("--window", nargs=2, metavar=("W", "H"), help="the window: width, and height along the bore")
    parser.add_argument("--fipple-length", default="12.7 mm", metavar="MM", help="length of the fipple (12.7)")
    parser.add_argument("--wall", default="4 mm", metavar="MM", help="thickness of the outside wall (4)")
    parser.add_argument("--wood", default="", help="what it is turned from")
    parser.add_argument("--number", type=number, metavar="N", help="the number pencilled on the body")
    parser.add_argument("--of", type=number, metavar="N", help="how many there are in this batch")
    parser.add_argument("--a4", type=a4_hz, default=440.0, metavar="HZ", help="concert pitch (440)")
    parser.add_argument("--temperature", type=temperature_c, metavar="C", help="of the room, in °C (20)")
    parser.add_argument("--units", choices=UNITS, default="mm", help="what a bare number means (mm)")
    parser.add_argument("--out", metavar="FILE", help="write the document to this file instead of printing it")
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        if arguments.whistle is None:
            whistle = _made(arguments)
        else:
            _refuse_both(arguments)
            with Journal(open_home(arguments).journal_path) as journal:
                whistle = find_whistle(arguments.whistle, journal)
        document = dump_whistle(whistle)
        if arguments.out is not None:
            write_whole(Path(arguments.out), document, replace=False, what="the whistle document")
        if arguments.json:
            answer.data(document)
        elif arguments.out is not None:
            answer.line(f"{arguments.out} is written.")
        else:
            _print(answer, whistle)
    return 0


def _refuse_both(arguments: argparse.Namespace) -> None:
    given = [f"--{key.replace('_', '-')}" for key in MAKING if getattr(arguments, key) is not None]
    if given:
        raise WorldError(f"--whistle shows a whistle and {given[0]} makes a new one: leave one of them out.")


def _made(arguments: argparse.Namespace) -> Whistle:
    """The whistle that the options describe, by the same door as the window's form."""
    _require_enough(arguments)
    chord = None if arguments.chord is None else chord_named(arguments.chord.replace("_", " ").replace("-", " "))
    n_chambers = len(arguments.notes) if chord is None else len(chord.equal_steps)
    return described(
        Description(
            name=arguments.name, wood=arguments.wood, n_chambers=n_chambers,
            number=None if arguments.number is None else int(arguments.number),
            of=None if arguments.of is None else int(arguments.of),
            sizes={
                "bore_mm": _for_each("--bore", arguments.bore, n_chambers),
                "bore_length_mm": _for_each("--bore-length", arguments.bore_length, n_chambers),
                "window_width_mm": (arguments.window[0],), "window_height_mm": (arguments.window[1],),
            },
            body={
                "fipple_length_mm": _in_mm(arguments.fipple_length, arguments.units),
                "wall_mm": _in_mm(arguments.wall, arguments.units),
            },
            chord=chord, lowest_note=arguments.root or "", own_notes=" ".join(arguments.notes or ()),
            temperature_c=arguments.temperature, a4_hz=arguments.a4,
        ),
        arguments.units,
    )


def _require_enough(arguments: argparse.Namespace) -> None:
    missing = [f"--{key.replace('_', '-')}" for key in ("name", "bore", "bore_length", "window")
               if getattr(arguments, key) is None]
    if arguments.chord is None and arguments.notes is None:
        missing.append("--chord with --root, or --notes")
    elif arguments.chord is not None and arguments.notes is not None:
        raise WorldError("--chord and --notes both say what the chambers shall sound: leave one of them out.")
    elif arguments.chord is not None and arguments.root is None:
        missing.append("--root")
    if missing:
        raise WorldError(f"A new whistle needs {', '.join(missing)} too; to show one that exists, use --whistle.")


def _for_each(option: str, texts: list[str], n_chambers: int) -> tuple[str, ...]:
    if len(texts) not in (1, n_chambers):
        raise WorldError(f"{option} has {len(texts)} values for {n_chambers} chambers: one for all, or one for each.")
    return tuple(texts)


def _in_mm(text: str, units: str) -> str:
    return f"{parse_length_mm(text, units)} mm"


def _print(answer: Answer, whistle: Whistle) -> None:
    answer.line(f"{title(whistle)}  {whistle.wood}".rstrip())
    for c in whistle.chambers:
        answer.line(
            f"{c.letter}  {c.note:4} {c.target_hz:7.1f} Hz  bore {c.bore_mm:g} × {c.bore_length_mm:g} mm"
            f"  window {c.window_width_mm:g} × {c.window_height_mm:g} mm"
        )
