"""Run the reader over recordings: whole recordings in, the finding of the blow included."""
from __future__ import annotations

import time
from dataclasses import dataclass, field

import numpy as np

from acoustics.blow import Blow, BlowBegan, BlowEnded, BlowFinder, Glimpse, TwoToots
from tests.bench.reading.invented import Recording

BLOCK = 480


@dataclass
class Heard:
    """What the finder said of one recording."""

    recording: Recording
    blows: list[Blow] = field(default_factory=list)
    ended_at_s: list[float] = field(default_factory=list)  # sound that had gone in when each blow was told
    glimpses: list[Glimpse] = field(default_factory=list)
    began: int = 0
    toots: int = 0
    spent_s: float = 0.0

    def best(self) -> Blow | None:
        """The blow that overlaps the true one most."""
        made = self.recording
        shared = [min(b.end_s, made.end_s) - max(b.start_s, made.start_s) for b in self.blows]
        return self.blows[int(np.argmax(shared))] if shared and max(shared) > 0.0 else None

    def error_cents(self) -> float | None:
        """Of the usable reading; None when there is none."""
        blow, true_hz = self.best(), self.recording.true_hz
        if blow is None or blow.frequency_hz is None or true_hz is None:
            return None
        return 1200.0 * float(np.log2(blow.frequency_hz / true_hz))

    def delay_ms(self) -> float | None:
        """Sound from the true end (20 dB down) until the blow was told."""
        blow = self.best()
        if blow is None:
            return None
        return 1000.0 * (self.ended_at_s[self.blows.index(blow)] - self.recording.end_s)

    def glimpse_error_cents(self, by_s: float) -> float | None:
        """Of the latest glimpse told within `by_s` of the onset; None when there was none."""
        made = self.recording
        seen = [g.heard_hz for g in self.glimpses if made.start_s < g.at_s <= made.start_s + by_s and g.heard_hz]
        return 1200.0 * float(np.log2(seen[-1] / made.true_hz)) if seen and made.true_hz else None


def listen(made: Recording) -> Heard:
    """Feed one recording block by block."""
    heard = Heard(made)
    finder = BlowFinder(made.rate_hz, made.range_hz)
    began = time.process_time()
    for at in range(0, len(made.samples) + BLOCK, BLOCK):
        block = made.samples[at : at + BLOCK]
        for found in finder.feed(block) if len(block) else finder.finish():
            if isinstance(found, BlowEnded):
                heard.blows.append(found.blow)
                heard.ended_at_s.append(min(at + BLOCK, len(made.samples)) / made.rate_hz)
            elif isinstance(found, Glimpse):
                heard.glimpses.append(found)
            heard.began += isinstance(found, BlowBegan)
            heard.toots += isinstance(found, TwoToots)
    heard.spent_s = time.process_time() - began
    return heard
