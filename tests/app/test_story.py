"""A whistle's session out of its records: steps, cents, intervals, air, and the same as CSV and JSON."""
from __future__ import annotations

import csv
import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.evidence import standing
from app.records import StepTaken, VoiceChanged
from app.story import story_of
from app.story_plot import plot_of
from app.story_words import as_csv, as_json, cells, cents_words, column_words, spoken, story_sentence
from tests.app.journal_cases import blow, chord, new_id, plug, void
from tests.app.paper_jobs import sample

WHISTLE = replace(sample("harbour-major-sixth"), chambers=sample("harbour-major-sixth").chambers[:2])
A_HZ, B_HZ = (chamber.target_hz for chamber in WHISTLE.chambers)


def at(hour: int, minute: int = 0, day: int = 4) -> str:
    return f"2026-03-{day:02d}T{hour:02d}:{minute:02d}:00+00:00"


def off(target_hz: float, cents: float) -> float:
    return target_hz * 2.0 ** (cents / 1200.0)


def fingered(letter: str, cents: float, when: str = at(10), **facts):
    hz = off({"A": A_HZ, "B": B_HZ}[letter], cents)
    return blow(letter, whistle_id=WHISTLE.id, at_utc=when, frequency_hz=hz, heard_hz=hz, standard_error_cents=0.0,
                **facts)


def set_plug(letter: str, how: str, when: str = at(11), depth_mm: float = 40.0):
    return plug(letter, depth_mm, whistle_id=WHISTLE.id, at_utc=when, how=how)


def plugged(face, cents: float, when: str = at(12), **facts):
    return fingered(face.letter, cents, when, stop="plug", closure_id=face.id, depth_mm=face.depth_mm, **facts)


def told(step: str, when: str, text: str = ""):
    return StepTaken(new_id(), when, WHISTLE.id, step, None, text, None)


def tuned():
    """A: finger, cut, trim. B: finger, cut, two trims. Then the chord, the glue, and the next day, warmer."""
    a_cut, b_cut = set_plug("A", "cut"), set_plug("B", "cut")
    a_trim, b_trim, b_last = (set_plug(letter, "trim", at(13)) for letter in "ABB")
    whole = chord(whistle_id=WHISTLE.id, at_utc=at(15), faces="x", a_hz=off(A_HZ, 3.0), b_heard="heard",
                  b_hz=off(B_HZ, 4.5), b_standard_error_cents=0.2, b_level_db=-3.0, a_standard_error_cents=0.0)
    return (
        fingered("A", -400.0), fingered("A", -402.0), fingered("B", -310.0), fingered("B", -310.0),
        a_cut, plugged(a_cut, 60.0), a_trim, plugged(a_trim, 2.0, at(13, 5)), plugged(a_trim, 4.0, at(13, 6)),
        b_cut, plugged(b_cut, 80.0, at(13, 10)), b_trim, plugged(b_trim, 30.0, at(13, 20)),
        b_last, plugged(b_last, 5.0, at(13, 30), temperature_c=20.5),
        whole, told("chord_done", at(16), "x"),
        plugged(a_trim, 1.0, at(18)), plugged(b_last, 2.0, at(18)),
        plugged(a_trim, 6.0, at(10, day=5), temperature_c=21.0),
        plugged(b_last, 8.0, at(10, day=5), temperature_c=21.5),
    )


STORY = story_of(WHISTLE, tuned())


def table(story, letter):
    return [cells(reading, "A")[1:4] for reading in story.readings if reading.letter == letter]


def test_each_chamber_is_told_step_by_step_with_cents_and_intervals():
    # by hand: deviations as made above; B's intervals are its own less A's latest: 80 - 3, 30 - 3, 5 - 3; in the chord
    # 4.5 - 3; after the glue 2 - 1; next day 8 - 6
    assert [(r.step.phase, round(r.deviation_cents, 6), r.interval_cents and round(r.interval_cents, 6))
            for r in STORY.readings if r.letter == "B"] == [
        (0, -310.0, None), (1, 80.0, 77.0), (2, 30.0, 27.0), (2, 5.0, 2.0), (3, 4.5, 1.5), (2, 2.0, 1.0), (2, 8.0, 2.0)]
    words = ["finger", "cut", "trim 1", "trim 2", "chord", "after glue", "next day"]
    assert [step for step, _, _ in table(STORY, "B")] == words
    assert [step for step, _, _ in table(STORY, "A")] == [step for step in words if step != "trim 2"]


def test_the_scatter_is_pooled_over_all_steps():
    # by hand: pairs -400/-402 (squares 2), -310/-310 (0), 2/4 (2): 4 over 3 degrees of freedom
    assert STORY.scatter_cents == pytest.approx((4.0 / 3.0) ** 0.5)
    first, last = STORY.of("A")[0], STORY.of("A")[1]
    assert first.sd_cents == pytest.approx((4.0 / 3.0 / 2.0) ** 0.5)
    assert last.sd_cents == pytest.approx((4.0 / 3.0) ** 0.5)


