"""The way from a sound server through PortAudio to a reading, with sound of known pitch. No sound card is needed."""
import numpy as np
import pytest
import soundfile

from acoustics.synthesis import BlowRecipe, render_blow, room_noise
from app.heard import BlowHeard
from app.microphone import list_devices
from app.recording import hear_file
from app.source import Block, Hearing
from tests.microphone.listening import Ears, tone_hz

RATE_HZ = 48000


def write_tone(path, frequency_hz, duration_s, rate_hz=RATE_HZ):
    sound = 0.3 * np.sin(2.0 * np.pi * frequency_hz * np.arange(round(duration_s * rate_hz)) / rate_hz)
    soundfile.write(path, sound, rate_hz, subtype="PCM_16")


def write_blow(path, frequency_hz, lead_s=1.2):
    """An invented blow with a second of room before it, and after it."""
    rng = np.random.default_rng(3)
    quiet = np.zeros(round(lead_s * RATE_HZ), np.float32)
    blow = render_blow(BlowRecipe(frequency_hz, wander_cents=0.5), RATE_HZ, rng)
    sound = np.concatenate([quiet, blow, quiet[: RATE_HZ // 2]])
    soundfile.write(path, sound + room_noise(len(sound), RATE_HZ, -62.0, rng), RATE_HZ, subtype="PCM_16")


def loud_sound(source, duration_s):
    """The first blocks that are sound, put together."""
    blocks = []
    while len(blocks) * 480 < duration_s * RATE_HZ:
        item = source.read(1.0)
        if isinstance(item, Block) and (blocks or np.abs(item.samples).max() > 0.1):
            assert item.lost_frames == 0
            blocks.append(item)
    return np.concatenate([block.samples for block in blocks])


def test_measure_of_this_test_is_right():
    """Derived by hand: the tone is made with the frequency that is asked for."""
    sound = np.sin(2.0 * np.pi * 613.7 * np.arange(2 * RATE_HZ) / RATE_HZ + 1.0)
    assert tone_hz(sound, RATE_HZ) == pytest.approx(613.7, abs=1e-5)


@pytest.mark.parametrize(("frequency_hz", "file_rate_hz"), [(600.0, 48000), (1318.51, 44100)])
def test_tone_of_known_pitch_arrives_within_half_a_cent(virtual_sound, live_microphone, tmp_path, frequency_hz,
                                                        file_rate_hz):
    write_tone(tmp_path / "tone.wav", frequency_hz, 2.5, file_rate_hz)
    while not isinstance(live_microphone.read(1.0), Block):
        pass
    virtual_sound.play(tmp_path / "tone.wav")
    heard_hz = tone_hz(loud_sound(live_microphone, 2.0)[RATE_HZ // 10 :], RATE_HZ)
    error_cents = 1200.0 * np.log2(heard_hz / frequency_hz)
    print(f"{frequency_hz} Hz came through {error_cents:+.4f} cents off")
    assert abs(error_cents) < 0.5


def test_live_sound_and_file_give_the_same_reading(virtual_sound, live_microphone, tmp_path):
    write_blow(tmp_path / "blow.wav", 654.3)
    _, blows = hear_file(tmp_path / "blow.wav")
    (from_file,) = [blow for blow in blows if blow.usable]
    with Ears(live_microphone) as ears:
        ears.wait_for_state(Hearing.HEARING)
        virtual_sound.play(tmp_path / "blow.wav")
        live = ears.wait_for(lambda event: isinstance(event, BlowHeard) and event.blow.usable)
    difference_cents = 1200.0 * np.log2(live.blow.frequency_hz / from_file.frequency_hz)
    print(f"live differs from the file by {difference_cents:+.4f} cents")
    assert abs(difference_cents) < 0.1
    assert live.lost_frames == 0


def test_microphone_appears_in_the_list(virtual_sound):
    assert [device.name for device in list_devices() if device.is_default] == ["default"]


def test_microphone_is_opened_by_name(virtual_sound, tmp_path):
    from app.microphone import Microphone

    with Ears(Microphone("pulse")) as ears:
        assert ears.wait_for(lambda event: event.notice.hearing is Hearing.HEARING).notice.detail == "pulse"
