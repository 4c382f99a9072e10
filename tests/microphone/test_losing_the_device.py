"""The device goes away in the middle of a blow, in four ways, and comes back: nobody has to touch the program."""
import numpy as np
import pytest
import soundfile

from app.heard import BlowHeard, BlowStarted
from app.source import Hearing
from tests.microphone.listening import Ears
from tests.microphone.test_live_path import RATE_HZ, write_blow

WAYS = [("unplug", "plug"), ("suspend", "resume"), ("crash", "start")]


def write_long_blow(path):
    """A tone that the finder takes for a blow that has begun, longer than the test needs it."""
    rng = np.random.default_rng(4)
    n = 20 * RATE_HZ
    sound = 0.2 * np.sin(2.0 * np.pi * 600.0 * np.arange(n) / RATE_HZ) + 2e-3 * rng.standard_normal(n)
    soundfile.write(path, np.concatenate([1e-3 * rng.standard_normal(RATE_HZ), sound]), RATE_HZ, subtype="PCM_16")


@pytest.mark.parametrize(("lose", "restore"), WAYS, ids=[way for way, _ in WAYS])
def test_device_lost_in_mid_blow_is_told_and_heard_again_when_back(
    virtual_sound, live_microphone, tmp_path, lose, restore
):
    write_long_blow(tmp_path / "long.wav")
    write_blow(tmp_path / "blow.wav", 700.0)
    with Ears(live_microphone) as ears:
        ears.wait_for_state(Hearing.HEARING)
        player = virtual_sound.play(tmp_path / "long.wav")
        ears.wait_for(lambda event: isinstance(event, BlowStarted))
        getattr(virtual_sound, lose)()
        cut = ears.wait_for(lambda event: isinstance(event, BlowHeard))
        assert cut.blow.end_s - cut.blow.start_s < 18.0, "the tone lasts for twenty"
        assert ears.wait_for_state(Hearing.LOST) is Hearing.LOST
        virtual_sound.silence(player)
        getattr(virtual_sound, restore)()
        ears.wait_for_state(Hearing.HEARING)
        virtual_sound.play(tmp_path / "blow.wav")
        heard = ears.wait_for(lambda event: isinstance(event, BlowHeard) and event.blow.usable)
        assert heard.blow.frequency_hz == pytest.approx(700.0, rel=1e-3)
        assert heard.lost_frames == 0
        assert ears.listener.lost_frames > 0, "the time away is counted"


def test_program_started_without_a_microphone_hears_it_when_it_comes(virtual_sound, live_microphone):
    virtual_sound.crash()
    with Ears(live_microphone) as ears:
        assert ears.wait_for_state(Hearing.NO_DEVICE, Hearing.HEARING) is Hearing.NO_DEVICE
        virtual_sound.start()
        assert ears.wait_for_state(Hearing.HEARING) is Hearing.HEARING
