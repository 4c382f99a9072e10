"""The gesture "done": two short toots, then quiet. A toot is held back until it is known not to be half of one."""
from __future__ import annotations

from collections.abc import Iterator

from acoustics.heard import BlowBegan, BlowEnded, Found, TwoToots, Verdict

TOOT_S = (0.04, 0.30)  # as measured, of toots meant to be 80 to 250 ms
GAP_S = (0.05, 0.46)  # of gaps meant to be 80 to 400 ms
QUIET_S = 0.30  # after the second


class Toots:
    """Holds back one short blow, or two, until the gesture is decided either way."""

    def __init__(self) -> None:
        self._held: list[tuple[BlowEnded, bool]] = []

    def take(self, ended: BlowEnded, told: bool) -> Iterator[Found]:
        """A blow has ended; give out what is now decided."""
        if not _is_toot(ended):
            yield from self.flush()
            yield from _told(ended, told)
            return
        if len(self._held) == 1 and not self._follows(ended.blow.start_s) or len(self._held) == 2:
            yield from self.flush()
        self._held.append((ended, told))

    def quiet(self, now_s: float) -> Iterator[Found]:
        """Nothing sounds; time alone may decide."""
        if not self._held:
            return
        quiet_s = now_s - self._held[-1][0].blow.end_s
        if len(self._held) == 2 and quiet_s >= QUIET_S:
            self._held.clear()
            yield TwoToots(now_s)
        elif len(self._held) == 1 and quiet_s >= GAP_S[1]:
            yield from self.flush()

    def undecided(self, onset_s: float, age_s: float) -> bool:
        """Whether a blow that began at `onset_s` may still turn out the second toot."""
        return len(self._held) == 1 and self._follows(onset_s) and age_s <= TOOT_S[1] + 0.07

    def flush(self) -> Iterator[Found]:
        """No gesture after all: the held toots were short blows."""
        held, self._held = self._held, []
        for ended, told in held:
            yield from _told(ended, told)

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
