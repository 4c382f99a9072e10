"""The room view is read at six metres: every sentence of every stage, every turn of a club evening, on two screens."""
from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from PySide6.QtGui import QColor

from acoustics.remedies import Remedy, Symptom
from acoustics.tuning import Stop
from app.club_words import CALLED, Turn
from app.events import Request, Route, Task
from app.glue_compare import Moved, Why
from app.moments import clock_and_day
from app.room_words import LOOK_AT, SAYS, turn_work, work
from app.ui.empty_bench import empty_view
from app.ui.room_view import breakings
from app.ui.theme import contrast
from app.view import RoomLines
from app.warmth import COLD
from tests.ui.bench_parts import bench_with, clipped_words, drawn_parts
from tests.ui.chord_views import chord_views
from tests.ui.club_cases import TURNS
from tests.ui.glue_views import glue_views
from tests.ui.sample_views import ALL, TRIM
from tests.ui.shots import SHARE_OF_DISTANCE, mm_per_px
from tests.ui.walk_views import all_walked, walked

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")
SCREENS = [(1280, 800), (3840, 2160)]
READ_AT_MM = 6000
NUMBER_MM = 36.0  # of the number called: for seven metres
UNITS = ("mm", "inch")
DEPTHS_MM = {"mm": 77.7, "inch": 75.0}  # wide figures: "77.7 mm", "2 61/64 in"
AMOUNTS_MM = {"mm": 4.4, "inch": 25.0}  # "63/64 in"
TASKS = (Task.BLOW, Task.RESEAT, Task.SET_STOP, Task.CUT, Task.TRIM, Task.SLIDE, Task.MARK, Task.REPAIR, Task.REST,
         Task.NOTHING, Task.GLUE, Task.CHORD)


def requests():
    """Every work that can be asked, in both units."""
    for units in UNITS:
        for task in TASKS:
            for stop in Stop if task in (Task.BLOW, Task.RESEAT) else (Stop.PLUG,):
                for way, text in ((1, "disc"), (-1, "seal")):
                    yield units, Request(1, task, "B", stop, DEPTHS_MM[units], way * AMOUNTS_MM[units], text)
        yield units, Request(1, Task.BLOW, "B", Stop.PLUG, 60.0, covered=True)
        yield units, Request(1, Task.BLOW, "A", Stop.PLUG, text=COLD)


@cache
def all_lines() -> dict[str, RoomLines]:
    """By name: what every view of every stage has for the room, and what no walk happened on."""
    views = ALL | all_walked() | {"empty": empty_view()}
    for units in UNITS:
        for more in (*(walked(route, units) for route in Route), chord_views(units), glue_views(units)):
            views |= {f"{name} {units}": view for name, view in more.items()}
    found = {name: view.room for name, view in views.items()}
    assert all(found.values()), [name for name, room in found.items() if room is None]
    for units, asked in requests():
        if asked.task not in (Task.GLUE, Task.CHORD):
            for sliding in (False, True):
                found[f"{asked} {units} {sliding}"] = RoomLines("B", work(asked, units, sliding))
    for symptom in Symptom:
        for remedy in Remedy:
            found[f"{symptom} {remedy}"] = RoomLines("B", (SAYS[symptom], LOOK_AT[remedy]))
    return found


def all_turns() -> dict[str, Turn]:
    """With the widest number, every work as the bench's own and as the foot of the one who is called."""
    turns = dict(TURNS)
    for units, asked in requests():
        for sliding in (False, True):
            lines = turn_work(asked, units, sliding, in_glue=sliding)
            turns[f"{asked} {units} {sliding}"] = Turn(44, "", lines, ("then 10, 20, 40…",))
    waits = turns["called"].foot
    for lines in (("It is done",), ("Ready for", "its glue"), ("Read it on", "the screen")):
        turns[f"alone {lines}"] = Turn(44, "Wilhelmina of Quayss", lines, ("nobody waits for the microphone",))
        foot = (f"44: {' '.join(lines).lower()}", *waits[1:])
        turns[f"called {lines}"] = Turn(44, "Wilhelmina of Quayss", CALLED, foot)
    return turns


def room_of(qtbot, width_px, height_px, **settings):
    window = bench_with(TRIM, width_px, height_px, **settings)
    qtbot.addWidget(window)
    window.press_named("f")
    return window, window.bench.room


def badly_broken(lines) -> bool:
    """One word alone in a line, or a letter that begins one."""
    return any(len(line.split()) < 2 or line[:2].strip() in tuple("BCDF") for line in lines)


