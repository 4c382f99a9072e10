"""The listening thread with a scripted source: which request a blow answers, what is lost, and how it ends."""
import queue
import threading
from dataclasses import replace

import numpy as np
import pytest

from acoustics.blow import BlowBegan, BlowEnded
from acoustics.evidence import Stop
from app.errors import WorldError
from app.events import Expecting
from app.heard import (
    BlowHeard,
    BlowStarted,
    Breath,
    Level,
    LevelWord,
    ListenerDied,
    SourceNoticed,
    TootsHeard,
    level_word,
)
from app.listener import Listener
from app.source import Block, Hearing, Notice
from tests.app.scripted_sound import (
    ENDED,
    HEARING,
    RATE_HZ,
    ScriptedSource,
    ThresholdFinder,
    blocks,
    listen,
    listen_with,
)

FIRST = Expecting(1, "w", "A", Stop.FINGER, (500.0, 700.0))
SECOND = Expecting(2, "w", "B", Stop.FINGER, (700.0, 900.0))


@pytest.fixture(autouse=True)
def fresh_finders():
    ThresholdFinder.made.clear()


def only(events, kind):
    return [event for event in events if isinstance(event, kind)]


def test_events_come_in_order_from_opening_to_the_end():
    events = listen([HEARING, *blocks(0.0, 0.1), *blocks(0.1, 0.3, 0.5), *blocks(0.3, 0.4), ENDED])
    kinds = [type(event) for event in events if not isinstance(event, Breath)]
    assert kinds == [SourceNoticed, BlowStarted, Level, Level, BlowHeard, SourceNoticed]
    assert events[-1].notice.hearing is Hearing.ENDED


def test_blow_bears_the_request_that_held_at_its_onset():
    events = listen_with(lambda listener: [
        lambda: listener.expect(FIRST), *blocks(0.0, 0.1), *blocks(0.1, 0.2, 0.5),
        lambda: listener.expect(SECOND),  # a key pressed in mid-blow
        *blocks(0.2, 0.3, 0.5), *blocks(0.3, 0.4), *blocks(0.4, 0.6, 0.5), *blocks(0.6, 0.7), ENDED,
    ])
    assert [heard.expecting for heard in only(events, BlowHeard)] == [FIRST, SECOND]
    assert [started.expecting for started in only(events, BlowStarted)] == [FIRST, SECOND]


def test_request_made_between_onset_and_its_discovery_is_too_late_for_that_blow():
    class Late(ThresholdFinder):
        """Notices an onset 50 ms after it, as every finder must."""

        def feed(self, samples):
            return [
                BlowBegan(found.at_s - 0.05) if isinstance(found, BlowBegan) else
                replace(found, blow=replace(found.blow, start_s=found.blow.start_s - 0.05))
                if isinstance(found, BlowEnded) else found
                for found in super().feed(samples)
            ]

    events = listen_with(lambda listener: [
        lambda: listener.expect(FIRST), *blocks(0.0, 0.18), lambda: listener.expect(SECOND), *blocks(0.18, 0.2),
        *blocks(0.2, 0.3, 0.5), *blocks(0.3, 0.4), ENDED,
    ], Late)
    assert only(events, BlowHeard)[0].expecting is FIRST
    assert only(events, BlowStarted)[0].expecting is FIRST


def test_request_made_before_any_sound_holds_for_the_first_blow():
    events = listen_with(lambda listener: [
        lambda: listener.expect(FIRST), *blocks(0.0, 0.2, 0.5), *blocks(0.2, 0.3), ENDED
    ])
    assert only(events, BlowHeard)[0].expecting is FIRST


def test_blow_that_nobody_asked_for_bears_no_request():
    assert only(listen([*blocks(0.0, 0.2, 0.5), ENDED]), BlowHeard)[0].expecting is None


def test_finder_is_told_the_range_of_each_request():
    listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.expect(FIRST), *blocks(0.1, 0.2), lambda: listener.expect(SECOND),
        *blocks(0.2, 0.3), ENDED,
    ])
    assert ThresholdFinder.made[0].ranges[-2:] == [FIRST.range_hz, SECOND.range_hz]


def test_toots_bear_the_request_that_held():
    events = listen_with(lambda listener: [
        lambda: listener.expect(FIRST), *blocks(0.0, 0.1), *blocks(0.1, 0.11, 0.05), ENDED
    ])
    assert only(events, TootsHeard) == [TootsHeard(FIRST, pytest.approx(0.1))]


def test_times_of_a_blow_are_the_sources_own():
    heard = only(listen([*blocks(7.0, 7.1), *blocks(7.1, 7.3, 0.5), *blocks(7.3, 7.4), ENDED]), BlowHeard)[0]
    assert (heard.blow.start_s, heard.blow.end_s, heard.at_s) == pytest.approx((7.1, 7.3, 7.3))


