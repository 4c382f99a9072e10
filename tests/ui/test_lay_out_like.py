"""The chord of a recording in the lay-out sheet: read, told, taken where this wood can play it, or refused.

Truth of the recordings is that of the bench's own generator (`tests/bench/like`), which knows nothing of the reader.
"""
from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog

from acoustics.units import cents_between
from app.settings import Settings
from app.ui.lay_out_pages import SOUND
from app.ui.whistle_form import WhistleForm
from app.whistle import dump_whistle
from tests.bench.like.chords import RATE_HZ, Mixed, invented
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints|This plugin does not support")

ALT = Qt.KeyboardModifier.AltModifier
AS_HEARD, EQUAL, JUST = range(3)
SCREENS_PX = ((1280, 760), (3840, 2160))
AGREES_CENTS = 0.3  # the reader's and the field's tenths of a cent, both notes


def shown(qtbot, **settings) -> WhistleForm:
    form = WhistleForm(Settings(units="mm", temperature_c=20.0, **settings), harbour())
    qtbot.addWidget(form)
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    return form


@pytest.fixture
def form(qtbot) -> WhistleForm:
    return shown(qtbot)


def written(path: Path, samples: np.ndarray) -> Path:
    import soundfile

    soundfile.write(path, samples, RATE_HZ)
    return path


@pytest.fixture(scope="module")
def triad() -> Mixed:
    return invented((0, 4, 7), np.random.default_rng(11))


@pytest.fixture
def quay(tmp_path, triad) -> Path:
    return written(tmp_path / "quay.wav", triad.samples)


@pytest.fixture
def wind(tmp_path) -> Path:
    return written(tmp_path / "wind.wav", np.random.default_rng(2).normal(size=2 * RATE_HZ) * 0.1)


def read(qtbot, form: WhistleForm, path: Path) -> None:
    like = form.fields.chord.like
    with qtbot.waitSignal(like.liked):
        form.read_recording(path)


def refused(qtbot, form: WhistleForm, path: Path) -> str:
    with qtbot.waitSignal(form.fields.chord.like.refused):
        form.read_recording(path)
    return form.trouble.text()


def keep(form: WhistleForm, row: int) -> None:
    box = form.fields.chord.like.kept
    box.setCurrentIndex(row)
    box.activated.emit(row)


def intervals_cents(form: WhistleForm) -> list[float]:
    lowest, *others = (chamber.target_hz for chamber in form.whistle().chambers)
    return [cents_between(hz, lowest) for hz in others]


def true_hz(form: WhistleForm, mixed: Mixed) -> list[float]:
    """Over the very stretch that was read, which the sheet tells to a hundredth of a second."""
    start_s, end_s = re.search(r"([\d.]+) to ([\d.]+) s", form.fields.chord.like.told.text()).groups()
    return [mixed.true_hz(at, float(start_s), float(end_s)) for at in range(len(mixed.near_hz))]


def true_cents(form: WhistleForm, mixed: Mixed) -> list[float]:
    lowest, *others = true_hz(form, mixed)
    return [cents_between(hz, lowest) for hz in others]


# ---- taken -----------------------------------------------------------------------------------------------------------
def test_the_notes_are_told_and_taken_as_heard_by_whole_semitones(qtbot, form, quay, triad) -> None:
    read(qtbot, form, quay)
    whistle, told = form.whistle(), form.fields.chord.like.told.text()
    assert form.fields.chord.chord() is None
    assert len(whistle.chambers) == 3
    assert intervals_cents(form) == pytest.approx(true_cents(form, triad), abs=AGREES_CENTS)
    steps = cents_between(whistle.chambers[0].target_hz, true_hz(form, triad)[0]) / 100.0
    assert steps == pytest.approx(round(steps), abs=AGREES_CENTS / 100.0)
    assert told.startswith("quay.wav, ")
    assert "3 notes" in told
    assert "Nearest to a major triad (major third, fifth)" in told
    assert "That there are 3 is " in told
    assert f"It is moved up by {round(steps)} semitones to " in told
    assert "this wood can surely play it; the intervals are as heard." in told
    assert not form.trouble.isVisible()
    assert "cannot be reached" not in form.reach.text()


def test_equal_steps_choose_the_chord_by_its_name(qtbot, form, quay) -> None:
    keep(form, EQUAL)
    read(qtbot, form, quay)
    assert form.fields.chord.chord().name == "major triad"
    assert not form.fields.chord.is_just()
    assert intervals_cents(form) == pytest.approx([400, 700], abs=0.01)  # published: the equal scale


def test_the_intervals_may_be_kept_otherwise_after_the_reading(qtbot, form, quay, triad) -> None:
    read(qtbot, form, quay)
    heard = form.whistle().chambers[0].target_hz
    keep(form, JUST)
    # published: Ellis in Helmholtz (1885), 5:4 and 3:2 to whole cents
    assert intervals_cents(form) == pytest.approx([386, 702], abs=0.5)
    assert form.whistle().chambers[0].target_hz == pytest.approx(heard, rel=1e-4)
    assert "rounded to whole-number ratios" in form.fields.chord.like.told.text()
    keep(form, AS_HEARD)
    assert intervals_cents(form) == pytest.approx(true_cents(form, triad), abs=AGREES_CENTS)


def test_a_chord_turned_over_is_chosen_turned_over(qtbot, form, tmp_path) -> None:
    # published: a dominant seventh's first inversion has 3, 6 and 8 steps over its third (any book of harmony)
    path = written(tmp_path / "turned.wav", invented((0, 3, 6, 8), np.random.default_rng(15)).samples)
    keep(form, EQUAL)
    read(qtbot, form, path)
    assert form.fields.chord.chord().name == "dominant seventh, first inversion"
    assert form.fields.chord.turn.currentIndex() == 1
    assert intervals_cents(form) == pytest.approx([300, 600, 800], abs=0.01)


