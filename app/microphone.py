"""The microphone as a sound source. The only file that knows PortAudio.

The device may vanish, be taken by another program, or stay silent at any time: each such change is said once as a
`Notice`, and the device is looked for until it sounds again. PortAudio freezes its list of devices when it starts, so
every new search restarts it; that ends all its streams, hence one thread (the one that reads) makes all the calls.
"""
from __future__ import annotations

import threading
import time
from collections import deque
from dataclasses import dataclass
from queue import Empty
from typing import Any

from app.chatter import hushed
from app.errors import WorldError
from app.loudspeaker import Loudspeaker
from app.source import Block, Hearing, Notice
from app.tape import BrokenOff, Tape
from app.tones import Sound

WATCHDOG_S = 1.0  # no callback for so long: some losses (a suspended device) are announced by nothing else
FIRST_SOUND_S = 3.0  # a sleeping sound server has been seen to take 2 s
RETRY_S = 0.5
ENDING_S = 2.0  # beyond its length, a sound that did not end is broken off
LIBRARY_RETRY_S = 5.0  # looking for the library starts other programs
RETURN_S = 3.0  # how long a lost named device may take to come back before the default one is heard instead
MUTED_S = 2.0  # exact zeros for so long come from a switch or a refused permission, never from a room
QUEUE_S = 10.0  # what the listener may fall behind before sound is lost
NO_LIBRARY_TEXT = "The sound library PortAudio is not installed; on Debian or Ubuntu: sudo apt install libportaudio2."

_portaudio = threading.Lock()
_open_count = 0  # guarded by _portaudio: PortAudio is never restarted under an open stream


class _NoDevice(Exception):
    """Nothing to open."""


@dataclass(frozen=True)
class DeviceInfo:
    """One device that can record."""

    name: str
    host_api: str
    channels: int
    default_sample_rate_hz: int
    is_default: bool


def list_devices() -> tuple[DeviceInfo, ...]:
    """The microphones there are; while one is open, as of when it was opened. WorldError without PortAudio."""
    with _portaudio, hushed():
        try:
            sd = _library()
        except (ImportError, OSError) as trouble:
            raise WorldError(NO_LIBRARY_TEXT) from trouble
        try:
            return tuple(info for _, info in _inputs(sd))
        except sd.PortAudioError as trouble:
            raise WorldError(f"The sound system does not say which microphones it has: {trouble.args[0]}.") from trouble


def sound_alone(sound: Sound, break_off: threading.Event) -> bool:
    """Sound this while no microphone is open, until it is over or broken off; False when nothing sounded."""
    global _open_count
    loudspeaker = Loudspeaker()
    with _portaudio, hushed():
        try:
            sd = _library()
        except (ImportError, OSError):
            return False
        sounding_s = loudspeaker.play(sd, sound)
        if sounding_s <= 0.0:
            return False
        _open_count += 1
    try:
        loudspeaker.wait(sounding_s + ENDING_S, break_off)
    finally:
        with _portaudio, hushed():
            loudspeaker.close()
            _open_count -= 1
    return True


def _library() -> Any:
    """Return sounddevice, with a list of devices made now unless a stream is open."""
    import sys

    loaded = "sounddevice" in sys.modules
    import sounddevice as sd

    if loaded and _open_count == 0:
        if sd._initialized:
            sd._terminate()
        sd._initialize()
    return sd


def _inputs(sd: Any) -> list[tuple[int, DeviceInfo]]:
    """Every device that can record, with PortAudio's index for it."""
    apis = sd.query_hostapis()
    default_index = sd.default.device[0]
    return [
        (
            index,
            DeviceInfo(
                name=device["name"],
                host_api=apis[device["hostapi"]]["name"],
                channels=device["max_input_channels"],
                default_sample_rate_hz=round(device["default_samplerate"]),
                is_default=index == default_index,
            ),
        )
        for index, device in enumerate(sd.query_devices())
        if device["max_input_channels"] > 0
    ]


