"""An invented maker before the virtual microphone: does what the window asks, and knows when each blow ended."""
from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from queue import Empty, SimpleQueue

import numpy as np

from acoustics.synthesis import BlowRecipe, Samples, render_blow, room_noise
from acoustics.tuning import Stop
from app.events import Request, Task
from app.practice import ROOM_DBFS, ROOM_FRAMES, Performer
from tests.bench.window.program import WatchedProgram
from tests.bench.window.sink import Sink
from tests.microphone.virtual_sound import RATE_HZ

CHUNK_FRAMES = RATE_HZ // 100
LEVEL_FRAMES = RATE_HZ // 200
PATIENCE_S = 2.0


@dataclass(frozen=True)
class BlowEnd:
    """When the sample that is 20 dB down was handed to the server, and when it sounded by the server's account."""

    handed_s: float
    sounded_s: float


def end_frame(sound: Samples) -> int:
    """From here on the sound is 20 dB below its steady part."""
    whole = len(sound) // LEVEL_FRAMES * LEVEL_FRAMES
    power = np.mean(np.square(sound[:whole], dtype=float).reshape(-1, LEVEL_FRAMES), axis=1)
    steady = float(np.median(power[power > 0.1 * np.max(power)]))
    return (int(np.flatnonzero(power > 0.01 * steady)[-1]) + 1) * LEVEL_FRAMES


class Breath:
    """Plays the room without end, and what is put into it; paced by the server, which takes 10 ms at a time."""

    def __init__(self, server: str) -> None:
        self.ends: SimpleQueue[BlowEnd] = SimpleQueue()
        self._coming: SimpleQueue[tuple[Samples, int | None, threading.Event]] = SimpleQueue()
        self._leaving = threading.Event()
        self._sink = Sink(server)
        self._room = room_noise(ROOM_FRAMES, RATE_HZ, ROOM_DBFS, np.random.default_rng(1))
        self._thread = threading.Thread(target=self._play, daemon=True)
        self._thread.start()

    def put(self, sound: Samples, ends_at_frame: int | None = None) -> threading.Event:
        """Sound this after what was put before; the event is set when it is over."""
        over = threading.Event()
        self._coming.put((sound, ends_at_frame, over))
        return over

    def leave(self) -> None:
        self._leaving.set()
        self._thread.join()
        self._sink.close()

    def _play(self) -> None:
        place = 0
        while not self._leaving.is_set():
            try:
                sound, ends_at, over = self._coming.get_nowait()
            except Empty:
                self._write(self._room[place : place + CHUNK_FRAMES])
                place = (place + CHUNK_FRAMES) % (ROOM_FRAMES - CHUNK_FRAMES)
                continue
            for start in range(0, len(sound), CHUNK_FRAMES):
                chunk = sound[start : start + CHUNK_FRAMES]
                self._write(chunk)
                if ends_at is not None and start < ends_at <= start + len(chunk):
                    self._note_end((start + len(chunk) - ends_at) / RATE_HZ)
            over.set()

    def _note_end(self, before_end_of_chunk_s: float) -> None:
        now_s = time.monotonic()
        self.ends.put(BlowEnd(now_s, now_s + self._sink.until_sounding_s() - before_end_of_chunk_s))

    def _write(self, chunk: Samples) -> None:
        self._sink.write((np.clip(chunk, -1.0, 1.0) * 32767.0).astype("<i2").tobytes())


class SoundingMaker:
    """Answers the window's requests until told to leave; when it asks for nothing more, blows the plugs in turn."""

    def __init__(self, performer: Performer, program: WatchedProgram, breath: Breath, rest_s: float) -> None:
        self._performer, self._program, self._breath, self._rest_s = performer, program, breath, rest_s
        self._leaving = threading.Event()
        self._turn = 0
        self.finished_s: float | None = None  # when the walk first asked for nothing
        self._thread = threading.Thread(target=self._work, daemon=True)
        self._thread.start()

    def leave(self) -> None:
        self._leaving.set()
        self._thread.join()

    def _work(self) -> None:
        answered: int | None = None
        while not self._leaving.is_set():
            request = self._program.asked(newer_than=answered, patience_s=PATIENCE_S)
            if request is None:
                continue
            if request.task is Task.NOTHING:
                self.finished_s = self.finished_s or time.monotonic()
                request = self._next_plug(request.id)
            self._breath.put(self._performer.before(request))
            answered = request.id
            if (sound := self._performer.sound_of(request)) is not None:
                is_blow = request.task in (Task.BLOW, Task.RESEAT)
                self._breath.put(sound, end_frame(sound) if is_blow else None).wait()
            self._leaving.wait(self._rest_s)

    def _next_plug(self, request_id: int) -> Request:
        letters = sorted(self._performer.maker.ends)
        self._turn += 1
        return Request(request_id, Task.BLOW, letters[self._turn % len(letters)], Stop.PLUG)


def long_blow(frequency_hz: float, duration_s: float) -> Samples:
    """A steady blow in the room's noise, long enough to lose the device in its middle."""
    rng = np.random.default_rng(8)
    blow = render_blow(BlowRecipe(frequency_hz, duration_s=duration_s), RATE_HZ, rng)
    return blow + room_noise(len(blow), RATE_HZ, ROOM_DBFS, rng)
