"""The sound of a moment ago, as it came."""
from __future__ import annotations

import numpy as np

from app.source import Block, Hearing, Notice
from app.tapped import TappedSource

RATE_HZ = 1000


class Counting:
    """Blocks of 100 samples that count on; one notice first."""

    name = "counting"

    def __init__(self, n_blocks: int) -> None:
        self.items = [Notice(Hearing.HEARING)] + [
            Block(np.arange(100 * i, 100 * (i + 1), dtype=np.float32), 0.1 * i, RATE_HZ) for i in range(n_blocks)
        ]
        self.closed = False

    def read(self, timeout_s: float):
        return self.items.pop(0) if self.items else None

    def close(self) -> None:
        self.closed = True


def test_what_passes_is_handed_on_unchanged_and_remembered() -> None:
    source = Counting(20)
    wanted = list(source.items)
    tapped = TappedSource(source)
    assert [tapped.read(0.1) for _ in wanted] == wanted
    assert tapped.read(0.1) is None
    samples, rate_hz = tapped.sound(0.5, 0.79)
    assert rate_hz == RATE_HZ
    assert samples.tolist() == list(range(500, 800))
    tapped.close()
    assert source.closed


def test_only_the_latest_is_remembered() -> None:
    tapped = TappedSource(Counting(50), remembered_s=1.0)
    while tapped.read(0.1) is not None:
        pass
    assert tapped.sound(0.0, 3.0) is None
    samples, _ = tapped.sound(0.0, 10.0)
    assert samples[0] >= 3900
    assert samples[-1] == 4999
