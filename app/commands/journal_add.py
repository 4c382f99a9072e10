"""`journal add`: one reading, plug, change of voice or chord taken down, told by hand."""
from __future__ import annotations

import argparse

from acoustics.tuning import Policy, Priors, Stop
from app.commands.arguments import StopAt
from app.commands.entering import blow_records, set_face, setting_of, typed_blow
from app.commands.whistles import filing, find_whistle, new_id, now_utc
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.place import notes_text, place
from app.records import Record, StepTaken, VoiceChanged
from app.whistle import Whistle, to_plan

KINDS = ("hz", "length", "depth", "voice", "chord_lowered")


def add_facts(arguments: argparse.Namespace, journal: Journal, usual_blower: str) -> tuple[Record, ...]:
    """Keep what was told, together with the whistle's document when the journal has not seen it: all or nothing."""
    kind = _kind(arguments)
    whistle = find_whistle(arguments.whistle, journal)
    letter = "" if arguments.chamber is None else whistle.chamber(arguments.chamber).letter
    records = journal.records(whistle.id)
    if kind == "chord_lowered":
        facts: list[Record] = [_lowered(arguments.chord_lowered, whistle, records)]
    elif kind == "voice":
        facts = [VoiceChanged(new_id(), now_utc(), whistle.id, letter, arguments.voice)]
    elif kind == "hz":
        facts = _reading(arguments, whistle, letter, records, usual_blower)
    else:
        facts = _plug(arguments, whistle, letter, records)
    kept = (*filing(whistle, journal), *facts)
    journal.append_all(kept)
    return kept


def _kind(arguments: argparse.Namespace) -> str:
    """The one thing that was told."""
    given = [kind for kind in KINDS if getattr(arguments, kind) is not None]
    if len(given) != 1:
        what = " and ".join(f"--{kind.replace('_', '-')}" for kind in given) or "none of them"
        raise WorldError("One fact is added at a time, with --hz, --length, --depth, --voice or --chord-lowered;"
                         f" {what} was given.")
    if (given == ["chord_lowered"]) == (arguments.chamber is not None):
        raise WorldError("--chamber goes with a reading, a plug or a voice, and they need it; --chord-lowered is of the"
                         " whole chord.")
    if given == ["hz"] and arguments.stop is None:
        raise WorldError("A reading needs --stop too: what closed the bore decides what the pitch means.")
    if given != ["hz"] and arguments.stop is not None:
        raise WorldError("--stop goes with a reading (--hz); a plug is told with --length or --depth alone.")
    if given != ["hz"] and arguments.covered:
        raise WorldError("--covered goes with a reading (--hz): a finger was pressed over the plug meanwhile.")
    if given != ["length"] and (arguments.proud or arguments.recess):
        raise WorldError("--proud and --recess go with --length; a depth holds them already.")
    if given != ["depth"] and arguments.slug:
        raise WorldError("--slug goes with --depth: how deep its face lies.")
    return given[0]


def _lowered(down_cents: float, whistle: Whistle, records: tuple[Record, ...]) -> StepTaken:
    """A plug that is glued could not come along."""
    plan = to_plan(whistle)
    chambers = place(plan, standing(records), Policy(), Priors()).chambers
    glued = [letter for letter, chamber in chambers.items() if chamber.glued]
    if glued:
        raise WorldError(f"Plug {glued[0]} is glued: the chord stays where it is, for that plug cannot come along.")
    return StepTaken(new_id(), now_utc(), whistle.id, "chord_lowered", None, notes_text(plan),
                     0.0 - down_cents)


def _reading(
    arguments: argparse.Namespace, whistle: Whistle, letter: str, records: tuple[Record, ...], usual_blower: str
) -> list[Record]:
    setting = setting_of(whistle, letter, arguments.stop, records, arguments, usual_blower)
    sitting_id = new_id()  # every typed reading stands alone: nobody knows what it shared with the others
    blows = blow_records(setting, [typed_blow(arguments.hz, arguments.error)], sitting_id, f"{sitting_id}/1")
    return [*([setting.plug] if setting.plug else []), *blows]


def _plug(arguments: argparse.Namespace, whistle: Whistle, letter: str, records: tuple[Record, ...]) -> list[Record]:
    length = arguments.length
    depth_mm = arguments.depth if length is None else length - arguments.proud + arguments.recess
    if length is not None and depth_mm <= 0.0:
        raise WorldError(
            f"A plug {length:g} mm long that stands {arguments.proud:g} mm proud is not in the bore: are they swapped?"
        )
    stop = Stop.SLUG if arguments.slug else Stop.PLUG
    _, plug = set_face(
        whistle, letter, StopAt(stop, depth_mm), records,
        length_mm=length, proud_mm=arguments.proud, recess_mm=arguments.recess, anew=True,
    )
    return [] if plug is None else [plug]
