"""Before and after: what every chamber spoke, step by step, out of one whistle's standing records. Pure.

A step is what closed the bore: finger, plug as cut, after each trim or move, the whole chord, after the glue, next day.
Chambers share the steps, so that the second trim of each stands in one column. The glue counts from the first plug that
was glued, or, where nobody said so, from when the walk was led on to it; and only while no plug was touched since.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from acoustics.tuning import Stop
from acoustics.units import cents_between
from app.aimed import aimed
from app.chamber import counts
from app.evidence import blower_tag
from app.glue_clock import NIGHT
from app.records import BlowTaken, ChordTaken, PlugSet, Record, StepTaken, VoiceChanged
from app.story_readings import (
    AFTER_GLUE,
    NEXT_DAY,
    Logged,
    Phase,
    Reading,
    Step,
    Story,
    pooled,
    scatter_cents_of,
    sd_cents_of,
    with_intervals,
)
from app.view import Stage
from app.whistle import Whistle


def story_of(whistle: Whistle, standing: Sequence[Record]) -> Story:
    """From the standing records, tombstones applied; counted from the notes that are aimed at by now."""
    whistle, lowered_cents = aimed(whistle, standing)
    gathered = _Gathering(whistle, _glue_index(whistle, standing), standing)
    for index, record in enumerate(standing):
        gathered.take(index, record)
    found = [pooled(reading) for _, reading in sorted(gathered.found.items())]
    scatter_cents = scatter_cents_of(found)
    found = [replace(reading, sd_cents=sd_cents_of(reading, scatter_cents)) for reading in found]
    return Story(whistle.letters, tuple(with_intervals(found, whistle.letters[0])), scatter_cents, lowered_cents)


@dataclass
class _Chamber:
    """As far as the records were read."""

    voice: int = 0
    plug: PlugSet | None = None
    firsts: dict[str, int] = field(default_factory=dict)  # closures without a plug, of the present voice
    cuts: int = 0
    moves: int = 0


class _Gathering:
    """Puts each blow to its chamber's step, in the order of the records."""

    def __init__(self, whistle: Whistle, glue_index: int | None, standing: Sequence[Record]) -> None:
        self.found: dict[tuple[str, Step], Reading] = {}
        self._targets_hz = {chamber.letter: chamber.target_hz for chamber in whistle.chambers}
        self._glue_index = glue_index
        self._glued_at = None if glue_index is None else standing[glue_index].at_utc
        self._chambers = {letter: _Chamber() for letter in whistle.letters}
        self._steps: dict[str, tuple[Step, PlugSet]] = {}  # by the id of a plug
        self._chords: dict[str, int] = {}  # by faces
        self._latest: dict[str, tuple[Step, str]] = {}

    def take(self, index: int, record: Record) -> None:
        if isinstance(record, ChordTaken):
            self._take_chord(index, record)
        elif isinstance(record, StepTaken) and record.step == "glued":
            self._glued_at = record.at_utc  # the night is counted from the plug that was glued last
        elif isinstance(record, VoiceChanged | PlugSet | BlowTaken) and record.letter in self._chambers:
            chamber = self._chambers[record.letter]
            if isinstance(record, VoiceChanged):
                chamber.voice, chamber.firsts = chamber.voice + 1, {}
            elif isinstance(record, PlugSet):
                self._take_plug(chamber, record)
            else:
                step, how = self._step_of(index, chamber, record)
                depth_mm = record.depth_mm if record.stop in (Stop.PLUG, Stop.SLUG) else None
                self._add(record.letter, step, how, depth_mm, _logged(record))

    def _take_plug(self, chamber: _Chamber, plug: PlugSet) -> None:
        if plug.how == "taken_out":
            chamber.plug = None
            return
        if plug.stop != Stop.PLUG:
            return
        if plug.how in ("cut", "set"):
            chamber.cuts += 1
            phase, number = Phase.CUT, chamber.cuts
        else:
            chamber.moves += 1
            phase, number = Phase.MOVE, chamber.moves
        chamber.plug = plug
        self._steps[plug.id] = (Step(len(self._chords), False, chamber.voice, phase, number), plug)

    def _step_of(self, index: int, chamber: _Chamber, blow: BlowTaken) -> tuple[Step, str]:
        """A blow in doubt belongs to whatever was heard of this chamber last."""
        if not blow.closure_id and blow.letter in self._latest:
            return self._latest[blow.letter]
        if blow.closure_id in self._steps:
            step, plug = self._steps[blow.closure_id]
            late = self._late_round(index, blow.at_utc)
            step = replace(step, voice=chamber.voice) if late is None else Step(late, False, 0, Phase.MOVE, 0)
            told = step, plug.how
        else:
            number = chamber.firsts.setdefault(blow.closure_id, len(chamber.firsts) + 1)
            chords = len(self._chords) if chamber.voice else 0
            told = Step(chords, False, chamber.voice, Phase.FIRST, number), blow.stop
        self._latest[blow.letter] = told
        return told

    def _take_chord(self, index: int, chord: ChordTaken) -> None:
        late = self._late_round(index, chord.at_utc)
        number = self._chords.setdefault(chord.faces, len(self._chords)) if late is None else 0
        step = Step(number if late is None else late, True, 0, Phase.CHORD, number + 1)
        lowest = next(iter(self._chambers))
        for letter, chamber in self._chambers.items():
            if (blow := _logged_in_chord(chord, letter, lowest, self._targets_hz)) is not None:
                depth_mm = None if chamber.plug is None else chamber.plug.depth_mm
                self._add(letter, step, "chord", depth_mm, blow)

    def _late_round(self, index: int, at_utc: str) -> int | None:
        if self._glue_index is None or self._glued_at is None or index <= self._glue_index:
            return None
        passed = datetime.fromisoformat(at_utc) - datetime.fromisoformat(self._glued_at)
        return NEXT_DAY if passed >= NIGHT else AFTER_GLUE

    def _add(self, letter: str, step: Step, how: str, depth_mm: float | None, blow: Logged) -> None:
        before = self.found.get((letter, step)) or Reading(letter, step, how, (), self._targets_hz[letter], depth_mm)
        self.found[letter, step] = replace(before, blows=(*before.blows, blow))


