"""What stands on the sheets: the journal's facts where there are some, lines where not, cautions beside their steps."""
from __future__ import annotations

from dataclasses import replace

import pytest

from app.cautions import NOISE_LIMIT
from app.paper.chord_name import chord_of, name_of, other_names_of
from app.paper.figures import Figures
from app.paper.job import job_of
from app.paper.model import Line
from app.paper.past import day_text, past_of
from app.paper.record import record
from app.paper.rod import parts_of
from app.paper.sheets import SHEETS
from app.paper.work_steps import steps_of
from app.records import StepTaken
from tests.app.journal_cases import blow, chord, new_id, plug
from tests.app.paper_jobs import NAMES, outside, overlapping, sample, struck, words_of

HARBOUR = sample("harbour-major-sixth")


def text_of(sheet) -> str:
    return " ".join(words.words for page in sheet.pages for words in words_of(page)).replace("\u00a0", " ")


def blown(letter, closure_id, frequency_hz, **facts):
    return blow(letter, whistle_id=HARBOUR.id, closure_id=closure_id, frequency_hz=frequency_hz, **facts)


def told(step, letter, value=None):
    return StepTaken(new_id(), "2026-03-04T10:30:00+00:00", HARBOUR.id, step, letter, "", value)


def finished_records():
    """A and B: first blows by finger, a plug each, accepted; a slug was tried in B at two depths."""
    records = []
    for letter, first_hz, depth_mm, plug_hz in (("A", 560.0, 20.0, 699.0), ("B", 561.0, 44.0, 881.5)):
        records += [blown(letter, f"{letter}:finger:0", first_hz + 1.0), blown(letter, f"{letter}:finger:0", first_hz)]
        cut = plug(letter, depth_mm, whistle_id=HARBOUR.id, length_mm=depth_mm + 1.0, proud_mm=1.0)
        records += [cut, blown(letter, cut.id, plug_hz, stop="plug", depth_mm=depth_mm, temperature_c=21.0)]
        records.append(told("accepted", letter, 1.0))
    return tuple(records)


# ---- the past ------------------------------------------------------------------------------------------------------
def test_past_without_records_knows_nothing():
    past = past_of(HARBOUR, ())
    assert all(chamber.first is None and chamber.depth_mm is None for chamber in past.chambers)
    assert (past.first_day, past.last_temperature_c) == ("", None)


def test_past_tells_first_blow_plug_and_what_it_spoke():
    past = past_of(HARBOUR, finished_records())
    lowest, second, third = past.chamber("A"), past.chamber("B"), past.chamber("C")
    assert lowest.first.frequency_hz == pytest.approx(560.5)  # by hand: the mean of 560 and 561
    assert (lowest.first.stop, lowest.first.n_blows) == ("finger", 2)
    assert (lowest.depth_mm, lowest.length_mm, lowest.settled) == (20.0, 21.0, True)
    # By hand: 1200 log2(881.5/880) - 1200 log2(699/698.456) = 2.948 - 1.348.
    assert second.interval_cents == pytest.approx(1.60, abs=0.01)
    assert lowest.interval_cents is None
    assert third.plug is None
    assert (past.first_temperature_c, past.last_temperature_c) == (19.5, 21.0)
    assert not past.finished


def test_readings_of_another_slug_depth_are_not_mixed_in():
    records = (blown("C", "one", 700.0, stop="slug"), blown("C", "two", 800.0, stop="slug"))
    assert past_of(HARBOUR, records).chamber("C").first.frequency_hz == pytest.approx(800.0)


def test_day_is_written_out():
    assert day_text("2026-03-04T10:00:00+00:00").endswith(("March 2026",))


def test_record_and_depths_show_what_the_journal_knows():
    job = job_of(HARBOUR, finished_records(), units="mm")
    text = text_of(SHEETS["record"](job))
    for known in ("560.5 Hz", "finger, 2 blows", "21.0 mm", "20.0 mm", "699.0 Hz", "881.5 Hz", "2 c sharp", "19.5"):
        assert known in text
    depths = text_of(SHEETS["depths"](job))
    assert "20.0 mm" in depths
    assert "44.0 mm" in depths