def test_one_wrong_finger_blow_widens_its_own_row_and_no_other():
    """By hand: squares of A, once 30 cents off, are 600; of B 2 + 2. A mean of all would be 12 cents for every row."""
    slipped = [fingered("A", cents) for cents in (-400.0, -400.0, -370.0)]
    b_cut = set_plug("B", "cut")
    calm = [fingered("B", -310.0), fingered("B", -312.0), b_cut, plugged(b_cut, 60.0), plugged(b_cut, 62.0)]
    story = story_of(WHISTLE, (*slipped, *calm))
    assert story.scatter_cents == pytest.approx(2.0 ** 0.5)
    assert story.of("A")[0].sd_cents == pytest.approx((600.0 / 2.0 / 3.0) ** 0.5)
    assert [reading.sd_cents for reading in story.of("B")] == pytest.approx([1.0, 1.0])


def test_with_single_blows_only_nothing_is_said_of_their_error():
    story = story_of(WHISTLE, (fingered("A", 3.0), fingered("B", 4.0)))
    assert story.scatter_cents is None
    assert cells(story.readings[0], "A")[2] == "3.0 sharp"


def test_columns_are_shared_by_the_chambers_and_run_in_the_order_of_the_work():
    assert list(column_words(STORY).values()) == [
        "finger", "cut", "trim 1", "trim 2", "chord", "after glue", "next day"]
    layout = plot_of(STORY)
    for points in layout.lines.values():
        assert [point.x for point in points] == sorted(point.x for point in points)
    assert [(round(low, 1), round(high, 1)) for _, low, high in layout.airs][-1] == (21.0, 21.5)


def test_higher_on_the_plot_is_sharper_and_its_note_is_the_zero_line():
    layout = plot_of(STORY)
    points = sorted((point for line in layout.lines.values() for point in line), key=lambda point: point.y)
    deviations = [point.reading.deviation_cents for point in points]
    assert deviations == sorted(deviations, reverse=True)
    assert all(0.0 <= point.y <= 1.0 for point in points)
    assert all((point.y < layout.zero) == (point.reading.deviation_cents > 0.0) for point in points)
    assert [cents for cents, _ in layout.scale] == sorted((cents for cents, _ in layout.scale), reverse=True)


def test_chambers_that_were_moved_otherwise_share_a_column_named_move():
    a_cut, b_cut = set_plug("A", "cut"), set_plug("B", "cut")
    a_move, b_move = set_plug("A", "push_in"), set_plug("B", "trim")
    story = story_of(WHISTLE, (a_cut, plugged(a_cut, 9.0), b_cut, plugged(b_cut, 9.0), a_move, plugged(a_move, 1.0),
                               b_move, plugged(b_move, 1.0)))
    assert list(column_words(story).values()) == ["cut", "move 1"]
    assert [words for words, _, _ in table(story, "A")] == ["cut", "push in 1"]


def test_a_move_for_the_chord_stands_after_that_chord_and_before_the_next():
    cuts = {letter: set_plug(letter, "cut") for letter in "AB"}
    moved = set_plug("B", "push_in", at(15))
    chords = [chord(whistle_id=WHISTLE.id, at_utc=when, faces=faces, a_hz=A_HZ) for when, faces in
              ((at(14), "one"), (at(16), "two"))]
    story = story_of(WHISTLE, (*cuts.values(), *(plugged(cut, 3.0) for cut in cuts.values()), chords[0], moved,
                               plugged(moved, 1.0, at(15, 5)), chords[1]))
    assert list(column_words(story).values()) == ["cut", "chord", "push in 1", "chord 2"]


def test_a_changed_voice_begins_again_beside_what_was_before():
    changed = VoiceChanged(new_id(), at(10, 30), WHISTLE.id, "A", "lip recut")
    story = story_of(WHISTLE, (fingered("A", -400.0), changed, fingered("A", -380.0, at(11), voicing_epoch=1)))
    assert [words for words, _, _ in table(story, "A")] == ["finger", "finger, voice 2"]
    assert [round(reading.deviation_cents) for reading in story.of("A")] == [-400, -380]


def test_a_plug_that_was_touched_after_the_glue_was_not_glued():
    again = set_plug("B", "trim", at(17))
    records = (*tuned()[:-4], again, plugged(again, 0.5, at(18)))
    assert "after glue" not in column_words(story_of(WHISTLE, records)).values()


def test_what_is_blown_between_the_dry_chord_and_the_glue_is_still_dry():
    """And the night is counted from the plug that was glued last."""
    faces = {letter: set_plug(letter, "cut", at(9)) for letter in "AB"}
    glued = [replace(told("glued", when, "water"), letter=letter) for letter, when in
             (("A", at(12)), ("B", at(9, day=5)))]
    records = (*faces.values(), told("chord_done", at(10), "x"), plugged(faces["A"], 3.0, at(11)), glued[0],
               plugged(faces["A"], 4.0, at(13)), glued[1], plugged(faces["B"], 5.0, at(10, day=5)),
               plugged(faces["B"], 6.0, at(20, day=5)))
    story = story_of(WHISTLE, records)
    assert [words for words, _, _ in table(story, "A")] == ["cut", "after glue"]
    assert [words for words, _, _ in table(story, "B")] == ["after glue", "next day"]