def test_breath_line_has_about_25_points_a_second():
    points = only(listen([*blocks(0.0, 2.0), ENDED]), Breath)
    assert 48 <= len(points) <= 51  # by hand: 2 s at one in 40 ms
    assert all(later.at_s > earlier.at_s for earlier, later in zip(points, points[1:], strict=False))


def test_breath_line_is_not_flooded_after_a_pause():
    points = only(listen([*blocks(0.0, 0.1), *blocks(60.0, 60.1), ENDED]), Breath)
    assert len(points) <= 7


def test_short_loss_in_a_blow_is_bridged_with_silence_and_counted_on_it():
    listeners = []
    events = listen_with(lambda listener: [
        lambda: listeners.append(listener),
        *blocks(0.0, 0.2, 0.5), *blocks(0.205, 0.405, 0.5, lost_frames=40), *blocks(0.405, 0.5), ENDED,
    ])
    (heard,) = only(events, BlowHeard)
    assert (heard.lost_frames, listeners[0].lost_frames) == (40, 40)
    # The sample after the hole stands where its time says, so the phase on both sides still fits.
    assert np.flatnonzero(heard.samples == 0.0).tolist() == list(range(1600, 1640))


def test_long_loss_in_a_blow_ends_it_there():
    events = listen([*blocks(0.0, 0.2, 0.5), *blocks(0.7, 0.9, 0.5, lost_frames=4000), *blocks(0.9, 1.0), ENDED])
    first, second = only(events, BlowHeard)
    assert (first.lost_frames, second.lost_frames) == (0, 0)
    assert (first.at_s, second.blow.start_s) == pytest.approx((0.2, 0.7))


def test_loss_between_blows_is_counted_and_costs_nothing_else():
    listeners = []
    events = listen_with(lambda listener: [
        lambda: listeners.append(listener),
        *blocks(0.0, 0.2), *blocks(0.7, 0.8, lost_frames=4000), *blocks(0.8, 1.0, 0.5), *blocks(1.0, 1.1), ENDED,
    ])
    (heard,) = only(events, BlowHeard)
    assert (heard.lost_frames, heard.blow.start_s, listeners[0].lost_frames) == (0, pytest.approx(0.8), 4000)
    assert len(ThresholdFinder.made) == 1, "the floor already learned is kept"


@pytest.mark.parametrize("hearing", [Hearing.LOST, Hearing.SILENT])
def test_blow_ends_when_the_source_goes_and_hearing_resumes(hearing):
    events = listen([
        HEARING, *blocks(0.0, 0.2, 0.5), Notice(hearing), HEARING, *blocks(9.0, 9.2, 0.5), *blocks(9.2, 9.3), ENDED
    ])
    assert [heard.at_s for heard in only(events, BlowHeard)] == pytest.approx([0.2, 9.2])
    said = [event.notice.hearing for event in only(events, SourceNoticed)]
    assert said == [Hearing.HEARING, hearing, Hearing.HEARING, Hearing.ENDED]


def test_blow_still_sounding_at_the_end_of_a_recording_ends_with_it():
    assert [heard.at_s for heard in only(listen([*blocks(0.0, 0.2, 0.5), ENDED]), BlowHeard)] == pytest.approx([0.2])


def test_another_sample_rate_starts_another_finder_that_knows_the_range():
    listen_with(lambda listener: [
        lambda: listener.expect(FIRST), *blocks(0.0, 0.1),
        Block(np.zeros(160, np.float32), 0.1, 16000), ENDED,
    ])
    assert [finder.rate_hz for finder in ThresholdFinder.made] == [8000, 16000]
    assert ThresholdFinder.made[1].ranges[0] == FIRST.range_hz


def test_nothing_is_heard_while_the_program_itself_sounds():
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.deaf_until(0.3), *blocks(0.1, 0.3, 0.5), *blocks(0.3, 0.4),
        *blocks(0.4, 0.6, 0.5), *blocks(0.6, 0.7), ENDED,
    ])
    assert [heard.blow.start_s for heard in only(events, BlowHeard)] == [pytest.approx(0.4)]
    assert not [point for point in only(events, Breath) if 0.11 < point.at_s < 0.3]


def test_deafening_lasts_for_the_signal_and_its_ringing():
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.1), lambda: listener.deafen(0.2), *blocks(0.1, 1.0, 0.5), *blocks(1.0, 1.1), ENDED,
    ])
    assert only(events, BlowHeard)[0].blow.start_s == pytest.approx(0.1 + 0.2 + 0.25)


