"""The terminal front end: a whole whistle by sound alone, the same walk behind the listener, and keys by the line."""
from dataclasses import replace

import numpy as np
import pytest

from acoustics.tuning import Stop
from app.context import Context
from app.errors import WorldError
from app.events import Key, Pressed, Route
from app.headless import TextBench, run_text, truth_lines
from app.invented import invent_whistle
from app.invented_maker import Habits, Maker
from app.practice import PracticeSource, told_whistle
from app.records import BlowTaken, PlugSet, Voided
from app.rescue_words import NO_WAYS, NOT_DOWN
from app.session import Session
from app.settings import Settings
from tests.app.rescue_cases import flat_bench
from tests.number_maker import WHISTLE

RATE_HZ = 16_000  # enough for two chambers' lowest partials, and quick


class ListJournal:
    def __init__(self):
        self.kept = []

    def append(self, record):
        self.kept.append(record)

    def records(self, whistle_id):
        return tuple(self.kept)


@pytest.fixture
def two_chambers():
    rng = np.random.default_rng(21)
    hidden = invent_whistle(rng, lowest_hz=600.0, steps=(0, 4))
    return Maker(hidden, Habits(blow_sd_cents=2.5), rng)


def session_of(maker, source=None):
    settings = Settings(temperature_c=maker.whistle.room_c)
    return Session(ListJournal(), told_whistle(maker.whistle), settings, source, Route.TRIM, Stop.FLAT)


def test_practice_tunes_a_whole_whistle_by_sound_with_no_input(tmp_path, capsys):
    run_text(Context(tmp_path, Settings(), tmp_path / "journal.sqlite", practice=True, seed=5, fast=True))
    lines = capsys.readouterr().out.splitlines()
    table = [line.split() for line in lines[-4:]]
    assert [row[0] for row in table] == ["A", "B", "C", "D"]
    # true intervals of the invented world, not the program's belief; ten cents is what a club passes as good
    assert all(abs(float(row[3])) <= 12.0 for row in table)
    assert any("knife a line" in line for line in lines)


def test_the_same_walk_runs_behind_the_listener_and_its_threads(two_chambers):
    source = PracticeSource(two_chambers, paced=False, sample_rate_hz=RATE_HZ)
    said = []
    bench = TextBench(session_of(two_chambers, source), said.append, alone=True)
    bench.run()
    assert bench.session.finished()
    assert all(abs(chamber.interval_cents) < 12.0 for chamber in source.truth())
    assert any(line.startswith("Caution:") and line.endswith(")") for line in said)


def test_a_leaking_plug_is_asked_about_and_sealed_on_the_terminal(two_chambers):
    two_chambers.habits = replace(two_chambers.habits, leak_share=1.0)
    said = []
    bench = TextBench(session_of(two_chambers, PracticeSource(two_chambers, paced=False)), said.append, alone=True)
    bench.run()
    assert bench.session.finished()
    letter = next(line for line in said if "Press a finger over plug" in line).partition("over plug ")[2][0]
    text = "\n".join(said)
    assert f"Press a finger over plug {letter}" in text
    assert f"then blow chamber {letter}" in text
    assert "Seal plug" in text
    assert any(isinstance(r, BlowTaken) and r.covered for r in bench.session.state.records)


def test_the_truth_stands_beside_what_was_believed(two_chambers):
    lines = truth_lines(session_of(two_chambers), two_chambers.truth())
    assert "truly" in lines[1]
    assert len(lines) == 3 + 2


def test_a_typed_length_is_where_the_plug_is(two_chambers):
    bench = TextBench(session_of(two_chambers), lambda line: None)
    bench.session.post(Pressed(Key.NEXT))
    bench.session.post(Pressed(Key.NEXT))
    assert bench.type_line("14.2")
    plugs = [record for record in bench.session.state.records if isinstance(record, PlugSet)]
    assert plugs[-1].length_mm == 14.2
    assert plugs[-1].said_by == "typed"


def test_forget_takes_back_the_last_done(two_chambers):
    bench = TextBench(session_of(two_chambers), lambda line: None)
    bench.session.post(Pressed(Key.NEXT))
    bench.session.post(Pressed(Key.NEXT))
    bench.type_line("14.2")
    bench.type_line("f")
    assert isinstance(bench.session.state.records[-1], Voided)
    assert not any(isinstance(record, BlowTaken) for record in bench.session.state.records)


def test_a_line_that_is_no_key_and_no_length_is_answered_with_the_keys(two_chambers):
    said = []
    bench = TextBench(session_of(two_chambers), said.append)
    assert bench.type_line("cut it")
    assert "d done" in said[-1]


@pytest.fixture
def flat_text():
    """A terminal on which plug C is known to be cut too short, and what it says."""
    told, _ = flat_bench("C", 1.2)
    said, journal = [], ListJournal()
    journal.kept = list(told.journal)
    session = Session(journal, WHISTLE, Settings(), None, Route.TRIM, Stop.FINGER)
    return TextBench(session, said.append), said


def test_o_says_every_way_out_and_l_takes_the_chord_down(flat_text):
    bench, said = flat_text
    bench.type_line("o")
    text = "\n".join(said)
    for words in ("Push it in by 1.2 mm", "a disc", "a new plug", "cents down", "Type l"):
        assert words in text
    bench.follow()
    assert any("key O." in line for line in said)
    bench.type_line("l")
    assert bench.session.state.place.lowered_cents == pytest.approx(-24.4, abs=2.0)
    assert "too much plug" in said[-1]
    bench.type_line("f")
    assert bench.session.state.place.lowered_cents == 0.0


def test_o_and_l_where_no_wood_has_run_out_say_so(two_chambers):
    said = []
    bench = TextBench(session_of(two_chambers), said.append)
    bench.type_line("o")
    bench.type_line("l")
    assert said == [NO_WAYS, NOT_DOWN]


def test_q_leaves(two_chambers):
    assert not TextBench(session_of(two_chambers), lambda line: None).type_line("q")


def test_by_microphone_without_a_whistle_says_how_to_make_one(tmp_path):
    with pytest.raises(WorldError, match="plan"):
        run_text(Context(tmp_path, Settings(), tmp_path / "journal.sqlite"))
