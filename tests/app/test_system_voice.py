"""The system's voice: found on the path, spoken without a shell, the newest sentence wins. The voices are scripts."""
import logging
import os
import sys
import threading

import pytest

from app import system_voice
from app.system_voice import NO_VOICE, Speaker, Voice, find_voice, no_voice_text

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="the stand-ins for a voice are shell scripts")
PATIENCE_S = 30.0  # an upper bound for a machine that is busy; nothing is judged by it


class Turns:
    """Gives the turn at once, or when told; notes when the voice ended."""

    def __init__(self, at_once=True):
        self.at_once, self.waiting, self.ended = at_once, [], threading.Semaphore(0)
        self.asked = threading.Event()

    def await_turn(self, begin):
        self.waiting.append(begin)
        self.asked.set()
        if self.at_once:
            begin()

    def voice_ended(self):
        self.ended.release()

    def wait_for_end(self):
        assert self.ended.acquire(timeout=PATIENCE_S), "the voice did not end"


@pytest.fixture
def voices(tmp_path, monkeypatch):
    """A folder that is the whole path, for scripts that stand in for voices."""
    folder = tmp_path / "voices"
    folder.mkdir()
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.setenv("PATH", str(folder))
    return folder


def put(folder, name, *lines):
    script = folder / name
    script.write_text("\n".join(["#!/bin/sh", *lines, ""]))
    script.chmod(0o755)


@pytest.fixture
def said(tmp_path):
    """A pipe that the scripts write into: reading it waits for them."""
    path = tmp_path / "said"
    os.mkfifo(path)
    keeper = os.open(path, os.O_RDWR)  # so that it is never at its end between two of them
    yield path
    os.close(keeper)


def speaker_of(turns):
    voice = find_voice()
    assert voice is not None
    return Speaker(voice, turns)


def test_voice_that_is_silent_as_soon_as_it_is_ended_comes_first(voices):
    put(voices, "spd-say")
    assert find_voice().command[0] == "spd-say"
    put(voices, "espeak-ng")
    assert find_voice().command[0] == "espeak-ng"


def test_without_a_voice_one_sentence_says_what_to_install(voices):
    assert find_voice() is None
    assert "install espeak-ng" in no_voice_text()


@pytest.mark.parametrize(("platform", "name"), [("darwin", "say"), ("win32", "powershell")])
def test_other_systems_speak_by_what_they_bring_along(voices, monkeypatch, platform, name):
    monkeypatch.setattr(sys, "platform", platform)
    monkeypatch.setattr(system_voice.shutil, "which", lambda command: command if command == name else None)
    assert find_voice().command[0] == name
    assert no_voice_text() == NO_VOICE[platform]


def test_sentence_is_one_argument_and_no_shell_reads_it(voices, said):
    put(voices, "espeak-ng", f'for each in "$@"; do echo "[$each]"; done > {said}; echo end > {said}')
    turns, sentence = Turns(), "Trim $(echo it); stop 'here' | now."
    speaker = speaker_of(turns)
    speaker.say(sentence)
    with said.open() as heard:
        lines = list(iter(heard.readline, "end\n"))
    assert lines == ["[-v]\n", "[en]\n", f"[{sentence}]\n"]
    turns.wait_for_end()
    speaker.stop()


def test_sentence_for_a_voice_that_is_a_script_goes_by_the_environment(voices, said):
    put(voices, "powershell", f'echo "$# $WHISTLEWRIGHT_SENTENCE" > {said}')
    turns = Turns()
    speaker = Speaker(Voice(("powershell", "-Command"), (), by_environment=True), turns)
    speaker.say("Blow chamber B.")
    with said.open() as heard:
        assert heard.readline() == "1 Blow chamber B.\n"
    turns.wait_for_end()
    speaker.stop()


def test_newer_sentence_breaks_the_older_one_off(voices, said):
    put(voices, "espeak-ng", f'echo "$3" > {said}', 'case "$3" in Old*) exec /bin/sleep 1000;; esac')
    turns = Turns()
    speaker = speaker_of(turns)
    with said.open() as heard:
        speaker.say("Old sentence.")
        assert heard.readline() == "Old sentence.\n"
        speaker.say("New sentence.")
        assert heard.readline() == "New sentence.\n"
    for _ in range(2):
        turns.wait_for_end()
    speaker.stop()


def test_stop_silences_the_voice_at_once(voices, said):
    put(voices, "espeak-ng", f'echo "$$" > {said}', "exec /bin/sleep 1000")
    turns = Turns()
    speaker = speaker_of(turns)
    speaker.say("A long sentence.")
    with said.open() as heard:
        pid = int(heard.readline())
    speaker.stop()
    turns.wait_for_end()
    with pytest.raises(ProcessLookupError):
        os.kill(pid, 0)


def test_voice_that_speaks_elsewhere_is_told_to_be_silent(voices, said):
    put(voices, "spd-say", f'echo "$1" > {said}', 'if [ "$1" != --cancel ]; then exec /bin/sleep 1000; fi')
    speaker = speaker_of(Turns())
    with said.open() as heard:
        speaker.say("A long sentence.")
        assert heard.readline() == "--wait\n"
        speaker.stop()
        assert heard.readline() == "--cancel\n"


def test_of_sentences_that_wait_for_their_turn_only_the_newest_is_spoken(voices, said):
    put(voices, "espeak-ng", f'echo "$3" > {said}')
    turns = Turns(at_once=False)
    speaker = speaker_of(turns)
    speaker.say("First.")
    assert turns.asked.wait(PATIENCE_S)
    speaker.say("Second.")
    turns.at_once = True
    turns.waiting[0]()
    with said.open() as heard:
        assert heard.readline() == "Second.\n"
        turns.wait_for_end()
        speaker.say("Third.")
        assert heard.readline() == "Third.\n"
    speaker.stop()


def test_stop_while_the_turn_is_waited_for_says_nothing_and_gives_it_back(voices):
    put(voices, "espeak-ng")
    turns = Turns(at_once=False)
    speaker = speaker_of(turns)
    speaker.say("Never said.")
    assert turns.asked.wait(PATIENCE_S)
    speaker.stop()
    turns.wait_for_end()


def test_voice_that_cannot_be_started_is_noted_and_the_listener_hears_again(caplog):
    caplog.set_level(logging.INFO, "app.system_voice")
    turns = Turns()
    speaker = Speaker(Voice(("no-such-voice-in-tidewick",)), turns)
    speaker.say("Blow chamber A.")
    turns.wait_for_end()
    speaker.stop()
    assert "did not speak" in caplog.text


def test_voice_that_hangs_does_not_keep_the_listener_deaf(voices, said, monkeypatch, caplog):
    caplog.set_level(logging.INFO, "app.system_voice")
    monkeypatch.setattr(system_voice, "SENTENCE_S", 0.0)
    put(voices, "espeak-ng", "exec /bin/sleep 1000")
    turns = Turns()
    speaker = speaker_of(turns)
    speaker.say("A long sentence.")
    turns.wait_for_end()
    speaker.stop()
    assert "did not come to an end" in caplog.text