def cells_of(sheet, letter):
    """The bold words of this chamber's row in the table of chambers, left to right."""
    words = [w for page in sheet.pages for w in words_of(page) if w.bold]
    (start,) = [w for w in words if w.words == letter and w.align == "middle" and w.x_mm < 20.0]
    return [w.words.replace("\u00a0", " ") for w in sorted(words, key=lambda w: w.x_mm) if w.y_mm == start.y_mm]


def chord_in(at_utc, **off_cents):
    """Of the whole whistle, in one breath; None is a chamber that was silent."""
    told = {}
    for chamber in HARBOUR.chambers:
        cents = off_cents.get(chamber.letter, 0.0)
        letter = chamber.letter.lower()
        told[f"{letter}_heard"] = "missing" if cents is None else "heard"
        told[f"{letter}_hz"] = None if cents is None else chamber.target_hz * 2.0 ** (cents / 1200.0)
        told[f"{letter}_standard_error_cents"] = told[f"{letter}_level_db"] = None if cents is None else 0.3
    return replace(chord(whistle_id=HARBOUR.id, at_utc=at_utc, faces=""), **told)


def glued_records(*glued, next_day=()):
    """Four plugs in, one dry chord, the water-based glue; then these chords of the same day and of the next."""
    records = [
        plug(letter, depth_mm, whistle_id=HARBOUR.id, length_mm=depth_mm)
        for letter, depth_mm in zip("ABCD", (20.0, 44.0, 60.0, 70.0), strict=True)
    ]
    faces = ",".join(f"{each.id}:0" for each in records)
    records += [told("accepted", letter, 1.0) for letter in "ABCD"]
    records.append(replace(chord_in("2026-03-04T10:40:00+00:00"), faces=faces))
    records.append(replace(told("glue", None), text="water"))
    records += [replace(told("glued", letter), text="water") for letter in "ABCD"]
    return (*records, *(replace(each, faces=faces) for each in (*glued, *next_day)))


def test_cells_after_the_glue_are_filled_from_the_chord_and_blank_only_where_nothing_was_blown():
    # By hand: all but C went 6 c flat in the glue, C 14 c sharp: 20 c from its interval; next day D was not heard.
    glued = chord_in("2026-03-04T11:00:00+00:00", A=-6.0, B=-6.0, C=14.0, D=-6.0)
    late = chord_in("2026-03-05T12:00:00+00:00", A=-9.0, B=-9.0, C=11.0, D=None)
    sheet = record(job_of(HARBOUR, glued_records(glued, next_day=(late,)), units="mm"))
    assert [cells_of(sheet, letter)[-2:] for letter in "ABCD"] == [
        ["home", "home"], ["even", "even"], ["20 c sharp", "20 c sharp"], ["even", "silent"]
    ]
    past = past_of(HARBOUR, glued_records(glued, next_day=(late,)))
    assert (past.glued_shift_cents, past.next_day_shift_cents) == pytest.approx((-6.0, -9.0))
    words = text_of(sheet)
    assert not any(outside(page) or overlapping(page) or struck(page) for page in sheet.pages)
    assert "all since dry" in words
    assert ("6 c flat" in words, "9 c flat" in words) == (True, True)
    same_day = record(job_of(HARBOUR, glued_records(glued), units="mm"))
    assert [cells_of(same_day, letter)[-1] for letter in "BC"] == ["even", "20 c sharp"]  # and nothing after them
    assert "silent" not in text_of(same_day)


def test_chamber_heard_without_its_lowest_has_no_interval_and_says_why():
    late = chord_in("2026-03-05T12:00:00+00:00", A=None, B=3.0)
    sheet = record(job_of(HARBOUR, glued_records(next_day=(late,)), units="mm"))
    assert [cells_of(sheet, letter)[-1] for letter in "AB"] == ["silent", "heard"]
    assert "A silent" in text_of(sheet)


def test_depths_of_plugs_that_were_not_accepted_are_lines_to_write_on():
    records = tuple(r for r in finished_records() if not isinstance(r, StepTaken))
    assert "44.0 mm" not in text_of(SHEETS["depths"](job_of(HARBOUR, records, units="mm")))


