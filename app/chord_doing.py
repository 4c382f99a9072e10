"""What blows and keys mean for the records while the whole chord is asked for."""
from __future__ import annotations

from collections.abc import Sequence

from acoustics.chord import VoiceReading
from app.bench import State
from app.events import Condition, Heard, Task
from app.place import WARM_UP_BLOWS
from app.records import BlowTaken, ChordTaken, PlugSet, Record, StepTaken
from app.warmth import since_cold

CHORD_READER_VERSION = "1"  # goes up when the same sound would be read otherwise


def n_usable(state: State) -> int:
    """Blows of this sitting since the bores were cold, of one chamber or of all, that could be read."""
    return sum(
        1 for r in since_cold(state.standing, state.now_utc)
        if isinstance(r, BlowTaken | ChordTaken) and r.usable and r.sitting_id == state.sitting.id
    )


def chord_record(state: State, event: Heard) -> ChordTaken:
    """One blow of the whole whistle as the journal keeps it."""
    blow, where = event.blow, state.place
    voices = event.chord.voices if event.chord is not None else ()
    told = {name: value for voice in voices for name, value in _columns(voice).items()}
    return ChordTaken(
        id="", at_utc="", whistle_id=state.whistle.id, faces=where.chord.faces, sitting_id=state.sitting.id,
        mouthpiece_on=Condition.MOUTHPIECE_ON in where.conditions, cap_on=Condition.CAP_ON in where.conditions,
        blower=state.sitting.blower, temperature_c=where.temperature_c, at_s=event.at_s, verdict=blow.verdict.value,
        usable=event.chord is not None, warm_up=n_usable(state) < WARM_UP_BLOWS, duration_s=blow.end_s - blow.start_s,
        lost_frames=event.lost_frames, sound_file=event.sound_file, reader_version=CHORD_READER_VERSION, **told,
    )


def _columns(voice: VoiceReading) -> dict[str, object]:
    letter = voice.letter.lower()
    return {
        f"{letter}_heard": voice.heard.value, f"{letter}_hz": voice.frequency_hz,
        f"{letter}_standard_error_cents": voice.standard_error_cents, f"{letter}_level_db": voice.level_db,
    }


def leave_chord(state: State) -> Sequence[Record]:
    """On to the glue, however the chord is."""
    return (_step(state, "chord_done", None, state.place.chord.faces),)


def chord_done(state: State) -> Sequence[Record]:
    """The maker says "done" to a request of the chord that moves no plug; nothing when a blow is to come first."""
    chord = state.place.chord
    if state.request.task is Task.NOTHING:
        return leave_chord(state)
    if state.request.task is Task.CHORD and chord.n_wanted and chord.blows:
        return (_step(state, "chord_enough", None, chord.faces),)
    return ()


def settled_by_chord(state: State, plug: PlugSet) -> Sequence[Record]:
    """The plug as it was moved for the chord stands: the next blow of the whole whistle judges it."""
    accepted, move = state.place.chambers[plug.letter].accepted, state.place.chord.move
    home_cents = accepted.value if accepted is not None else None
    if home_cents is not None and move is not None:
        home_cents += move.shift_cents
    return (plug, _step(state, "accepted", plug.letter, "chord", home_cents))


def _step(state: State, step: str, letter: str | None, text: str, value: float | None = None) -> StepTaken:
    return StepTaken("", "", state.whistle.id, step, letter, text, value)