def test_shorter_deafening_does_not_undo_a_longer_one():
    events = listen_with(lambda listener: [
        lambda: listener.deaf_until(0.5), lambda: listener.deaf_until(0.1), *blocks(0.0, 0.4, 0.5), *blocks(0.4, 0.6),
        ENDED,
    ])
    assert not only(events, BlowHeard)


def test_blow_that_a_signal_interrupts_ends_there():
    events = listen_with(lambda listener: [
        *blocks(0.0, 0.2, 0.5), lambda: listener.deaf_until(0.5), *blocks(0.2, 0.4, 0.5), *blocks(0.4, 0.6), ENDED,
    ])
    assert [heard.at_s for heard in only(events, BlowHeard)] == pytest.approx([0.2])


@pytest.mark.logs_warnings
def test_listener_that_dies_says_so_and_lets_the_source_go():
    events = listen([HEARING, *blocks(0.0, 0.1), RuntimeError("a fault")])
    assert isinstance(events[-1], ListenerDied)
    assert events[-1].fault_is_ours
    assert "a fault" in events[-1].text


@pytest.mark.logs_warnings
def test_listener_killed_by_its_finder_says_so():
    class Faulty(ThresholdFinder):
        def feed(self, samples):
            raise ZeroDivisionError("in the finder")

    assert isinstance(listen(blocks(0.0, 0.1), Faulty)[-1], ListenerDied)


def test_fault_of_the_world_is_told_in_its_own_words_and_not_logged():
    assert listen([WorldError("blows.wav is empty.")]) == [ListenerDied("blows.wav is empty.", fault_is_ours=False)]


def test_stop_ends_a_listener_whose_source_is_silent():
    opened = threading.Event()
    source = ScriptedSource([opened.set])
    listener = Listener(source, lambda event: None, ThresholdFinder)
    listener.start()
    assert opened.wait(10.0)
    assert listener.stop()
    assert source.closed
    assert not listener.alive


def test_stop_from_within_an_event_does_not_wait_for_itself():
    said = queue.SimpleQueue()

    def stop_at_once(event):
        said.put(listener.stop())

    listener = Listener(ScriptedSource([HEARING]), stop_at_once, ThresholdFinder)
    listener.start()
    assert said.get(timeout=10.0)
    listener._thread.join(10.0)
    assert not listener.alive


def test_listener_that_never_started_stops():
    assert Listener(ScriptedSource([]), lambda event: None, ThresholdFinder).stop()


def test_requests_from_many_threads_never_mix_two_requests():
    """Each blow must answer a request that was really made, its number and range together."""
    made = [Expecting(i, "w", "A", Stop.FINGER, (float(i), float(i + 1))) for i in range(200)]

    def script(listener):
        threads = [threading.Thread(target=lambda part=part: [listener.expect(e) for e in made[part::4]])
                   for part in range(4)]
        yield lambda: [thread.start() for thread in threads]
        for i in range(100):
            yield from blocks(0.1 * i, 0.1 * i + 0.05, 0.5)
            yield from blocks(0.1 * i + 0.05, 0.1 * i + 0.1)
        yield lambda: [thread.join() for thread in threads]
        yield ENDED

    heard = only(listen_with(script), BlowHeard)
    assert len(heard) == 100
    assert all(event.expecting is None or event.expecting is made[event.expecting.id] for event in heard)


@pytest.mark.parametrize(("level_dbfs", "floor_dbfs", "peak_dbfs", "clipped", "word"), [
    (-20.0, -70.0, -16.0, False, LevelWord.RIGHT),
    (-20.0, None, -16.0, False, LevelWord.RIGHT),
    (-20.0, -30.0, -16.0, False, LevelWord.TOO_QUIET),  # the room is too loud for it
    (-65.0, -90.0, -60.0, False, LevelWord.TOO_QUIET),
    (-20.0, -70.0, -0.5, False, LevelWord.TOO_LOUD),
    (-20.0, -70.0, -16.0, True, LevelWord.TOO_LOUD),
    (-65.0, -60.0, 0.0, False, LevelWord.TOO_LOUD),  # the one that spoils the reading is said first
])
def test_level_word_by_table(level_dbfs, floor_dbfs, peak_dbfs, clipped, word):
    assert level_word(level_dbfs, floor_dbfs, peak_dbfs, clipped) is word


def test_level_word_is_said_in_mid_blow_only_when_it_changes():
    events = listen([*blocks(0.0, 0.3, 0.5), *blocks(0.3, 0.6, 0.95), *blocks(0.6, 0.7), ENDED])
    assert [event.word for event in only(events, Level)] == [LevelWord.RIGHT, LevelWord.TOO_LOUD, LevelWord.TOO_LOUD]


def test_scripted_blocks_are_as_long_as_they_say():
    assert sum(len(block.samples) for block in blocks(0.0, 1.0)) == RATE_HZ
