"""The nearest wish: every impossible one gets one sentence, and what the sentence names is granted when it is asked."""
from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import HealthCheck, assume, event, given, settings
from hypothesis import strategies as st

from acoustics.notes import CHORDS, Chord, chord_hz, chord_named, nearest_note, note_hz
from app.body import Body, Stock
from app.choices_of_chord import Sureness, compass, most_chambers, sureness
from app.chord_kin import inverted, n_turns
from app.commands.plan_made import require_possible
from app.errors import WorldError
from app.more_wood import wood_for_bores
from app.nearest_wish import Nearest, nearest_wish
from app.remark import Lengths
from app.whistle import LETTERS, Chamber, Whistle, checked, whistle_of
from app.work_plan import work_plan

MAJOR_SIXTH = chord_named("major sixth")
OF_BODY = ("diameter_mm", "circle_radius_mm", "tenon_diameter_mm", "length_mm")


def wood(**changes: object) -> Whistle:
    """Half-inch bores of 132 mm; what it is asked to play is said elsewhere."""
    whistle = whistle_of("wood", [880.0, 990.0], ["A5", "B5"], bore_mm=12.7, bore_length_mm=132.0,
                         window_width_mm=10.0, window_height_mm=6.0)
    return checked(replace(whistle, **changes))


def short(length_mm: float, **changes: object) -> Whistle:
    return wood(chambers=tuple(replace(c, bore_length_mm=length_mm) for c in wood().chambers), **changes)


def asking(whistle: Whistle, chord: Chord, root: str) -> Whistle:
    """The wood with the chord's chambers, each of the widest bore."""
    widest = max(whistle.chambers, key=lambda chamber: chamber.bore_mm)
    chambers = tuple(
        replace(widest, letter=letter, target_hz=hz, note=str(nearest_note(hz, whistle.a4_hz)))
        for letter, hz in zip(LETTERS, chord_hz(chord, note_hz(root, whistle.a4_hz)), strict=False)
    )
    return replace(whistle, chambers=chambers)


def resized(whistle: Whistle, sizes_mm: dict[str, float]) -> Whistle:
    body = {key: size for key, size in sizes_mm.items() if key in OF_BODY}
    stock = {key: size for key, size in sizes_mm.items() if key not in (*OF_BODY, "bore_length_mm")}
    if "blank_width_mm" in stock:
        stock["blank_height_mm"] = None
    longest_mm = sizes_mm.get("bore_length_mm", 0.0)
    chambers = tuple(replace(c, bore_length_mm=max(c.bore_length_mm, longest_mm)) for c in whistle.chambers)
    whistle = replace(whistle, chambers=chambers)
    return replace(whistle, body=replace(whistle.body, **body), stock=replace(whistle.stock, **stock))


def refused_again(whistle: Whistle, nearest: Nearest) -> list[str]:
    """What still stands against the nearest wish when it is asked."""
    asked = checked(asking(resized(whistle, dict(nearest.sizes_mm)), nearest.chord, nearest.root))
    return [remark.sentence for remark in work_plan(asked).refusals]


def refusal_of(whistle: Whistle, chord: Chord, root: str, units: str = "mm") -> str:
    """What `plan --chord` says; empty when the wish is granted."""
    asked = asking(whistle, chord, root)
    try:
        require_possible(asked, work_plan(asked, units=units), chord, units)
    except WorldError as refusal:
        return str(refusal)
    return ""


@pytest.mark.parametrize(("name", "root", "body_mm", "chord", "nearest"), [
    ("major sixth", "C4", 45.0, "major sixth", "F5"),  # too low: the lowest sure root
    ("major sixth", "A6", 45.0, "major sixth", "A♯5"),  # too high: the highest sure root
    ("major sixth with octave", "F5", 40.0, "major sixth", "F5"),  # too many: one note fewer
    ("diminished seventh with octave", "F5", 40.0, "diminished seventh", "F5"),
    ("major triad with ninth", "F5", 37.0, "major triad", "F5"),
])
def test_an_impossible_wish_is_met_with_the_nearest(
    name: str, root: str, body_mm: float, chord: str, nearest: str
) -> None:
    whistle = wood(body=Body(diameter_mm=body_mm))
    found = nearest_wish(chord_named(name), note_hz(root), whistle)
    assert found is not None
    assert (found.chord.name, found.root, dict(found.sizes_mm)) == (chord, nearest, {})
    assert found.sentence.endswith(f"the nearest it can take is the {chord} on {nearest}.")
    assert refused_again(whistle, found) == []


def test_a_wish_that_is_likely_needs_no_other() -> None:
    assert nearest_wish(MAJOR_SIXTH, note_hz("E5"), wood()) is None


