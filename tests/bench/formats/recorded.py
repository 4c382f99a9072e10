"""Recorded speech, music and machines out of Debian packages, where they are installed. None of them is a whistle.

asterisk-core-sounds-en-wav (CC-BY-SA-3.0): spoken sentences, 8 kHz. asterisk-moh-opsound-wav (CC-BY-SA-3.0): music as
a telephone plays it, 8 kHz. klettres-data (GPL-2+): letters and syllables spoken by people of many languages, 44.1 kHz.
alsa-utils (GPL-2): two words for each loudspeaker. sound-theme-freedesktop (CC-BY-SA-3.0 and others): signals of a
desktop. openttd-opensfx (CC-BY-SA-3.0): engines, saws, wind, animals, horns; the horns and whistles are blown, apart.
"""
from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.bench.reading.invented import Recording, Rng, coloured

SHARE = Path("/usr/share")
FILES = {
    "sentences": ("asterisk-core-sounds-en-wav", "asterisk/sounds", "*.wav"),
    "syllables": ("klettres-data", "klettres", "*.og[ga]"),
    "speaker words": ("alsa-utils", "sounds/alsa", "*_*.wav"),
    "music": ("asterisk-moh-opsound-wav", "asterisk/moh", "*.wav"),
    "desktop signals": ("sound-theme-freedesktop", "sounds/freedesktop", "*.oga"),
}
EFFECTS_PACKAGE, EFFECTS = "openttd-opensfx", SHARE / "games/openttd/baseset/opensfx/opensfx.cat"
BLOWN_WORDS = ("whistle", "horn", "steam train")
PAUSE_S, RECORDING_S, SHORTEST_S = (0.3, 0.9), 60.0, 0.1

Piece = tuple[NDArray[np.float64], int]


def pieces_of(folder: str, pattern: str) -> Iterator[Piece]:
    """Every file under a folder, its loudest channel, at a rate the reader takes."""
    import soundfile

    for path in sorted((SHARE / folder).rglob(pattern)):
        samples, rate_hz = soundfile.read(path, always_2d=True)
        if len(samples) > SHORTEST_S * rate_hz:
            yield samples[:, int(np.argmax(np.mean(samples**2, axis=0)))], rate_hz


def effects() -> Iterator[tuple[str, Piece]]:
    """WAV files one after the other in one file, each followed by its name and a line about it."""
    import soundfile

    data, at = EFFECTS.read_bytes(), 0
    while (at := data.find(b"RIFF", at)) >= 0:
        end = at + 8 + int.from_bytes(data[at + 4 : at + 8], "little")
        samples, rate_hz = soundfile.read(io.BytesIO(data[at:end]))
        about = data[end + 2 : end + 80].decode("latin-1").lower()
        kind = "horns, whistles" if any(word in about.split(" by ")[0] for word in BLOWN_WORDS) else "machines, nature"
        if len(samples) > SHORTEST_S * rate_hz:
            yield kind, (samples, rate_hz)
        at = end


def strung(kind: str, pieces: list[Piece], rng: Rng) -> Iterator[Recording]:
    """Pieces of one rate on end, with a pause after each, in a quiet room: recordings of a minute and more."""
    for rate_hz in sorted({rate for _, rate in pieces}):
        row: list[NDArray[np.float64]] = [np.zeros(rate_hz)]
        for samples in (one for one, rate in pieces if rate == rate_hz):
            loud = samples * 10 ** (rng.uniform(-12, -3) / 20.0) / max(float(np.max(np.abs(samples))), 1e-4)
            row += [loud, np.zeros(round(float(rng.uniform(*PAUSE_S)) * rate_hz))]
            if sum(map(len, row)) > RECORDING_S * rate_hz:
                yield in_a_room(kind, row, rate_hz, rng)
                row = [np.zeros(rate_hz)]
        if len(row) > 1:
            yield in_a_room(kind, row, rate_hz, rng)


def in_a_room(kind: str, row: list[NDArray[np.float64]], rate_hz: int, rng: Rng) -> Recording:
    """Noise of -75 to -50 dBFS under it all."""
    whole = np.concatenate(row)
    whole += coloured(rng, len(whole), 0.5) * 10 ** (rng.uniform(-75, -50) / 20.0)
    return Recording(kind, whole.astype(np.float32), rate_hz, 0.0, 0.0, None, None, 0.0)


def recordings(rng: Rng, share: float = 1.0) -> Iterator[Recording]:
    """Everything that is installed, or an even share of each kind."""
    step = max(1, round(1.0 / share))
    for kind, (_, folder, pattern) in FILES.items():
        yield from strung(kind, list(pieces_of(folder, pattern))[::step], rng)
    if EFFECTS.exists():
        found = list(effects())
        for kind in sorted({kind for kind, _ in found}):
            yield from strung(kind, [piece for one, piece in found if one == kind], rng)


def missing_packages() -> list[str]:
    """Debian packages that would bring more."""
    absent = [package for package, folder, _ in FILES.values() if not (SHARE / folder).exists()]
    return absent + ([] if EFFECTS.exists() else [EFFECTS_PACKAGE])
