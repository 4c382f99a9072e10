"""What a phone does to sound before it is a file: its band, gain riding, limiter, gate, noise suppressor."""
from __future__ import annotations

import ctypes
import ctypes.util
from functools import cache

import numpy as np
from numpy.typing import NDArray

Sound = NDArray[np.float64]

BAND_HZ = (300.0, 7000.0)
TARGET_DBFS, MOST_GAIN_DB = -18.0, 30.0
ATTACK_S, RELEASE_S = 0.01, 0.3  # gain riding: down fast, up slowly
LIMIT_DBFS, LIMIT_RELEASE_S = -6.0, 0.08
GATE_OVER_DB, GATE_DOWN_DB, GATE_HOLD_S = 8.0, -40.0, 0.15  # over the quietest tenth of the last 2 s
STEP_S = 0.001
# speex_preprocess.h, SpeexDSP 1.2
SET_DENOISE, SET_AGC, SET_NOISE_SUPPRESS = 0, 2, 18
SUPPRESSOR_RATE_HZ, SUPPRESSOR_FRAME, SUPPRESS_DB = 16_000, 320, -25


def band(samples: Sound, rate_hz: int) -> tuple[Sound, int]:
    """From 300 to 7000 Hz, or to where the rate ends: Butterworth, fourth order on each side."""
    from scipy.signal import butter, sosfilt

    top_hz = min(BAND_HZ[1], 0.45 * rate_hz)
    sections = butter(4, (BAND_HZ[0], top_hz), "bandpass", fs=rate_hz, output="sos")
    return np.asarray(sosfilt(sections, samples)), rate_hz


def _levels(samples: Sound, rate_hz: int) -> Sound:
    """Mean square by millisecond."""
    step = round(STEP_S * rate_hz)
    whole = np.pad(samples, (0, -len(samples) % step))
    return np.asarray(np.mean(whole.reshape(-1, step) ** 2, axis=1))


def _followed(wanted: Sound, fall_s: float, rise_s: float) -> Sound:
    """One value by millisecond that goes after `wanted`, with its own speed down and up."""
    down, up = (1.0 - np.exp(-STEP_S / s) for s in (fall_s, rise_s))
    now, found = float(wanted[0]), np.empty_like(wanted)
    for i, goal in enumerate(wanted):
        now += (down if goal < now else up) * (goal - now)
        found[i] = now
    return found


def _turned(samples: Sound, rate_hz: int, gain_db: Sound) -> Sound:
    """With the gain of each millisecond, no step between them."""
    at = np.arange(len(samples)) / (STEP_S * rate_hz)
    return samples * 10 ** (np.interp(at, np.arange(len(gain_db)) + 0.5, gain_db) / 20.0)


def gain_riding(samples: Sound, rate_hz: int) -> tuple[Sound, int]:
    """Automatic gain: quiet is turned up by up to 30 dB, a blow is turned down as it comes."""
    level_db = 10.0 * np.log10(np.convolve(_levels(samples, rate_hz), np.ones(20) / 20.0, mode="same") + 1e-12)
    wanted = np.clip(TARGET_DBFS - level_db, -MOST_GAIN_DB, MOST_GAIN_DB)
    return _turned(samples, rate_hz, _followed(wanted, ATTACK_S, RELEASE_S)), rate_hz


def limited(samples: Sound, rate_hz: int) -> tuple[Sound, int]:
    """A limiter at -6 dBFS, one millisecond's attack; what still goes over is cut at full scale."""
    step = round(STEP_S * rate_hz)
    peak = np.max(np.abs(np.pad(samples, (0, -len(samples) % step)).reshape(-1, step)), axis=1)
    wanted = np.minimum(0.0, LIMIT_DBFS - 20.0 * np.log10(peak + 1e-9))
    return np.clip(_turned(samples, rate_hz, _followed(wanted, STEP_S, LIMIT_RELEASE_S)), -1.0, 1.0), rate_hz


def gated(samples: Sound, rate_hz: int) -> tuple[Sound, int]:
    """Shut, 40 dB down, unless the last 150 ms stood 8 dB over the quietest tenth of the last two seconds."""
    from scipy.ndimage import maximum_filter1d, percentile_filter

    smooth_db = 10.0 * np.log10(np.convolve(_levels(samples, rate_hz), np.ones(20) / 20.0, mode="same") + 1e-12)
    n, hold = 2000, round(GATE_HOLD_S / STEP_S)
    quiet = percentile_filter(smooth_db, 10, size=n, origin=n // 2 - 1, mode="nearest")
    open_ = maximum_filter1d((smooth_db > quiet + GATE_OVER_DB).astype(float), hold, origin=hold // 2 - 1)
    wanted = np.where(open_ > 0.0, 0.0, GATE_DOWN_DB)
    return _turned(samples, rate_hz, _followed(wanted, 0.05, 0.003)), rate_hz


@cache
def speex() -> ctypes.CDLL | None:
    """The library, None where it is not installed (Debian's libspeexdsp1, which PulseAudio brings along)."""
    name = ctypes.util.find_library("speexdsp")
    if name is None:
        return None
    library = ctypes.CDLL(name)
    library.speex_preprocess_state_init.restype = ctypes.c_void_p
    library.speex_preprocess_ctl.argtypes = [ctypes.c_void_p, ctypes.c_int, ctypes.c_void_p]
    library.speex_preprocess_run.argtypes = [ctypes.c_void_p, ctypes.c_void_p]
    library.speex_preprocess_state_destroy.argtypes = [ctypes.c_void_p]
    return library


def suppressed(samples: Sound, rate_hz: int) -> tuple[Sound, int]:
    """SpeexDSP's noise suppressor (25 dB) and gain control at 16 kHz, as voice programs use it."""
    import soxr

    library = speex()
    if library is None:
        raise LookupError("libspeexdsp1 is not installed")
    plain = np.asarray(soxr.resample(samples, rate_hz, SUPPRESSOR_RATE_HZ, quality="VHQ"))
    frames = np.round(np.clip(np.pad(plain, (0, -len(plain) % SUPPRESSOR_FRAME)), -1.0, 1.0) * 32767).astype(np.int16)
    state = library.speex_preprocess_state_init(SUPPRESSOR_FRAME, SUPPRESSOR_RATE_HZ)
    for request, value in ((SET_DENOISE, 1), (SET_AGC, 1), (SET_NOISE_SUPPRESS, SUPPRESS_DB)):
        library.speex_preprocess_ctl(state, request, ctypes.byref(ctypes.c_int(value)))
    for at in range(0, len(frames), SUPPRESSOR_FRAME):
        library.speex_preprocess_run(state, frames[at:].ctypes.data)
    library.speex_preprocess_state_destroy(state)
    return frames[: len(plain)] / 32768.0, SUPPRESSOR_RATE_HZ
