"""Blows kept as FLAC files: whole or not at all, and never at the cost of the listening."""
import os
import queue
import shutil
import subprocess
import threading

import numpy as np
import pytest
import soundfile

from app import sound_files
from app.sound_files import SoundFiles, SoundKept, SoundNotKept

RATE_HZ = 48000
BLOW = (0.3 * np.sin(2.0 * np.pi * 600.0 * np.arange(RATE_HZ) / RATE_HZ)).astype(np.float32)


@pytest.fixture
def news():
    return queue.SimpleQueue()


@pytest.fixture
def keeping(news):
    """Makes keepers that are stopped at the end."""
    made = []

    def make(folder, start=True, **options):
        made.append(SoundFiles(folder, news.put, **options))
        if start:
            made[-1].start()
        return made[-1]

    yield make
    assert all([each.stop() for each in made])


def files_in(folder):
    return sorted(path.name for path in folder.rglob("*") if path.is_file())


def test_blow_is_kept_whole_under_the_name_that_was_promised(tmp_path, news, keeping):
    name = keeping(tmp_path).keep(BLOW, RATE_HZ)
    assert news.get(timeout=10.0) == SoundKept(name)
    sound, rate_hz = soundfile.read(tmp_path / name, dtype="float32")
    assert rate_hz == RATE_HZ
    assert np.abs(sound - BLOW).max() < 2.0**-23  # by hand: one step of 24 bits
    assert files_in(tmp_path) == [name.partition("/")[2]], "nothing temporary is left"


@pytest.mark.parametrize("rate_hz", [8000, 44100, 192000])
def test_any_rate_is_kept(tmp_path, news, keeping, rate_hz):
    name = keeping(tmp_path).keep(BLOW, rate_hz)
    news.get(timeout=10.0)
    assert soundfile.info(tmp_path / name).samplerate == rate_hz


def test_name_appears_only_when_the_file_is_on_the_disk(tmp_path, news, keeping, monkeypatch):
    """At the flush, the file must be there under another name, whole."""
    seen = []

    def flush(descriptor, flushed=os.fsync):
        seen.append(files_in(tmp_path))
        flushed(descriptor)

    monkeypatch.setattr(os, "fsync", flush)
    name = keeping(tmp_path).keep(BLOW, RATE_HZ)
    news.get(timeout=10.0)
    stem = name.partition("/")[2].removesuffix(".flac")
    assert seen == [[f"{stem}.part"], [f"{stem}.flac"]]  # the file, then its folder


def test_switched_off_nothing_is_kept(tmp_path, news, keeping):
    keeper = keeping(tmp_path, switched_on=False)
    assert keeper.keep(BLOW, RATE_HZ) is None
    keeper.switch(on=True)
    assert keeper.keep(BLOW, RATE_HZ) is not None
    assert isinstance(news.get(timeout=10.0), SoundKept)


def test_stop_writes_what_is_waiting(tmp_path, news, keeping):
    keeper = keeping(tmp_path, start=False)
    names = [keeper.keep(BLOW, RATE_HZ) for _ in range(3)]
    keeper.start()
    assert keeper.stop()
    assert files_in(tmp_path) == sorted(name.partition("/")[2] for name in names)


def test_disk_that_falls_behind_is_told_and_nobody_waits(tmp_path, news, keeping):
    keeper = keeping(tmp_path, start=False, max_waiting=2)
    assert [keeper.keep(BLOW, RATE_HZ) is None for _ in range(3)] == [False, False, True]
    refused = news.get_nowait()
    assert isinstance(refused, SoundNotKept)
    assert "too slow" in refused.why
    keeper.start()


def not_kept(news):
    refused = news.get(timeout=10.0)
    assert isinstance(refused, SoundNotKept)
    assert refused.why.startswith("The sound of this blow was not kept: ")
    assert refused.why.endswith(".")
    return refused.why