def test_what_is_offered_instead_is_within_reach() -> None:
    whistle = wood(body=Body(diameter_mm=40.0))
    room = compass(whistle)
    for chord in CHORDS:
        for root in ("C4", "F5", "C6", "G6"):
            found = nearest_wish(chord, note_hz(root), whistle)
            if found is not None:
                assert len(found.chord.equal_steps) <= 4
                assert sureness(found.chord, note_hz(found.root), room) is not Sureness.NOT


# ---- where this wood takes no chord at all -------------------------------------------------------------------------
@pytest.mark.parametrize(("whistle", "sentence"), [
    # derived by hand: walls of 2 mm want 2 (14.7 / (2 sin 45) + 6.35 + 2) = 37.49 mm for four, 31.4 for two
    (wood(body=Body(diameter_mm=30.0)),
     "The major sixth on F5 has 4 notes, and this body holds not even two such bores with walls of 2 mm: it needs a"
     " body of 37.5 mm; any two notes need a body of 31.4 mm."),
    # and walls of 4 mm 44.32 for four, 37.4 for two; 3.175 more for truing
    (wood(stock=Stock(blank_width_mm=38.0)), "with walls of 4 mm: it needs a blank of 47.5 mm; any two notes need a"
     " blank of 40.6 mm."),
    (wood(body=Body(diameter_mm=60.0, circle_radius_mm=7.0)), "needs a circle of radius 10.4 mm; any two notes"),
    (short(50.0), "The major sixth on F5 is out of this wood's reach: it needs bores 123 mm long."),
    (short(50.0, body=Body(length_mm=63.0), stock=Stock(blank_length_mm=100.0, bit_reach_mm=50.0)),
     # derived by hand: 123 and 12.7 of fipple; an inch in the chuck; both ends meet by 5 mm
     "it needs bores 123 mm long, a body 135.7 mm long, a blank 161.1 mm long and a bit that reaches 70.4 mm."),
])
def test_where_no_chord_fits_the_sizes_that_would_do_are_named(whistle: Whistle, sentence: str) -> None:
    found = nearest_wish(MAJOR_SIXTH, note_hz("F5"), whistle)
    assert found is not None
    assert sentence in found.sentence
    assert found.sizes_mm
    assert refused_again(whistle, found) == []


def test_a_note_above_every_bore_is_met_with_the_highest_and_the_bore_for_it() -> None:
    found = nearest_wish(MAJOR_SIXTH, note_hz("C7"), short(50.0))
    assert found is not None
    assert re.search(r"reach: the nearest is the major sixth on [A-G]♯?\d, which needs bores [\d.]+ mm long\.",
                     found.sentence)
    assert refused_again(short(50.0), found) == []


# ---- any wish ------------------------------------------------------------------------------------------------------
def maybe(strategy: st.SearchStrategy[float]) -> st.SearchStrategy[float | None]:
    return st.none() | strategy


@st.composite
def woods(draw: st.DrawFn) -> Whistle:
    """Any bores, body, blank and bit; the notes of its chambers are no part of it."""
    length_mm, n_kinds = draw(st.floats(40.0, 200.0)), draw(st.integers(1, 2))
    bores_mm = [draw(st.floats(6.0, 20.0)) for _ in range(n_kinds)]
    chambers = tuple(
        Chamber(LETTERS[i], bores_mm[i % n_kinds], length_mm, draw(st.floats(2.0, bores_mm[i % n_kinds])),
                draw(st.floats(1.5, 20.0)), 880.0 + i)
        for i in range(draw(st.integers(2, 6)))
    )
    wall_mm = draw(st.floats(1.0, 8.0))
    across_mm = draw(st.floats(16.0, 70.0))  # few bodies are thicker than their blank or thinner than their tenon
    return checked(Whistle(
        id="6e09eb5e-f97a-4d0e-b32e-9abe96dc02ff", name="Any", chambers=chambers, wall_mm=wall_mm,
        a4_hz=draw(st.sampled_from((415.0, 440.0, 466.0))), body=Body(
            diameter_mm=draw(maybe(st.just(across_mm))), circle_radius_mm=draw(maybe(st.floats(4.0, 30.0))),
            tenon_diameter_mm=draw(maybe(st.floats(15.0, across_mm + 0.2))),
            least_wall_mm=draw(maybe(st.floats(0.5, wall_mm))),
            length_mm=draw(maybe(st.floats(length_mm + 12.7, 260.0))),
        ),
        stock=Stock(
            blank_width_mm=draw(maybe(st.floats(across_mm, 90.0))), bit_reach_mm=draw(maybe(st.floats(100.0, 300.0))),
            blank_length_mm=draw(maybe(st.floats(200.0, 400.0))),
        ),
    ))