def test_it_is_moved_for_the_sizes_that_stand_in_the_fields(qtbot, form, quay) -> None:
    read(qtbot, form, quay)
    before_hz = form.whistle().chambers[0].target_hz
    form.fields.sizes.field("bore_length_mm").setText("190")
    keep(form, AS_HEARD)
    assert form.whistle().chambers[0].target_hz < before_hz  # a longer bore reaches lower, nearer to what was heard


def test_where_it_went_is_not_told_any_more_once_a_size_is_changed(qtbot, form, quay) -> None:
    read(qtbot, form, quay)
    field = form.fields.sizes.field("bore_length_mm")
    field.selectAll()
    QTest.keyClicks(field, "90")
    told = form.fields.chord.like.told.text()
    assert "Nearest to a major triad" in told
    assert "moved" not in told


# ---- refused ---------------------------------------------------------------------------------------------------------
def test_what_is_no_chord_is_said_and_changes_nothing(qtbot, form, wind) -> None:
    before = dump_whistle(form.whistle())
    assert "wind.wav: No steady chord was found" in refused(qtbot, form, wind)
    assert dump_whistle(form.whistle()) == before
    assert form.fields.chord.like.told.text() == ""


def test_one_note_a_missing_file_and_no_sound_are_each_one_sentence(qtbot, form, tmp_path) -> None:
    before = dump_whistle(form.whistle())
    one = written(tmp_path / "one.wav", invented((0,), np.random.default_rng(12)).samples)
    assert "holds one note" in refused(qtbot, form, one)
    assert refused(qtbot, form, tmp_path / "none.wav")
    (tmp_path / "letter.wav").write_text("Dear harbour master")
    assert refused(qtbot, form, tmp_path / "letter.wav")
    assert dump_whistle(form.whistle()) == before


def test_a_refused_recording_leaves_what_the_one_before_said(qtbot, form, quay, wind) -> None:
    read(qtbot, form, quay)
    refused(qtbot, form, wind)
    assert form.fields.chord.like.told.text().startswith("quay.wav")
    read(qtbot, form, quay)
    assert not form.trouble.isVisible()


def test_a_wood_that_cannot_play_it_says_so_and_the_fields_stay(qtbot, form, quay) -> None:
    form.wood.lengths["diameter_mm"].setText("30")
    before = dump_whistle(form.whistle())
    read(qtbot, form, quay)
    assert "The chord has 3 notes and this body holds" in form.trouble.text()
    assert dump_whistle(form.whistle()) == before
    assert "Nearest to a major triad" in form.fields.chord.like.told.text()  # what was heard is no field


def test_a_size_that_cannot_be_read_gets_the_keyboard(qtbot, form, quay) -> None:
    form.fields.sizes.field("bore_length_mm").setText("long")
    read(qtbot, form, quay)
    assert form.trouble.text().startswith("Bore length: ")
    assert form.fields.sizes.field("bore_length_mm").hasFocus()


def test_what_has_no_agreed_ratios_is_not_rounded_to_them(qtbot, form, tmp_path) -> None:
    path = written(tmp_path / "cluster.wav", invented((0, 4, 8), np.random.default_rng(16)).samples)
    before = dump_whistle(form.whistle())
    keep(form, JUST)
    read(qtbot, form, path)
    assert "whole-number ratios: keep the intervals as heard, or equal" in form.trouble.text()
    assert dump_whistle(form.whistle()) == before


def test_a_recording_still_read_when_the_sheet_is_filled_anew_changes_nothing(qtbot, form, quay, tmp_path) -> None:
    document = tmp_path / "harbour.json"
    document.write_bytes(dump_whistle(harbour()))
    form.read_recording(quay)
    reading = form.fields.chord.like._reading
    form.open_document(document)
    before = dump_whistle(form.whistle())
    reading.result()
    QApplication.processEvents()
    assert dump_whistle(form.whistle()) == before


# ---- by hand, and to the eye -----------------------------------------------------------------------------------------
def test_the_keyboard_alone_takes_a_recording(qtbot, form, quay) -> None:
    QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_D, ALT)
    qtbot.waitUntil(lambda: any(dialog.isVisible() for dialog in form.findChildren(QFileDialog)))
    dialog = form.findChildren(QFileDialog)[0]
    qtbot.waitUntil(dialog.isActiveWindow)
    QTest.keyClicks(QApplication.focusWidget(), str(quay))
    with qtbot.waitSignal(form.fields.chord.like.liked):
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert len(form.whistle().chambers) == 3


@pytest.mark.parametrize("text_scale", [1.0, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_what_was_heard_is_clipped_nowhere_and_stands_out(qtbot, quay, text_scale, theme) -> None:
    form = shown(qtbot, text_scale=text_scale, theme=theme)
    read(qtbot, form, quay)
    for size_px in SCREENS_PX:
        form.resize(*size_px)
        assert clipped(form) == []
        assert form.scroll.horizontalScrollBar().maximum() == 0
    form.turn_to(SOUND)
    form.scroll.ensureWidgetVisible(form.fields.chord.like.told)
    assert faint(form) == []


def test_all_is_named_and_reached_by_tab(qtbot, form, quay) -> None:
    read(qtbot, form, quay)
    assert unnamed(form) == []
    assert same_mnemonics(form) == []
    assert missed_by_tab(form) == []
    like = form.fields.chord.like
    assert like.told.accessibleName() == like.told.text()
