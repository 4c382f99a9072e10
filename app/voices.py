"""Which chambers a whole blow should hold and where: from the journal when it knows, else from the plan."""
from __future__ import annotations

from collections.abc import Sequence

from acoustics.chord import ExpectedVoice
from acoustics.tuning import Closure, Policy, Priors, Stop
from acoustics.units import shift_hz
from app.chord_stage import sounding
from app.evidence import standing
from app.place import Place, place
from app.records import Record
from app.whistle import Whistle, to_plan

WITHIN_CENTS = 100.0  # a plug's note is not off by more than a semitone when it is time for the chord
CLOSEST_CENTS = 50.0  # the chord's breath is another than the single blows', however sure those were
SPREADS = 3.0


def expected_voices(whistle: Whistle, records: Sequence[Record]) -> tuple[ExpectedVoice, ...]:
    """One for each chamber: where its plug puts it by all that was blown, or its target where no plug is known."""
    where = place(to_plan(whistle), standing(records), Policy(), Priors())
    return tuple(_voice(where, letter) for letter in where.chambers)


def voices_of(where: Place) -> tuple[ExpectedVoice, ...]:
    """The chambers that the walk expects in one blow of the whole whistle."""
    return tuple(_voice(where, letter) for letter in sounding(where.chambers))


def _voice(where: Place, letter: str) -> ExpectedVoice:
    chamber = next(chamber for chamber in where.belief.plan.chambers if chamber.letter == letter)
    plug = where.chambers[letter].plug
    if plug is None or plug.id not in where.belief.readings:
        return ExpectedVoice(letter, chamber.target_hz, WITHIN_CENTS)
    closure = Closure(plug.id, Stop(plug.stop), plug.depth_mm, plug.depth_sd_mm)
    foretold = where.belief.predict(chamber, closure)
    within_cents = min(max(SPREADS * foretold.sd_cents, CLOSEST_CENTS), WITHIN_CENTS)
    return ExpectedVoice(letter, shift_hz(chamber.target_hz, foretold.deviation_cents), within_cents)
