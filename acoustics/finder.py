"""Finds blows in a stream: waits on a learned floor, opens on a tone, glimpses, closes, and knows the two toots."""
from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from acoustics.early import EarlyTone
from acoustics.glimpse import glimpse
from acoustics.heard import Blow, BlowBegan, BlowEnded, Context, Found, Glimpse, Samples, Verdict
from acoustics.lately import Lately
from acoustics.onset import Ear, Hop
from acoustics.reading import read, require_rate
from acoustics.segment import END_BELOW
from acoustics.spectrum import FRAME_HOPS, HOP_S, hop_length
from acoustics.tape import Tape
from acoustics.toots import Toots

OPEN_HOPS, OPEN_OF = 3, 4  # tonal hops of the latest that open a blow
BEGAN_HOPS = 6  # tonal hops before it is told: a blip stays untold
END_HOPS = 5  # hops down before a blow has ended; a dropout of 60 ms does not split one
REFERENCE_FADE = 0.985  # of the level a blow must fall from, by hop
LEAD_S = 0.5  # kept before the onset
SPARE_S = 0.1  # an onset is dated back a little
RING_S = 0.015  # after an end, that belongs to no other blow
ONSET_IN_FRAME_S = 0.028  # a sharp onset is first noticed when this deep in the frame
FIRST_GLIMPSE_S, NEXT_GLIMPSE_S = 0.12, 0.05
GLIMPSE_SPAN_S = (0.07, 0.16)
DOUBT_EVERY_S = 3.0  # a tone this long is asked whether it is a blow at all
LONGEST_BLOW_S = 12.0
STRANGE_HOPS = 30  # on end, of a line over the floor that is no tone, until it is learned as floor
LONGEST_RING_HOPS = 150
RISES_FROM_RING = 4.0  # power ratio by which a new blow rises out of the last one's dying away
REST_HOPS = 8  # after an end, while the room rings, nothing is learned


