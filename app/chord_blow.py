"""One blow of the whole whistle, read: the same for live sound, files and practice."""
from __future__ import annotations

from acoustics.blow import BlowEnded, Verdict
from acoustics.chord import ChordReading, read_chord
from acoustics.errors import NoSolutionError, OutOfRangeError
from app.events import Expecting

# In these no chamber is looked for: what is no blow, is over too soon, or was cut flat by the microphone.
UNREAD = (Verdict.HUM, Verdict.NOT_A_WHISTLE, Verdict.TOO_SHORT, Verdict.CLIPPED)


def read_whole(ended: BlowEnded, sample_rate_hz: int, expecting: Expecting | None) -> ChordReading | None:
    """Every chamber, where all were asked for when the blow began; None where they were not or cannot be read."""
    if expecting is None or not expecting.voices or ended.blow.verdict in UNREAD:
        return None
    try:
        return read_chord(ended.samples, sample_rate_hz, expecting.voices)
    except (NoSolutionError, OutOfRangeError):
        return None
