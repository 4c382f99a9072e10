"""The trial blow through real voice processing: the sound server's own, made by two general-purpose libraries.

Outside the project: WebRTC's audio processing and Speex's preprocessor, as PulseAudio's module-echo-cancel runs them.
"""
import subprocess

import numpy as np
import pytest
import soundfile

from acoustics.synthesis import BlowRecipe, render_blow, room_noise
from acoustics.trial import TrialVerdict, judge_trial
from app.source import Block

RATE_HZ = 48000
WEBRTC = "noise_suppression={} analog_gain_control=0 digital_gain_control=0 high_pass_filter=0"


def record_trial(virtual_sound, source, path):
    """A steady blow of 3.6 s, with a second of room before it, as the microphone hears it."""
    rng = np.random.default_rng(3)
    blow = render_blow(BlowRecipe(620.0, duration_s=3.6), RATE_HZ, rng)
    sound = np.concatenate([np.zeros(RATE_HZ, np.float32), blow, np.zeros(RATE_HZ // 2, np.float32)])
    soundfile.write(path, sound + room_noise(len(sound), RATE_HZ, -62.0, rng), RATE_HZ)
    while not isinstance(source.read(1.0), Block):
        pass
    player = virtual_sound.play(path)
    blocks = []
    after = 0
    while after < 60:  # until the player is done, and 0.6 s of blocks of 10 ms for what is still on its way
        item = source.read(1.0)
        if isinstance(item, Block):
            blocks.append(item.samples)
            after += player.poll() is not None
    virtual_sound.silence(player)
    return np.concatenate(blocks)


@pytest.mark.parametrize(("method", "arguments", "verdict"), [
    ("webrtc", WEBRTC.format(1), TrialVerdict.TURNED_DOWN),
    ("speex", "", TrialVerdict.TURNED_DOWN),
    ("webrtc", WEBRTC.format(0), TrialVerdict.GOOD),
], ids=["webrtc", "speex", "switched off"])
def test_voice_processing_that_eats_a_steady_note_is_noticed(
    virtual_sound, live_microphone, tmp_path, method, arguments, verdict
):
    try:
        with virtual_sound.suppressed(method, arguments):
            finding = judge_trial(record_trial(virtual_sound, live_microphone, tmp_path / "trial.wav"), RATE_HZ)
    except subprocess.CalledProcessError as trouble:
        pytest.skip(f"this sound server has no voice processing by {method}: {trouble.stderr.strip()}")
    print(f"{method}: {finding}")
    assert finding.verdict is verdict
    assert abs(finding.pitch_change_cents) < 2.0, "voice processing leaves the pitch alone"