class BlowFinder:
    """Finds blows in a stream of any block size: the same blows for any block size, live or from a file.

    Pure: it has no clock and no device. `range_hz` may be changed between blows with `expect`; a blow is read with
    the range that held at its onset. Every `BlowBegan` is followed by a `BlowEnded` or, for the second of two toots,
    by `TwoToots`.
    """

    def __init__(self, sample_rate_hz: int, range_hz: tuple[float, float] | None = None) -> None:
        require_rate(sample_rate_hz)
        self._rate_hz = sample_rate_hz
        self._range_hz = range_hz
        self._hop = hop_length(sample_rate_hz)
        self._ear = Ear(sample_rate_hz)
        self._tape = Tape()
        self._toots = Toots()
        self._lately = Lately()
        self._next = 0  # place of the next frame's first sample
        self._free_from = 0  # nothing before this belongs to the next blow
        self._tonal: list[bool] = []
        self._rest_hops = 0
        self._strange_hops = 0
        self._ringing: float | None = None
        self._ring_hops = 0
        self._level = 0.0
        self._open: _OpenBlow | None = None
        self._early: EarlyTone | None = self._ear.early_tone(round(LONGEST_BLOW_S / HOP_S))

    def expect(self, range_hz: tuple[float, float] | None) -> None:
        """From the next onset on, blows are read with this range."""
        self._range_hz = range_hz

    def feed(self, samples: Samples) -> list[Found]:
        """Take the next mono samples, full scale 1.0; return what they completed, in order of time."""
        self._tape.append(samples if np.isfinite(np.sum(samples)) else np.nan_to_num(samples))
        found: list[Found] = []
        while self._next + FRAME_HOPS * self._hop <= self._tape.end:
            found += self._step()
            self._next += self._hop
        if self._open is None and self._early is None:
            self._tape.forget_before(self._next - round((LEAD_S + SPARE_S) * self._rate_hz))
        return found

    def finish(self) -> list[Found]:
        """The sound has ended: close a blow that is still open."""
        found = self._close(self._tape.end) if self._open is not None else self._close_early(self._tape.end)
        return found + list(self._toots.flush())

    @property
    def level_dbfs(self) -> float:
        """Level of the latest hop, for the level words on the screen."""
        return _dbfs(self._level)

    @property
    def floor_dbfs(self) -> float | None:
        """Level of the learned noise floor; None until about 0.5 s has been heard."""
        floor = self._ear.floor
        if floor is None or self._ear.learned_s < 0.45:
            return None
        return _dbfs(float(np.sum(floor)) * self._ear.bin_hz)

    def _step(self) -> list[Found]:
        """One hop: the frame that starts at `_next`."""
        end = self._next + FRAME_HOPS * self._hop
        frame = self._tape.between(self._next, end)
        latest = frame[-self._hop :]
        self._level = float(np.dot(latest, latest)) / self._hop
        power = self._ear.power(frame)
        hop = self._ear.hear(power)
        if self._open is not None:
            return self._go_on(self._open, hop, power, end)
        return self._wait(hop, power, end)

    def _wait(self, hop: Hop, power: NDArray[np.float64], end: int) -> list[Found]:
        self._ring(hop)
        self._tonal = [*self._tonal[1 - OPEN_OF :], hop.tonal and self._ringing is None]
        if sum(self._tonal) >= OPEN_HOPS:
            first = self._next - self._hop * (len(self._tonal) - 1 - self._tonal.index(True))
            onset = max(self._free_from, first + round(ONSET_IN_FRAME_S * self._rate_hz))
            self._open = _OpenBlow(onset, self._range_hz, self._ear.floor, hop.line_power)
            self._tonal, self._early = [], None
            return []
        if self._early is not None and self._early.follow(power):
            self._ear.take_as_floor(power)
            return self._close_early(end)
        if self._early is not None and self._early.dismissed:
            self._early = None
        self._rest_hops = max(0, self._rest_hops - 1)
        self._strange_hops = self._strange_hops + 1 if hop.line_power > 0.0 else 0
        resting = self._rest_hops > 0 or self._ringing is not None
        strange = self._ear.settled and 0 < self._strange_hops <= STRANGE_HOPS
        if not (hop.tonal or strange or resting):
            self._ear.learn(power)
        return list(self._toots.quiet(end / self._rate_hz, hop.breathy and not resting))

    def _ring(self, hop: Hop) -> None:
        """A blow's own dying away is no new blow: until quiet, or until something rises out of it."""
        if self._ringing is None:
            return
        self._ring_hops += 1
        rises = hop.line_power > RISES_FROM_RING * self._ringing
        over = rises or hop.line_power == 0.0 or self._ring_hops > LONGEST_RING_HOPS
        self._ringing = None if over else min(self._ringing, hop.line_power)

    def _go_on(self, blow: _OpenBlow, hop: Hop, power: NDArray[np.float64], end: int) -> list[Found]:
        blow.follow(hop, power)
        age_s = (end - blow.onset) / self._rate_hz
        found: list[Found] = []
        onset_s = blow.onset / self._rate_hz
        if not blow.told and blow.tonal_hops >= BEGAN_HOPS and not self._toots.undecided(onset_s, age_s):
            blow.told = True
            found += [*self._toots.flush(), BlowBegan(onset_s)]
        if blow.down_hops >= END_HOPS:
            return found + self._close(end)
        if age_s >= blow.doubt_at_s:
            return found + self._doubt(blow, end, age_s)
        if blow.told and age_s >= blow.glimpse_at_s and blow.down_hops == 0:
            blow.glimpse_at_s = age_s + NEXT_GLIMPSE_S
            found.append(self._glimpse(blow, end))
        return found

    def _glimpse(self, blow: _OpenBlow, end: int) -> Glimpse:
        age_s = (end - blow.onset) / self._rate_hz
        span_s = min(max(age_s - 0.06, GLIMPSE_SPAN_S[0]), GLIMPSE_SPAN_S[1])
        samples = self._tape.between(end - round(span_s * self._rate_hz), end)
        return glimpse(samples, self._rate_hz, blow.floor, blow.range_hz, end / self._rate_hz)

    def _read(self, blow: _OpenBlow, end: int) -> BlowEnded:
        start = max(self._tape.start, self._free_from, blow.onset - round(LEAD_S * self._rate_hz))
        samples = self._tape.between(start, end).copy()
        heard = read(samples, Context(self._rate_hz, blow.range_hz, blow.floor))
        start_s = start / self._rate_hz
        return BlowEnded(_moved(heard, start_s), samples, start_s)

    def _close(self, end: int) -> list[Found]:
        blow, self._open = self._open, None
        self._rest_hops = REST_HOPS
        self._ringing, self._ring_hops = np.inf, 0
        if blow is None or not blow.told and blow.tonal_hops < BEGAN_HOPS:
            return []
        ended = self._read(blow, end)
        if self._lately.again(ended.blow) and ended.blow.usable:
            ended = replace(ended, blow=_as_hum(ended.blow))
        self._free_from = min(end, round((ended.blow.end_s + RING_S) * self._rate_hz))
        return list(self._toots.take(ended, blow.told))

    def _close_early(self, end: int) -> list[Found]:
        """What sounded from the very start has stopped: a blow after all, or a machine, of which nothing is said."""
        early, self._early = self._early, None
        if early is None or not early.sounds:
            return []
        ended = self._read(_OpenBlow(0, self._range_hz, None, 0.0), end)
        if ended.blow.verdict in (Verdict.HUM, Verdict.NOT_A_WHISTLE):
            return []
        self._free_from = end
        return [BlowBegan(ended.blow.start_s), ended]

    def _doubt(self, blow: _OpenBlow, end: int, age_s: float) -> list[Found]:
        """A tone that will not end: a machine becomes the floor, so that nothing behind it is missed."""
        blow.doubt_at_s += DOUBT_EVERY_S
        ended = self._read(blow, end)
        if age_s < LONGEST_BLOW_S and ended.blow.verdict not in (Verdict.HUM, Verdict.NOT_A_WHISTLE):
            return []
        if ended.blow.verdict is not Verdict.NOT_A_WHISTLE:
            ended = replace(ended, blow=_as_hum(ended.blow))
        self._ear.take_as_floor(blow.recent)
        self._open, self._free_from, self._tonal = None, end, []
        return list(self._toots.take(ended, blow.told))


