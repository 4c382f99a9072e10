"""Blows found in a stream: the same for any block size, ends told soon, toots, dropouts, machines."""
from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from acoustics.blow import BlowBegan, BlowEnded, BlowFinder, Found, Glimpse, TwoToots, Verdict
from acoustics.errors import OutOfRangeError
from tests.bench.reading.invented import Pipe, blow, coloured

RATE_HZ = 48000


def scene(*parts: Pipe | float, room_dbfs: float = -60.0, seed: int = 1) -> NDArray[np.float32]:
    """Blows and gaps (in seconds) one after another, in a room."""
    rng = np.random.default_rng(seed)
    pieces = [np.zeros(round(p * RATE_HZ)) if isinstance(p, float) else blow(p, RATE_HZ, rng)[0] for p in parts]
    whole = np.concatenate(pieces)
    return (whole + coloured(rng, len(whole), 0.5) * 10 ** (room_dbfs / 20.0)).astype(np.float32)


def found_in(samples: NDArray[np.float32], block: int = 480) -> list[Found]:
    finder = BlowFinder(RATE_HZ)
    found = [one for at in range(0, len(samples), block) for one in finder.feed(samples[at : at + block])]
    return found + finder.finish()


def ends(found: list[Found]) -> list[BlowEnded]:
    return [one for one in found if isinstance(one, BlowEnded)]


def short(length_s: float = 0.16) -> Pipe:
    return Pipe(620.0, length_s, attack_s=0.008, release_s=0.006)


SCENE = scene(0.6, Pipe(612.3, 0.7), 0.5, Pipe(500.0, 0.5, breath_db=-10.0), 0.4, short(), 0.2, short(), 0.7)


def told(found: list[Found]) -> list[object]:
    """Everything told, comparable."""
    return [(e.blow, e.samples_start_s, e.samples.tobytes()) if isinstance(e, BlowEnded) else e for e in found]


WHOLE = told(found_in(SCENE, len(SCENE)))


@settings(max_examples=10, deadline=None)
@given(blocks=st.lists(st.integers(1, 9000), min_size=1, max_size=5).filter(lambda sizes: sum(sizes) > 400))
def test_the_same_blows_are_found_for_blocks_of_any_size(blocks: list[int]) -> None:
    finder, found, at = BlowFinder(RATE_HZ), [], 0
    while at < len(SCENE):
        for block in blocks:
            found += finder.feed(SCENE[at : at + block])
            at += block
    assert told(found + finder.finish()) == WHOLE


def test_each_blow_is_begun_glimpsed_and_ended_in_order() -> None:
    found = found_in(scene(0.6, Pipe(612.3, 0.7), 0.8))
    assert isinstance(found[0], BlowBegan)
    assert isinstance(found[-1], BlowEnded)
    assert all(isinstance(one, Glimpse) for one in found[1:-1])
    assert 0.6 < found[1].at_s <= 0.6 + 0.15
    assert found[1].heard_hz == pytest.approx(612.3, rel=0.002)


def test_two_blows_are_two_readings() -> None:
    blows = [one.blow for one in ends(found_in(scene(0.6, Pipe(612.3, 0.7), 0.3, Pipe(700.0, 0.7), 0.8)))]
    assert [round(b.frequency_hz or 0.0) for b in blows] == [612, 700]


def test_a_dropout_of_forty_milliseconds_does_not_split_a_blow() -> None:
    whole = scene(0.6, Pipe(612.3, 1.2), 0.8)
    gap = slice(round(1.2 * RATE_HZ), round(1.24 * RATE_HZ))
    whole[gap] *= 0.01
    assert len(ends(found_in(whole))) == 1


def test_an_end_is_told_within_a_tenth_of_a_second_of_sound() -> None:
    samples, finder = scene(0.6, Pipe(612.3, 0.8, release_s=0.005), 0.8), BlowFinder(RATE_HZ)
    for at in range(0, len(samples), 480):
        if ends(finder.feed(samples[at : at + 480])):
            break
    silent_s = 0.6 + 0.8 - 2.7 * 0.005  # derived by hand: 20 dB down is 2.3 time constants after the fall begins
    assert silent_s < (at + 480) / RATE_HZ < silent_s + 0.1


def test_two_toots_are_a_gesture_and_no_blows() -> None:
    found = found_in(scene(0.8, short(), 0.2, short(), 0.8))
    assert [type(one) for one in found if not isinstance(one, BlowBegan | Glimpse)] == [TwoToots]


def test_one_toot_is_too_short_and_no_gesture() -> None:
    found = found_in(scene(0.8, short(), 1.0))
    assert [one.blow.verdict for one in ends(found)] == [Verdict.TOO_SHORT]
    assert not any(isinstance(one, TwoToots) for one in found)


def test_three_toots_are_no_gesture() -> None:
    found = found_in(scene(0.8, short(), 0.2, short(), 0.2, short(), 1.0))
    assert not any(isinstance(one, TwoToots) for one in found)
    assert len(ends(found)) == 3


def test_a_toot_before_a_blow_leaves_the_blow_a_reading() -> None:
    blows = [one.blow for one in ends(found_in(scene(0.8, short(), 0.2, Pipe(612.3, 0.9), 0.8)))]
    assert [b.verdict for b in blows] == [Verdict.TOO_SHORT, Verdict.STEADY]


def test_two_toots_of_different_notes_are_no_gesture() -> None:
    other = Pipe(800.0, 0.16, attack_s=0.008, release_s=0.006)
    assert not any(isinstance(one, TwoToots) for one in found_in(scene(0.8, short(), 0.2, other, 0.8)))


