"""Which chambers a whole blow should hold and where: from the journal when it knows, else from the plan."""
from __future__ import annotations

from collections.abc import Sequence

from acoustics.chord import ExpectedVoice
from acoustics.tuning import Policy, Priors, Stop
from acoustics.units import shift_hz
from app.evidence import evidence, standing
from app.place import place
from app.records import Record
from app.whistle import Whistle, to_plan

WITHIN_CENTS = 100.0  # a plug's note is not off by more than a semitone when it is time for the chord
CLOSEST_CENTS = 50.0  # the chord's breath is another than the single blows', however sure those were
SPREADS = 3.0


def expected_voices(whistle: Whistle, records: Sequence[Record]) -> tuple[ExpectedVoice, ...]:
    """One for each chamber: where its plug puts it by all that was blown, or its target where no plug is known."""
    counted = standing(records)
    believed = place(to_plan(whistle), counted, Policy(), Priors()).belief
    plugs = {letter: face for letter, face in evidence(counted).closures.items() if face.stop is Stop.PLUG}
    voices = []
    for chamber in believed.plan.chambers:
        plug = plugs.get(chamber.letter)
        if plug is None or plug.id not in believed.readings:
            voices.append(ExpectedVoice(chamber.letter, whistle.chamber(chamber.letter).target_hz, WITHIN_CENTS))
            continue
        foretold = believed.predict(chamber, plug)
        within_cents = min(max(SPREADS * foretold.sd_cents, CLOSEST_CENTS), WITHIN_CENTS)
        near_hz = shift_hz(chamber.target_hz, foretold.deviation_cents)
        voices.append(ExpectedVoice(chamber.letter, near_hz, within_cents))
    return tuple(voices)
