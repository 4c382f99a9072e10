"""The options of `plan` that say what is turned, and from what stock."""
from __future__ import annotations

import argparse
import re
from dataclasses import replace
from typing import Any

from app.body import Body, Stock
from app.errors import WorldError
from app.lengths import parse_length_mm
from app.whistle import Whistle, checked

BODY = {  # option, key of the document, help
    "--body": ("diameter_mm", "diameter of the turned body"),
    "--circle-radius": ("circle_radius_mm", "from the body's axis to each bore's"),
    "--least-wall": ("least_wall_mm", "a thinner wall than this is refused (2, or --wall where that is less)"),
    "--body-length": ("length_mm", "mouthpiece end to plug end"),
    "--window-from-end": ("window_from_end_mm", "mouthpiece end to the fipple's inner face (the fipple's length)"),
    "--tenon": ("tenon_diameter_mm", "diameter of the body's ends, and of the mortises they go into"),
    "--tenon-length": ("tenon_length_mm", "length of those ends"),
    "--mortise-depth": ("mortise_depth_mm", "how deep the cap is bored for its tenon"),
    "--cap-length": ("cap_length_mm", "length of the plug-end cap"),
    "--mouthpiece-length": ("mouthpiece_length_mm", "length of the mouthpiece"),
    "--hollow": ("mouthpiece_chamber_diameter_mm", "diameter of the mouthpiece's hollow"),
    "--hollow-depth": ("mouthpiece_chamber_depth_mm", "depth of the mouthpiece's hollow"),
    "--grip": ("grip_diameter_mm", "where the hand holds, when that is not the body"),
    "--flat": ("windway_flat_mm", "taken off one side of each fipple for its windway (1.6)"),
}
STOCK = {
    "--blank-length": ("blank_length_mm", "length of the blank"),
    "--bit": ("bit_diameter_mm", "diameter of the bit, by calipers"),
    "--bit-reach": ("bit_reach_mm", "how far the longest bit reaches"),
    "--kerf": ("kerf_mm", "what one saw cut takes away (2)"),
    "--chucking": ("chucking_mm", "length of blank lost to the chuck; 0 between centres (25.4)"),
}
_OFFSET = re.compile(r"\s*([-+−]?)\s*(.+)")


def add_body(parser: argparse.ArgumentParser) -> None:
    group = parser.add_argument_group("body and stock", "With --whistle these amend the document that is shown.")
    for option, (_, help_text) in (BODY | STOCK).items():
        group.add_argument(option, metavar="MM", help=help_text)
    group.add_argument("--blank", nargs="+", metavar="MM", help="the blank, square: its side, or both its sides")
    group.add_argument("--dowel", nargs="+", metavar="MM", help="the dowel by calipers: one way, and across that")
    group.add_argument("--dowel-wood", metavar="WOOD", help="what the dowel is made of")
    group.add_argument(
        "--drift", nargs=3, action="append", default=[], metavar=("CHAMBER", "OUT", "CLOCKWISE"),
        help="after drilling: how far this bore came out from its place at the plug end (minus with a unit: =-1/64)",
    )


def body_said(arguments: argparse.Namespace) -> Body:
    """The body as far as the options say it."""
    return Body(**_lengths_mm(arguments, BODY))


def stock_said(arguments: argparse.Namespace) -> Stock:
    """The stock as far as the options say it."""
    return Stock(**_stock_said(arguments))


def with_said(whistle: Whistle, arguments: argparse.Namespace) -> Whistle:
    """The whistle with what the options say of body, stock and drift; what they do not name stays."""
    body = replace(whistle.body, **_lengths_mm(arguments, BODY))
    stock = replace(whistle.stock, **_stock_said(arguments))
    chambers = {chamber.letter: chamber for chamber in whistle.chambers}
    for letter, outward, clockwise in arguments.drift:
        chamber = whistle.chamber(letter)
        chambers[chamber.letter] = replace(
            chamber, drift_outward_mm=_offset_mm(outward, arguments.units),
            drift_clockwise_mm=_offset_mm(clockwise, arguments.units),
        )
    return checked(replace(whistle, body=body, stock=stock, chambers=tuple(chambers.values())))


def says_nothing(arguments: argparse.Namespace) -> bool:
    """No option of this group was used."""
    return not (_lengths_mm(arguments, BODY) or _stock_said(arguments) or arguments.drift)


def _stock_said(arguments: argparse.Namespace) -> dict[str, Any]:
    said: dict[str, Any] = dict(_lengths_mm(arguments, STOCK))
    for name, keys in (("blank", ("blank_width_mm", "blank_height_mm")),
                       ("dowel", ("dowel_diameter_mm", "dowel_across_mm"))):
        texts = getattr(arguments, name)
        if texts is None:
            continue
        if len(texts) > len(keys):
            raise WorldError(f"--{name} has {len(texts)} sizes: give one, or two that were measured across each other.")
        said |= {key: _length_mm(text, arguments.units) for key, text in zip(keys, texts, strict=False)}
    if arguments.dowel_wood is not None:
        said["dowel_wood"] = arguments.dowel_wood.strip()
    return said


def _lengths_mm(arguments: argparse.Namespace, options: dict[str, tuple[str, str]]) -> dict[str, float]:
    texts = {key: getattr(arguments, option[2:].replace("-", "_")) for option, (key, _) in options.items()}
    return {key: _length_mm(text, arguments.units) for key, text in texts.items() if text is not None}


def _length_mm(text: str, units: str) -> float:
    """As it is written into a document: six inches are 152.4 mm, not a hair less."""
    return round(parse_length_mm(text, units), 6)


def _offset_mm(text: str, units: str) -> float:
    """A length either way: 0.4, -0.3, =-0.3."""
    match = _OFFSET.fullmatch(text.removeprefix("="))
    if match is None:
        raise WorldError("A drift is empty: write how far the drill came out, such as 0.4 or =-0.3.")
    length_mm = _length_mm(match[2], units)
    return -length_mm if match[1] in ("-", "−") and length_mm else length_mm
