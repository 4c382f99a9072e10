"""What is read where nobody blows a whistle: recorded instruments, speech, music, machines. Pipes are counted apart."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from acoustics.blow import Blow
from tests.bench.formats import played, recorded
from tests.bench.reading.run import Heard, listen

TRADE_HZ = (350.0, 1300.0)
RULE_OF_THREE = 3.0  # events that none seen in a time allows at 95 %
FLUE_PIPES = "flue pipes: a reading is right"
ALIKE = "made without a recording, or blown pipes of another kind: a grey zone"
NO_WHISTLE = "no whistle: a reading is wrong"
# A church organ has flue pipes; a clarinet is a stopped cylinder; synthetic programs are bare lines; horns are blown.
GREY = ("church organ", "synth lead", "synth pad", "synth effects", "horns, whistles")
CLARINET = 72
REST_S, LONG_S = 0.15, 0.5
QUICK_FAMILIES = ("drums", "guitar", "reed", played.PIPE)


@dataclass
class Tally:
    """One family's count."""

    seconds: float = 0.0
    told: int = 0
    usable: int = 0
    in_trade: int = 0
    by_program: Counter[int] = field(default_factory=Counter)

    def add(self, heard: Heard, usable: list[Blow]) -> None:
        """One more recording."""
        self.seconds += len(heard.recording.samples) / heard.recording.rate_hz
        self.told += len(heard.blows)
        self.usable += len(usable)
        self.in_trade += sum(TRADE_HZ[0] <= (b.frequency_hz or 0.0) <= TRADE_HZ[1] for b in usable)

    def take(self, other: Tally) -> None:
        """Another count of the same."""
        self.seconds += other.seconds
        self.told += other.told
        self.usable += other.usable
        self.in_trade += other.in_trade
        self.by_program.update(other.by_program)


def zone(family: str) -> str:
    """What a reading of this family is."""
    return FLUE_PIPES if family == played.PIPE else ALIKE if family in GREY else NO_WHISTLE


def print_instruments(seed: int, quick: bool) -> None:
    """Every font that is installed, then the zones of all together."""
    families: dict[str, Tally] = {}
    for package, font in played.FONTS.items():
        if not font.exists() or not played.can_play():
            print(f"  {package} left out: {'fluidsynth' if font.exists() else package} is not installed")
            continue
        print(f"\n== {package}")
        tallies, notes = play(package, font, seed, QUICK_FAMILIES if quick else ())
        print_tallies(tallies)
        print(f"  {notes}")
        for family, tally in tallies.items():
            families.setdefault(family, Tally()).take(tally)
    print_zones(families)


def print_recorded(seed: int, share: float) -> None:
    """Every package that is installed, or a share of it, then the zones of all together."""
    print("\n== recorded sounds")
    for package in recorded.missing_packages():
        print(f"  {package} left out: it is not installed")
    tallies: dict[str, Tally] = {}
    for made in recorded.recordings(np.random.default_rng([seed, 77]), share):
        heard = listen(made)
        tallies.setdefault(made.kind, Tally()).add(heard, [b for b in heard.blows if b.usable])
    print_tallies(tallies)
    print_zones(tallies)


def play(package: str, font: Path, seed: int, only: tuple[str, ...]) -> tuple[dict[str, Tally], str]:
    """One font: its families, and how the single notes of its pipes were read."""
    tallies: dict[str, Tally] = {}
    pipes: list[tuple[played.Note, Blow | None]] = []
    for song in played.songs(font, np.random.default_rng([seed, *package.encode()]), only):
        heard = listen(song.recording)
        usable = [b for b in heard.blows if b.usable]
        tally = tallies.setdefault(song.family, Tally())
        tally.add(heard, usable)
        tally.by_program.update(song.at((b.start_s + b.end_s) / 2.0).program for b in usable)
        if song.family == played.PIPE:
            pipes += list(matched(song, heard.blows))
    return tallies, about_pipes(pipes)


def matched(song: played.Song, blows: list[Blow]) -> Iterable[tuple[played.Note, Blow | None]]:
    """Each note in the trade's range that stands between rests, with the blow that covers its middle."""
    around = zip((None, *song.notes), song.notes, (*song.notes[1:], None), strict=False)
    for before, note, after in around:
        led = before is None or note.start_s - before.end_s > REST_S
        left = after is None or after.start_s - note.end_s > REST_S
        long = note.end_s - note.start_s >= LONG_S
        if led and left and long and note.alone and TRADE_HZ[0] <= note.frequency_hz <= TRADE_HZ[1]:
            middle_s = (note.start_s + note.end_s) / 2.0
            yield note, next((b for b in blows if b.start_s <= middle_s <= b.end_s), None)


def about_pipes(pipes: list[tuple[played.Note, Blow | None]]) -> str:
    """How the single notes of the pipes fared."""
    words = Counter("none" if b is None else b.verdict.value + ("" if b.usable else "*") for _, b in pipes)
    off = [1200.0 * np.log2(b.frequency_hz / n.frequency_hz) for n, b in pipes if b is not None and b.frequency_hz]
    wrong = sum(abs(cents) > 60.0 for cents in off)
    told = ", ".join(f"{word} {n}" for word, n in words.most_common())
    notes = f"single notes of pipes from 350 to 1300 Hz: {len(pipes)}"
    return f"{notes}; {told}; read more than 60 cents from the note that was played: {wrong}"


def print_tallies(tallies: dict[str, Tally]) -> None:
    """By family: minutes, blows told, usable readings, of them in the trade's range, and by which program."""
    for family, tally in tallies.items():
        programs = ", ".join(f"{program}: {n}" for program, n in sorted(tally.by_program.items()))
        print(
            f"  {family:22s} {tally.seconds / 60:5.1f} min, told {tally.told:4d}, usable {tally.usable:3d}, "
            f"from 350 to 1300 Hz {tally.in_trade:3d}" + (f"  (program {programs})" if programs else "")
        )


def print_zones(families: dict[str, Tally]) -> None:
    """What all of it comes to; clarinets are named, for a stopped cylinder is what a chamber is."""
    print("  all together:")
    for name in (NO_WHISTLE, ALIKE, FLUE_PIPES):
        whole = Tally()
        for family, tally in families.items():
            if zone(family) == name:
                whole.take(tally)
        hours = whole.seconds / 3600.0
        least = f" (at 95 % fewer than {RULE_OF_THREE / max(hours, 1e-9):.1f} an hour)" if whole.usable == 0 else ""
        if whole.seconds == 0.0:
            continue
        print(f"  {name}: {hours:.2f} h, {whole.usable} usable{least}, {whole.in_trade} of them from 350 to 1300 Hz")
        if whole.by_program[CLARINET] and name == NO_WHISTLE:
            print(f"    of them {whole.by_program[CLARINET]} by the clarinet, a stopped cylinder like a chamber")
