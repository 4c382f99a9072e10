"""The gesture "done": two short toots, then quiet. A toot is held back until it is known not to be half of one."""
from __future__ import annotations

from collections.abc import Iterator
from math import log2

from acoustics.heard import BlowBegan, BlowEnded, Found, TwoToots, Verdict

TOOT_S = (0.03, 0.30)  # as measured, of toots meant to be 80 to 250 ms
GAP_S = (0.05, 0.46)  # of gaps meant to be 80 to 400 ms
NOTICED_S = 0.08  # after its onset a second toot is open
QUIET_S = 0.42  # after the second
CALM_S = 0.30  # before the first: chatter is no gesture
ALIKE_CENTS = 120.0  # the two differ by no more
ALIKE_DB = 12.0
DISTURBED_HOPS = 6  # on end, of other sound before, between or after


class Toots:
    """Holds back one short blow, or two, until the gesture is decided either way."""

    def __init__(self) -> None:
        self._held: list[tuple[BlowEnded, bool]] = []
        self._disturbed_hops = 0
        self._last_sound_s = -1.0

    def take(self, ended: BlowEnded, told: bool) -> Iterator[Found]:
        """A blow has ended; give out what is now decided."""
        if len(self._held) == 2 or self._held and not (self._follows(ended.blow.start_s) and self._alike(ended)):
            yield from self.flush()
        alone = bool(self._held) or ended.blow.start_s - self._last_sound_s > CALM_S
        self._last_sound_s = ended.blow.end_s
        if not (_is_toot(ended) and alone):
            yield from self.flush()
            yield from _told(ended, told)
            return
        self._held.append((ended, told))

    def quiet(self, now_s: float, disturbed: bool) -> Iterator[Found]:
        """No blow is open; time decides, or other sound does."""
        self._disturbed_hops = self._disturbed_hops + 1 if disturbed else 0
        if self._disturbed_hops >= DISTURBED_HOPS:
            self._last_sound_s = now_s
            yield from self.flush()
        if not self._held:
            return
        quiet_s = now_s - self._held[-1][0].blow.end_s
        if len(self._held) == 2 and quiet_s >= QUIET_S:
            self._held.clear()
            yield TwoToots(now_s)
        elif len(self._held) == 1 and quiet_s >= GAP_S[1] + NOTICED_S:
            yield from self.flush()

    def undecided(self, onset_s: float, age_s: float) -> bool:
        """Whether a blow that began at `onset_s` may still turn out the second toot."""
        return len(self._held) == 1 and self._follows(onset_s) and age_s <= TOOT_S[1] + 0.07

    def flush(self) -> Iterator[Found]:
        """No gesture after all: the held toots were short blows."""
        held, self._held = self._held, []
        for ended, told in held:
            yield from _told(ended, told)

    def _alike(self, ended: BlowEnded) -> bool:
        first, second = self._held[0][0].blow, ended.blow
        if not (first.heard_hz and second.heard_hz and first.level_dbfs and second.level_dbfs):
            return False
        apart_cents = abs(1200.0 * log2(second.heard_hz / first.heard_hz))
        return apart_cents < ALIKE_CENTS and abs(second.level_dbfs - first.level_dbfs) < ALIKE_DB

    def _follows(self, onset_s: float) -> bool:
        return GAP_S[0] <= onset_s - self._held[0][0].blow.end_s <= GAP_S[1]


def _told(ended: BlowEnded, told: bool) -> Iterator[Found]:
    """An end is never told without its beginning."""
    if not told:
        yield BlowBegan(ended.blow.start_s)
    yield ended


def _is_toot(ended: BlowEnded) -> bool:
    blow = ended.blow
    return blow.verdict is Verdict.TOO_SHORT and TOOT_S[0] <= blow.end_s - blow.start_s <= TOOT_S[1]
