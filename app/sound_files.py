"""Keeps the sound of blows as FLAC files, on a thread of its own: a slow or full disk never holds up the listening.

A file appears under its name only when it is whole and on the disk: it is written beside it, flushed, then renamed.
"""
from __future__ import annotations

import errno
import io
import logging
import os
import threading
import uuid
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from queue import Empty, Full, Queue

from acoustics.blow import Samples

SUBFOLDER = "blows"
MAX_WAITING = 16  # some 10 MB of blows; a disk that falls further behind is not going to catch up
TEMPORARY_SUFFIX = ".part"
_PLAIN_WORDS = {
    errno.ENOSPC: "the disk is full",
    errno.EDQUOT: "the disk is full",
    errno.EROFS: "the disk is read-only",
    errno.EACCES: "the folder may not be written",
    errno.EPERM: "the folder may not be written",
    errno.ENOTDIR: "a file lies where the folder should be",
    errno.EEXIST: "a file lies where the folder should be",
}

log = logging.getLogger(__name__)


@dataclass(frozen=True)
class SoundKept:
    name: str  # relative to the journal's folder


@dataclass(frozen=True)
class SoundNotKept:
    name: str
    why: str  # one plain sentence


@dataclass(frozen=True)
class _Job:
    name: str
    samples: Samples
    sample_rate_hz: int


class SoundFiles:
    """`report` is called once for each `keep` that was taken up, on the writing thread or on the caller's."""

    def __init__(
        self,
        journal_folder: Path,
        report: Callable[[SoundKept | SoundNotKept], None],
        switched_on: bool = True,
        max_waiting: int = MAX_WAITING,
    ) -> None:
        self._folder = journal_folder / SUBFOLDER
        self._report = report
        self._switched_on = switched_on
        self._waiting: Queue[_Job | None] = Queue(max_waiting)
        self._disk = threading.Lock()  # held while a file is written, and while all are deleted
        self._thread = threading.Thread(target=self._run, name="sound files", daemon=True)

    def start(self) -> None:
        self._thread.start()

    def switch(self, on: bool) -> None:
        """Begin or cease to keep; what was kept stays."""
        self._switched_on = on

    def keep(self, samples: Samples, sample_rate_hz: int) -> str | None:
        """The name the file is going to bear, relative to the journal's folder; never waits for the disk.

        None, with nothing reported, when switched off. Whether the file was made is reported later.
        """
        if not self._switched_on:
            return None
        name = f"{SUBFOLDER}/{uuid.uuid4()}.flac"
        try:
            self._waiting.put_nowait(_Job(name, samples, sample_rate_hz))
        except Full:
            self._tell(SoundNotKept(name, "The sound of this blow was not kept: the disk is too slow."))
            return None
        return name

    def delete_all(self) -> int:
        """Delete every kept sound, also those still waiting; the number of files deleted. May raise OSError."""
        with self._disk:
            self._forget_waiting()
            files = list(self._folder.glob("*.flac")) + list(self._folder.glob(f"*{TEMPORARY_SUFFIX}"))
            for file in files:
                file.unlink(missing_ok=True)
            return len(files)

    def stop(self, timeout_s: float = 10.0) -> bool:
        """Write what is waiting, then end; False if the disk would not come back."""
        if self._thread.ident is None:
            return True
        self._switched_on = False
        try:
            self._waiting.put(None, timeout=timeout_s)
        except Full:
            return False
        self._thread.join(timeout_s)
        return not self._thread.is_alive()

    def _forget_waiting(self) -> None:
        try:
            while True:
                job = self._waiting.get_nowait()
                if job is None:
                    self._waiting.put_nowait(None)
                    return
                self._tell(SoundNotKept(job.name, "The sound of this blow was deleted before it was written."))
        except Empty:
            return

    def _run(self) -> None:
        while (job := self._waiting.get()) is not None:
            try:
                with self._disk:
                    outcome: SoundKept | SoundNotKept = self._write(job)
            except OSError as trouble:
                words = _PLAIN_WORDS.get(trouble.errno or 0, trouble.strerror or str(trouble))
                outcome = SoundNotKept(job.name, f"The sound of this blow was not kept: {words}.")
            except Exception as fault:
                log.exception("a sound file could not be made")
                outcome = SoundNotKept(job.name, f"The sound of this blow was not kept: {fault}.")
            self._tell(outcome)

    def _tell(self, outcome: SoundKept | SoundNotKept) -> None:
        try:
            self._report(outcome)
        except Exception:
            log.exception("nobody took the news of a sound file")

    def _write(self, job: _Job) -> SoundKept:
        encoded = _flac(job.samples, job.sample_rate_hz)
        self._folder.mkdir(parents=True, exist_ok=True)
        whole = self._folder.parent / job.name
        part = whole.with_suffix(TEMPORARY_SUFFIX)
        try:
            with part.open("wb") as file:
                file.write(encoded)
                file.flush()
                os.fsync(file.fileno())
            part.replace(whole)
        except OSError:
            with suppress(OSError):  # the first trouble is the one to tell
                part.unlink(missing_ok=True)
            raise
        _flush_folder(self._folder)
        return SoundKept(job.name)


def _flac(samples: Samples, sample_rate_hz: int) -> bytes:
    """24 bits: what the converter gave is kept whole. Made in memory, so that a full disk is met in one place."""
    import soundfile

    encoded = io.BytesIO()
    soundfile.write(encoded, samples, sample_rate_hz, format="FLAC", subtype="PCM_24")
    return encoded.getvalue()


def _flush_folder(folder: Path) -> None:
    """Make the new name itself lasting, where the system lets a folder be opened."""
    if os.name != "posix":
        return
    descriptor = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
