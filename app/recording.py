"""Sound files as a sound source: WAV, FLAC, OGG, MP3 and whatever else libsndfile knows by its content."""
from __future__ import annotations

from collections import deque
from collections.abc import Callable, Generator
from contextlib import closing
from pathlib import Path
from typing import Any

import numpy as np

from acoustics.blow import Blow, BlowEnded, BlowFinder, Found, Samples
from app.chatter import hushed
from app.errors import WorldError
from app.sound_door import refuse_cut_file, refuse_what_is_no_file, tells_its_length
from app.source import Block, Hearing, Notice

BLOCK_FRAMES = 4096
LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 8_000, 192_000
UNKNOWN_FRAMES = 2**60  # libsndfile announces some such number for a FLAC that was written into a pipe


class Recording:
    """A SoundSource over one file: its loudest channel, block by block, then `ENDED`. Bad files raise WorldError."""

    def __init__(self, path: str | Path) -> None:
        self._path = Path(path)
        self.name = self._path.name
        self.sample_rate_hz = 0  # this and the next are known after `open`
        self.duration_s = 0.0
        self._blocks: Generator[Samples, None, None] | None = None
        self._position_frames = 0
        self._coming: deque[Notice] = deque()

    def open(self) -> None:
        """Look at the file; the first `read` does so by itself."""
        if self.sample_rate_hz:
            return
        refuse_what_is_no_file(self._path)
        with hushed(), _opened(self._path) as file:
            rate_hz, n_frames, n_channels, file_format = file.samplerate, file.frames, file.channels, file.format
        if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
            raise WorldError(
                f"{self.name} has {rate_hz} samples a second; it must be from {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ}; "
                "record it at 48000."
            )
        refuse_cut_file(self._path, file_format)
        self.sample_rate_hz, self.duration_s = rate_hz, n_frames / rate_hz
        channel = self._loudest_channel() if n_channels > 1 else 0
        self._blocks = self._all_blocks(slice(channel, channel + 1))
        self._coming.append(Notice(Hearing.HEARING, self.name, rate_hz))

    def read(self, timeout_s: float) -> Block | Notice | None:
        """The next block, or a notice; None for ever after the end. Never waits."""
        self.open()
        if self._coming:
            return self._coming.popleft()
        if self._blocks is None:
            return None
        samples = next(self._blocks, None)
        if samples is None:
            self._blocks = None
            return Notice(Hearing.ENDED, self.name, self.sample_rate_hz)
        start_s = self._position_frames / self.sample_rate_hz
        self._position_frames += len(samples)
        return Block(samples[:, 0], start_s, self.sample_rate_hz)

    def close(self) -> None:
        self._coming.clear()
        if self._blocks is not None:
            self._blocks.close()
            self._blocks = None

    def _loudest_channel(self) -> int:
        """By mean square over the whole file: a recorder often leaves its second channel empty."""
        with closing(self._all_blocks(slice(None))) as blocks:
            power = sum(np.square(block, dtype=np.float64).sum(axis=0) for block in blocks)
        return int(np.argmax(power))

    def _all_blocks(self, channels: slice) -> Generator[Samples, None, None]:
        """Every frame from the beginning, each sample finite; opened anew, since an MP3 cannot be wound back well."""
        import soundfile

        with hushed():
            file = _opened(self._path)
        with file:
            n_read = 0
            try:
                while len(block := _next_frames(file)):
                    self._refuse_no_numbers(block, n_read)
                    n_read += len(block)
                    yield block[:, channels].copy()
            except soundfile.SoundFileError as trouble:
                raise WorldError(f"{self.name} is damaged after {self._time_text(n_read)}.") from trouble
            if n_read == 0:
                raise WorldError(f"{self.name} holds no sound at all.")
            if n_read < file.frames < UNKNOWN_FRAMES and tells_its_length(self._path, file.format):
                raise WorldError(
                    f"{self.name} is cut short: {self._time_text(file.frames)} announced, {self._time_text(n_read)} "
                    "there; was it copied whole?"
                )

    def _refuse_no_numbers(self, block: Samples, n_before: int) -> None:
        if not np.isfinite(block).all():
            raise WorldError(
                f"{self.name} holds samples that are no numbers near {self._time_text(n_before)}; "
                "export it again as 16-bit or 24-bit sound."
            )

    def _time_text(self, frames: int) -> str:
        return f"{frames / self.sample_rate_hz:.2f} s"


def hear_file(
    path: str | Path,
    range_hz: tuple[float, float] | None = None,
    progress: Callable[[float], None] | None = None,
) -> tuple[int, list[Blow]]:
    """Every blow in the file, with its sample rate. `progress` is told the share done, 0 to 1."""
    blows: list[Blow] = []
    with closing(Recording(path)) as recording:
        recording.open()
        finder = BlowFinder(recording.sample_rate_hz, range_hz)
        while (item := recording.read(0.0)) is not None:
            if isinstance(item, Block):
                blows += _blows(finder.feed(item.samples))
                if progress is not None and recording.duration_s > 0.0:
                    progress(min(1.0, item.start_s / recording.duration_s))
        blows += _blows(finder.finish())
    if progress is not None:
        progress(1.0)
    return recording.sample_rate_hz, blows


def _blows(found: list[Found]) -> list[Blow]:
    return [each.blow for each in found if isinstance(each, BlowEnded)]


def _next_frames(file: Any) -> Samples:
    with hushed():
        block: Samples = file.read(BLOCK_FRAMES, dtype="float32", always_2d=True)
    return block


def _opened(path: Path) -> Any:
    """The file, to be read once from front to back."""
    try:
        import soundfile
    except (ImportError, OSError) as trouble:
        raise WorldError(f"The library that reads sound files cannot be loaded: {trouble}.") from trouble

    class Streamed(soundfile.SoundFile):
        """Between two reads soundfile seeks to where it is; that makes the MP3 decoder lose half of the next frames."""

        def seekable(self) -> bool:
            return False

    try:
        return Streamed(str(path))
    except (soundfile.SoundFileError, TypeError) as trouble:  # TypeError: headerless sound, its rate unknown
        raise WorldError(
            f"{path.name} is no sound file that can be read, or is damaged; use WAV, FLAC, OGG or MP3."
        ) from trouble