@pytest.mark.parametrize(("width_px", "height_px"), SCREENS)
def test_every_sentence_is_read_at_six_metres_and_no_word_stands_alone(qtbot, width_px, height_px):
    # Capitals of 1/200 of the distance (see `shots`): 30 mm on the glass of a 14-inch screen.
    _window, room = room_of(qtbot, width_px, height_px)
    too_small, looked_at = [], 0
    for name, shown in all_lines().items():
        room.show_lines(shown)
        lines, _size_px = room.lines()
        if room.cap_height_px() * mm_per_px(width_px, height_px) * SHARE_OF_DISTANCE < READ_AT_MM:
            too_small.append((name, lines))
        assert not (shown.letter and any(line.split()[-1] == shown.letter for line in lines)), (name, lines)
        assert not badly_broken(lines) or shown.lines[0].startswith(("B did", "B and")), (name, lines)
        looked_at += 1
    assert too_small == []
    assert looked_at > 300


@pytest.mark.parametrize(("width_px", "height_px"), SCREENS)
def test_every_turn_is_read_at_six_metres_its_number_at_seven(qtbot, width_px, height_px):
    _window, room = room_of(qtbot, width_px, height_px)
    glass_mm = mm_per_px(width_px, height_px)
    for name, turn in all_turns().items():
        room.show_turn(turn)
        lines, _size_px = room.lines()
        assert room.number_height_px() * glass_mm >= NUMBER_MM, name
        assert room.cap_height_px() * glass_mm * SHARE_OF_DISTANCE >= READ_AT_MM, (name, lines)
        assert not badly_broken(lines), (name, lines)
        # Of who goes to the bench, and of a name, less is asked: they know themselves.
        assert room.foot_cap_height_px() * glass_mm * SHARE_OF_DISTANCE >= 2500, (name, turn.foot)
        assert not turn.name or room.name_cap_height_px() * glass_mm * SHARE_OF_DISTANCE >= 2500, name


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("wish", ["usual", "high"])
@pytest.mark.parametrize(("width_px", "height_px"), [*SCREENS, (1280, 720)])
def test_nothing_is_clipped_over_another_or_faint(qtbot, theme, wish, width_px, height_px):
    window, room = room_of(qtbot, width_px, height_px, theme=theme, contrast=wish)
    for name, turn in {"sentence": None, **TURNS}.items():
        room.show_turn(turn)
        drawn_parts(window)
        assert clipped_words(window) == [], name
        boxes = room.text_boxes()
        over = [(a.text, b.text) for n, a in enumerate(boxes) for b in boxes[n + 1:] if a.rect.intersects(b.rect)]
        assert over == [], name
        ground = QColor(room.dress.palette.paper)
        assert min(contrast(box.colour, ground) for box in boxes) >= 7.0


def test_a_name_stands_in_a_line_of_its_own_smaller_than_the_sentence(qtbot):
    _window, room = room_of(qtbot, 1280, 800)
    room.show_turn(TURNS["named"])
    room.grab()
    name, *_ = [box for box in room.text_boxes() if box.text == TURNS["named"].name]
    assert name.size_px < room.lines()[1]
    room.show_turn(replace(TURNS["named"], name=""))
    assert room.lines()[1] >= name.size_px
    assert "Wilhelmina" not in room.accessibleDescription()


@pytest.mark.parametrize(("words", "never"), [
    ("Trim off plug B", "B"), ("W water-based, I instant", "instant"), ("stop at 57.6 mm", "mm"),
    ("A, B and C did not speak", "B"), ("I instant, E epoxy", "epoxy"),
])
def test_no_line_begins_with_a_letter_and_none_is_one_word(words, never):
    found = breakings(words, 3)
    assert found
    for lines in found:
        assert not any(line.split()[0] == never for line in lines)
        assert len(lines) == 1 or all(len(line.split()) > 1 for line in lines)


def test_when_to_blow_again_is_a_clock_and_a_day():
    now = "2026-05-01T10:00:00+00:00"
    assert clock_and_day("2026-05-01T12:30:00+00:00", now)[1] == ""
    assert clock_and_day("2026-05-02T12:30:00+00:00", now)[1] == "next day"
    assert clock_and_day("2026-05-04T12:30:00+00:00", now)[1] == "on Mon"  # 4 May 2026 is a Monday


def test_what_the_glue_did_has_a_line_for_every_reason(qtbot):
    from app.room_words import _moved

    _window, room = room_of(qtbot, 3840, 2160)
    for why in Why:
        line = _moved(Moved("C", why, 6.0, 1.0, 0.3), "inch")
        room.show_lines(RoomLines("" if why is Why.APART else "C", (line, "blow again", "on Wed")))
        assert room.cap_height_px() * mm_per_px(3840, 2160) * SHARE_OF_DISTANCE >= READ_AT_MM, line
