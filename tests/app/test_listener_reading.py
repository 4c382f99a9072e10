"""The listener with the real finder: the way in must not change a reading, and a hole in a blow hardly."""
import numpy as np
import pytest
import soundfile

from acoustics.blow import BlowFinder
from acoustics.synthesis import BlowRecipe, render_blow, room_noise
from app.heard import BlowHeard, Level, LevelWord, TootsHeard
from app.recording import hear_file
from app.source import Block
from tests.app.scripted_sound import ENDED, HEARING, listen

RATE_HZ = 48000
FREQUENCY_HZ = 703.0


@pytest.fixture(scope="module")
def sound():
    """Room, a blow, room; 16-bit steps, as a file or a converter has them."""
    rng = np.random.default_rng(21)
    blow = render_blow(BlowRecipe(FREQUENCY_HZ, duration_s=1.5, wander_cents=0.0), RATE_HZ, rng)
    quiet = np.zeros(RATE_HZ, np.float32)
    whole = np.concatenate([quiet, blow, quiet])
    whole += room_noise(len(whole), RATE_HZ, -62.0, rng)
    return (np.round(whole * 32768.0) / 32768.0).astype(np.float32)


def as_blocks(sound, block_frames=480, lose=()):
    """Blocks of the sound; those whose number is in `lose` never arrive and are told with the next."""
    blocks, lost = [], 0
    for number, start in enumerate(range(0, len(sound), block_frames)):
        if number in lose:
            lost += block_frames
            continue
        blocks.append(Block(sound[start : start + block_frames], start / RATE_HZ, RATE_HZ, lost))
        lost = 0
    return blocks


def usable(events):
    return [event for event in events if isinstance(event, BlowHeard) and event.blow.usable]


def cents_between(first_hz, second_hz):
    return abs(1200.0 * np.log2(first_hz / second_hz))


@pytest.mark.parametrize("block_frames", [480, 441, 4096])
def test_listener_and_file_read_the_same_sound_alike(sound, tmp_path, block_frames):
    soundfile.write(tmp_path / "blow.wav", sound, RATE_HZ, subtype="PCM_16")
    (from_file,) = [blow for blow in hear_file(tmp_path / "blow.wav")[1] if blow.usable]
    (live,) = usable(listen([HEARING, *as_blocks(sound, block_frames), ENDED], BlowFinder))
    assert cents_between(live.blow.frequency_hz, from_file.frequency_hz) < 0.1
    assert live.blow.verdict is from_file.verdict


@pytest.mark.parametrize("lost_blocks", [1, 3, 5])
def test_hole_in_a_blow_is_counted_and_hardly_moves_the_reading(sound, lost_blocks):
    (whole,) = usable(listen([*as_blocks(sound), ENDED], BlowFinder))
    holed = usable(listen([*as_blocks(sound, lose=range(180, 180 + lost_blocks)), ENDED], BlowFinder))
    assert sum(event.lost_frames for event in holed) == 480 * lost_blocks
    for event in holed:
        assert cents_between(event.blow.frequency_hz, whole.blow.frequency_hz) < 0.5


def test_level_of_a_good_blow_is_right(sound):
    levels = [event.word for event in listen([*as_blocks(sound), ENDED], BlowFinder) if isinstance(event, Level)]
    assert set(levels) == {LevelWord.RIGHT}


@pytest.mark.parametrize(("gain", "word"), [(40.0, LevelWord.TOO_LOUD), (0.004, LevelWord.TOO_QUIET)])
def test_level_of_a_bad_blow_is_told(sound, gain, word):
    """The quiet one keeps its room: it is the blow that is far away."""
    events = listen([*as_blocks(np.clip(sound * gain, -1.0, 1.0)), ENDED], BlowFinder)
    assert [event.word for event in events if isinstance(event, Level)][-1] is word


def test_two_toots_come_through_as_one_event(sound):
    from acoustics.synthesis import two_toots

    rng = np.random.default_rng(8)
    toots = two_toots(BlowRecipe(FREQUENCY_HZ), RATE_HZ, rng)
    whole = np.concatenate([np.zeros(RATE_HZ, np.float32), toots, np.zeros(RATE_HZ, np.float32)])
    whole += room_noise(len(whole), RATE_HZ, -62.0, rng)
    events = listen([*as_blocks(whole), ENDED], BlowFinder)
    assert len([event for event in events if isinstance(event, TootsHeard)]) == 1
    assert not [event for event in events if isinstance(event, BlowHeard)]
