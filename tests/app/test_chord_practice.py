"""The invented maker blows the whole chord and the practice walk ends with it, on the terminal and behind the threads.

How far chambers pull each other is invented; what is tested is that the program finds what was invented.
"""
from __future__ import annotations

import numpy as np
import pytest

from acoustics.tuning import Stop
from app.context import Context
from app.events import Request, Route, Task
from app.headless import TextBench, run_text
from app.invented import invent_whistle
from app.invented_chord import PULL_SD_CENTS, draw_pulls
from app.invented_maker import Habits, Maker
from app.practice import Performer, PracticeSource, told_whistle
from app.records import ChordTaken
from app.rehearsal import drive
from app.session import Session
from app.settings import Settings
from app.view import Stage
from tests.app.test_chord_live import Records

RATE_HZ = 24_000
STEADY = {"blow_sd_cents": 0.0, "cut_sd_mm": 0.0, "seat_sd_mm": 0.0, "slug_sd_mm": 0.0, "line_sd_mm": 0.0,
          "warmth_c": 0.0}


def maker_of(seed: int, steps: tuple[int, ...] = (0, 4, 7, 9), **habits: float) -> Maker:
    rng = np.random.default_rng(seed)
    return Maker(invent_whistle(rng, lowest_hz=600.0, steps=steps), Habits(**habits), rng)


def session_of(maker: Maker, route: Route = Route.SLIDE, source: PracticeSource | None = None) -> Session:
    settings = Settings(temperature_c=maker.whistle.room_c)
    return Session(Records(()), told_whistle(maker.whistle), settings, source, route, Stop.FLAT)


def cents(frequency_hz: float, reference_hz: float) -> float:
    return 1200.0 * float(np.log2(frequency_hz / reference_hz))


def test_all_chambers_share_one_breath_and_each_stands_a_little_off_from_alone():
    maker = maker_of(3, **STEADY)
    for letter, depth_mm in zip("ABCD", (10.0, 30.0, 45.0, 55.0), strict=True):
        maker.cut(letter, depth_mm)
    recipes = maker.blow_chord()
    assert len({recipe.duration_s for recipe in recipes}) == 1
    alone = {each.letter: each.frequency_hz for each in maker.truth()}
    pulled = [cents(recipe.frequency_hz, alone[letter]) for letter, recipe in zip("ABCD", recipes, strict=True)]
    assert pulled == pytest.approx(list(maker.pulls_cents.values()), abs=3.5)
    assert np.ptp(pulled) > 0.1


def test_pulls_stay_what_they_are_from_chord_to_chord():
    maker = maker_of(4)
    maker.blow_chord()
    before = dict(maker.pulls_cents)
    maker.blow_chord()
    assert maker.pulls_cents == before


def test_pulls_scatter_as_stated():
    rng = np.random.default_rng(8)
    drawn = [cents_off for _ in range(400) for cents_off in draw_pulls(("A", "B"), rng).values()]
    assert np.std(drawn) == pytest.approx(PULL_SD_CENTS, rel=0.1)


def test_a_chord_that_is_asked_for_sounds_with_every_note():
    maker = maker_of(5, **STEADY)
    for letter, depth_mm in zip("ABCD", (10.0, 30.0, 45.0, 55.0), strict=True):
        maker.cut(letter, depth_mm)
    sound = Performer(maker, RATE_HZ).sound_of(Request(1, Task.CHORD))
    spectrum = np.abs(np.fft.rfft(sound * np.hanning(len(sound))))
    bin_hz = RATE_HZ / len(sound)
    for each in maker.truth():
        near = spectrum[round(each.frequency_hz * 0.98 / bin_hz):round(each.frequency_hz * 1.02 / bin_hz)]
        assert near.max() > 20.0 * np.median(spectrum)


@pytest.mark.parametrize("route", [Route.SLIDE, Route.TRIM])
def test_a_practice_walk_ends_with_a_whole_chord_as_close_as_asked_for_or_left_with_reason(route):
    maker = maker_of(21, steps=(0, 4, 7))
    session = session_of(maker, route)
    outcome = drive(session, Performer(maker, RATE_HZ), until=session.done)
    assert outcome.finished
    chord = session.state.place.chord
    assert len(chord.blows) >= 2
    believed = {each.letter: each.interval_cents for each in chord.chambers}
    for each in maker.truth():
        assert believed[each.letter] == pytest.approx(each.chord_interval_cents, abs=4.0)
        assert abs(each.chord_interval_cents) < 12.0


def test_without_saying_otherwise_a_rehearsal_ends_when_every_plug_is_on_its_note():
    maker = maker_of(21, steps=(0, 4))
    session = session_of(maker)
    assert drive(session, Performer(maker, RATE_HZ)).finished
    assert session.state.place.stage is Stage.CHORD
    assert not [record for record in session.state.records if isinstance(record, ChordTaken)]


def test_the_demo_on_the_terminal_goes_through_chord_and_glue_to_the_next_day_in_the_windows_words(tmp_path, capsys):
    run_text(Context(tmp_path, Settings(), tmp_path / "journal.sqlite", practice=True, seed=5, fast=True))
    lines = capsys.readouterr().out.splitlines()
    asked = [line for line in lines if line.startswith("[")]
    assert "[Chord] Blow the whole chord, dry, cap on, one breath" in asked
    ends = ("[Chord] The chord is good: stop", "[Chord] Leave the chord as it is")
    assert any(line.startswith(ends) for line in asked)
    assert "[Glue] Glue plug A at its line" in {line.partition(",")[0] for line in asked}
    assert "[Glue] Blow the whole chord, next day, same breath" in asked
    assert asked[-1].startswith(("[Glue] The glue moved nothing", "[Glue] Plug", "[Glue] The chambers moved"))
    assert sum("heard A " in line and ", B " in line for line in lines) >= 2
    assert any("in the chord" in line and "interval off" in line for line in lines)


def test_behind_the_listener_and_its_threads_the_walk_ends_with_the_chord_too():
    maker = maker_of(22, steps=(0, 4))
    source = PracticeSource(maker, paced=False, sample_rate_hz=RATE_HZ)
    said: list[str] = []
    bench = TextBench(session_of(maker, source=source), said.append, alone=True)
    bench.run()
    assert bench.session.done()
    assert any(line.startswith("[Chord]") for line in said)
