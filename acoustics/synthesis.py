"""Invented blows as samples, for the practice whistle, the sample recordings and tests.

Not evidence: a synthesiser agrees with whatever its author believed about whistles, so it never proves the reader
right by itself. Recorded pipes and general pitch libraries do that (`tests/published`, `tests/bench/reading`).

Conventions
-----------
Samples are mono float32, full scale 1.0. The same recipe, rate and state of `rng` give the same samples.
`frequency_hz` of a recipe is the mean pitch (mean of the logarithm) from the end of the attack to the start of the
release: wander and drift are added with zero mean over that stretch, so it is the truth that a reader should find.

What is built in: one periodic jet, hence exactly harmonic lines, odd ones strong [1]_; growth of a self-limited
oscillator as a logistic curve; breath noise shaped by the bore's resonances, which are *not* harmonic [1]_; slow pitch
wander with a falling spectrum. Figures without a source are marked "invented" where they stand.

References
----------
.. [1] N. H. Fletcher and T. D. Rossing, *The Physics of Musical Instruments*, 2nd ed., Springer 1998, ch. 16-17 (cited
   from memory for the general picture only).
"""
from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from acoustics.errors import require_between

Samples = NDArray[np.float32]
Track = NDArray[np.float64]

MODE_RATIOS: Final = (1.0, 3.04, 5.15)
"""Resonances of a stopped chamber over its first, for a window of about a seventh of the length (solved from
``cot(kL) = k delta``, lossless)."""
HIGHEST_PARTIAL_SHARE: Final = 0.45
"""Partials above this share of the sample rate are left out, so that nothing folds back."""
CONTROL_RATE_HZ: Final = 200
"""Rate at which slow changes are drawn before being interpolated."""


@dataclass(frozen=True)
class BlowRecipe:
    """One blow. Ranges in brackets; all but the spectrum's odd-heavy shape are invented.

    frequency_hz : mean pitch of the steady part [100, 6000]
    duration_s : from the start of the breath to its stop [0.05, 60]
    level_dbfs : root mean square of the tone in its steady part [-90, 0]
    harmonics_db : levels of partials 1, 2, 3... over the first; odd ones stand out in a stopped chamber
    sway_db : standard deviation of each partial's slow change of level [0, 6]
    swell_db : rise of level to the middle of the blow and back [-12, 12]
    breath_db : power of the whole breath noise over that of the tone [-80, 40]
    resonances_hz : where the bore colours the breath; None: `MODE_RATIOS` times the frequency
    quality : Q of those resonances, dimensionless [2, 500]; physics of walls gives about 20-60 in this range of notes
    attack_ms : 10 to 90 % growth of the tone [1, 2000]; 20-100 ms is the common picture, from memory
    chirp_ms : how long the blow starts on the second resonance [0, 1000]
    release_ms : fall by 20 dB after the breath stops [1, 2000]
    wander_cents : standard deviation of the slow pitch wander [0, 100]
    drift_cents_per_s : steady glide through the blow [-200, 200]
    """

    frequency_hz: float
    duration_s: float = 1.2
    level_dbfs: float = -20.0
    harmonics_db: tuple[float, ...] = (0.0, -27.0, -14.0, -36.0, -23.0, -42.0, -31.0)
    sway_db: float = 0.6
    swell_db: float = 0.8
    breath_db: float = -24.0
    resonances_hz: tuple[float, ...] | None = None
    quality: float = 30.0
    attack_ms: float = 50.0
    chirp_ms: float = 0.0
    release_ms: float = 60.0
    wander_cents: float = 1.5
    drift_cents_per_s: float = 0.0

    def __post_init__(self) -> None:
        require_between("frequency in Hz", self.frequency_hz, 100.0, 6000.0)
        require_between("duration in s", self.duration_s, 0.05, 60.0)
        require_between("level in dB of full scale", self.level_dbfs, -90.0, 0.0)
        require_between("breath in dB over the tone", self.breath_db, -80.0, 40.0)
        require_between("Q of the resonances", self.quality, 2.0, 500.0)
        require_between("attack in ms", self.attack_ms, 1.0, 2000.0, "Was it given in seconds?")
        require_between("release in ms", self.release_ms, 1.0, 2000.0, "Was it given in seconds?")
        require_between("pitch wander in cents", self.wander_cents, 0.0, 100.0)

    def steady_s(self) -> tuple[float, float]:
        """Start and end of the steady part, seconds from the start of the breath."""
        begin_s = min((2.0 * self.attack_ms + self.chirp_ms) / 1000.0, 0.5 * self.duration_s)
        return begin_s, self.duration_s