@pytest.mark.parametrize("name", NAMES)
def test_empty_record_has_a_box_for_every_chamber(name):
    whistle = sample(name)
    sheet = record(job_of(whistle))
    uprights = {
        round(mark.x1_mm, 3) for page in sheet.pages for mark in page.marks
        if isinstance(mark, Line) and mark.x1_mm == mark.x2_mm
    }
    assert len(uprights) > 8
    for heading in ("first blow", "before glue", "after glue", "next day", "glued, day"):
        assert heading in text_of(sheet)


# ---- chord and card ------------------------------------------------------------------------------------------------
def test_chord_is_called_by_its_intervals_and_its_notes():
    assert name_of(HARBOUR) == "major sixth"
    assert name_of(sample("fog-minor-triad")) == "minor triad"
    assert name_of(sample("ferry-six")) == "minor sixth with octave and ninth"
    # derived by hand: F A C D is D F A C; a minor triad's notes are only turns of itself
    assert other_names_of(HARBOUR) == "minor seventh on D"
    assert other_names_of(sample("fog-minor-triad")) == ""
    card = text_of(SHEETS["card"](job_of(HARBOUR, given_to="Tamsin", day="1 May 2026")))
    for words in ("major sixth", "F5 A5 C6 D6", "beech", "Tamsin", "1 May 2026"):
        assert words in " ".join(card.split())


def test_chord_turned_over_has_its_name_on_card_record_depths_and_steps():
    # Published: a dominant seventh's first inversion has 3, 6 and 8 steps over its third (any book of harmony).
    turned = replace(HARBOUR, chambers=tuple(
        replace(c, target_hz=440.0 * 2.0 ** (step / 12.0), note="")
        for c, step in zip(HARBOUR.chambers, (0, 3, 6, 8), strict=True)
    ))
    for key in ("card", "record", "depths", "steps"):
        text = " ".join(text_of(SHEETS[key](job_of(turned))).split())
        assert "ominant seventh, first inversion" in text
        assert "the same notes" not in text


def test_just_chord_has_the_name_of_its_equal_sister_and_own_notes_have_none():
    # Published: 12:15:18:20 is the just form of the major sixth (A. J. Ellis, 1885, list of intervals).
    just = [HARBOUR.chambers[0].target_hz * ratio / 12.0 for ratio in (12, 15, 18, 20)]
    own = [HARBOUR.chambers[0].target_hz * ratio for ratio in (1.0, 1.04, 1.55, 1.8)]
    retuned = [
        replace(HARBOUR, chambers=tuple(
            replace(c, target_hz=hz) for c, hz in zip(HARBOUR.chambers, notes_hz, strict=True)
        )) for notes_hz in (just, own)
    ]
    assert [chord_of(whistle) and chord_of(whistle).name for whistle in retuned] == ["major sixth", None]


def test_card_says_ears_small_children_and_care():
    card = text_of(SHEETS["card"](job_of(HARBOUR)))
    for words in ("Care.", "Ears.", "Small children.", "16 CFR 1501", "NIOSH"):
        assert card.count(words) == 4  # four cards to a page
    depths = text_of(SHEETS["depths"](job_of(HARBOUR)))
    for words in ("not near an ear", "not under three years", "16 CFR 1501", NOISE_LIMIT):
        assert depths.count(words) == 2  # two to a page


# ---- steps and cuts ------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", NAMES)
def test_every_step_with_a_blade_glue_or_breath_has_its_caution_and_every_caution_its_authority(name):
    steps = list(steps_of(job_of(sample(name))))
    bare = {step.title for step in steps if step.caution is None}
    assert bare == {"Mark out"}  # pencil, dividers and punch: no caution in our sources
    for step in steps:
        if step.caution is not None:
            assert step.caution.authority
            assert "come first" in step.caution.text + step.caution.authority  # local rules, always


