"""What sound goes through on its way to a file: other rates, codecs, coarse steps, clipping, what phones do.

A change takes samples and their rate and gives both back. Codecs are libsndfile's (LAME, Vorbis, Opus, GSM 06.10,
G.711), resampling is libsoxr's, noise suppression and gain control are SpeexDSP's: none of it is this project's.
"""
from __future__ import annotations

import io
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import numpy as np
from numpy.typing import NDArray

from tests.bench.formats import phone

Sound = NDArray[np.float64]
Change = Callable[[Sound, int], tuple[Sound, int]]


def resampled(samples: Sound, rate_hz: int, to_hz: int) -> tuple[Sound, int]:
    """At another rate, by libsoxr at its best."""
    import soxr

    return np.asarray(soxr.resample(samples, rate_hz, to_hz, quality="VHQ")), to_hz


def in_steps(samples: Sound, rate_hz: int, bits: int) -> tuple[Sound, int]:
    """Rounded to so many bits of full scale, without dither."""
    step = 2.0 ** (1 - bits)
    return np.round(samples / step) * step, rate_hz


def cut_flat(samples: Sound, rate_hz: int, by_db: float) -> tuple[Sound, int]:
    """Turned up until the peaks lie so far over full scale, and clipped there."""
    return np.clip(samples / np.max(np.abs(samples)) * 10 ** (by_db / 20.0), -1.0, 1.0), rate_hz


@dataclass
class Codec:
    """Written to a file and read back; what the files weighed is kept, for the table tells it."""

    file_format: str
    subtype: str
    rate_hz: int
    settings: dict[str, float | str] = field(default_factory=dict)
    n_bytes: int = 0
    seconds: float = 0.0

    def __call__(self, samples: Sound, rate_hz: int) -> tuple[Sound, int]:
        """At the codec's own rate, coded and decoded."""
        import soundfile

        plain, _ = resampled(samples, rate_hz, self.rate_hz) if rate_hz != self.rate_hz else (samples, rate_hz)
        file = io.BytesIO()
        chosen = {"format": self.file_format, "subtype": self.subtype, **self.settings}
        soundfile.write(file, np.clip(plain, -1.0, 1.0), self.rate_hz, **chosen)
        self.n_bytes += len(file.getvalue())
        self.seconds += len(plain) / self.rate_hz
        file.seek(0)
        return soundfile.read(file)

    @property
    def kbit_per_s(self) -> float:
        """What the files written so far came to, their headers included."""
        return 8.0 * self.n_bytes / max(self.seconds, 1e-9) / 1000.0


def one_after_another(*changes: Change) -> Change:
    """Several changes as one."""

    def through(samples: Sound, rate_hz: int) -> tuple[Sound, int]:
        for change in changes:
            samples, rate_hz = change(samples, rate_hz)
        return samples, rate_hz

    return through


def mp3(share: float) -> Codec:
    """MP3 at a constant rate; `share` is libsndfile's scale from 320 kbit/s (0) to 32 (1)."""
    return Codec("MP3", "MPEG_LAYER_III", 44_100, {"compression_level": share, "bitrate_mode": "CONSTANT"})


def opus(rate_hz: int, share: float) -> Codec:
    """Opus; `share` is libsndfile's scale from 256 kbit/s (0) to 6 (1)."""
    return Codec("OGG", "OPUS", rate_hz, {"compression_level": share})


def all_changes() -> dict[str, Change]:
    """Every change by the name that the table shows."""
    rates: dict[str, Change] = {f"at {hz} Hz": partial(resampled, to_hz=hz) for hz in (44_100, 16_000, 8_000)}
    return rates | {
        "MP3": mp3(2 / 3),
        "MP3, small": mp3(0.9),
        "Vorbis": Codec("OGG", "VORBIS", 48_000),
        "Opus": opus(48_000, 0.77),
        "16 bits": partial(in_steps, bits=16),
        "8 bits": partial(in_steps, bits=8),
        "clipped by 3 dB": partial(cut_flat, by_db=3.0),
        "clipped by 6 dB": partial(cut_flat, by_db=6.0),
        "300 to 7000 Hz": phone.band,
        "gain riding": phone.gain_riding,
        "limiter": phone.limited,
        "gate": phone.gated,
        "suppressor": phone.suppressed,
        "Opus, voice": opus(16_000, 0.93),
        "G.711": Codec("WAV", "ULAW", 8_000),
        "GSM 06.10": Codec("WAV", "GSM610", 8_000),
        "a phone's recorder": one_after_another(phone.band, phone.gain_riding, phone.limited, opus(48_000, 0.77)),
        "a phone's call": one_after_another(phone.band, phone.suppressed, phone.limited, opus(16_000, 0.93)),
    }