def overblown(recipe: BlowRecipe, ratio: float = MODE_RATIOS[1]) -> BlowRecipe:
    """Return the same chamber blown too hard: it sounds its second resonance, nearly a pure tone.

    Parameters
    ----------
    recipe : the good blow
    ratio : second resonance over the first, dimensionless; above 3 for any real window
    """
    resonances_hz = recipe.resonances_hz or tuple(r * recipe.frequency_hz for r in MODE_RATIOS)
    return replace(
        recipe, frequency_hz=recipe.frequency_hz * ratio, harmonics_db=(0.0, -24.0, -26.0, -40.0),
        level_dbfs=min(0.0, recipe.level_dbfs + 4.0), resonances_hz=resonances_hz,
    )


def breathy(recipe: BlowRecipe, breath_db: float = 3.0) -> BlowRecipe:
    """Return the same blow with most of its power in the breath noise."""
    return replace(recipe, breath_db=breath_db, level_dbfs=recipe.level_dbfs - 6.0, sway_db=1.5)


def render_blow(recipe: BlowRecipe, sample_rate_hz: int, rng: np.random.Generator) -> Samples:
    """Render one blow: tone and breath, from the start of the breath until the sound has died away.

    Parameters
    ----------
    recipe : what is blown
    sample_rate_hz : 8000 to 192000
    rng : the only source of chance

    Returns
    -------
    float32 samples, shape ``(n,)``; not limited to full scale: see `clipped`

    Raises
    ------
    OutOfRangeError
        If the sample rate is out of range.
    """
    require_between("sample rate in Hz", sample_rate_hz, 8000, 192_000)
    n_samples = round((recipe.duration_s + 4.0 * recipe.release_ms / 1000.0) * sample_rate_hz)
    time_s = np.arange(n_samples) / sample_rate_hz
    tone_envelope = _tone_envelope(recipe, time_s)
    gain = 10.0 ** (_swell_db(recipe, time_s) / 20.0)
    tone = _tone(recipe, time_s, sample_rate_hz, rng) * tone_envelope * gain
    noise = _coloured_breath(recipe, n_samples, sample_rate_hz, rng) * _breath_envelope(recipe, time_s) * gain
    return np.asarray(tone + noise, dtype=np.float32)


def several(blows: Sequence[Samples]) -> Samples:
    """Sound several chambers together; the shorter ones end earlier."""
    mixed = np.zeros(max(len(blow) for blow in blows), dtype=np.float32)
    for blow in blows:
        mixed[: len(blow)] += blow
    return mixed


def two_toots(recipe: BlowRecipe, sample_rate_hz: int, rng: np.random.Generator, toot_s: float = 0.15,
              gap_s: float = 0.20) -> Samples:
    """Render the maker's sign for "done": two short toots on the recipe's note, `gap_s` of quiet between them."""
    short = replace(recipe, duration_s=toot_s, attack_ms=min(recipe.attack_ms, 25.0), release_ms=30.0, chirp_ms=0.0)
    first, second = (render_blow(short, sample_rate_hz, rng) for _ in range(2))
    second_starts = round((toot_s + gap_s) * sample_rate_hz)
    sound = np.zeros(second_starts + len(second), dtype=np.float32)
    sound[: len(first)] += first[: len(sound)]
    sound[second_starts:] += second
    return sound


def clipped(samples: Samples, over_db: float = 12.0) -> Samples:
    """Return the samples as a microphone sees them that is overdriven by `over_db` decibels."""
    peak = float(np.max(np.abs(samples)))
    return np.asarray(np.clip(samples * (_amplitude(over_db) / peak), -1.0, 1.0), dtype=np.float32)


def room_noise(n_samples: int, sample_rate_hz: int, level_dbfs: float, rng: np.random.Generator) -> Samples:
    """Quiet workshop air: noise that falls by 3 dB an octave above 50 Hz (invented slope), of the given level."""
    noise = _shaped_noise(_room_shape, n_samples, sample_rate_hz, rng)
    return np.asarray(_amplitude(level_dbfs) * noise, dtype=np.float32)