@pytest.mark.skipif(os.name != "posix" or os.geteuid() != 0, reason="only root may mount a tiny disk")
def test_full_disk_is_told_and_the_next_blow_is_kept_when_there_is_room(tmp_path, news, keeping):
    disk = tmp_path / "disk"
    disk.mkdir()
    if subprocess.run(["mount", "-t", "tmpfs", "-o", "size=96k", "tmpfs", str(disk)], capture_output=True).returncode:
        pytest.skip("this machine lets nobody mount a tiny disk")
    try:
        keeper = keeping(disk)
        (disk / "ballast").write_bytes(bytes(80_000))
        keeper.keep(np.random.default_rng(1).uniform(-0.5, 0.5, RATE_HZ).astype(np.float32), RATE_HZ)
        assert "the disk is full" in not_kept(news)
        assert files_in(disk) == ["ballast"], "nothing half written is left"
        (disk / "ballast").unlink()
        keeper.keep(BLOW[:4000], RATE_HZ)
        assert isinstance(news.get(timeout=10.0), SoundKept)
        assert keeper.stop()
    finally:
        subprocess.run(["umount", str(disk)], check=True)


@pytest.mark.parametrize(("number", "words"), [(28, "the disk is full"), (30, "the disk is read-only"),
                                               (13, "the folder may not be written")])
def test_refusals_of_the_disk_by_table(tmp_path, news, keeping, monkeypatch, number, words):
    """The numbers are those of errno.h (published): ENOSPC, EROFS, EACCES. The refusal is put in by hand."""
    def refuse(*arguments):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", refuse)
    keeping(tmp_path).keep(BLOW, RATE_HZ)
    assert words in not_kept(news)
    assert files_in(tmp_path) == []


def test_file_in_place_of_the_folder_is_told(tmp_path, news, keeping):
    (tmp_path / "blows").write_text("")
    keeping(tmp_path).keep(BLOW, RATE_HZ)
    assert "a file lies where the folder should be" in not_kept(news)


@pytest.mark.logs_warnings
def test_fault_in_making_a_file_is_told_and_the_thread_lives_on(tmp_path, news, keeping):
    keeper = keeping(tmp_path)
    keeper.keep(BLOW, -1)  # no such rate
    not_kept(news)
    keeper.keep(BLOW, RATE_HZ)
    assert isinstance(news.get(timeout=10.0), SoundKept)


@pytest.mark.logs_warnings
def test_one_who_fails_to_take_the_news_does_not_end_the_keeping(tmp_path):
    told = queue.SimpleQueue()

    def report(outcome):
        told.put(outcome)
        raise RuntimeError("nobody home")

    keeper = SoundFiles(tmp_path, report)
    keeper.start()
    keeper.keep(BLOW, RATE_HZ)
    keeper.keep(BLOW, RATE_HZ)
    assert [type(told.get(timeout=10.0)) for _ in range(2)] == [SoundKept, SoundKept]
    assert keeper.stop()


def test_deleting_all_takes_sounds_and_leaves_everything_else(tmp_path, news, keeping):
    keeper = keeping(tmp_path)
    for _ in range(3):
        keeper.keep(BLOW, RATE_HZ)
        news.get(timeout=10.0)
    (tmp_path / "journal.sqlite").write_text("")
    (tmp_path / "blows" / "notes.txt").write_text("")
    (tmp_path / "blows" / "broken.part").write_text("")
    assert keeper.delete_all() == 4
    assert files_in(tmp_path) == ["journal.sqlite", "notes.txt"]


def test_deleting_all_includes_what_was_still_waiting(tmp_path, news, keeping):
    keeper = keeping(tmp_path, start=False)
    keeper.keep(BLOW, RATE_HZ)
    keeper.delete_all()
    assert isinstance(news.get_nowait(), SoundNotKept)
    keeper.start()
    assert keeper.stop()
    assert files_in(tmp_path) == []


def test_deleting_where_nothing_was_ever_kept_deletes_nothing(tmp_path, keeping):
    assert keeping(tmp_path / "none").delete_all() == 0


def test_keeper_does_not_hold_up_its_caller_while_the_disk_is_stuck(tmp_path, news, keeping, monkeypatch):
    stuck, let_go = threading.Event(), threading.Event()

    def hang(encoded, real=sound_files._flush_folder):
        stuck.set()
        assert let_go.wait(20.0)
        real(encoded)

    monkeypatch.setattr(sound_files, "_flush_folder", hang)
    keeper = keeping(tmp_path)
    keeper.keep(BLOW, RATE_HZ)
    assert stuck.wait(10.0)
    names = [keeper.keep(BLOW, RATE_HZ) for _ in range(4)]
    assert all(names), "taken up while the disk does not answer"
    assert news.empty()
    let_go.set()
    assert [type(news.get(timeout=10.0)) for _ in range(5)] == [SoundKept] * 5
    shutil.rmtree(tmp_path / "blows")
