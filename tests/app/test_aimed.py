"""A chord taken down: session, sheets and card count from the notes that are aimed at, and say so once."""
from __future__ import annotations

import json

import pytest

from app.events import ChordLowered
from app.home import journal_path
from app.journal import Journal
from app.paper.job import job_of
from app.paper.past import past_of
from app.paper.sheets import SHEETS
from app.place import notes_text
from app.records import StepTaken
from app.story import story_of
from app.story_words import as_csv, as_json, story_sentence
from app.whistle import to_plan
from tests.app.command_line import HARBOUR as HARBOUR_FILE
from tests.app.command_line import CommandLine
from tests.app.journal_cases import blow, new_id, plug
from tests.app.paper_jobs import SIZES, outside, overlapping, sample, struck, words_of
from tests.app.rescue_cases import flat_bench
from tests.number_maker import WHISTLE

HARBOUR, SIX = sample("harbour-major-sixth"), sample("ferry-six")


def text_of(sheet) -> str:
    return " ".join(words.words for page in sheet.pages for words in words_of(page)).replace("\u00a0", " ")


def down(whistle, cents, notes=None):
    return StepTaken(new_id(), "2026-03-04T10:30:00+00:00", whistle.id, "chord_lowered", None,
                     notes or notes_text(to_plan(whistle)), cents)


def on_lower_notes(whistle, cents):
    """Every plug sounds its note taken down by so much."""
    records = [down(whistle, cents)]
    for chamber in whistle.chambers:
        cut = plug(chamber.letter, 30.0, whistle_id=whistle.id)
        hz = chamber.target_hz * 2 ** (cents / 1200)
        records += [cut, blow(chamber.letter, whistle_id=whistle.id, closure_id=cut.id, stop="plug", depth_mm=30.0,
                              frequency_hz=hz, heard_hz=hz)]
    return tuple(records)


def test_story_counts_from_the_lower_notes_and_says_so_once():
    story = story_of(HARBOUR, on_lower_notes(HARBOUR, -25.0))
    assert [r.deviation_cents for r in story.readings] == pytest.approx([0.0] * 4, abs=1e-6)
    assert story.readings[0].target_hz == pytest.approx(688.44, abs=0.01)  # by hand: 698.456 / 2^(25/1200)
    assert story_sentence(story).endswith("Counted from the whole chord 25 cents down.")
    assert story_sentence(story).count("25") == 1
    assert json.loads(as_json(story, HARBOUR))["lowered_cents"] == -25.0
    assert b"688.4" in as_csv(story)


def test_where_nothing_was_taken_down_or_the_notes_were_planned_anew_nothing_is_said():
    for records in (on_lower_notes(HARBOUR, -25.0)[1:], (down(HARBOUR, -25.0, "1,2,3,4"),
                                                         *on_lower_notes(HARBOUR, -25.0)[1:])):
        story = story_of(HARBOUR, records)
        assert [r.deviation_cents for r in story.readings] == pytest.approx([-25.0] * 4, abs=1e-6)
        assert "down" not in story_sentence(story)
        job = job_of(HARBOUR, records)
        assert job.whistle is HARBOUR
        for name in ("record", "card", "depths"):
            assert "cents down" not in text_of(SHEETS[name](job))
            assert "−25 c" not in text_of(SHEETS[name](job))


def test_sheets_name_the_notes_as_they_are():
    job = job_of(HARBOUR, on_lower_notes(HARBOUR, -25.0), units="mm")
    assert job.past.lowered_cents == -25.0
    assert all(each.plug.deviation_cents == pytest.approx(0.0, abs=1e-6) for each in job.past.chambers)
    first = HARBOUR.chambers[0].note
    for name in ("record", "depths"):
        text = text_of(SHEETS[name](job))
        assert f"{first} −25 c" in text
        assert "whole chord 25 cents down" in text
    record = text_of(SHEETS["record"](job))
    assert "688.4 Hz" in record
    assert "even of its note" in record
    assert "698.5 Hz" not in record
    card = text_of(SHEETS["card"](job))
    assert card.count("whole chord 25 cents down") == 4, "once on each of four"
    assert "the same notes" not in card


@pytest.mark.parametrize("whistle", [HARBOUR, SIX], ids=["four", "six"])
@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_nothing_lies_over_anything_on_the_sheets_of_a_lower_chord(whistle, size):
    job = job_of(whistle, on_lower_notes(whistle, -125.0), size=size, given_to="Tamsin", maker="the guild")
    for name, draw in SHEETS.items():
        if name in ("record", "depths", "card"):
            assert "…" not in text_of(draw(job)), "a note cut short would be another note"
        for page in draw(job).pages:
            assert not outside(page)
            assert not overlapping(page)
            assert not struck(page)


def test_what_the_bench_took_down_is_what_the_story_and_the_sheets_count_from():
    bench, maker = flat_bench("C", 1.2)
    bench.post(ChordLowered(-25.0))
    bench.walk(maker)
    last = {r.letter: r for r in story_of(WHISTLE, bench.journal).readings}
    assert all(abs(each.deviation_cents) < 8.0 for each in last.values()), "against −25 cents from its document"
    past = past_of(WHISTLE, bench.journal)
    for letter in WHISTLE.letters:
        assert past.chamber(letter).plug.deviation_cents == pytest.approx(last[letter].deviation_cents, abs=1.0)


# ---- by command ----------------------------------------------------------------------------------------------------
@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


def take_down(command, *words):
    return command("journal", "add", "--whistle", HARBOUR_FILE, *words)


def test_the_chord_is_taken_down_by_command(command):
    take_down(command, "--chord-lowered", "25")
    step = command.records()[-1]
    assert (step.step, step.value, step.letter) == ("chord_lowered", -25.0, None)
    first, *_ = command.fine("advise", "--whistle", HARBOUR_FILE, "--json").json["chambers"]
    assert first["target_hz"] == pytest.approx(688.44, abs=0.01)
    take_down(command, "--chord-lowered", "0")
    first, *_ = command.fine("advise", "--whistle", HARBOUR_FILE, "--json").json["chambers"]
    assert first["target_hz"] == pytest.approx(698.456, abs=0.001)


@pytest.mark.parametrize(("words", "told"), [
    (("--chord-lowered", "-25"), "from 0 to 600"),
    (("--chord-lowered", "601"), "from 0 to 600"),
    (("--chord-lowered", "nan"), "from 0 to 600"),
    (("--chord-lowered", "25", "--chamber", "A"), "whole chord"),
    (("--chord-lowered", "25", "--length", "40"), "One fact"),
    (("--length", "40"), "--chamber"),
])
def test_what_is_no_chord_taken_down_is_refused_in_one_sentence(command, words, told):
    run = take_down(command, *words)
    assert run.code == 2
    assert told in run.err
    assert command.records() == ()


def test_with_a_plug_glued_the_chord_stays(command):
    take_down(command, "--chamber", "A", "--length", "40")
    whistle_id = command.records()[-1].whistle_id
    with Journal(journal_path(command.home)) as journal:
        journal.append(StepTaken(new_id(), "2026-12-04T10:30:00+00:00", whistle_id, "glued", "A", "water", 40.0))
    run = take_down(command, "--chord-lowered", "25")
    assert run.code == 2
    assert "glued" in run.err