def _room_shape(frequency_hz: Track) -> Track:
    return np.asarray(np.sqrt(50.0 / np.maximum(frequency_hz, 50.0)) * np.minimum(frequency_hz / 50.0, 1.0))


def hum(n_samples: int, sample_rate_hz: int, level_dbfs: float, rng: np.random.Generator, fundamental_hz: float = 100.0,
        harmonics_db: tuple[float, ...] = (0.0, -6.0, -4.0, -12.0, -14.0, -18.0)) -> Samples:
    """A machine's steady hum: lines without onset or breath, each with its own phase."""
    time_s = np.arange(n_samples) / sample_rate_hz
    wave = np.zeros(n_samples)
    for number, level_db in enumerate(harmonics_db, start=1):
        if number * fundamental_hz < HIGHEST_PARTIAL_SHARE * sample_rate_hz:
            phase = rng.uniform(0.0, 2.0 * math.pi)
            wave += _amplitude(level_db) * np.sin(2.0 * math.pi * number * fundamental_hz * time_s + phase)
    rms = math.sqrt(0.5 * sum(10.0 ** (level_db / 10.0) for level_db in harmonics_db))
    return np.asarray(_amplitude(level_dbfs) / rms * wave, dtype=np.float32)


def preview_tone(frequency_hz: float, duration_s: float, sample_rate_hz: int, level_dbfs: float = -26.0) -> Samples:
    """A note as a stopped chamber would give it, for listening to a chord before building it; no chance in it."""
    recipe = BlowRecipe(frequency_hz, duration_s, level_dbfs, sway_db=0.0, swell_db=0.0, breath_db=-36.0,
                        wander_cents=0.0, attack_ms=60.0, release_ms=120.0)
    return render_blow(recipe, sample_rate_hz, np.random.default_rng(0))


def _amplitude(level_db: float) -> float:
    return float(10.0 ** (level_db / 20.0))


def _tone(recipe: BlowRecipe, time_s: Track, sample_rate_hz: int, rng: np.random.Generator) -> Track:
    """Unit-envelope tone of the recipe's level, with sway, wander, drift and the starting chirp."""
    cents = _pitch_track_cents(recipe, time_s, rng)
    phase = 2.0 * math.pi * np.cumsum(recipe.frequency_hz * 2.0 ** (cents / 1200.0)) / sample_rate_hz
    chirp = _chirp_share(recipe, time_s)
    wave = chirp * np.sin(phase * MODE_RATIOS[1])
    for number, level_db in enumerate(recipe.harmonics_db, start=1):
        start_phase = rng.uniform(0.0, 2.0 * math.pi)
        sway_db = recipe.sway_db * _slow(time_s, rng)
        if number * recipe.frequency_hz < HIGHEST_PARTIAL_SHARE * sample_rate_hz:
            wave += (1.0 - chirp) * 10.0 ** ((level_db + sway_db) / 20.0) * np.sin(number * phase + start_phase)
    rms = math.sqrt(0.5 * sum(10.0 ** (level_db / 10.0) for level_db in recipe.harmonics_db))
    return np.asarray(wave * (_amplitude(recipe.level_dbfs) / rms))


def _pitch_track_cents(recipe: BlowRecipe, time_s: Track, rng: np.random.Generator) -> Track:
    """Wander and drift, of zero mean over the steady part."""
    cents = recipe.wander_cents * _slow(time_s, rng) + recipe.drift_cents_per_s * time_s
    begin_s, end_s = recipe.steady_s()
    steady = (time_s >= begin_s) & (time_s <= end_s)
    return np.asarray(cents - np.mean(cents[steady]))


def _slow(time_s: Track, rng: np.random.Generator) -> Track:
    """Unit-variance slow chance between 0.3 and 10 Hz whose power falls as frequency to the 1.5 (invented)."""
    n_points = math.ceil((float(time_s[-1]) + 4.0) * CONTROL_RATE_HZ)
    track = _shaped_noise(_slow_shape, n_points, CONTROL_RATE_HZ, rng)
    return np.asarray(np.interp(time_s, np.arange(n_points) / CONTROL_RATE_HZ, track))