def test_without_every_plug_in_there_is_no_glue():
    cut = set_plug("A", "cut")
    records = (cut, plugged(cut, 3.0), told("focus", at(14), "Glue"), plugged(cut, 2.0, at(15)))
    assert list(column_words(story_of(WHISTLE, records)).values()) == ["cut"]


def test_blows_that_do_not_count_are_kept_to_be_heard_and_move_no_figure():
    warm, doubtful = fingered("A", 90.0, warm_up=True), fingered("A", 95.0, closure_id="")
    story = story_of(WHISTLE, (fingered("A", 10.0), warm, doubtful))
    reading, = story.readings
    assert reading.deviation_cents == pytest.approx(10.0)
    assert [blow.id for blow in reading.blows][1:] == [warm.id, doubtful.id]
    assert cells(reading, "A")[5] == "1 of 3"


def test_what_was_forgotten_is_not_told():
    slip = fingered("A", 90.0)
    story = story_of(WHISTLE, standing((fingered("A", 10.0), slip, void(slip))))
    assert [len(reading.blows) for reading in story.readings] == [1]


@pytest.mark.parametrize(("cents", "sd_cents", "words"), [
    (2.345, 0.81, "2.3 sharp ± 0.8"), (-412.4, None, "412 flat"), (0.04, None, "even"), (-0.06, 0.01, "0.1 flat ± 0.1"),
    (None, 3.0, ""),
])  # fmt: skip
def test_cents_are_said_in_words(cents, sd_cents, words):
    assert cents_words(cents, sd_cents) == words


def test_before_and_after_in_a_sentence():
    assert story_sentence(STORY) == (
        "At first up to 401 cents off their notes, at last up to 8, and up to 2 off their intervals to A.")
    assert story_sentence(story_of(WHISTLE, ())) == "Nothing that counts has been blown on this whistle yet."
    assert story_sentence(story_of(WHISTLE, (fingered("A", 3.0),))).endswith("; 1 not blown yet.")
    assert spoken(STORY.of("B")[3], "A") == (
        "B, trim 2: 5.0 sharp give or take 1.2 of its note, interval to A 2.0 sharp, air 20.5 °C, 1 blow")


def test_the_csv_opens_with_a_general_reader_and_agrees_with_the_table():
    # Python's own csv module is the reader from outside
    rows = list(csv.DictReader(as_csv(STORY).decode("utf-8").splitlines()))
    assert len(rows) == len(STORY.readings) == 13
    last = [row for row in rows if row["letter"] == "B"][3]
    assert (last["step"], float(last["deviation_cents"]), float(last["interval_cents"])) == (
        "trim 2", pytest.approx(5.0), pytest.approx(2.0))
    assert rows[0]["interval_cents"] == "", "empty, never 0, where nobody knows"


def test_the_json_tells_every_blow():
    document = json.loads(as_json(STORY, WHISTLE), parse_constant=lambda name: pytest.fail(f"{name} is not JSON"))
    assert document["format"] == "whistlewright-session"
    told = [blow["id"] for reading in document["readings"] for blow in reading["blows"]]
    assert len(set(told)) == 15, "by hand: 4 by finger, 6 on plugs, 1 whole chord, 4 after the glue"
    assert len(told) == 16, "the whole chord is told of both chambers"


faces = st.sampled_from(["finger", "cut", "trim", "push_in", "reseat", "taken_out", "voice", "blow", "chord", "glue"])


@given(st.lists(st.tuples(faces, st.sampled_from("AB"), st.floats(-900.0, 900.0)), max_size=30))
@settings(max_examples=150, deadline=None)
def test_no_order_of_records_loses_a_blow_or_turns_a_line_back_at_a_plug(facts):
    records, current = [], {}
    for minute, (what, letter, cents) in enumerate(facts):
        when = at(8 + minute // 60, minute % 60)
        if what == "finger":
            records.append(fingered(letter, cents, when))
        elif what == "voice":
            records.append(VoiceChanged(new_id(), when, WHISTLE.id, letter, ""))
        elif what == "blow" and letter in current:
            records.append(plugged(current[letter], cents, when))
        elif what == "chord":
            records.append(chord(whistle_id=WHISTLE.id, at_utc=when, faces=str(sorted(f.id for f in current.values())),
                                 a_hz=off(A_HZ, cents)))
        elif what == "glue":
            records.append(told("chord_done", when))
        elif what not in ("blow",):
            face = set_plug(letter, what, when)
            records.append(face)
            current[letter] = face
    story = story_of(WHISTLE, records)
    blown = [r for r in records if hasattr(r, "verdict")]
    told_ids = [blow.id for reading in story.readings for blow in reading.blows]
    assert set(told_ids) == {record.id for record in blown}
    plot_of(story)
    for reading in story.readings:
        assert all(cells(reading, "A")[:2])
    assert len(as_csv(story).splitlines()) == 1 + len(story.readings)
