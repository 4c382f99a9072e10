"""The practice whistle behind the source protocol: it answers what is asked, in order, and never runs ahead."""
import math
import threading

import numpy as np
import pytest
from scipy import signal

from acoustics.tuning import Stop
from app.events import Request, Task
from app.invented_maker import Habits, Maker
from app.practice import PracticeSource, invent_practice, told_whistle
from app.source import Block, Hearing, Notice

RATE_HZ = 16_000
BLOW_A = Request(1, Task.BLOW, "A", Stop.FINGER, 0.0)


@pytest.fixture
def source():
    maker, _ = invent_practice(seed=4)
    practice = PracticeSource(maker, paced=False, sample_rate_hz=RATE_HZ)
    assert practice.read(0.0) == Notice(Hearing.HEARING, "practice whistle", RATE_HZ)
    yield practice
    practice.close()


def read_for(source, duration_s, timeout_s=0.0):
    """That much sound, blocks joined."""
    blocks = []
    while sum(len(block.samples) for block in blocks) < duration_s * RATE_HZ:
        block = source.read(timeout_s)
        assert isinstance(block, Block)
        blocks.append(block)
    return np.concatenate([block.samples for block in blocks])


def bursts(samples):
    """How many separate sounds stand out of the room, by level alone (gaps under 60 ms are bridged)."""
    hop = RATE_HZ // 100
    hops = samples[: len(samples) // hop * hop].reshape(-1, hop)
    loud = 10.0 * np.log10(np.mean(hops**2, axis=1) + 1e-12) > -45.0
    bridged = signal.medfilt(loud.astype(float), 7) > 0.5
    return int(np.sum(np.diff(bridged.astype(int), prepend=0) == 1))


def test_with_nothing_asked_there_is_only_the_room(source):
    assert bursts(read_for(source, 1.0)) == 0


def test_a_blow_that_is_asked_for_is_blown_once(source):
    source.ask(BLOW_A)
    assert bursts(read_for(source, 2.5)) == 1


def test_the_note_is_the_hidden_chambers(source):
    source.ask(BLOW_A)
    samples = read_for(source, 2.5)
    spectrum = np.abs(np.fft.rfft(samples * np.hanning(len(samples))))
    loudest_hz = float(np.argmax(spectrum)) * RATE_HZ / len(samples)
    full_hz = source.truth()[0].frequency_hz  # no plug yet: the full bore; a finger's bulge makes it sharper
    assert -60.0 < 1200.0 * math.log2(loudest_hz / full_hz) < 60.0


def test_the_same_request_asked_again_changes_nothing(source):
    source.ask(BLOW_A)
    source.read(0.0)
    source.ask(BLOW_A)
    read_for(source, 2.6)
    assert source.truth()[0].blows == 1


def test_a_cut_is_done_and_answered_by_two_toots(source):
    source.ask(Request(1, Task.CUT, "B", Stop.PLUG, 30.0))
    assert bursts(read_for(source, 3.4)) == 2
    assert source.truth()[1].plug_mm == pytest.approx(30.0, abs=1.0)


def test_what_stays_asked_is_done_once_more(source):
    source.ask(BLOW_A)
    assert bursts(read_for(source, 6.0)) == 2
    assert source.truth()[0].blows == 2


def test_toots_that_nobody_heard_are_sounded_again_without_cutting_again(source):
    source.ask(Request(1, Task.CUT, "B", Stop.PLUG, 30.0))
    assert bursts(read_for(source, 6.8)) == 4
    assert source.truth()[1].cuts == 1


def test_the_newest_request_is_done_after_the_present_sound(source):
    source.ask(BLOW_A)
    read_for(source, 1.0)
    source.ask(Request(2, Task.BLOW, "C", Stop.FINGER, 0.0))
    read_for(source, 4.0)
    assert [chamber.blows for chamber in source.truth()] == [1, 0, 1, 0]


def test_a_maker_still_getting_ready_does_what_is_asked_by_then(source):
    source.ask(BLOW_A)
    source.read(0.0)
    source.ask(Request(2, Task.BLOW, "C", Stop.FINGER, 0.0))
    read_for(source, 2.5)
    assert [chamber.blows for chamber in source.truth()] == [0, 0, 1, 0]


def test_unpaced_it_waits_for_the_next_request(source):
    heard = []
    # the first read returns when asked, long before its time-out; the rest is ready then
    thread = threading.Thread(target=lambda: heard.append(read_for(source, 2.0, timeout_s=60.0)), daemon=True)
    thread.start()
    source.ask(BLOW_A)
    thread.join(30.0)
    assert bursts(heard[0]) == 1


def test_a_rest_lets_time_pass_without_a_sound(source):
    source.ask(Request(1, Task.REST))
    assert bursts(read_for(source, 3.0)) == 0


def test_blocks_follow_each_other_on_the_sources_clock(source):
    source.ask(BLOW_A)
    expected_s = 0.0
    for _ in range(60):
        block = source.read(0.0)
        assert block.start_s == pytest.approx(expected_s)
        assert block.samples.dtype == np.float32
        expected_s += len(block.samples) / RATE_HZ


def test_paced_reading_says_nothing_before_the_sound_could_have_happened():
    maker, _ = invent_practice(seed=4)
    source = PracticeSource(maker, paced=True, sample_rate_hz=RATE_HZ)
    source.read(0.0)
    source.ask(BLOW_A)
    answers = [source.read(0.0) for _ in range(10_000)]  # 200 s of sound, were it handed out as fast as it is read
    assert None in answers
    source.close()


def test_the_same_seed_gives_the_same_sound():
    sounds = []
    for _ in range(2):
        maker, _ = invent_practice(seed=9)
        source = PracticeSource(maker, paced=False, sample_rate_hz=RATE_HZ)
        source.read(0.0)
        source.ask(BLOW_A)
        sounds.append(read_for(source, 2.5))
    assert np.array_equal(*sounds)


def test_the_document_tells_nothing_that_is_hidden():
    maker, whistle = invent_practice(seed=4)
    hidden = maker.whistle
    assert [c.bore_length_mm for c in whistle.chambers] == [c.told_bore_length_mm for c in hidden.chambers]
    assert all(c.bore_length_mm != h.bore_length_mm for c, h in zip(whistle.chambers, hidden.chambers, strict=True))
    assert told_whistle(hidden).letters == ("A", "B", "C", "D")


def test_a_maker_with_other_habits_can_practise():
    maker, _ = invent_practice(seed=4)
    careful = Maker(maker.whistle, Habits(blow_sd_cents=1.0), np.random.default_rng(1))
    source = PracticeSource(careful, paced=False, sample_rate_hz=RATE_HZ)
    source.read(0.0)
    source.ask(BLOW_A)
    assert bursts(read_for(source, 2.5)) == 1