class _OpenBlow:
    """A blow that is sounding."""

    def __init__(
        self, onset: int, range_hz: tuple[float, float] | None, floor: NDArray[np.float64] | None, level: float
    ) -> None:
        self.onset = onset
        self.range_hz = range_hz
        self.floor = None if floor is None else floor.copy()
        self.tonal_hops = OPEN_HOPS
        self.down_hops = 0
        self.told = False
        self.glimpse_at_s = FIRST_GLIMPSE_S
        self.doubt_at_s = DOUBT_EVERY_S
        self.recent = np.zeros(0)
        self._reference = level

    def follow(self, hop: Hop, power: NDArray[np.float64]) -> None:
        """Take one more hop of it."""
        self._reference = max(hop.line_power, REFERENCE_FADE * self._reference)
        self.tonal_hops += hop.tonal
        down = hop.line_power < END_BELOW * self._reference
        self.down_hops = self.down_hops + 1 if down else 0
        self.recent = power if not len(self.recent) else self.recent + 0.05 * (power - self.recent)


def _dbfs(power: float) -> float:
    return 10.0 * float(np.log10(max(power, 1e-30)))


def _as_hum(blow: Blow) -> Blow:
    return replace(blow, verdict=Verdict.HUM, usable=False, frequency_hz=None, standard_error_cents=None)


def _moved(blow: Blow, by_s: float) -> Blow:
    return replace(blow, start_s=blow.start_s + by_s, end_s=blow.end_s + by_s)