def test_a_fan_that_is_switched_on_and_stays_becomes_the_room() -> None:
    n = round(9.0 * RATE_HZ)
    t = np.arange(n) / RATE_HZ
    fan = 0.03 * np.sin(2 * np.pi * 430.0 * t) * np.clip((t - 1.0) / 0.3, 0.0, 1.0)
    whole = coloured(np.random.default_rng(2), n, 0.5) * 1e-3 + fan
    made, _ = blow(Pipe(612.3, 0.9, tone_dbfs=-15.0), RATE_HZ, np.random.default_rng(3))
    whole[7 * RATE_HZ : 7 * RATE_HZ + len(made)] += made
    blows = [one.blow for one in ends(found_in(whole.astype(np.float32)))]
    assert [b.usable for b in blows] == [False, True]
    assert blows[0].verdict is Verdict.HUM
    assert blows[1].frequency_hz == pytest.approx(612.3, rel=1e-4)


@pytest.mark.parametrize("hum_hz", [200.0, 300.0, 600.0])
def test_hum_from_the_start_gives_no_reading(hum_hz: float) -> None:
    t = np.arange(6 * RATE_HZ) / RATE_HZ
    hum = 0.1 * np.sin(2 * np.pi * hum_hz * t) + coloured(np.random.default_rng(1), len(t), 0.5) * 1e-3
    assert not any(one.blow.usable for one in ends(found_in(hum.astype(np.float32))))


def test_silence_and_claps_give_no_reading_and_no_gesture() -> None:
    rng, whole = np.random.default_rng(4), scene(6.0)
    for at in np.arange(0.5, 5.5, 0.4):
        i = round(at * RATE_HZ)
        whole[i : i + 4800] += (rng.normal(size=4800) * np.exp(-np.arange(4800) / 480.0) * 0.3).astype(np.float32)
    found = found_in(whole)
    assert not any(isinstance(one, TwoToots) or isinstance(one, BlowEnded) and one.blow.usable for one in found)


def test_a_blow_cut_off_by_the_end_of_the_sound_is_still_read() -> None:
    blows = ends(found_in(scene(0.6, Pipe(612.3, 1.5))[: round(1.6 * RATE_HZ)]))
    assert len(blows) == 1
    assert blows[0].blow.frequency_hz == pytest.approx(612.3, rel=1e-4)


@pytest.mark.parametrize("trimmed_s", [0.0, 0.005, 0.1, 0.3])
def test_a_recording_trimmed_into_its_blow_is_still_read(trimmed_s: float) -> None:
    samples = scene(Pipe(612.3, 1.2, breath_db=-25.0), 0.8)[round(trimmed_s * RATE_HZ) :]
    blows = ends(found_in(samples))
    assert len(blows) == 1
    assert blows[0].blow.frequency_hz == pytest.approx(612.3, rel=1e-4)


def test_a_machine_that_is_switched_off_early_is_no_blow() -> None:
    t = np.arange(4 * RATE_HZ) / RATE_HZ
    hum = 0.1 * np.sin(2 * np.pi * 300.0 * t) * (t < 1.5) + coloured(np.random.default_rng(1), len(t), 0.5) * 1e-3
    assert not ends(found_in(hum.astype(np.float32)))


def test_the_range_at_the_onset_is_the_one_that_counts() -> None:
    samples = scene(0.6, Pipe(1836.0, 0.8, line_db=(0.0, -20.0, -20.0)), 0.8)
    finder = BlowFinder(RATE_HZ, (580.0, 640.0))
    found = finder.feed(samples[: RATE_HZ])
    finder.expect((1700.0, 1900.0))
    found += finder.feed(samples[RATE_HZ:])
    assert [one.blow.verdict for one in ends(found)] == [Verdict.OVERBLOWN]


def test_the_kept_sound_holds_the_blow_with_a_little_around_it() -> None:
    ended = ends(found_in(scene(0.8, Pipe(612.3, 0.7), 0.8)))[0]
    length_s = len(ended.samples) / RATE_HZ
    assert ended.samples_start_s < ended.blow.start_s - 0.2
    assert ended.samples_start_s + length_s > ended.blow.end_s


def test_the_floor_is_known_after_half_a_second_and_the_level_follows_the_sound() -> None:
    finder, samples = BlowFinder(RATE_HZ), scene(0.8, Pipe(612.3, 0.7))
    finder.feed(samples[: RATE_HZ // 10])
    assert finder.floor_dbfs is None
    finder.feed(samples[RATE_HZ // 10 : round(0.75 * RATE_HZ)])
    assert finder.floor_dbfs == pytest.approx(-60.0, abs=1.5)
    assert finder.level_dbfs == pytest.approx(-60.0, abs=2.0)
    finder.feed(samples[round(0.75 * RATE_HZ) : round(1.2 * RATE_HZ)])
    assert finder.level_dbfs == pytest.approx(-20.0, abs=2.0)


def test_samples_that_are_no_numbers_do_not_deafen_the_finder() -> None:
    samples = scene(0.8, Pipe(612.3, 0.7), 0.8)
    samples[1000:1010] = np.nan
    assert [one.blow.usable for one in ends(found_in(samples))] == [True]


def test_a_sample_rate_that_carries_no_whistle_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="7000"):
        BlowFinder(7000)


def test_a_tone_that_comes_back_the_very_same_was_not_blown() -> None:
    # the one recording over and over, as a machine plays it; blows of one pipe differ by cents
    once = scene(0.6, Pipe(612.3, 0.7), 0.5)
    assert [one.blow.usable for one in ends(found_in(np.tile(once, 3)))] == [True, False, False]
    blown = np.concatenate([scene(0.6, Pipe(612.3 * 2 ** (c / 1200.0), 0.7), 0.5, seed=3) for c in (0.0, 1.5, -2.0)])
    assert [one.blow.usable for one in ends(found_in(blown))] == [True, True, True]
