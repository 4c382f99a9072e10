"""A practice whistle as a source of sound: an invented maker hears what the walk asks for and does it.

`ask` is how the walk's request reaches the maker, from any thread. What stays asked is done once more after a while, as
by a maker who looks at the screen and sees the same sentence. Nothing is drawn from the tuning model.
"""
from __future__ import annotations

import threading
import time
from functools import cached_property
from typing import TYPE_CHECKING

import numpy as np

from acoustics.synthesis import BlowRecipe, Samples, render_blow, room_noise, several, two_toots
from app.invented import HiddenWhistle, invent_whistle
from app.invented_glue import glue_in
from app.invented_maker import ChamberTruth, Maker, draw_habits
from app.source import Block, Hearing, Notice

if TYPE_CHECKING:
    from app.events import Request
    from app.whistle import Whistle

SAMPLE_RATE_HZ = 48_000
BLOCK_S = 0.02
QUIET_S = 0.25  # handed out at once when nothing is asked and time need not be kept
ROOM_DBFS = -64.0
ROOM_FRAMES = 1 << 19  # 11 s at 48 kHz
# Pauses of source time; the bench's own time is the maker's account.
BEFORE_S = {"blow": 0.8, "chord": 0.8, "reseat": 1.5}
BEFORE_WORK_S = 2.0
AFTER_S = 0.7  # quiet that ends a blow and decides two toots
PATIENCE_S = 1.5  # of quiet, after which the maker does once more what is still asked
WAITS_OF_PATIENCE = 2  # the same where time is not kept: reads in vain
WORK = ("set_stop", "cut", "trim", "slide", "mark", "repair", "glue")


class Performer:
    """Turns requests into the sound of doing them, room included."""

    def __init__(self, maker: Maker, sample_rate_hz: int = SAMPLE_RATE_HZ) -> None:
        self.maker = maker
        self.sample_rate_hz = sample_rate_hz
        self._done_id: int | None = None
        self._room_frame = 0

    @cached_property
    def _room(self) -> Samples:
        """One whole period of the noise, a power of two of samples: it joins its own beginning without a seam.

        Made when first heard, by the thread that hears: a window would open a tenth of a second later for it.
        """
        return room_noise(ROOM_FRAMES, self.sample_rate_hz, ROOM_DBFS, self.maker.rng)

    def before(self, request: Request) -> Samples:
        """The quiet in which the maker gets ready."""
        return self.quiet(BEFORE_S.get(request.task.value, BEFORE_WORK_S))

    def sound_of(self, request: Request) -> Samples | None:
        """Do what is asked and return how it sounds; None when it makes no sound."""
        task = request.task.value
        if task in ("blow", "reseat"):
            stop = request.stop.value if request.stop else "finger"
            recipe = self.maker.blow(
                request.letter or "A", stop, request.depth_mm, reseat=task == "reseat", covered=request.covered
            )
            return self._in_room(render_blow(recipe, self.sample_rate_hz, self.maker.rng))
        if task == "chord":
            recipes = self.maker.blow_chord()
            return self._in_room(several([render_blow(one, self.sample_rate_hz, self.maker.rng) for one in recipes]))
        if task in WORK:
            if request.id != self._done_id:  # still asked: the toots were not heard, but the work is done
                self._work(task, request)
                self._done_id = request.id
            return self._in_room(self._toots(request))
        self.maker.pass_time(task)
        return None

    def quiet(self, duration_s: float) -> Samples:
        """The room, going on where it was."""
        frames = np.arange(self._room_frame, self._room_frame + round(duration_s * self.sample_rate_hz))
        self._room_frame = int(frames[-1] + 1) % ROOM_FRAMES
        return self._room.take(frames, mode="wrap")

    def _work(self, task: str, request: Request) -> None:
        letter, depth_mm = request.letter or "A", request.depth_mm or 0.0
        if task == "repair":
            self.maker.repair(letter, request.depth_mm if request.text == "disc" else None)
        elif task == "mark":
            self.maker.mark(letter)
        elif task == "glue":
            glue_in(self.maker, letter, off_mm=request.amount_mm or 0.0)
        elif task == "cut" and request.text == "slide":
            self.maker.fit_tailed(letter, depth_mm)
        else:
            deed = {"set_stop": self.maker.set_slug, "cut": self.maker.cut, "trim": self.maker.trim,
                    "slide": self.maker.slide}[task]
            deed(letter, depth_mm)

    def _toots(self, request: Request) -> Samples:
        recipe = BlowRecipe(self.maker.toot_hz(request.letter), level_dbfs=self.maker.habits.level_dbfs)
        toot_s, gap_s = (float(self.maker.rng.uniform(0.12, 0.18)) for _ in range(2))
        return two_toots(recipe, self.sample_rate_hz, self.maker.rng, toot_s, gap_s)

    def _in_room(self, sound: Samples) -> Samples:
        heard = self.quiet(len(sound) / self.sample_rate_hz + AFTER_S)
        heard[: len(sound)] += sound
        return heard


