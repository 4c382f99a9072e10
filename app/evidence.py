"""From the journal's facts to what the tuning model is given: pure, so that undo and any order come free."""
from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from acoustics.tuning import Closure, Observation, Stop
from app.records import BlowTaken, PlugSet, Record, StepTaken, VoiceChanged, Voided

SITTING_GAP_S = 3600.0  # the sound's clock begins anew with each sitting; the model is told which came after which


@dataclass(frozen=True)
class Evidence:
    """What the standing records of one whistle say."""

    observations: tuple[Observation, ...]
    closures: Mapping[str, Closure]  # by letter: plugs and slugs that are in a bore now
    voicing_epochs: Mapping[str, int]  # by letter: how often its voice was changed; absent is never


def evidence(records: Sequence[Record]) -> Evidence:
    """The evidence in one whistle's records, in the order of the journal, tombstones left in."""
    return Evidence(observations(records), closures(records), voicing_epochs(records))


def owner_of(records: Sequence[Record]) -> str:
    """The tag of the one in whose breath the whistle is tuned: whoever blew without a name, else who blew first.

    A name is for who is not the owner, so a blow without one is the owner's own.
    """
    tags = [blower_tag(record.blower) for record in standing(records) if isinstance(record, BlowTaken)]
    return "" if "" in tags or not tags else tags[0]


def blower_tag(blower: str) -> str:
    """A blower's name as it is compared."""
    return blower.strip().casefold()


def standing(records: Sequence[Record]) -> tuple[Record, ...]:
    """The records that count: no tombstones and nothing they void. A tombstone may void an earlier tombstone."""
    voided: set[str] = set()
    for record in reversed(records):
        if isinstance(record, Voided) and record.id not in voided:
            voided.add(record.voids_id)
    return tuple(record for record in records if not isinstance(record, Voided) and record.id not in voided)


def observations(records: Sequence[Record]) -> tuple[Observation, ...]:
    """Every blow that may teach: usable, no warm-up, of the present voice, on a face that still counts."""
    owner = owner_of(records)
    return tuple(_observation(blow, owner) for blow, changes_since in _teaching(records) if not changes_since)


def former_observations(records: Sequence[Record]) -> dict[str, tuple[Observation, ...]]:
    """By letter, the blows of voices that a chamber had before; each voice bears a letter of its own: "A~1".

    They tell nothing of that chamber's present window, but as much as ever of finger, pattern and breath.
    """
    owner = owner_of(records)
    found: dict[str, list[Observation]] = {}
    for blow, changes_since in _teaching(records):
        if changes_since:
            seen = _observation(blow, owner)
            voice = f"{blow.letter}~{changes_since}"
            closure = replace(seen.closure, id=f"{seen.closure.id}~{changes_since}")
            found.setdefault(blow.letter, []).append(replace(seen, letter=voice, closure=closure))
    return {letter: tuple(blows) for letter, blows in found.items()}


def _teaching(records: Sequence[Record]) -> Iterator[tuple[BlowTaken, int]]:
    """Blows that may teach, with how often their chamber's voice was changed since; one clock runs over all sittings.

    Once a plug is glued its face may have crept from where it was measured: what is blown on it teaches nothing.
    """
    counted = standing(records)
    faces = {record.id for record in counted if isinstance(record, PlugSet)}
    changes = voicing_epochs(counted)
    glued: set[str] = set()  # chambers
    began_s: dict[str, float] = {}  # by sitting
    latest_s = -SITTING_GAP_S
    for record in counted:
        if isinstance(record, PlugSet):
            glued.discard(record.letter)
        elif isinstance(record, StepTaken) and record.step == "glued" and record.letter is not None:
            glued.add(record.letter)
        if isinstance(record, BlowTaken):
            began = began_s.setdefault(record.sitting_id, latest_s + SITTING_GAP_S)
            latest_s = max(latest_s, began + record.at_s)
        if isinstance(record, VoiceChanged):
            changes[record.letter] -= 1
        elif (
            isinstance(record, BlowTaken) and record.usable and not record.warm_up and record.frequency_hz is not None
            and _on_known_face(record, faces) and not (record.stop == Stop.PLUG and record.letter in glued)
        ):
            yield replace(record, at_s=began + record.at_s), changes.get(record.letter, 0)


def closures(records: Sequence[Record]) -> dict[str, Closure]:
    """By letter, the face of the plug or slug that is in the bore now."""
    latest = {record.letter: record for record in standing(records) if isinstance(record, PlugSet)}
    return {
        letter: Closure(plug.id, Stop(plug.stop), plug.depth_mm, plug.depth_sd_mm)
        for letter, plug in latest.items() if plug.how != "taken_out"
    }


def voicing_epochs(records: Sequence[Record]) -> dict[str, int]:
    """By letter, how often the voice of that chamber was changed."""
    return dict(Counter(record.letter for record in standing(records) if isinstance(record, VoiceChanged)))


def _on_known_face(blow: BlowTaken, faces: set[str]) -> bool:
    """Not so when it was in doubt which face it was, or when the plug or slug was taken back since."""
    return blow.closure_id in faces if blow.stop in (Stop.PLUG, Stop.SLUG) else bool(blow.closure_id)


def _observation(blow: BlowTaken, owner: str) -> Observation:
    if blow.frequency_hz is None or blow.standard_error_cents is None:
        raise ValueError(f"blow {blow.id} is called usable and has no frequency or no standard error")
    return Observation(
        letter=blow.letter,
        closure=Closure(blow.closure_id, Stop(blow.stop), blow.depth_mm, blow.depth_sd_mm),
        set_id=blow.set_id,
        seating=blow.seating,
        frequency_hz=blow.frequency_hz,
        standard_error_cents=blow.standard_error_cents,
        level_dbfs=blow.level_dbfs,
        temperature_c=blow.temperature_c,
        at_s=blow.at_s,
        own_breath=blower_tag(blow.blower) == owner,
        covered=blow.covered,
        breath_db=blow.breath_db if blow.neighbours_shut and blow.mouthpiece_on else None,
    )
