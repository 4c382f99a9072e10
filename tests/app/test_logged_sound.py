"""A logged blow sounds again at its own pitch, softly, from nothing; what is no sound is refused in a sentence."""
from __future__ import annotations

import numpy as np
import pytest
import soundfile

from app.errors import WorldError
from app.logged_sound import LEVEL_DBFS, PEAK_DBFS, LoggedSound, logged_sound
from app.own_sound import DEAF_TAIL_S, OwnSound
from app.tones import samples_of

RATE_HZ = 48_000


def tone(frequency_hz=880.0, duration_s=1.0, amplitude=0.5, rate_hz=RATE_HZ):
    return amplitude * np.sin(2.0 * np.pi * frequency_hz * np.arange(round(duration_s * rate_hz)) / rate_hz)


def level_dbfs(samples):
    return 20.0 * np.log10(np.sqrt(np.mean(np.square(samples))))


def pitch_hz(samples, rate_hz):
    """By the spectrum's highest point, a parabola through it: good to a small part of a hertz here."""
    power = np.log(np.abs(np.fft.rfft(samples * np.hanning(len(samples)))) + 1e-12)
    top = int(np.argmax(power))
    left, middle, right = power[top - 1 : top + 2]
    return (top + 0.5 * (left - right) / (left - 2.0 * middle + right)) * rate_hz / len(samples)


@pytest.mark.parametrize("rate_hz", [44_100, 48_000, 96_000, 16_000])
def test_it_sounds_at_its_own_pitch_and_length_on_any_loudspeaker(rate_hz):
    played = LoggedSound(tone(), RATE_HZ).samples(rate_hz)
    assert pitch_hz(played, rate_hz) == pytest.approx(880.0, abs=0.05)
    assert len(played) == pytest.approx(rate_hz, abs=1)
    assert played.dtype == np.float32


@pytest.mark.parametrize("amplitude", [0.001, 0.5, 1.0])
def test_a_faint_and_a_loud_blow_are_equally_soft_and_begin_and_end_in_silence(amplitude):
    played = LoggedSound(tone(amplitude=amplitude), RATE_HZ).samples(RATE_HZ)
    middle = played[RATE_HZ // 4 : -RATE_HZ // 4]
    assert level_dbfs(middle) == pytest.approx(LEVEL_DBFS, abs=0.1)
    assert abs(played[0]) < 1e-6
    assert abs(played[-1]) < 1e-6


def test_a_click_in_a_faint_recording_is_never_loud():
    sound = tone(amplitude=0.0001)
    sound[RATE_HZ // 2] = 1.0
    assert np.max(np.abs(LoggedSound(sound, RATE_HZ).samples(44_100))) <= 10.0 ** (PEAK_DBFS / 20.0) * 1.5


def test_nothing_but_silence_stays_silence():
    assert not LoggedSound(np.zeros(1000), RATE_HZ).samples(44_100).any()


def test_what_was_kept_is_what_is_heard(tmp_path):
    (tmp_path / "blows").mkdir()
    soundfile.write(tmp_path / "blows/one.flac", tone(), RATE_HZ, subtype="PCM_24")
    sound = logged_sound(tmp_path, "blows/one.flac")
    assert sound.recorded_rate_hz == RATE_HZ
    np.testing.assert_allclose(sound.recorded, tone(), atol=2.0**-22)  # a step of 24 bits, twice


@pytest.mark.parametrize(("name", "content", "complaint"), [
    ("blows/gone.flac", None, "deleted, or lies on another laptop"), ("../one.flac", None, "leads out of its folder"),
    ("blows/text.flac", b"not a sound at all", "text.flac"), ("blows/empty.flac", b"", "empty"),
])
def test_what_cannot_be_heard_is_told_in_one_sentence(tmp_path, name, content, complaint):
    (tmp_path / "blows").mkdir()
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(WorldError, match=complaint):
        logged_sound(tmp_path, name)


def test_a_file_of_minutes_is_no_blow(tmp_path):
    soundfile.write(tmp_path / "long.flac", tone(duration_s=21.0, rate_hz=8000), 8000)
    with pytest.raises(WorldError, match="longer than 20 s"):
        logged_sound(tmp_path, "long.flac")


def test_while_it_sounds_the_listener_is_deaf(tmp_path):
    """Through the same door as the bench's own signals: played by the source, deaf for as long as that takes."""
    played = []

    class Source:
        def play(self, sound):
            played.append(samples_of(sound, RATE_HZ))
            return len(played[0]) / RATE_HZ

    own = OwnSound(Source())
    own.tone(LoggedSound(tone(), RATE_HZ))
    own.let_sound(10.0, blow_open=False)
    assert len(played) == 1
    assert own.deaf_at(10.9)
    assert not own.deaf_at(11.0 + DEAF_TAIL_S + 0.01)