def _slow_shape(frequency_hz: Track) -> Track:
    inside = (frequency_hz >= 0.3) & (frequency_hz <= 10.0)
    return np.where(inside, np.maximum(frequency_hz, 0.3) ** -0.75, 0.0)


def _shaped_noise(shape_of: Callable[[Track], Track], n_samples: int, sample_rate_hz: float,
                  rng: np.random.Generator) -> Track:
    """Gaussian noise with the given amplitude spectrum and an expected root mean square of 1."""
    n_bins = _quick_length(n_samples)
    shape = shape_of(np.asarray(np.fft.rfftfreq(n_bins, 1.0 / sample_rate_hz), dtype=np.float64))
    spectrum = np.fft.rfft(rng.standard_normal(n_bins)) * shape
    return np.asarray(np.fft.irfft(spectrum / np.sqrt(np.mean(shape**2)), n_bins)[:n_samples])


def _quick_length(n_samples: int) -> int:
    """The next length with small factors: a transform of a large prime's length takes several times as long."""
    step = max(16, 1 << max(0, n_samples.bit_length() - 4))
    return -(-max(n_samples, 1) // step) * step


def _coloured_breath(recipe: BlowRecipe, n_samples: int, sample_rate_hz: int, rng: np.random.Generator) -> Track:
    """Breath noise: a broad hiss falling above 4 kHz with the bore's resonances standing out of it (invented)."""
    resonances_hz = recipe.resonances_hz or tuple(ratio * recipe.frequency_hz for ratio in MODE_RATIOS)

    def shape_of(frequency_hz: Track) -> Track:
        shape = 0.25 * np.minimum(frequency_hz / 300.0, 1.0) / np.sqrt(1.0 + (frequency_hz / 4000.0) ** 2)
        for order, resonance_hz in enumerate(resonances_hz):
            detune = recipe.quality * (frequency_hz / resonance_hz - resonance_hz / np.maximum(frequency_hz, 1.0))
            shape = shape + 0.7**order / np.sqrt(1.0 + detune**2)
        return np.asarray(shape)

    breath = _shaped_noise(shape_of, n_samples, sample_rate_hz, rng)
    return np.asarray(_amplitude(recipe.level_dbfs + recipe.breath_db) * breath)


def _tone_envelope(recipe: BlowRecipe, time_s: Track) -> Track:
    """Logistic growth (10 to 90 % in `attack_ms`), then a fall of 20 dB in `release_ms`."""
    rate_s = recipe.attack_ms / 1000.0 / (2.0 * math.log(9.0))
    growth = 1.0 / (1.0 + np.exp(-np.clip((time_s - recipe.attack_ms / 1000.0) / rate_s, -60.0, 60.0)))
    return np.asarray(growth * _fall(recipe, time_s))


def _breath_envelope(recipe: BlowRecipe, time_s: Track) -> Track:
    """The hiss comes before the tone and stops with the breath."""
    rise_s = 0.3 * recipe.attack_ms / 1000.0
    return np.asarray((1.0 - np.exp(-time_s / rise_s)) * _fall(recipe, time_s))


def _fall(recipe: BlowRecipe, time_s: Track) -> Track:
    past_s = np.maximum(time_s - recipe.duration_s, 0.0)
    return np.asarray(10.0 ** (-past_s / (recipe.release_ms / 1000.0)))


def _swell_db(recipe: BlowRecipe, time_s: Track) -> Track:
    """A half sine over the blow, shifted so that the steady part keeps its mean level."""
    share = np.clip(time_s / recipe.duration_s, 0.0, 1.0)
    return np.asarray(recipe.swell_db * (np.sin(math.pi * share) - 2.0 / math.pi))


def _chirp_share(recipe: BlowRecipe, time_s: Track) -> Track:
    """Share of the tone that is on the second resonance: 1, falling to 0 in 15 ms around `chirp_ms`."""
    if recipe.chirp_ms <= 0.0:
        return np.zeros_like(time_s)
    late_s = time_s - (recipe.chirp_ms + recipe.attack_ms) / 1000.0
    return np.asarray(1.0 / (1.0 + np.exp(np.clip(late_s / 0.004, -60.0, 60.0))))
