"""Sound handed to the virtual server without a queue of unknown length: by its plain blocking client.

A pipe into a player hides up to half a second; here a write returns when the server has taken the samples, and the
server says how long it will be until they sound.
"""
from __future__ import annotations

import ctypes
import time
from typing import Any

from tests.microphone.virtual_sound import RATE_HZ, SINK

PLAYBACK, S16LE, UNSET = 1, 3, 0xFFFFFFFF  # from the client's headers, pulse/def.h and pulse/sample.h
STEP_FRAMES = RATE_HZ // 100  # 10 ms
QUEUE_STEPS = 4  # with two the server would hand sound to its listeners in crumbs, which no sound card does
RETRY_S = 0.2


class _Spec(ctypes.Structure):
    _fields_ = (("format", ctypes.c_int), ("rate", ctypes.c_uint32), ("channels", ctypes.c_uint8))


class _Queue(ctypes.Structure):
    _fields_ = tuple((name, ctypes.c_uint32) for name in ("maxlength", "tlength", "prebuf", "minreq", "fragsize"))


class Sink:
    """One stream into the server, which keeps the pace; while there is no server, time passes and the sound is lost."""

    def __init__(self, server: str) -> None:
        self._server = server
        self._library = ctypes.CDLL("libpulse-simple.so.0")
        self._library.pa_simple_new.restype = ctypes.c_void_p
        self._library.pa_simple_get_latency.restype = ctypes.c_uint64
        self._stream: Any = None
        self._next_try_s = 0.0

    def write(self, samples: bytes) -> None:
        """Hand 16-bit samples over, or let them pass when there is no server to take them."""
        if self._stream is None and time.monotonic() >= self._next_try_s:
            self._connect()
        if self._stream is None:
            time.sleep(len(samples) / (2 * RATE_HZ))
        elif self._library.pa_simple_write(self._stream, samples, ctypes.c_size_t(len(samples)), None) < 0:
            self.close()

    def until_sounding_s(self) -> float:
        """By the server's own account, how long until a sample handed over now sounds."""
        return float(self._library.pa_simple_get_latency(self._stream, None)) / 1e6 if self._stream else 0.0

    def close(self) -> None:
        if self._stream is not None:
            self._library.pa_simple_free(self._stream)
            self._stream = None

    def _connect(self) -> None:
        spec = _Spec(S16LE, RATE_HZ, 1)
        queue = _Queue(UNSET, 2 * QUEUE_STEPS * STEP_FRAMES, 2 * STEP_FRAMES, 2 * STEP_FRAMES, UNSET)
        stream = self._library.pa_simple_new(
            self._server.encode(), b"maker", PLAYBACK, SINK.encode(), b"breath", ctypes.byref(spec), None,
            ctypes.byref(queue), None,
        )
        self._stream = ctypes.c_void_p(stream) if stream else None
        self._next_try_s = time.monotonic() + RETRY_S