@st.composite
def chords(draw: st.DrawFn) -> Chord:
    chord = draw(st.sampled_from(CHORDS))
    return inverted(chord, draw(st.integers(0, n_turns(chord) - 1)))


ROOTS = [f"{letter}{octave}" for octave in (4, 5, 6) for letter in ("C", "C#", "D", "Eb", "E", "F", "G", "A", "B")]


@given(woods(), chords(), st.sampled_from(ROOTS), st.sampled_from(("mm", "inch")))
@settings(max_examples=200, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much])
def test_any_wish_is_granted_or_met_with_one_sentence_and_the_nearest_that_is(
    whistle: Whistle, chord: Chord, root: str, units: str
) -> None:
    notes_hz = chord_hz(chord, note_hz(root, whistle.a4_hz))
    assume(notes_hz[0] >= 200.0 and notes_hz[-1] <= 2500.0)  # other notes are refused with that limit
    sentence = refusal_of(whistle, chord, root, units)
    if not sentence:
        event("granted")
        assert work_plan(asking(whistle, chord, root), units=units).refusals == ()
        return
    is_one_sentence(sentence)
    nearest = nearest_wish(chord, notes_hz[0], whistle, units=units)
    if nearest is not None and nearest.sentence == sentence:
        event("other wood" if nearest.sizes_mm else "other chord" if nearest.chord != chord else "other root")
        assert refused_again(whistle, nearest) == [], nearest
    else:
        event("refused with its size")
        assert re.search(r"\d", sentence), sentence


@given(woods(), st.integers(2, 6), st.sampled_from(("mm", "inch")))
@settings(max_examples=200, deadline=None)
def test_the_sizes_named_for_so_many_bores_hold_them_and_nothing_is_named_that_need_not_be(
    whistle: Whistle, n_bores: int, units: str
) -> None:
    least_mm = whistle.body.least_wall_mm or min(2.0, whistle.wall_mm)
    drawn_mm, tenon_mm = whistle.body.diameter_mm, whistle.body.tenon_diameter_mm or 0.0
    assume(drawn_mm is None or drawn_mm >= tenon_mm)  # what no number of bores would cure
    assume(max(drawn_mm or 0.0, tenon_mm) <= (whistle.stock.blank_width_mm or 999.0) - 3.175)
    sizes_mm = wood_for_bores(whistle, n_bores, Lengths(units))
    assert most_chambers(resized(whistle, sizes_mm), least_mm) >= n_bores
    assert not sizes_mm or most_chambers(whistle, least_mm) < n_bores, sizes_mm


def is_one_sentence(sentence: str) -> None:
    assert sentence.endswith((".", "?"))
    assert not re.search(r"[.?!] ", sentence), sentence


@pytest.mark.parametrize(("whistle", "clue"), [
    # No chord cures a body thicker than its blank, a bit too short or swapped sizes: these are said first.
    (wood(body=Body(diameter_mm=50.0), stock=Stock(blank_width_mm=40.0)), "A blank of 40 mm gives a body of at most"),
    (wood(body=Body(diameter_mm=30.0), stock=Stock(bit_reach_mm=50.0)), "The longest bit reaches 50 mm"),
    (wood(body=Body(diameter_mm=30.0, tenon_diameter_mm=33.0)), "were the two swapped?"),
    (wood(body=Body(diameter_mm=30.0)), "it needs a body of 37.5 mm"),
    (wood(body=Body(tenon_diameter_mm=30.0)), "it needs a tenon of 40.4 mm"),
])
def test_what_no_chord_would_cure_is_said_first(whistle: Whistle, clue: str) -> None:
    assert clue in refusal_of(whistle, MAJOR_SIXTH, "F5")


def test_of_many_wishes_none_is_left_without_a_figure() -> None:
    """Every chord on four roots in nine bodies and bores: how each is answered."""
    answers: Counter[str] = Counter()
    for whistle in (wood(), *(wood(body=Body(diameter_mm=mm)) for mm in (28.0, 34.0, 38.0, 44.0)),
                    *(short(mm) for mm in (45.0, 60.0, 80.0, 100.0))):
        for chord in CHORDS:
            for root in ("D4", "F5", "C6", "A6"):
                if chord_hz(chord, note_hz(root))[-1] <= 2500.0:
                    sentence = refusal_of(whistle, chord, root)
                    answers["granted" if not sentence else "nearest" if "nearest" in sentence else "sizes"] += 1
                    assert not sentence or re.search(r"(?:can take is|nearest is|needs) .*\d", sentence), sentence
    assert min(answers.values()) > 50
    assert len(answers) == 3