def _glue_index(whistle: Whistle, standing: Sequence[Record]) -> int | None:
    """Where the first plug was glued, or, where nobody said so, the walk went on to the glue with every plug in."""
    plugged: set[str] = set()
    led: int | None = None
    glued: int | None = None
    for index, record in enumerate(standing):
        if isinstance(record, PlugSet):
            led = glued = None
            (plugged.discard if record.how == "taken_out" or record.stop != Stop.PLUG else plugged.add)(record.letter)
        elif isinstance(record, StepTaken) and record.step == "glued":
            glued = index if glued is None else glued
        elif isinstance(record, StepTaken) and led is None and plugged >= set(whistle.letters):
            leads = record.step == "chord_done" or (record.step == "focus" and record.text == Stage.GLUE)
            led = index if leads else None
    return led if glued is None else glued


def _logged(blow: BlowTaken) -> Logged:
    pitch_hz = blow.frequency_hz if blow.frequency_hz is not None else blow.heard_hz
    counted = counts(blow) and not blow.covered and blow.frequency_hz is not None
    return Logged(
        blow.id, blow.at_utc, blow.verdict, counted, pitch_hz,
        blow.standard_error_cents or 0.0, blow.temperature_c, blow.sound_file, blower=blower_tag(blow.blower),
        covered=blow.covered,
    )


def _logged_in_chord(
    chord: ChordTaken, letter: str, lowest: str, targets_hz: Mapping[str, float]
) -> Logged | None:
    voice, home = chord.voice(letter), chord.voice(lowest)
    if voice is None:
        return None
    interval_cents = None
    if letter != lowest and voice.frequency_hz is not None and home is not None and home.frequency_hz is not None:
        interval_cents = cents_between(voice.frequency_hz, targets_hz[letter]) - cents_between(
            home.frequency_hz, targets_hz[lowest])
    counted = chord.usable and not chord.warm_up and voice.frequency_hz is not None
    return Logged(chord.id, chord.at_utc, voice.heard.value, counted, voice.frequency_hz,
                  voice.standard_error_cents or 0.0, chord.temperature_c, chord.sound_file, interval_cents,
                  blower_tag(chord.blower))
