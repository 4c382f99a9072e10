"""Sound files as a sound source: WAV, FLAC, OGG, MP3 and whatever else libsndfile knows by its content."""
from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator
from contextlib import closing
from pathlib import Path
from struct import unpack
from typing import Any

import numpy as np

from acoustics.blow import Blow, BlowEnded, BlowFinder, Found, Samples
from app.chatter import hushed
from app.errors import WorldError
from app.source import Block, Hearing, Notice

BLOCK_FRAMES = 4096
LOWEST_RATE_HZ, HIGHEST_RATE_HZ = 8_000, 192_000


class Recording:
    """A SoundSource over one file: its loudest channel, block by block, then `ENDED`. Bad files raise WorldError."""

    def __init__(self, path: str | Path) -> None:
        self._path = Path(path)
        self.name = self._path.name
        self.sample_rate_hz = 0  # this and the next are known after `open`
        self.duration_s = 0.0
        self._file: Any = None
        self._blocks: Iterator[Samples] = iter(())
        self._position_frames = 0
        self._coming: deque[Notice] = deque()
        self._opened = False

    def open(self) -> None:
        """Look at the file; `read` does so by itself."""
        if self._opened:
            return
        _refuse_what_is_no_file(self._path)
        self._file = _opened(self._path)
        self._opened = True
        self.sample_rate_hz = self._file.samplerate
        self.duration_s = self._file.frames / self.sample_rate_hz
        _refuse_rate(self._path, self.sample_rate_hz)
        _refuse_cut_wav(self._path, self._file.format)
        channel = self._loudest_channel()
        self._blocks = (block[:, channel].copy() for block in self._all_blocks())
        self._coming.append(Notice(Hearing.HEARING, self.name, self.sample_rate_hz))

    def read(self, timeout_s: float) -> Block | Notice | None:
        """The next block, or a notice; None for ever after the end."""
        self.open()
        if self._coming:
            return self._coming.popleft()
        samples = next(self._blocks, None)
        if samples is not None:
            start_s = self._position_frames / self.sample_rate_hz
            self._position_frames += len(samples)
            return Block(samples, start_s, self.sample_rate_hz)
        if self._file is not None:
            self.close()
            return Notice(Hearing.ENDED, self.name, self.sample_rate_hz)
        return None

    def close(self) -> None:
        self._blocks = iter(())
        if self._file is not None:
            with hushed():
                self._file.close()
            self._file = None

    def _loudest_channel(self) -> int:
        """By mean square over the whole file: a recorder often leaves its second channel empty."""
        if self._file.channels == 1:
            return 0
        power = np.zeros(self._file.channels)
        for block in self._all_blocks():
            power += np.square(block, dtype=np.float64).sum(axis=0)
        return int(power.argmax())

    def _all_blocks(self) -> Iterator[Samples]:
        """Every frame from the beginning, all channels, each sample finite."""
        import soundfile

        frames_read = 0
        try:
            with hushed():
                self._file.seek(0)
            while len(block := self._next_frames()):
                if not np.isfinite(block).all():
                    raise WorldError(
                        f"{self._path.name} holds samples that are no numbers near {self._time_text(frames_read)}; "
                        "export it again as 16-bit or 24-bit sound."
                    )
                frames_read += len(block)
                yield block
        except soundfile.SoundFileError as trouble:
            raise WorldError(f"{self._path.name} is damaged after {self._time_text(frames_read)}.") from trouble
        self._refuse_if_cut(frames_read)

    def _next_frames(self) -> Samples:
        with hushed():
            block: Samples = self._file.read(BLOCK_FRAMES, dtype="float32", always_2d=True)
        return block

    def _refuse_if_cut(self, frames_read: int) -> None:
        if frames_read == 0:
            raise WorldError(f"{self._path.name} holds no sound at all.")
        if frames_read < self._file.frames and (self._file.format != "MP3" or _length_is_exact(self._path)):
            raise WorldError(
                f"{self._path.name} is cut short: {self._time_text(self._file.frames)} announced, "
                f"{self._time_text(frames_read)} there; was it copied whole?"
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
                if progress is not None:
                    progress(min(1.0, item.start_s / recording.duration_s))
        blows += _blows(finder.finish())
        if progress is not None:
            progress(1.0)
        return recording.sample_rate_hz, blows


def _blows(found: list[Found]) -> list[Blow]:
    return [each.blow for each in found if isinstance(each, BlowEnded)]


def _refuse_what_is_no_file(path: Path) -> None:
    """Say what is wrong with the path before a library says it worse."""
    try:
        if path.is_dir():
            raise WorldError(f"{path} is a folder; name the sound file in it.")
        if path.exists() and not path.is_file():
            raise WorldError(f"{path} is a device or a pipe, not a sound file.")
        with path.open("rb") as file:
            first = file.read(1)
    except FileNotFoundError as trouble:
        raise WorldError(f"There is no file {path}.") from trouble
    except PermissionError as trouble:
        raise WorldError(f"{path} may not be read: its permissions forbid it.") from trouble
    except (OSError, ValueError) as trouble:  # ValueError: a null character in the name
        raise WorldError(f"{path} cannot be read: {getattr(trouble, 'strerror', None) or trouble}.") from trouble
    if not first:
        raise WorldError(f"{path.name} is empty; was the recording ever saved?")


def _opened(path: Path) -> Any:
    try:
        import soundfile
    except (ImportError, OSError) as trouble:
        raise WorldError(f"The library that reads sound files cannot be loaded: {trouble}.") from trouble
    try:
        with hushed():
            return soundfile.SoundFile(str(path))
    except (soundfile.SoundFileError, TypeError) as trouble:  # TypeError: headerless sound, its rate unknown
        raise WorldError(
            f"{path.name} is no sound file that can be read, or is damaged; use WAV, FLAC, OGG or MP3."
        ) from trouble


def _refuse_rate(path: Path, rate_hz: int) -> None:
    if not LOWEST_RATE_HZ <= rate_hz <= HIGHEST_RATE_HZ:
        raise WorldError(
            f"{path.name} has {rate_hz} samples a second; it must be from {LOWEST_RATE_HZ} to {HIGHEST_RATE_HZ}; "
            "record it at 48000."
        )


def _refuse_cut_wav(path: Path, file_format: str) -> None:
    """A WAV that ends before its header says so is read by libsndfile without a word."""
    if file_format not in ("WAV", "WAVEX"):
        return
    size_bytes = path.stat().st_size
    with path.open("rb") as file:
        order = "<" if file.read(4) == b"RIFF" else ">"
        file.seek(12)
        while len(head := file.read(8)) == 8:
            chunk, length_bytes = unpack(f"{order}4sI", head)
            left_bytes = size_bytes - file.tell()
            if chunk == b"data":
                # 0 and the largest number stand for "not known yet": the recorder was stopped hard.
                if left_bytes < length_bytes < 0xFFFFFF00:
                    raise WorldError(
                        f"{path.name} is cut short: {length_bytes} bytes of sound announced, {left_bytes} there; "
                        "was it copied whole?"
                    )
                return
            file.seek(length_bytes + length_bytes % 2, 1)


def _length_is_exact(path: Path) -> bool:
    """An MP3 tells its length only in a tag of its first frame; otherwise it is guessed from the file's size."""
    with path.open("rb") as file:
        head = file.read(8192)
    return b"Xing" in head or b"Info" in head
