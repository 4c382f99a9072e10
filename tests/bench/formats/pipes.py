"""Recorded pipes, plain and spoilt: how many are read, how far from the plain reading, from Praat and least squares.

Sound: samples of two sound fonts of Debian, fluid-soundfont-gm (MIT licence) and timgm6mb-soundfont (GPL-2), that are
long enough to be recordings and not one looped wave. Every note is one take: these fonts have no layers of loudness.
"""
from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import replace

import numpy as np

from acoustics.blow import Blow
from tests.bench.formats import phone
from tests.bench.formats.changes import Codec, mp3, opus, resampled
from tests.bench.formats.compared import changed, sizes
from tests.bench.formats.played import FONTS
from tests.bench.reading.invented import Recording, Rng, coloured
from tests.bench.reading.run import listen
from tests.published.test_recorded_pipes import least_squares_hz, middle, praat_hz
from tests.soundfont import Sample, samples_named

TRADE_HZ = (350.0, 1300.0)
SHORTEST_S = 0.4
# "picc" for piccolo, "ocar" for ocarina: as the fonts write them. No reed, no synthetic whistle.
KINDS = {
    "flute": ("flute", "picc"), "pan flute": ("pan flute",), "recorder": ("recorder",), "bottle": ("bottle",),
    "ocarina": ("ocar",), "steam organ": ("calliope",),
}
STOPPED = ("pan flute", "bottle")  # closed at one end as a chamber is; played at other speeds too, which is exact
SPEEDS = (0.8, 0.9, 1.0, 1.12, 1.25)
QUIET_DBFS, LEAD_S = -75.0, 1.0
Spoil = Callable[[Recording, Rng], Recording]


def sources() -> Iterator[tuple[str, Sample, float]]:
    """Kind, sample, Praat's pitch of its middle: one channel of each note in the trade's range."""
    for package in ("fluid-soundfont-gm", "timgm6mb-soundfont"):
        path = FONTS[package]
        for kind, words in KINDS.items() if path.exists() else ():
            for sample in samples_named(*words, path=path):
                twice = "(R)" in sample.name or kind == "flute" and "pan" in sample.name.lower()
                if not twice and len(sample.samples) > SHORTEST_S * sample.rate_hz:
                    yield from at_speeds(kind, sample)


def at_speeds(kind: str, sample: Sample) -> Iterator[tuple[str, Sample, float]]:
    """The sample as it is, a stopped pipe's faster and slower too, where the note falls in the trade's range."""
    hz = praat_hz(middle(sample), sample.rate_hz)
    for speed in SPEEDS if kind in STOPPED else (1.0,):
        if TRADE_HZ[0] <= hz * speed <= TRADE_HZ[1]:
            yield kind, replace(sample, rate_hz=round(sample.rate_hz * speed)), hz * speed


def in_quiet(kind: str, sample: Sample, hz: float, rng: Rng) -> Recording:
    """As a microphone would give it: a second of quiet room before and behind; `true_hz` by least squares."""
    lead, n = round(LEAD_S * sample.rate_hz), len(sample.samples)
    room = coloured(rng, n + 2 * lead, 0.5) * 10 ** (QUIET_DBFS / 20.0)
    room[lead : lead + n] += sample.samples
    fitted_hz = least_squares_hz(middle(sample), sample.rate_hz, hz)
    samples, end_s = room.astype(np.float32), LEAD_S + n / sample.rate_hz
    return Recording(kind, samples, sample.rate_hz, LEAD_S, end_s, fitted_hz, None, 0.0)


def with_noise(noise_db: float, slope: float) -> Spoil:
    """Under noise so far below the pipe's own mean power."""

    def spoil(made: Recording, rng: Rng) -> Recording:
        first, last = (round(s * made.rate_hz) for s in (made.start_s, made.end_s))
        power = float(np.mean(made.samples[first:last].astype(np.float64) ** 2))
        noise = coloured(rng, len(made.samples), slope) * np.sqrt(power) * 10 ** (-noise_db / 20.0)
        return replace(made, samples=(made.samples + noise).astype(np.float32))

    return spoil


def all_spoils() -> dict[str, Spoil]:
    """Everything that is done to the pipes."""
    codecs = {"MP3, 128 kbit/s": mp3(2 / 3), "Opus, voice, 24 kbit/s": opus(16_000, 0.93),
              "GSM 06.10": Codec("WAV", "GSM610", 8_000)}
    return {
        "plain": lambda made, rng: made,
        "white noise at 20 dB": with_noise(20.0, 0.0),
        "white noise at 10 dB": with_noise(10.0, 0.0),
        "shop noise at 20 dB": with_noise(20.0, 1.0),
        "shop noise at 10 dB": with_noise(10.0, 1.0),
        **{name: lambda made, rng, codec=codec: changed(made, codec) for name, codec in codecs.items()},
        "at 8000 Hz": lambda made, rng: changed(made, lambda samples, hz: resampled(samples, hz, 8_000)),
        "gain riding": lambda made, rng: changed(made, phone.gain_riding),
        "gate": lambda made, rng: changed(made, phone.gated),
    }


def cents(a_hz: float | None, b_hz: float | None) -> float | None:
    return None if a_hz is None or b_hz is None else 1200.0 * float(np.log2(a_hz / b_hz))


def praat_of(made: Recording) -> float | None:
    """Praat told where the pipe's middle is, in the very sound that the reader had to find it in."""
    n = made.end_s - made.start_s
    first, last = (round((made.start_s + share * n) * made.rate_hz) for share in (0.3, 0.9))
    hz = praat_hz(made.samples[first:last].astype(np.float64), made.rate_hz)
    return hz if np.isfinite(hz) else None


def frequency_of(blow: Blow | None) -> float | None:
    return None if blow is None else blow.frequency_hz


def print_pipes(seed: int) -> None:
    """One row for each thing done; cents from the plain reading, and from least squares of the plain middle."""
    rng = np.random.default_rng([seed, 3])
    made = [in_quiet(kind, sample, hz, rng) for kind, sample, hz in sources()]
    kinds = Counter(one.kind for one in made)
    print(f"\n== recorded pipes: {len(made)}; " + ", ".join(f"{kind} {n}" for kind, n in kinds.items()))
    if not made:
        return print("  left out: neither fluid-soundfont-gm nor timgm6mb-soundfont is installed")
    plain = [listen(one).best() for one in made]
    print(f"  {'':24s} from the plain reading {'':20s} | from least squares {'':24s} | Praat from least squares")
    for name, spoil in all_spoils().items():
        spoilt = [spoil(one, rng) for one in made]
        blows = [listen(one).best() for one in spoilt]
        moved = [cents(frequency_of(b), frequency_of(p)) for b, p in zip(blows, plain, strict=True)]
        apart = [cents(frequency_of(b), one.true_hz) for b, one in zip(blows, made, strict=True)]
        peer = [cents(praat_of(one), one.true_hz) for one in spoilt]
        print(f"  {name:24s} {sizes(moved)} | {sizes(apart)} | {sizes(peer)}")
        print_unread([(one, blow) for one, blow in zip(made, blows, strict=True) if not (blow and blow.usable)])


def print_unread(unread: list[tuple[Recording, Blow | None]]) -> None:
    """Which kinds were not read, the stopped pipes first, and what was said of them."""
    words = Counter(f"{one.kind} {blow.verdict.value if blow else 'none'}" for one, blow in unread)
    stopped = sum(one.kind in STOPPED for one, _ in unread)
    print(f"    not read: {stopped} stopped; " + ", ".join(f"{word} {n}" for word, n in words.most_common()))
