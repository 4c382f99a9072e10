"""The listening thread: it alone owns the source, feeds the finder, and says what was heard.

Its only clock is the source's. A short gap inside a blow is filled with silence so that the phase on both sides still
fits; any other gap, and the time when the program itself sounds, is left out and the finder's clock set forward.
"""
from __future__ import annotations

import logging
import math
import threading
from collections import deque
from collections.abc import Callable
from dataclasses import replace

import numpy as np

from acoustics.blow import BlowBegan, BlowEnded, BlowFinder, Finding, Found, Glimpse, Samples, TwoToots, Verdict
from app.chord_blow import read_whole
from app.errors import WorldError
from app.events import Expecting
from app.heard import (
    BlowHeard,
    BlowStarted,
    Breath,
    Level,
    LevelWord,
    ListenerDied,
    ListenerEvent,
    SourceNoticed,
    TootsHeard,
    level_word,
)
from app.own_sound import DEAF_TAIL_S, OwnSound
from app.source import Block, Hearing, Notice, SoundSource

READ_TIMEOUT_S = 0.1  # how soon `stop` is noticed while the source is still
BREATH_INTERVAL_S = 0.04
BRIDGED_GAP_S = 0.1  # a longer hole in a blow ends it: too little is known of what happened meanwhile
SILENCE_DBFS = -200.0  # stands for the level of exact zeros
NO_BLOWS = (Verdict.HUM, Verdict.NOT_A_WHISTLE)  # how loud these are is no business of the maker's

log = logging.getLogger(__name__)