def fault_hearing(code: int | None, host_code: int | None, text: str) -> Hearing:
    """What a refusal by PortAudio means for the maker.

    Codes from portaudio.h (paDeviceUnavailable -9985), errno.h (EPERM 1, EACCES 13, EBUSY 16, negative in ALSA) and
    Windows' headers (E_ACCESSDENIED, AUDCLNT_E_DEVICE_IN_USE).
    """
    lowered = text.lower()
    if host_code in (-1, -13, -2147024891) or "permission" in lowered or "denied" in lowered:
        return Hearing.REFUSED
    if code == -9985 or host_code in (-16, -2004287478) or "busy" in lowered or "in use" in lowered:
        return Hearing.BUSY
    return Hearing.NO_DEVICE


class Microphone:
    """A SoundSource that opens at the first `read` and outlives its device."""

    def __init__(self, device_name: str | None = None, sample_rate_hz: int = 48000, block_frames: int = 480) -> None:
        self.name = device_name or "default microphone"
        self._device_name = device_name
        self._asked_rate_hz = sample_rate_hz
        self._block_frames = block_frames
        self._stream: Any = None
        self._tape: Tape | None = None
        self._label = self.name  # of the device that is open
        self._rate_hz = sample_rate_hz
        self._sounding = False  # this stream has delivered
        self._opened_s = 0.0  # this and the next two on the monotonic clock
        self._next_try_s = 0.0
        self._heard: BrokenOff | None = None  # the end of the latest block
        self._zeros_s = 0.0
        self._said: Hearing | None = None
        self._coming: deque[Block | Notice] = deque()
        self._loudspeaker = Loudspeaker()

    def read(self, timeout_s: float) -> Block | Notice | None:
        """The next block or change of state; None when nothing came within `timeout_s`."""
        if self._loudspeaker.over:
            with _portaudio, hushed():
                self._loudspeaker.close()
        if not self._coming:
            if self._tape is None:
                self._open_when_due(timeout_s)
            else:
                self._listen(self._tape, timeout_s)
        return self._coming.popleft() if self._coming else None

    def play(self, sound: Sound) -> float:
        """Begin a signal; seconds of sound, from the last block read, until it has left the loudspeaker.

        Only while this microphone is open, so that PortAudio is never restarted under an open output.
        """
        if self._tape is None:
            return 0.0
        import sounddevice as sd

        with _portaudio, hushed():
            sounding_s = self._loudspeaker.play(sd, sound)
        unread_s = self._tape.blocks.qsize() * self._block_frames / self._rate_hz
        return sounding_s + unread_s if sounding_s > 0.0 else 0.0

    def close(self) -> None:
        """Let the device go; a later `read` would open it again."""
        global _open_count
        stream, self._stream, self._tape = self._stream, None, None
        if stream is not None:
            with _portaudio, hushed():
                self._loudspeaker.close()
                stream.close(ignore_errors=True)
                _open_count -= 1

    def _say(self, hearing: Hearing, detail: str, sample_rate_hz: int | None = None) -> None:
        """Announce a change; a device that had been heard and is not found stays `LOST`."""
        if hearing is Hearing.NO_DEVICE and self._heard is not None:
            hearing = Hearing.LOST
        if hearing is not self._said:
            self._said = hearing
            self._coming.append(Notice(hearing, detail, sample_rate_hz))

    # ---- opening -------------------------------------------------------------------------------------------------
    def _open_when_due(self, timeout_s: float) -> None:
        if self._said is None:
            self._say(Hearing.OPENING, self.name)
            return
        wait_s = self._next_try_s - time.monotonic()
        if wait_s > 0.0:
            time.sleep(min(wait_s, timeout_s))
            return
        retry_s = RETRY_S
        try:
            with _portaudio, hushed():
                self._open(_library())
        except (ImportError, OSError) as trouble:  # the library itself
            retry_s = LIBRARY_RETRY_S
            self._say(Hearing.NO_LIBRARY, str(trouble))
        except _NoDevice as trouble:
            self._say(Hearing.NO_DEVICE, str(trouble))
        except Exception as trouble:
            self._say_fault(trouble)
        self._next_try_s = time.monotonic() + retry_s

    def _say_fault(self, trouble: Exception) -> None:
        import sounddevice as sd

        if not isinstance(trouble, sd.PortAudioError):
            raise trouble
        text, code, host = (*trouble.args, None, None)[:3]
        self._say(fault_hearing(code, host[1] if host else None, f"{text} {host[2] if host else ''}"), str(trouble))

    def _open(self, sd: Any) -> None:
        global _open_count
        index, info = self._choose(_inputs(sd))
        first_fault: Exception | None = None
        for rate_hz, channels in self._ways(info):
            tape = Tape(rate_hz, max(1, round(QUEUE_S * rate_hz / self._block_frames)), self._heard)
            try:
                stream = self._start(sd, index, rate_hz, channels, tape)
            except sd.PortAudioError as fault:
                first_fault = first_fault or fault
                continue
            _open_count += 1
            self._stream, self._tape, self._rate_hz = stream, tape, rate_hz
            self._opened_s, self._sounding, self._zeros_s = time.monotonic(), False, 0.0
            return
        raise first_fault or _NoDevice("no way to open it")

    def _start(self, sd: Any, index: int, rate_hz: int, channels: int, tape: Tape) -> Any:
        stream = sd.InputStream(
            samplerate=rate_hz,
            channels=channels,
            dtype="float32",
            blocksize=self._block_frames,  # left to itself it becomes irregular
            latency="low",
            device=index,
            callback=tape.take,
            finished_callback=tape.finished,
        )
        try:
            stream.start()
        except sd.PortAudioError:
            stream.close(ignore_errors=True)
            raise
        return stream

    def _ways(self, info: DeviceInfo) -> list[tuple[int, int]]:
        """Rates and channels to try, best first: some devices open only at their own rate, or only in stereo."""
        rates = dict.fromkeys((self._asked_rate_hz, info.default_sample_rate_hz))
        return [(rate_hz, channels) for channels in dict.fromkeys((1, min(2, info.channels))) for rate_hz in rates]

    def _choose(self, found: list[tuple[int, DeviceInfo]]) -> tuple[int, DeviceInfo]:
        """The named device, else the default one."""
        named = [entry for entry in found if entry[1].name == self._device_name]
        if self._device_name and not named and self._may_yet_return():
            raise _NoDevice(f"{self._device_name} is gone")
        candidates = named or found
        if not candidates:
            raise _NoDevice("no microphone found")
        index, info = next((entry for entry in candidates if entry[1].is_default), candidates[0])
        missing = bool(self._device_name) and not named
        self._label = f"{info.name} ({self._device_name} is not there)" if missing else info.name
        return index, info

    def _may_yet_return(self) -> bool:
        return self._heard is not None and time.monotonic() - self._heard.monotonic_s < RETURN_S

    # ---- hearing -------------------------------------------------------------------------------------------------
    def _listen(self, tape: Tape, timeout_s: float) -> None:
        try:
            block = tape.blocks.get(timeout=timeout_s)
        except Empty:
            self._watch()
            return
        if block is None:
            self._lose(Hearing.LOST if self._sounding else Hearing.NO_DEVICE, "the device ended")
            return
        self._sounding = True
        self._heard = BrokenOff(block.start_s + len(block.samples) / block.sample_rate_hz, time.monotonic())
        self._note_zeros(block)
        self._coming.append(block)

    def _note_zeros(self, block: Block) -> None:
        self._zeros_s = 0.0 if block.samples.any() else self._zeros_s + len(block.samples) / block.sample_rate_hz
        if self._zeros_s >= MUTED_S:
            self._say(Hearing.SILENT, f"{self._label} sends nothing but zeros")
        elif self._zeros_s == 0.0 or self._said is not Hearing.SILENT:
            self._say(Hearing.HEARING, self._label, self._rate_hz)

    def _watch(self) -> None:
        now_s = time.monotonic()
        if self._sounding and self._heard is not None:
            if now_s - self._heard.monotonic_s > WATCHDOG_S:
                self._lose(Hearing.LOST, "no sound arrives")
        elif now_s - self._opened_s > FIRST_SOUND_S:
            self._lose(Hearing.SILENT, f"{self._label} is open, but no sound arrives")

    def _lose(self, hearing: Hearing, why: str) -> None:
        self.close()
        self._next_try_s = time.monotonic() + RETRY_S
        self._say(hearing, why)
