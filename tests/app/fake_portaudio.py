"""A small stand-in for the sounddevice module: devices come and go, refuse, overflow and fall silent on command."""
from __future__ import annotations

import os
import threading
from types import SimpleNamespace

import numpy as np


class PortAudioError(Exception):
    """As sounddevice's: text, code, and (host api, host code, host text) for errors of the system."""


class FakeStream:
    def __init__(self, portaudio, samplerate, channels, blocksize, device, callback, finished_callback, **others):
        portaudio.note_call()
        os.write(2, b"Expression 'parse' failed\n")  # the C library's chatter
        self.portaudio, self.rate_hz, self.channels, self.block_frames = portaudio, samplerate, channels, blocksize
        self.device, self._callback, self._finished_callback = device, callback, finished_callback
        self.closed = False
        self._adc_s = 100.0
        keys = (samplerate, (samplerate, channels), "all")
        fault = next((portaudio.refuses[key] for key in keys if key in portaudio.refuses), None)
        if fault is not None and not portaudio.refuses_at_start:
            raise fault
        self._fault = fault

    def start(self):
        self.portaudio.note_call()
        if self._fault is not None:
            raise self._fault
        self.portaudio.streams.append(self)

    def close(self, ignore_errors=True):
        self.portaudio.note_call()
        self.closed = True
        self.portaudio.closed_streams += 1

    def sound(self, n_blocks=1, value=0.1, overflow=False, gap_s=0.0):
        """What the audio thread does."""
        for _ in range(n_blocks):
            self._adc_s += gap_s
            indata = np.full((self.block_frames, self.channels), value, np.float32)
            at = SimpleNamespace(inputBufferAdcTime=self._adc_s)
            status = SimpleNamespace(input_overflow=True) if overflow else None
            self._callback(indata, self.block_frames, at, status)
            indata[:] = 9.0  # the buffer belongs to the library again
            self._adc_s += self.block_frames / self.rate_hz

    def vanish(self):
        self._finished_callback()


class FakePortAudio:
    """Put into sys.modules as "sounddevice"."""

    PortAudioError = PortAudioError

    def __init__(self, *names):
        self.names = list(names)
        self.rates_hz = {}
        self.refuses = {}  # rate, (rate, channels) or "all" -> the error
        self.refuses_at_start = False
        self.deaf = None  # the error with which it answers every question
        self.streams = []
        self.closed_streams = 0
        self.restarts = 0
        self.threads = set()
        self._initialized = 1
        self.default = SimpleNamespace(device=[0, -1])
        self._listed = list(names)  # PortAudio's list is frozen until it is restarted

    def note_call(self):
        self.threads.add(threading.get_ident())

    def query_devices(self):
        self.note_call()
        if self.deaf is not None:
            raise self.deaf
        return [
            {
                "name": name, "hostapi": 0, "max_input_channels": 2,
                "default_samplerate": self.rates_hz.get(name, 44100.0),
            }
            for name in self._listed
        ]

    def query_hostapis(self):
        return [{"name": "Fake"}]

    def _terminate(self):
        self.note_call()
        self._initialized -= 1

    def _initialize(self):
        self.note_call()
        self._initialized += 1
        self.restarts += 1
        self._listed = list(self.names)
        self.default.device = [0 if self.names else -1, -1]

    def InputStream(self, **arguments):  # noqa: N802
        return FakeStream(self, **arguments)