class Listener:
    """Reads a source on a thread of its own and hands frozen events to `emit`, which must return soon."""

    def __init__(
        self,
        source: SoundSource,
        emit: Callable[[ListenerEvent], None],
        finder_factory: Callable[[int], BlowFinder] = BlowFinder,
    ) -> None:
        self._source = source
        self._emit = emit
        self._finder_factory = finder_factory
        self._stopping = threading.Event()
        # Written by any thread, read by the worker: a reference, swapped in one step.
        self._expecting: Expecting | None = None
        self.own_sound = OwnSound(source)
        # Written by the worker only, read by any thread.
        self._now_s = 0.0
        self._lost_frames = 0
        # The worker's own.
        self._finder: BlowFinder | None = None
        self._rate_hz = 0
        self._origin_s = 0.0  # source's time at the finder's zero
        self._fed_frames = 0
        self._held: deque[tuple[float, Expecting | None]] = deque([(-math.inf, None)], maxlen=64)
        self._losses: deque[tuple[float, int]] = deque(maxlen=256)
        self._blow_open = False
        self._blow_peak = 0.0
        self._heard_hz: float | None = None
        self._word: LevelWord | None = None
        self._next_breath_s = -math.inf
        self._thread = threading.Thread(target=self._run, name="listener", daemon=True)

    # ---- from any thread -----------------------------------------------------------------------------------------
    def start(self) -> None:
        self._thread.start()

    def stop(self, timeout_s: float = 5.0) -> bool:
        """End the thread and close the source; False if a call into the device would not come back."""
        self._stopping.set()
        if self._thread.ident is None or self._thread is threading.current_thread():
            return True
        self._thread.join(timeout_s)
        return not self._thread.is_alive()

    def expect(self, expecting: Expecting | None) -> None:
        """Blows that begin from now on answer this."""
        self._expecting = expecting

    def deafen(self, duration_s: float) -> None:
        """Hear nothing for the length of a signal or a spoken sentence, and its ringing."""
        self.deaf_until(self._now_s + duration_s + DEAF_TAIL_S)

    def deaf_until(self, at_s: float) -> None:
        self.own_sound.deaf_until(at_s)

    @property
    def now_s(self) -> float:
        """The source's time."""
        return self._now_s

    @property
    def lost_frames(self) -> int:
        """Frames missing since the start, for whatever reason."""
        return self._lost_frames

    @property
    def alive(self) -> bool:
        return self._thread.is_alive()

    # ---- the worker ----------------------------------------------------------------------------------------------
    def _run(self) -> None:
        death: ListenerDied | None = None
        try:
            while not self._stopping.is_set():
                item = self._source.read(READ_TIMEOUT_S)
                if isinstance(item, Block):
                    self._take_block(item)
                elif isinstance(item, Notice) and self._take_notice(item):
                    break
                self.own_sound.let_sound(self._now_s, self._blow_open, hearing=item is not None)
        except WorldError as trouble:
            death = ListenerDied(str(trouble), fault_is_ours=False)
        except Exception as fault:
            log.exception("the listener died")
            death = ListenerDied(f"The program stopped listening through a fault of its own: {fault}.", True)
        finally:
            self._source.close()
        if death is not None:
            self._emit(death)

    def _take_notice(self, notice: Notice) -> bool:
        """Pass it on; True when nothing more will come."""
        if notice.hearing not in (Hearing.OPENING, Hearing.HEARING):
            self._end_sound()
        self._emit(SourceNoticed(notice))
        return notice.hearing is Hearing.ENDED

    def _take_block(self, block: Block) -> None:
        if block.lost_frames:
            self._lost_frames += block.lost_frames
            self._losses.append((block.start_s, block.lost_frames))
        self._now_s = block.start_s + len(block.samples) / block.sample_rate_hz
        if self._finder is None or block.sample_rate_hz != self._rate_hz:
            self._end_sound()
            self._begin_sound(block)
        self._note_expecting(block.start_s)
        if self.own_sound.deaf_at(block.start_s):
            if self._blow_open:
                self._end_sound()
            return
        self._close_gap(block)
        self._feed(block.samples)
        self._say_breath()

    def _begin_sound(self, block: Block) -> None:
        self._rate_hz = block.sample_rate_hz
        self._finder = self._finder_factory(self._rate_hz)
        self._origin_s, self._fed_frames = block.start_s, 0
        expecting = self._held[-1][1]
        self._finder.expect(expecting.range_hz if expecting else None)

    def _end_sound(self) -> None:
        """Close what is open; the next block starts a new finder."""
        if self._finder is None:
            return
        for found in self._finder.finish():
            self._say(found)
        self._finder, self._blow_open, self._heard_hz = None, False, None

    def _note_expecting(self, at_s: float) -> None:
        expecting = self._expecting
        if expecting is not self._held[-1][1]:
            self._held.append((at_s, expecting))
            if self._finder is not None:
                self._finder.expect(expecting.range_hz if expecting else None)

    def _expecting_at(self, at_s: float) -> Expecting | None:
        return next((held for since_s, held in reversed(self._held) if since_s <= at_s), self._held[0][1])

    def _close_gap(self, block: Block) -> None:
        gap_s = block.start_s - (self._origin_s + self._fed_frames / self._rate_hz)
        gap_frames = round(gap_s * self._rate_hz)
        if gap_frames <= 0:
            return
        if not self._blow_open:
            self._origin_s += gap_s
        elif gap_s <= BRIDGED_GAP_S:
            self._feed(np.zeros(gap_frames, np.float32))
        else:
            self._end_sound()
            self._begin_sound(block)

    def _feed(self, samples: Samples) -> None:
        assert self._finder is not None
        self._fed_frames += len(samples)
        if len(samples):
            self._blow_peak = max(self._blow_peak, float(np.abs(samples).max()))
        for found in self._finder.feed(samples):
            self._say(found)
        if not self._blow_open:
            self._blow_peak = 0.0

    def _say_breath(self) -> None:
        if self._finder is not None and self._now_s >= self._next_breath_s:
            due_s = self._next_breath_s + BREATH_INTERVAL_S
            self._next_breath_s = due_s if due_s > self._now_s else self._now_s + BREATH_INTERVAL_S
            self._emit(Breath(self._now_s, self._finder.level_dbfs, self._heard_hz))

    def _say(self, found: Found) -> None:
        match found:
            case BlowBegan(at_s):
                self._blow_open = True
                self._emit(BlowStarted(self._origin_s + at_s, self._expecting_at(self._origin_s + at_s)))
            case Glimpse():
                self._heard_hz = found.heard_hz
                self._say_level(found.level_dbfs, self._blow_peak, clipped=False, always=False)
            case BlowEnded():
                self._say_blow(found)
            case TwoToots(at_s):
                self._blow_open, self._heard_hz = False, None
                self._emit(TootsHeard(self._expecting_at(self._origin_s + at_s), self._origin_s + at_s))

    def _say_blow(self, ended: BlowEnded) -> None:
        self._blow_open, self._heard_hz = False, None
        start_s, end_s = self._origin_s + ended.blow.start_s, self._origin_s + ended.blow.end_s
        blow = replace(ended.blow, start_s=start_s, end_s=end_s)
        lost = sum(frames for at_s, frames in self._losses if start_s < at_s <= end_s)
        expecting = self._expecting_at(start_s)
        if blow.level_dbfs is not None and blow.verdict not in NO_BLOWS:
            clipped = blow.verdict is Verdict.CLIPPED or Finding.NEAR_CLIPPING in blow.findings
            lead_frames = max(0, round((ended.blow.start_s - ended.samples_start_s) * self._rate_hz))
            peak = float(np.abs(ended.samples[lead_frames:]).max(initial=0.0))
            self._say_level(blow.level_dbfs, peak, clipped, always=True)
        chord = read_whole(ended, self._rate_hz, expecting)
        self._emit(BlowHeard(blow, ended.samples, self._rate_hz, expecting, end_s, lost, chord))

    def _say_level(self, level_dbfs: float, peak: float, clipped: bool, always: bool) -> None:
        assert self._finder is not None
        floor_dbfs = self._finder.floor_dbfs
        peak_dbfs = 20.0 * math.log10(peak) if peak > 0.0 else SILENCE_DBFS
        word = level_word(level_dbfs, floor_dbfs, peak_dbfs, clipped)
        if always or word is not self._word:
            self._word = word
            self._emit(Level(word, level_dbfs, floor_dbfs))