# What each kind of work must be warned of, by the sources under `app.cautions` and `app.paper.step_cautions`.
EYES, DUST, EARS = "ull-face shield", "respirator", "hort blows"
MUST_SAY = {
    "Choose and measure": ("sensitiser",),
    "Drill": ("in a clamp", "peck", "never by hand while it turns", "smoke means stop", "hot", EYES),
    "Saw the windows": ("V cradle",), "Turn the body": (EYES, "No gloves", DUST),
    "Mouthpiece and cap": (EYES, "no gloves", DUST, "at the lips"),
    "Fipples": ("long rod", "never pinched", DUST, "glue that has not cured"),
    "Voice every chamber": ("last remedy", EARS, "dizzy"), "First blows": ("One whistle, one mouth", EARS, "ear plugs"),
    "Cut the plugs": ("long rod", "thrown back"), "Trim to the note": ("never pinched", DUST, EARS, "never at an ear"),
    "The whole chord": (EARS, "dizzy", "ear plugs"), "Glue": ("uncured", "skin and lids", "flush 15 minutes", "air"),
    "Finish and cure": ("still curing", "30 days"), "Next day": (EARS, "dizzy", "never at an ear"),
    "Hand it over": ("small parts", "under three", "not near ears"),
}


def test_every_step_is_warned_of_what_its_work_does():
    steps = {step.title: step.caution for step in steps_of(job_of(replace(HARBOUR, wood="black walnut")))}
    assert len(steps) == len(MUST_SAY) + 1  # marking out
    for title, words in MUST_SAY.items():
        (caution,) = [caution for step, caution in steps.items() if step.startswith(title) and caution is not None]
        missing = [each for each in words if each not in caution.text]
        assert not missing, title
        if EARS in words:
            assert NOISE_LIMIT in caution.authority


@pytest.mark.parametrize("name", NAMES)
def test_caution_stands_beside_its_step_on_the_same_page(name):
    job = job_of(sample(name))
    sheet = SHEETS["steps"](job)
    for step in steps_of(job):
        if step.caution is None:
            continue
        (page,) = [page for page in sheet.pages if any(words.words == step.title for words in words_of(page))]
        title = next(words for words in words_of(page) if words.words == step.title)
        beside = [
            words for words in words_of(page)
            if words.words.startswith("Caution.") and abs(words.box.top_mm - title.box.top_mm) < 2.0
        ]
        assert len(beside) == 1
        assert " ".join(step.caution.text.split()[:3]) in beside[0].words


@pytest.mark.parametrize("name", NAMES)
def test_rod_is_the_sum_of_its_pieces_its_saw_cuts_and_what_is_held(name):
    plan = job_of(sample(name)).plan
    cuts = plan.cuts
    for rod in cuts.rods:
        parts = list(parts_of(rod, plan.plugs))
        n_cuts = len(parts) - 1  # the last stays in the hand
        assert sum(part.length_mm for part in parts) + n_cuts * cuts.kerf_mm == pytest.approx(rod.length_mm)
        assert [part.name for part in parts[:len(rod.letters)]] == [f"plug {letter}" for letter in rod.letters]


def test_plug_whose_length_is_not_known_yet_is_left_out_of_the_rod_and_the_others_keep_their_letters():
    whistle = sample("ferry-six")
    short = replace(whistle, chambers=tuple(
        replace(chamber, bore_length_mm=60.0) if chamber.letter == "B" else chamber for chamber in whistle.chambers
    ))
    plan = job_of(short).plan
    rough_mm = {f"plug {plug.letter}": plug.rough_mm for plug in plan.plugs}
    assert rough_mm["plug B"] is None
    (rod,) = plan.cuts.rods
    drawn_mm = {part.name: part.length_mm for part in parts_of(rod, plan.plugs) if part.name.startswith("plug ")}
    assert drawn_mm == {name: mm for name, mm in rough_mm.items() if mm is not None}


def test_cut_list_names_every_piece_with_its_length_rounded_up():
    job = job_of(HARBOUR, units="mm")
    text = text_of(SHEETS["cuts"](job))
    for piece in job.plan.cuts.pieces:
        assert piece.name in text
        if piece.length_mm is not None:
            assert Figures("mm").needed(piece.length_mm).main.replace("\u00a0", " ") in text


def test_wood_that_is_listed_is_named_beside_the_blank():
    ebony = replace(HARBOUR, wood="ebony")
    assert "Ebony is named as a sensitiser" in text_of(SHEETS["cuts"](job_of(ebony)))
