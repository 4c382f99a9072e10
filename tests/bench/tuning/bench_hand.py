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
    trims: int = 0  # advised
    trims_when_flat: int = 0  # of these, with the true note already flat
    fates: list[Fate] = field(default_factory=list)


@dataclass
class Fate:
    """What became of one plug: did it leak, or were its blows really another bore's, and what was said of it."""

    leaks: bool
    wrong_blows: bool = False  # some were on another bore
    apart_sd: float = 0.0  # the two expected notes, in combined standard deviations, when the first of them was booked
    checked: bool = False  # a finger over the plug was asked for
    accused: bool = False  # of leaking
    named_wrong: bool = False  # said to be another bore's note
    trims: int = 0  # before it was accused


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
    blows_in_set: int = 0
    seating: int = 0
    n_closures: int = 0
    wrong_letter: str = ""  # the chamber whose plug is first blown on another bore
    wrong_set: int | None = None  # the set in which that happens
    slid: bool = False  # plugs are marked where they sit

    def begin_set(self) -> None:
        self.set_number += 1
        self.blows_in_set = 0
        self.set_air_c = self.whistle.new_set()

    def put(self, letter: str, seat: Seat, said_depth_mm: float, depth_sd_mm: float) -> None:
        """Close a bore; the booked depth is what the maker knows."""
        self.n_closures += 1
        stop = STOPS[seat.kind]
        self.closures[letter] = Closure(f"{letter}{self.n_closures}", stop, said_depth_mm, depth_sd_mm)
        self.seats[letter] = seat

    def put_plug(self, letter: str, depth_mm: float, cut: bool) -> None:
        """Cut or trim a plug, or push one, so that its face should lie at `depth_mm`."""
        seat = self.whistle.cut_plug(depth_mm, self.seats.get(letter))
        if letter not in self.seats:
            self.tallies[letter].fates.append(Fate(seat.leak_cents > 0.0))
            if letter == self.wrong_letter:
                self.wrong_set = self.set_number
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

    def blow(self, letter: str, n: int, reseat: bool = False, covered: bool = False) -> list[float]:
        """Usable blows on the present closure; an overblown one is told by the reader and blown again."""
        whistle, seat, closure = self.whistle, self.seats[letter], self.closures[letter]
        if reseat or not seat.seated:
            whistle.reseat(letter, seat)
            self.seating += 1
        heard = []
        for _ in range(n):
            self.tallies[letter].blows += 1
            self.blows_in_set += 1
            while whistle.rng.random() < whistle.customs.overblown_share:
                self.tallies[letter].blows += 1
            sounding = self._really_blown(letter)
            there = self.seats.get(sounding, seat)
            note_hz = whistle.blow_hz(sounding, there, self.set_air_c, covered)
            breath_db = whistle.breath_db(sounding, there, covered)
            heard.append(note_hz)
            self.observations.append(
                Observation(letter, closure, f"set{self.set_number}", self.seating, note_hz, 0.3,
                            at_s=float(len(self.observations)), covered=covered, breath_db=breath_db)
            )
        return heard

    def _really_blown(self, letter: str) -> str:
        others = [other for other in self.seats if other != letter]
        if self.set_number != self.wrong_set or not others:
            return letter
        self.tallies[letter].fates[-1].wrong_blows = True
        return others[0]

    def look_again(self, letter: str) -> None:
        """Told that it is another bore's note, the maker looks, and takes those blows back."""
        self.wrong_set, gone = None, f"set{self.set_number}"
        self.observations = [o for o in self.observations if (o.letter, o.set_id) != (letter, gone)]


def hand_for(whistle: Whistle) -> Hand:
    """A maker with a drawing that bears the measured lengths."""
    chambers = tuple(
        ChamberPlan(c.letter, c.bore_mm, c.measured_length_mm, c.window_width_mm, c.window_height_mm, c.target_hz)
        for c in whistle.chambers.values()
    )
    hand = Hand(whistle, Plan(chambers, whistle.room_c), tallies={letter: Tally() for letter in whistle.chambers})
    if whistle.rng.random() < whistle.customs.wrong_bore_per_whistle:
        hand.wrong_letter = "BCD"[int(whistle.rng.integers(0, 3))]
    return hand
