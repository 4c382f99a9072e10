"""A new whistle from the options of `plan`, and the refusal of one that its wood cannot be."""
from __future__ import annotations

import argparse
import math
import re

from acoustics.notes import CHORDS, Chord, chord_named
from app.choices_of_chord import longest_bore_of
from app.chord_kin import inverted
from app.commands.plan_body import body_said, stock_said
from app.description import Description, described
from app.errors import WorldError
from app.lengths import parse_length_mm
from app.nearest_wish import nearest_wish
from app.whistle import Whistle
from app.whole_plan import WorkPlan

ANY_NOTES = ("A5", "B5", "C6", "D6", "E6", "F6")  # stand for others while it is asked what can be played
# Refusals to which another chord or root is an answer.
OF_WALLS = ("breaks_out", "bores_meet", "thin_wall", "tenon_wall")
OF_NOTES = ("too_short", "too_high")


def made(arguments: argparse.Namespace) -> Whistle:
    """The whistle that the options describe, by the same door as the window's form."""
    _require_enough(arguments)
    chord = chord_of(arguments)
    n_chambers = len(arguments.notes) if chord is None else len(chord.equal_steps)
    return described(
        Description(
            name=arguments.name, wood=arguments.wood, n_chambers=n_chambers,
            number=None if arguments.number is None else int(arguments.number),
            of=None if arguments.of is None else int(arguments.of),
            sizes={
                "bore_mm": _for_each("--bore", arguments.bore, n_chambers),
                "bore_length_mm": _for_each("--bore-length", _bore_length(arguments), n_chambers),
                "window_width_mm": (arguments.window[0],), "window_height_mm": (arguments.window[1],),
            },
            body={
                "fipple_length_mm": _in_mm(arguments.fipple_length, arguments.units),
                "wall_mm": _in_mm(arguments.wall, arguments.units),
            },
            chord=chord, lowest_note=arguments.root or "", own_notes=" ".join(arguments.notes or ()),
            temperature_c=arguments.temperature, a4_hz=arguments.a4, lip_slope_deg=arguments.lip_slope,
            just=bool(arguments.just),
        ),
        arguments.units,
    )


def of_bare_wood(arguments: argparse.Namespace) -> Whistle:
    """A whistle of these bores with a name and notes that stand for any."""
    n_chambers = max([2, *(len(texts) for texts in (arguments.bore, arguments.bore_length) if texts)])
    if n_chambers > len(ANY_NOTES):
        raise WorldError(f"{n_chambers} bores are given; a whistle has from 2 to {len(ANY_NOTES)}.")
    named = {"name": arguments.name or "this wood", "notes": list(ANY_NOTES[:n_chambers])}
    unsaid = dict.fromkeys(("chord", "root", "inversion", "just"))
    return made(argparse.Namespace(**{**vars(arguments), **named, **unsaid}))


def chord_of(arguments: argparse.Namespace) -> Chord | None:
    """The chord that is named, turned over as often as was said."""
    if arguments.chord is None:
        return None
    wanted = _plain(arguments.chord)
    chord = next((one for one in CHORDS if _plain(one.name) == wanted), None) or chord_named(arguments.chord)
    return chord if arguments.inversion is None else inverted(chord, arguments.inversion)


def require_possible(whistle: Whistle, plan: WorkPlan, chord: Chord | None, units: str) -> None:
    """WorldError with the gravest refusal, and the nearest wish that this wood can grant.

    What no other chord would cure comes first, so that the nearest wish is granted when it is asked.
    """
    if not plan.refusals:
        return
    cured = OF_WALLS + OF_NOTES + (() if _drawn_over_blank(whistle, plan) else ("blank_thin",))
    refusal = next((one for one in plan.refusals if one.code not in cured), plan.refusals[0])
    if chord is not None and refusal.code in cured:
        nearest = nearest_wish(chord, whistle.chambers[0].target_hz, whistle, units=units)
        if nearest is not None:
            raise WorldError(nearest.sentence)
    raise WorldError(refusal.sentence)


def _drawn_over_blank(whistle: Whistle, plan: WorkPlan) -> bool:
    """Body or tenon was said to be thicker than what the blank gives, however many bores there are."""
    drawn_mm = max(whistle.body.diameter_mm or 0.0, whistle.body.tenon_diameter_mm or 0.0)
    return plan.body.from_blank_most_mm is not None and drawn_mm > plan.body.from_blank_most_mm


def _require_enough(arguments: argparse.Namespace) -> None:
    needed = {"name": arguments.name, "bore": arguments.bore, "bore-length": _bore_length(arguments),
              "window": arguments.window}
    missing = [f"--{option}" for option, value in needed.items() if value is None]
    if arguments.chord is None and arguments.notes is None:
        missing.append("--chord with --root, or --notes")
    elif arguments.chord is not None and arguments.notes is not None:
        raise WorldError("--chord and --notes both say what the chambers shall sound: leave one of them out.")
    elif arguments.chord is not None and arguments.root is None:
        missing.append("--root")
    for option in ("inversion", "just"):
        if arguments.notes is not None and getattr(arguments, option) is not None:
            raise WorldError(f"--{option} goes with --chord; notes of your own are taken as they are.")
    if missing:
        raise WorldError(f"A new whistle needs {', '.join(missing)} too; to show one that exists, use --whistle.")


def _bore_length(arguments: argparse.Namespace) -> list[str] | None:
    """As given, else as long as body, blank and bit allow; None when nothing says how long that is."""
    if arguments.bore_length is not None:
        return list(arguments.bore_length)
    body = body_said(arguments)
    from_end_mm = body.window_from_end_mm or parse_length_mm(arguments.fipple_length, arguments.units)
    longest_mm = longest_bore_of(body, stock_said(arguments), from_end_mm)
    return None if math.isinf(longest_mm) else [f"{max(0.0, longest_mm):.3f} mm"]


def _for_each(option: str, texts: list[str] | None, n_chambers: int) -> tuple[str, ...]:
    if texts is None or len(texts) not in (1, n_chambers):
        n_texts = len(texts or ())
        raise WorldError(f"{option} has {n_texts} values for {n_chambers} chambers: one for all, or one for each.")
    return tuple(texts)


def _plain(name: str) -> str:
    """A chord's name however its words are joined."""
    return " ".join(re.findall("[a-z]+", name.lower()))


def _in_mm(text: str, units: str) -> str:
    return f"{parse_length_mm(text, units)} mm"
