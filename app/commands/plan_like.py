"""`plan --like`: the notes of a new whistle out of a recording of another one."""
from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from acoustics.notes import nearest_note
from acoustics.tuning import Priors
from acoustics.units import cents_between
from app.choices_of_chord import compass
from app.commands.plan_body import says_nothing, with_said
from app.commands.plan_made import made, of_bare_wood
from app.errors import WorldError
from app.like import Intervals, Likeness, Moved, kept, likeness_of, moved_into, moved_to
from app.like_words import likeness_lines, moved_line
from app.whistle import LETTERS, Whistle

NOT_WITH = ("whistle", "chord", "notes", "inversion", "just")
OF_WOOD = ("name", "bore", "bore_length", "window")


@dataclass(frozen=True)
class Like:
    """What was heard; where it was moved, None when no wood was named."""

    file_name: str
    likeness: Likeness
    moved: Moved | None
    intervals: Intervals
    a4_hz: float

    def lines(self) -> Iterator[str]:
        yield from likeness_lines(self.likeness, self.file_name, self.a4_hz)
        if self.moved is not None:
            yield moved_line(self.moved, self.intervals, self.a4_hz)

    def json(self) -> dict[str, Any]:
        """All of it, for other programs."""
        heard, chord, to = self.likeness.heard, self.likeness.chord, self.moved
        return {
            "file": self.file_name, "start_s": heard.start_s, "end_s": heard.end_s, "is_sure": heard.is_sure,
            "tone_share": heard.tone_share, "is_clipped": heard.is_clipped,
            "notes": _notes_json(self.likeness, self.a4_hz),
            "hidden": [{"over": LETTERS[one.note], "number": one.number} for one in heard.hidden],
            "chord": None if chord is None else chord.name,
            "off_equal_cents": self.likeness.off_equal_cents, "off_just_cents": self.likeness.off_just_cents,
            "intervals": self.intervals.value,
            "moved": None if to is None else {
                "shift_semitones": to.shift_semitones, "sureness": to.sureness.value, "notes_hz": list(to.notes_hz),
            },
        }  # fmt: skip


def add_like(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--like", metavar="FILE",
        help="in place of a chord: a recording of a whistle whose chord is wanted; without a wood it is only read",
    )
    parser.add_argument(
        "--intervals", choices=[each.value for each in Intervals],
        help="with --like: as heard, or rounded to equal steps or to whole-number ratios (heard)",
    )


def only_heard(arguments: argparse.Namespace) -> bool:
    """No wood was named: the recording is read and nothing is planned."""
    nothing_made = all(getattr(arguments, key) is None for key in (*OF_WOOD, "root", "out")) and not arguments.document
    return nothing_made and says_nothing(arguments)


def heard_like(arguments: argparse.Namespace) -> Like:
    """What the recording holds, without a wood."""
    _require_alone(arguments)
    intervals, path = _intervals(arguments), Path(arguments.like)
    return Like(path.name, likeness_of(path, arguments.a4), None, intervals, arguments.a4)


def made_like(arguments: argparse.Namespace) -> tuple[Whistle, Like]:
    """A new whistle of the described wood with the recording's chord, moved into reach."""
    _require_alone(arguments)
    if arguments.name is None:
        raise WorldError("A new whistle needs --name too; without name, bore and window the recording is only read.")
    wood = with_said(of_bare_wood(arguments), arguments)
    like = heard_like(arguments)
    notes_hz = kept(like.likeness, like.intervals)
    to = moved_into(notes_hz, wood, Priors(), arguments.units)
    if arguments.root is not None:
        to = moved_to(notes_hz, arguments.root, compass(wood), arguments.a4)
    told = argparse.Namespace(**{**vars(arguments), "notes": to.texts(arguments.a4), "root": None})
    whistle = with_said(made(told), arguments)
    return whistle, Like(like.file_name, like.likeness, to, like.intervals, like.a4_hz)


def _intervals(arguments: argparse.Namespace) -> Intervals:
    return Intervals.HEARD if arguments.intervals is None else Intervals(arguments.intervals)


def _require_alone(arguments: argparse.Namespace) -> None:
    given = [f"--{key}" for key in NOT_WITH if getattr(arguments, key) is not None]
    if given == ["--just"]:
        raise WorldError("--just goes with --chord; with --like it is written --intervals just.")
    if given:
        raise WorldError(f"--like takes its notes from a recording, {given[0]} from elsewhere: leave one of them out.")


def _notes_json(likeness: Likeness, a4_hz: float) -> list[dict[str, Any]]:
    rows = []
    for letter, one in zip(LETTERS, likeness.heard.notes, strict=False):
        note = nearest_note(one.frequency_hz, a4_hz)
        rows.append({
            "name": letter, "frequency_hz": one.frequency_hz, "note": str(note),
            "deviation_cents": note.deviation_cents,
            "interval_cents": cents_between(one.frequency_hz, likeness.notes_hz[0]),
            "standard_error_cents": one.standard_error_cents, "level_db": one.level_db,
            "doubts": [doubt.value for doubt in one.doubts],
        })
    return rows
