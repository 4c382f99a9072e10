"""Tones through PortAudio, on a stand-in for it; the real one is in tests/microphone."""
import logging
import sys
import threading

import numpy as np
import pytest

from app import microphone
from app.microphone import Microphone
from app.source import Hearing
from app.tones import tone
from tests.app.fake_portaudio import FakePortAudio, PortAudioError

RATE_HZ = 44_100


class FakeOutput:
    """One output stream: `run` does what the audio thread does."""

    def __init__(self, portaudio, samplerate, channels, callback, finished_callback, **others):
        portaudio.note_call()
        self.portaudio, self.rate_hz = portaudio, samplerate
        self._callback, self._finished = callback, finished_callback
        self.latency, self.closed, self.started = 0.1, False, False

    def start(self):
        self.portaudio.note_call()
        if self.portaudio.output_fault is not None:
            raise self.portaudio.output_fault
        self.started = True
        self.portaudio.outputs.append(self)
        self.portaudio.began.set()

    def close(self, ignore_errors=True):
        self.portaudio.note_call()
        self.closed = True

    def run(self, block_frames=512):
        """Everything that is played, to the end."""
        heard = []
        while True:
            outdata = np.full((block_frames, 1), 9.0, np.float32)
            try:
                self._callback(outdata, block_frames, None, None)
            except self.portaudio.CallbackStop:
                self._finished()
                return np.concatenate([*heard, outdata[:, 0]])
            finally:
                heard.append(outdata[:, 0])


class SpeakingPortAudio(FakePortAudio):
    """With an output, or with what is wrong with it."""

    class CallbackStop(Exception):
        """As PortAudio's own."""

    def __init__(self, *names):
        super().__init__(*names)
        self.outputs, self.output_fault, self.began = [], None, threading.Event()

    def query_devices(self, kind=None):
        if kind is None:
            return super().query_devices()
        self.note_call()
        if self.output_fault is not None and self.output_fault.args[0].startswith("Error querying"):
            raise self.output_fault
        return {"default_samplerate": float(RATE_HZ)}

    def OutputStream(self, **arguments):  # noqa: N802
        return FakeOutput(self, **arguments)


@pytest.fixture
def portaudio(monkeypatch):
    fake = SpeakingPortAudio("bench mic")
    monkeypatch.setitem(sys.modules, "sounddevice", fake)
    monkeypatch.setattr(microphone, "RETRY_S", 0.0)
    return fake


@pytest.fixture
def open_microphone(portaudio):
    source = Microphone()
    while not portaudio.streams:
        source.read(0.0)
    yield source
    source.close()


def test_what_is_played_is_the_tone_and_then_silence(open_microphone, portaudio):
    sounding_s = open_microphone.play("taken")
    (output,) = portaudio.outputs
    expected = tone("taken", RATE_HZ)
    heard = output.run()
    assert np.array_equal(heard[: len(expected)], expected)
    assert not heard[len(expected) :].any()
    assert output.rate_hz == RATE_HZ
    assert sounding_s == pytest.approx(len(expected) / RATE_HZ + 0.1)  # by hand: the tone and the output's latency


def test_sound_that_was_heard_but_not_yet_read_is_waited_for_too(open_microphone, portaudio):
    at_once_s = open_microphone.play("taken")
    portaudio.streams[-1].sound(n_blocks=20)  # by hand: 20 blocks of 10 ms
    assert open_microphone.play("taken") == pytest.approx(at_once_s + 0.2)


def test_output_is_let_go_when_the_tone_is_over(open_microphone, portaudio):
    open_microphone.play("taken")
    open_microphone.read(0.0)
    assert not portaudio.outputs[0].closed
    portaudio.outputs[0].run()
    open_microphone.read(0.0)
    assert portaudio.outputs[0].closed


def test_second_tone_takes_the_place_of_the_first(open_microphone, portaudio):
    open_microphone.play("taken")
    open_microphone.play("ask")
    assert [output.closed for output in portaudio.outputs] == [True, False]


def test_output_never_outlives_the_microphone_under_which_portaudio_is_restarted(open_microphone, portaudio):
    open_microphone.play("taken")
    portaudio.streams[-1].vanish()
    restarts = portaudio.restarts
    while portaudio.restarts == restarts:
        open_microphone.read(0.0)
        assert portaudio.outputs[0].closed or portaudio.restarts == restarts
    assert portaudio.outputs[0].closed


def test_lost_microphone_plays_nothing(open_microphone, portaudio):
    portaudio.streams[-1].vanish()
    while getattr(open_microphone.read(0.0), "hearing", None) not in (Hearing.LOST, Hearing.NO_DEVICE):
        pass
    assert open_microphone.play("taken") == 0.0
    assert portaudio.outputs == []


@pytest.mark.parametrize("fault", [
    PortAudioError("Error querying device -1"),
    PortAudioError("Error opening OutputStream: Device unavailable", -9985),
], ids=["no output", "busy output"])
def test_without_an_output_it_is_silent_and_noted_once(open_microphone, portaudio, caplog, fault):
    caplog.set_level(logging.INFO, "app.loudspeaker")
    portaudio.output_fault = fault
    assert [open_microphone.play("taken") for _ in range(3)] == [0.0, 0.0, 0.0]
    assert [(record.levelname, record.name) for record in caplog.records] == [("INFO", "app.loudspeaker")]
    portaudio.streams[-1].sound()
    assert open_microphone.read(0.0) is not None


def test_output_that_comes_back_is_heard_again(open_microphone, portaudio):
    portaudio.output_fault = PortAudioError("Error querying device -1")
    open_microphone.play("taken")
    portaudio.output_fault = None
    assert open_microphone.play("taken") > 0.0


def test_a_chord_sounds_alone_until_it_is_over_and_lets_the_output_go(portaudio):
    from app.chord_sound import ChordSound
    from app.microphone import sound_alone

    chord, done = ChordSound((698.456, 880.0)), []
    thread = threading.Thread(target=lambda: done.append(sound_alone(chord, threading.Event())))
    thread.start()
    portaudio.began.wait(30.0)
    (output,) = portaudio.outputs
    heard = output.run()
    thread.join(30.0)
    expected = chord.samples(RATE_HZ)
    assert done == [True]
    assert np.array_equal(heard[: len(expected)], expected)
    assert output.closed
    assert microphone._open_count == 0


def test_a_chord_that_is_broken_off_lets_the_output_go_at_once(portaudio):
    from app.chord_sound import ChordSound
    from app.microphone import sound_alone

    break_off = threading.Event()
    break_off.set()
    assert sound_alone(ChordSound((698.456, 880.0)), break_off)
    assert portaudio.outputs[0].closed


def test_without_an_output_a_chord_does_not_sound(portaudio):
    from app.chord_sound import ChordSound
    from app.microphone import sound_alone

    portaudio.output_fault = PortAudioError("Device unavailable")
    assert not sound_alone(ChordSound((698.456, 880.0)), threading.Event())
    assert microphone._open_count == 0
