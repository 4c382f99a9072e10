"""One blow of a whole whistle through sound server, PortAudio and listener: every chamber near its invented truth."""
from __future__ import annotations

import numpy as np
import soundfile

from acoustics.chord import ExpectedVoice
from acoustics.chord import Heard as Sounded
from acoustics.tuning import Stop
from app.commands.hear_chord import read_file
from app.events import Expecting
from app.heard import BlowHeard
from app.source import Hearing
from tests.bench.chord.invented import Chord, blown
from tests.microphone.listening import Ears

TARGETS_HZ = (698.456, 880.0, 1046.502, 1174.659)
OFF_CENTS = (4.0, -7.0, 11.0, 1.0)
RATE_HZ = 48_000  # of the server: a file of another rate would be read after its resampler


def test_every_chamber_of_one_blow_comes_through_within_half_a_cent(virtual_sound, live_microphone, tmp_path):
    case = next(
        case for seed in range(40)
        if (case := blown(Chord(TARGETS_HZ, OFF_CENTS), np.random.default_rng([17, seed]))).rate_hz == RATE_HZ
    )
    quiet = np.zeros(round(1.2 * RATE_HZ), np.float32)
    sound = np.concatenate([quiet, case.samples, quiet[: RATE_HZ // 2]])
    soundfile.write(tmp_path / "chord.wav", sound, RATE_HZ, subtype="PCM_16")
    voices = tuple(ExpectedVoice(letter, hz, 60.0) for letter, hz in zip("ABCD", TARGETS_HZ, strict=True))
    from_file = read_file(tmp_path / "chord.wav", voices)
    with Ears(live_microphone) as ears:
        ears.listener.expect(Expecting(1, "whistle", "A", Stop.PLUG, None, voices))
        ears.wait_for_state(Hearing.HEARING)
        virtual_sound.play(tmp_path / "chord.wav")
        live = ears.wait_for(lambda event: isinstance(event, BlowHeard) and event.chord is not None)
    assert live.lost_frames == 0
    for at, (voice, filed) in enumerate(zip(live.chord.voices, from_file.voices, strict=True)):
        assert voice.heard is Sounded.HEARD
        truth_cents = 1200.0 * np.log2(voice.frequency_hz / case.true_hz(at))
        file_cents = 1200.0 * np.log2(voice.frequency_hz / filed.frequency_hz)
        print(f"{voice.letter} came through {truth_cents:+.4f} cents off, {file_cents:+.4f} from the file")
        assert abs(truth_cents) < 0.5
        assert abs(file_cents) < 0.1