class PracticeSource:
    """The maker behind the `SoundSource` protocol: paced like a real one, or as fast as the reader goes.

    Unpaced, it never runs ahead: with nothing new to do it waits for `ask`, and hands out quiet only when a read times
    out. Paced or not, what the maker does is what is asked at the moment the sound begins.
    """

    name = "practice whistle"

    def __init__(self, maker: Maker, paced: bool, sample_rate_hz: int = SAMPLE_RATE_HZ) -> None:
        self._performer = Performer(maker, sample_rate_hz)
        self._paced = paced
        self._rate_hz = sample_rate_hz
        self._block_frames = round(BLOCK_S * sample_rate_hz)
        self._changed = threading.Condition()
        # Guarded by `_changed`: written by `ask` and `close` on any thread.
        self._wanted: Request | None = None
        self._fresh = False
        self._closed = False
        # The reading thread's own.
        self._ready: Samples = np.zeros(0, dtype=np.float32)
        self._getting_ready = False
        self._frames = 0
        self._announced = False
        self._began_s = 0.0  # monotonic, at the first block
        self._quiet_s = 0.0
        self._vain_reads = 0

    def ask(self, request: Request) -> None:
        """The walk's present request. Safe from any thread; the same request again changes nothing."""
        with self._changed:
            if self._wanted is None or request.id != self._wanted.id:
                self._wanted, self._fresh = request, True
                self._changed.notify_all()

    def truth(self) -> tuple[ChamberTruth, ...]:
        """What the whistle really became; to be told only at the end."""
        return self._performer.maker.truth()

    def read(self, timeout_s: float) -> Block | Notice | None:
        """The next stretch of sound."""
        if not self._announced:
            self._announced, self._began_s = True, time.monotonic()
            return Notice(Hearing.HEARING, self.name, self._rate_hz)
        if len(self._ready) == 0:
            self._ready = self._next_sound(timeout_s)
        frames = min(self._block_frames, len(self._ready))
        if self._paced and not self._due(frames, timeout_s):
            return None
        samples, self._ready = self._ready[:frames], self._ready[frames:]
        block = Block(samples, self._frames / self._rate_hz, self._rate_hz)
        self._frames += frames
        return block

    def close(self) -> None:
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def _next_sound(self, timeout_s: float) -> Samples:
        """Get ready for what is asked, then do what is asked by then; or be quiet for a moment."""
        if self._getting_ready:
            self._getting_ready = False
            request = self._take_request()
            sound = self._performer.sound_of(request) if request is not None else None
            if sound is not None:
                self._quiet_s, self._vain_reads = 0.0, 0
                return sound
        elif (request := self._called_for(timeout_s)) is not None:
            self._getting_ready = True
            return self._performer.before(request)
        quiet_s = BLOCK_S if self._paced else QUIET_S
        self._quiet_s += quiet_s
        return self._performer.quiet(quiet_s)

    def _take_request(self) -> Request | None:
        with self._changed:
            self._fresh = False
            return self._wanted

    def _called_for(self, timeout_s: float) -> Request | None:
        """The request, when it is new or has been standing there for longer than the maker's patience."""
        with self._changed:
            if self._wanted is not None and self._wanted.task.value == "rest" and not self._fresh:
                return None  # time passes without waiting for anybody
            if not self._fresh and not self._paced:
                self._changed.wait_for(lambda: self._fresh or self._closed, timeout_s)
                self._vain_reads += not self._fresh
            patient = self._quiet_s < PATIENCE_S if self._paced else self._vain_reads < WAITS_OF_PATIENCE
            return None if patient and not self._fresh else self._wanted

    def _due(self, frames: int, timeout_s: float) -> bool:
        """Wait until the block's sound would have happened; False when that is beyond the time-out."""
        late_s = self._began_s + (self._frames + frames) / self._rate_hz - time.monotonic()
        if late_s <= 0.0:
            return True
        with self._changed:
            self._changed.wait_for(lambda: self._closed, min(late_s, timeout_s))
        return late_s <= timeout_s


def invent_practice(seed: int | None = None) -> tuple[Maker, Whistle]:
    """A hidden whistle with its maker, and the document that the maker's own rule would give of it."""
    rng = np.random.default_rng(seed)
    lowest_hz = 440.0 * 2.0 ** (int(rng.integers(5, 9)) / 12.0)  # D5 to F5
    whistle = invent_whistle(rng, lowest_hz)
    return Maker(whistle, draw_habits(rng), rng), told_whistle(whistle)


def told_whistle(hidden: HiddenWhistle) -> Whistle:
    """The whistle as its maker measured it: nothing of what is hidden."""
    import uuid

    from acoustics.notes import nearest_note
    from app.whistle import Air, Chamber, Whistle, checked

    chambers = tuple(
        Chamber(c.letter, c.bore_mm, c.told_bore_length_mm, c.window_width_mm, c.window_height_mm,
                round(c.target_hz, 3), str(nearest_note(c.target_hz)))
        for c in hidden.chambers
    )
    return checked(Whistle(str(uuid.uuid4()), hidden.name, chambers, air=Air(temperature_c=hidden.room_c)))
