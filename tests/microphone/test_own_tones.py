"""The program's tones through a real PortAudio and sound server, into the microphone that must not hear them."""
from contextlib import contextmanager

import numpy as np
import pytest
import soundfile

from app.heard import BlowHeard, BlowStarted, Breath
from app.own_sound import APART_S
from app.source import Hearing
from app.tones import HIGH_HZ, LOW_HZ, SHAPES, tone
from tests.microphone.listening import Ears, tone_hz
from tests.microphone.test_live_path import RATE_HZ, write_blow

QUIET_DBFS = -60.0


@contextmanager
def second_recording(virtual_sound, path):
    """What another program records of the same microphone meanwhile, as 16-bit samples in a file."""
    with path.open("wb") as file, virtual_sound.recorder(file):
        yield


def recorded(path):
    return np.frombuffer(path.read_bytes()[: path.stat().st_size // 2 * 2], np.int16) / 32768.0


def loud_part(sound):
    loud = np.flatnonzero(np.abs(sound) > 10.0 ** (QUIET_DBFS / 20.0))
    assert len(loud), "nothing was played"
    return sound[loud[0] : loud[-1] + 1]


def follow(ears, until_s):
    """All that the listener says until the source's time has come so far."""
    events = []
    ears.wait_for(lambda event: events.append(event) or isinstance(event, Breath) and event.at_s > until_s)
    return events


@pytest.mark.parametrize(("sound", "first_hz", "last_hz"), [("taken", HIGH_HZ, LOW_HZ), ("done", LOW_HZ, HIGH_HZ)])
def test_tone_is_heard_by_others_and_not_by_the_listener(virtual_sound, live_microphone, tmp_path, sound, first_hz,
                                                         last_hz):
    with Ears(live_microphone) as ears:
        ears.wait_for_state(Hearing.HEARING)
        follow(ears, ears.listener.now_s + 0.3)
        with second_recording(virtual_sound, tmp_path / "room.raw"):
            asked_s = ears.listener.now_s
            ears.listener.own_sound.tone(sound)
            events = follow(ears, asked_s + 2.0)
        lost_frames = ears.listener.lost_frames
    part = loud_part(recorded(tmp_path / "room.raw"))
    level_dbfs = 20.0 * np.log10(np.sqrt(np.mean(part[len(part) // 4 : -len(part) // 4] ** 2)))
    print(f"{sound}: {len(part) / RATE_HZ:.3f} s at {level_dbfs:.1f} dBFS, lost frames {lost_frames}")
    assert len(part) / RATE_HZ == pytest.approx(len(tone(sound, RATE_HZ)) / RATE_HZ, abs=0.02)  # its edges are quieter
    assert level_dbfs == pytest.approx(-20.0, abs=1.0)
    note_frames = round(0.05 * RATE_HZ)
    edge_frames = round(0.02 * RATE_HZ)
    assert tone_hz(part[edge_frames : edge_frames + note_frames], RATE_HZ) == pytest.approx(first_hz, rel=1e-3)
    assert tone_hz(part[-edge_frames - note_frames : -edge_frames], RATE_HZ) == pytest.approx(last_hz, rel=1e-3)
    assert not [event for event in events if isinstance(event, BlowStarted | BlowHeard)]
    breaths_s = [event.at_s for event in events if isinstance(event, Breath) and event.at_s > asked_s]
    deaf_s = np.diff([asked_s, *breaths_s]).max()
    print(f"deaf for {deaf_s:.2f} s")
    assert deaf_s > len(tone(sound, RATE_HZ)) / RATE_HZ


def test_same_tone_from_another_program_is_noticed(virtual_sound, live_microphone, tmp_path):
    """Or the test above could not fail."""
    soundfile.write(tmp_path / "tone.wav", tone("taken", RATE_HZ), RATE_HZ)
    with Ears(live_microphone) as ears:
        ears.wait_for_state(Hearing.HEARING)
        follow(ears, ears.listener.now_s + 0.5)
        virtual_sound.play(tmp_path / "tone.wav")
        assert isinstance(ears.wait_for(lambda event: isinstance(event, BlowStarted | BlowHeard)), BlowStarted)


def test_blow_after_a_tone_is_read_as_ever(virtual_sound, live_microphone, tmp_path):
    """Each blow has a pitch of its own: one that came back to the hair would be taken for a machine's."""
    with Ears(live_microphone) as ears:
        ears.wait_for_state(Hearing.HEARING)
        readings_hz, blown_hz = [], []
        for number, sound in enumerate((None, *SHAPES)):
            blown_hz.append(654.3 * 2 ** (1.7 * number / 1200))
            write_blow(tmp_path / "blow.wav", blown_hz[-1])
            if sound is not None:
                ears.listener.own_sound.tone(sound)
                follow(ears, ears.listener.now_s + APART_S)
            virtual_sound.play(tmp_path / "blow.wav")
            heard = ears.wait_for(lambda event: isinstance(event, BlowHeard))
            assert heard.blow.usable, f"after {sound}: {heard.blow}"
            readings_hz.append(heard.blow.frequency_hz)
    ratios = np.array(readings_hz) / np.array(blown_hz)
    off_cents = 1200.0 * np.log2(ratios[1:] / ratios[0])
    print(f"readings after tones differ by {np.round(off_cents, 3)} cents")
    assert np.abs(off_cents).max() < 0.1
