"""From the journal's facts to how each chamber speaks, and to the one thing to look at now. Pure, as `app.place` is."""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from acoustics.blow import Finding, Verdict
from acoustics.remedies import Remedy
from acoustics.speech import Expected, Voice, VoiceBlow, VoiceFinding
from acoustics.tuning import Belief
from acoustics.voicing import voice_of
from app.records import BlowTaken, Record, StepTaken, VoiceChanged
from app.view import Stage


@dataclass(frozen=True)
class Speaking:
    """How one chamber speaks now, and how often what is amiss outlived a change of its voice."""

    voice: Voice
    n_tried: int = 0

    @property
    def main(self) -> VoiceFinding | None:
        return self.voice.findings[0] if self.voice.findings else None

    @property
    def look_at(self) -> Remedy | None:
        """The one thing to look at: the next on the list after each change that did not help."""
        return self.main.remedies[self._turn] if self.main else None

    @property
    def then(self) -> tuple[Remedy, ...]:
        """What comes after it."""
        return self.main.remedies[self._turn + 1 :] if self.main else ()

    @property
    def _turn(self) -> int:
        return min(self.n_tried, len(self.main.remedies) - 1) if self.main else 0

    @property
    def code(self) -> str:
        """Changes whenever something else is to be looked at."""
        return f"{self.main.symptom}:{self.look_at}" if self.main else ""


def speaking_of(
    records: Sequence[Record], epochs: Mapping[str, int], faces: Mapping[str, str], belief: Belief
) -> dict[str, Speaking]:
    """How every chamber speaks.

    `epochs` says by letter how often its voice was changed; `faces` the id of the plug or slug in its bore, where one
    is. Without one, what stopped the bore at its last blow counts.
    """
    blows = _voice_blows(records)
    now = tuple(blow for blow, epoch in blows if epoch == epochs.get(blow.letter, 0))
    told = {}
    for letter, epoch in epochs.items():
        own = [blow for blow in now if blow.letter == letter]
        face_id = faces.get(letter) or (own[-1].face_id if own else "")
        reading = belief.readings.get(face_id)
        expected = Expected(reading.surprise_sd if reading else None, belief.blow_sd_cents)
        voice = voice_of(letter, face_id, now, expected)
        told[letter] = Speaking(voice, _n_tried(voice, blows, epoch) if voice.findings and epoch else 0)
    return told


def _n_tried(voice: Voice, blows: Sequence[tuple[VoiceBlow, int]], epoch: int) -> int:
    """Earlier voices of this chamber that showed the same."""
    n_tried = 0
    for earlier in range(epoch):
        then = tuple(blow for blow, of in blows if blow.letter == voice.letter and of == earlier)
        if then:
            before = voice_of(voice.letter, then[-1].face_id, then, Expected())
            n_tried += voice.findings[0].symptom in [found.symptom for found in before.findings]
    return n_tried


def _voice_blows(records: Sequence[Record]) -> list[tuple[VoiceBlow, int]]:
    """Every blow on a known face and how often its voice had changed; a new set is a new place of the microphone.

    With a finger over the plug a leak does not hiss: such a blow says nothing of how the chamber speaks.
    """
    n_moved, found = 0, []
    for record in records:
        if isinstance(record, StepTaken) and record.step == "set":
            n_moved += 1
        elif isinstance(record, BlowTaken) and record.closure_id and not record.covered:
            found.append((_voice_blow(record, f"{record.sitting_id}/{n_moved}"), record.voicing_epoch))
    return found


def _voice_blow(blow: BlowTaken, place_id: str) -> VoiceBlow:
    return VoiceBlow(
        blow.letter, blow.closure_id, blow.set_id, place_id, Verdict(blow.verdict),
        tuple(Finding(code) for code in blow.findings.split(",") if code), blow.usable, blow.frequency_hz,
        blow.level_dbfs, blow.breath_db, blow.attack_ms, blow.neighbours_shut, blow.mouthpiece_on,
    )


# ---- which chambers the maker wants to voice -----------------------------------------------------------------------
def is_voicing(records: Sequence[Record]) -> bool:
    """Whether the walk was taken to the Voice stage, and to no other since."""
    told = [r for r in records if isinstance(r, StepTaken) and r.step == "focus"]
    return bool(told) and told[-1].text == Stage.VOICE


def voiced_letters(records: Sequence[Record]) -> frozenset[str]:
    """Chambers taken as voiced, and neither changed nor listened to again since."""
    voiced: set[str] = set()
    for r in records:
        if isinstance(r, StepTaken) and r.step == "voiced" and r.letter:
            voiced.add(r.letter)
        elif isinstance(r, VoiceChanged) or (isinstance(r, StepTaken) and r.step == "unvoiced"):
            voiced.discard(r.letter or "")
    return frozenset(voiced)
