"""One whistle on the invented bench: does what is asked, and books what a journal would hold."""
from __future__ import annotations

from dataclasses import dataclass, field

from acoustics.evidence import ChamberPlan, Closure, Observation, Plan, Stop
from tests.simulation.world import Seat, Whistle

STOPS = {"finger": Stop.FINGER, "slug": Stop.SLUG, "plug": Stop.PLUG}
MEASURED_SD_MM, ASSUMED_SD_MM = 0.05, 0.15


@dataclass
class Tally:
    """What one chamber cost."""

    cuts: int = 0
    blows: int = 0
    moves: int = 0  # slides and slug settings


@dataclass
class Hand:
    whistle: Whistle
    plan: Plan
    observations: list[Observation] = field(default_factory=list)
    closures: dict[str, Closure] = field(default_factory=dict)
    seats: dict[str, Seat] = field(default_factory=dict)
    tallies: dict[str, Tally] = field(default_factory=dict)
    set_number: int = 0
    set_air_c: float = 0.0
    seating: int = 0
    n_closures: int = 0
    wrong_set: int | None = None  # the set that is blown on the wrong bore
    slid: bool = False  # plugs are marked where they sit

    def begin_set(self) -> None:
        self.set_number += 1
        self.set_air_c = self.whistle.new_set()

    def put(self, letter: str, seat: Seat, said_depth_mm: float, depth_sd_mm: float) -> None:
        """Close a bore; the booked depth is what the maker knows."""
        self.n_closures += 1
        stop = STOPS[seat.kind]
        self.closures[letter] = Closure(f"{letter}{self.n_closures}", stop, said_depth_mm, depth_sd_mm)
        self.seats[letter] = seat

    def put_plug(self, letter: str, depth_mm: float, cut: bool) -> None:
        """Cut or trim a plug, or push one, so that its face should lie at `depth_mm`."""
        seat = self.whistle.cut_plug(depth_mm)
        if self.whistle.maker.measures:
            self.put(letter, seat, self.whistle.measured_mm(seat), MEASURED_SD_MM)
        else:
            self.put(letter, seat, depth_mm, ASSUMED_SD_MM)
        if cut:
            self.tallies[letter].cuts += 1
        else:
            self.tallies[letter].moves += 1

    def put_slug(self, letter: str, depth_mm: float) -> None:
        self.put(letter, self.whistle.set_slug(depth_mm), depth_mm, self.whistle.customs.slug_sd_mm)
        self.tallies[letter].moves += 1

    def blow(self, letter: str, n: int, reseat: bool = False) -> list[float]:
        """Usable blows on the present closure; an overblown one is told by the reader and blown again."""
        whistle, seat, closure = self.whistle, self.seats[letter], self.closures[letter]
        if reseat or not seat.seated:
            whistle.reseat(letter, seat)
            self.seating += 1
        heard = []
        for _ in range(n):
            self.tallies[letter].blows += 1
            while whistle.rng.random() < whistle.customs.overblown_share:
                self.tallies[letter].blows += 1
            sounding = self._really_blown(letter)
            note_hz = whistle.blow_hz(sounding, self.seats.get(sounding, seat), self.set_air_c)
            heard.append(note_hz)
            self.observations.append(
                Observation(letter, closure, f"set{self.set_number}", self.seating, note_hz, 0.3,
                            at_s=float(len(self.observations)))
            )
        return heard

    def _really_blown(self, letter: str) -> str:
        if self.set_number != self.wrong_set:
            return letter
        others = [other for other in self.seats if other != letter]
        return others[0] if others else letter


def hand_for(whistle: Whistle) -> Hand:
    """A maker with a drawing that bears the measured lengths."""
    chambers = tuple(
        ChamberPlan(c.letter, c.bore_mm, c.measured_length_mm, c.window_width_mm, c.window_height_mm, c.target_hz)
        for c in whistle.chambers.values()
    )
    hand = Hand(whistle, Plan(chambers, whistle.room_c), tallies={letter: Tally() for letter in whistle.chambers})
    if whistle.rng.random() < whistle.customs.wrong_bore_per_whistle:
        hand.wrong_set = int(whistle.rng.integers(2, 9))
    return hand
