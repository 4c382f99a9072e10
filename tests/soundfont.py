"""Recorded samples out of a SoundFont 2 file: just enough of RIFF to find them by name.

Reference: SoundFont technical specification 2.01, sections 5 to 7 (RIFF form 'sfbk'; 'smpl' holds 16-bit samples, each
46-byte record of 'shdr' holds name, start, end, loop, rate, key and cents).
"""
from __future__ import annotations

import struct
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

GENERAL_MIDI = Path("/usr/share/sounds/sf2/FluidR3_GM.sf2")  # Debian package fluid-soundfont-gm, MIT licence
HEADER = struct.Struct("<20s5IBbHH")


@dataclass(frozen=True)
class Sample:
    name: str
    rate_hz: int
    root_key: int  # MIDI note number as the font states it
    samples: NDArray[np.float32]  # as recorded
    loop: tuple[int, int]  # within `samples`


def chunks(data: memoryview, start: int, end: int) -> dict[str, tuple[int, int]]:
    """Where each chunk's body lies, lists opened; names of lists are their kinds."""
    found: dict[str, tuple[int, int]] = {}
    while start + 8 <= end:
        name = bytes(data[start : start + 4]).decode("latin-1")
        size = int.from_bytes(data[start + 4 : start + 8], "little")
        body = start + 8
        if name in ("RIFF", "LIST"):
            found |= chunks(data, body + 4, body + size)
        else:
            found[name] = (body, body + size)
        start = body + size + size % 2
    return found


def samples_named(*words: str, path: Path = GENERAL_MIDI) -> list[Sample]:
    """Samples whose name holds one of `words`, letter case aside."""
    data = memoryview(np.memmap(path, dtype=np.uint8, mode="r"))
    places = chunks(data, 0, len(data))
    first, last = places["shdr"]
    base = places["smpl"][0]
    found = []
    for at in range(first, last - HEADER.size, HEADER.size):  # the last record only marks the end
        raw, start, end, loop_start, loop_end, rate_hz, key, *_ = HEADER.unpack(data[at : at + HEADER.size])
        name = raw.split(b"\0")[0].decode("latin-1").strip()
        if any(word.lower() in name.lower() for word in words):
            sound = np.frombuffer(data[base + 2 * start : base + 2 * end], dtype="<i2").astype(np.float32) / 32768.0
            found.append(Sample(name, rate_hz, key, sound, (loop_start - start, loop_end - start)))
    return found
