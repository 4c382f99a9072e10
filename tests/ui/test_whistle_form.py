"""Describe your whistle: what the maker is told while writing, and what comes out."""
from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QStyle, QStyleOptionComboBox

from acoustics.notes import chord_named
from app.chord_kin import inverted
from app.description import OWN_NOTES, described, description_of
from app.settings import Settings
from app.ui.whistle_form import WhistleForm
from app.whistle import Whistle, dump_whistle
from tests.ui.sheet_cases import harbour

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


def shown(qtbot, settings: Settings, whistle: Whistle | None = None) -> WhistleForm:
    form = WhistleForm(settings, whistle)
    qtbot.addWidget(form)
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    return form


@pytest.fixture
def form(qtbot) -> WhistleForm:
    return shown(qtbot, Settings(units="both", temperature_c=19.5))


def made(qtbot, form: WhistleForm) -> Whistle:
    with qtbot.waitSignal(form.whistle_described) as described:
        form.ready.click()
    return described.args[0]


def write(field, text: str) -> None:
    field.clear()
    QTest.keyClicks(field, text)


def test_a_name_is_enough_for_a_first_whistle(qtbot, form) -> None:
    write(form.fields.name, "Tidewick harbour whistle")
    whistle = made(qtbot, form)
    assert whistle.name == "Tidewick harbour whistle"
    assert [chamber.note for chamber in whistle.chambers] == ["F5", "A5", "C6", "D6"]  # a major sixth, 0 4 7 9
    assert whistle.air.temperature_c == 19.5


def test_an_inch_fraction_and_millimetres_are_both_understood(qtbot, form) -> None:
    write(form.fields.name, "Quay")
    write(form.fields.sizes.field("bore_mm"), "3/8")
    write(form.fields.sizes.field("bore_length_mm"), "5 1/2 in")
    write(form.fields.sizes.field("window_width_mm"), "8,5 mm")
    chamber = made(qtbot, form).chambers[0]
    assert (chamber.bore_mm, chamber.bore_length_mm, chamber.window_width_mm) == (9.525, 139.7, 8.5)  # derived by hand


def test_an_inch_maker_sees_and_types_inches(qtbot) -> None:
    form = shown(qtbot, Settings(units="inch"))
    assert form.fields.sizes.field("bore_mm").text() == "1/2"
    write(form.fields.name, "Quay")
    write(form.fields.sizes.field("bore_mm"), "0.5")
    assert made(qtbot, form).chambers[0].bore_mm == 12.7


def test_each_chambers_reach_is_said_while_writing(form) -> None:
    assert form.reach.text().count("full bore") == 4
    assert "A's full bore of 140 mm speaks about" in form.reach.text()


def test_a_note_under_the_bores_reach_is_refused_and_the_keyboard_put_where_it_lies(qtbot, form) -> None:
    write(form.fields.name, "Quay")
    write(form.fields.chord.lowest, "F4")
    assert "F4 cannot be reached" in form.reach.text()
    with qtbot.assertNotEmitted(form.whistle_described):
        form.ready.click()
    assert "F4 cannot be reached" in form.trouble.text()
    assert form.fields.sizes.field("bore_length_mm").hasFocus()
    assert form.isVisible()


def test_a_slip_between_inches_and_millimetres_is_named_in_its_own_field(form) -> None:
    write(form.fields.name, "Quay")
    write(form.fields.sizes.field("bore_mm"), "0.5")
    form.ready.click()
    assert form.trouble.text() == "Bore is 0.5 mm; it must be from 6 to 20 mm: was it typed in inches?"
    assert form.fields.sizes.field("bore_mm").hasFocus()


def test_a_whistle_without_a_name_is_called_by_its_chord(qtbot, form) -> None:
    assert form.fields.name.placeholderText() == "Major sixth on F5"
    assert made(qtbot, form).name == "Major sixth on F5"


def test_a_whistle_of_own_notes_is_called_by_them(qtbot, form) -> None:
    form.fields.chord.chords.setCurrentIndex(form.fields.chord.chords.count() - 1)
    write(form.fields.chord.own, "F5 A5 C6 D6")
    assert made(qtbot, form).name == "F5 A5 C6 D6"


def test_a_number_that_is_none_is_refused(form) -> None:
    write(form.fields.name, "Quay")
    write(form.fields.number, "three")
    form.ready.click()
    assert "“three” is no number of a whistle" in form.trouble.text()
    assert form.fields.number.hasFocus()


def test_the_caution_on_the_wood_follows_the_field(form) -> None:
    write(form.wood.wood, "cocobolo")
    assert "sensitiser of skin and lips" in form.wood.caution.text.text()
    assert "allergy" in form.wood.caution.authority.text()
    write(form.wood.wood, "cherry")
    assert "wood dust" in form.wood.caution.text.text()


def test_only_chords_with_a_note_for_every_chamber_are_offered(form) -> None:
    for n_chambers, at_least in ((2, 8), (3, 10), (4, 12), (5, 10), (6, 9)):
        form.fields.chord.chambers.setValue(n_chambers)
        offered = [form.fields.chord.chords.itemData(index) for index in range(form.fields.chord.chords.count())]
        assert offered[-1] is None
        assert len(offered) - 1 >= at_least
        assert all(len(chord.equal_steps) == n_chambers for chord in offered[:-1])


def test_six_chambers_take_notes_of_their_own(qtbot, form) -> None:
    write(form.fields.name, "Quay")
    form.fields.chord.chambers.setValue(6)
    assert not form.fields.chord.own.isVisible()
    form.fields.chord.chords.setCurrentText(OWN_NOTES)
    assert form.fields.chord.own.isVisible()
    write(form.fields.chord.own, "E5 F5 G5 A5 Bb5 C6")
    whistle = made(qtbot, form)
    assert [chamber.letter for chamber in whistle.chambers] == list("ABCDEF")
    assert whistle.chambers[4].target_hz == pytest.approx(932.328, abs=0.001)  # published: equal scale on ISO 16


def test_sizes_of_their_own_start_from_the_common_one(qtbot, form) -> None:
    write(form.fields.name, "Quay")
    write(form.fields.sizes.field("window_height_mm"), "7")
    form.fields.sizes.own.click()
    write(form.fields.sizes.field("window_height_mm D"), "5")
    assert form.fields.sizes.field("window_height_mm D").accessibleName() == "Window height of chamber D"
    heights_mm = [chamber.window_height_mm for chamber in made(qtbot, form).chambers]
    assert heights_mm == [7.0, 7.0, 7.0, 5.0]


def test_one_window_for_a_chord_over_an_octave_is_remarked_on(form) -> None:
    write(form.fields.sizes.field("bore_length_mm"), "190")
    form.fields.chord.chambers.setValue(2)
    form.fields.chord.chords.setCurrentIndex(form.fields.chord.chords.count() - 1)
    write(form.fields.chord.own, "D5 E6")
    assert "so A jumps up first under a hard breath" in form.reach.text()


def test_a_document_fills_the_form_and_comes_out_the_same(qtbot, form, tmp_path: Path) -> None:
    path = tmp_path / "harbour.whistle.json"
    path.write_bytes(dump_whistle(harbour()))
    form.open_document(path)
    assert form.fields.name.text() == "Tidewick harbour whistle"
    assert form.fields.number.text() == "4"
    whistle = made(qtbot, form)
    assert dump_whistle(whistle) == dump_whistle(Whistle(**{**vars(harbour()), "id": whistle.id}))


def test_a_file_that_is_no_whistle_is_told_and_the_form_left_alone(form, tmp_path: Path) -> None:
    write(form.fields.name, "Quay")
    path = tmp_path / "notes.json"
    path.write_text("{}")
    form.open_document(path)
    assert "not a whistle document" in form.trouble.text()
    assert form.fields.name.text() == "Quay"


def test_leaving_the_form_describes_nothing(qtbot, form) -> None:
    with qtbot.assertNotEmitted(form.whistle_described):
        form.leave.click()
    assert not form.isVisible()


@pytest.mark.parametrize("just", [False, True])
def test_a_whistle_of_a_chord_turned_over_is_opened_turned_over(qtbot, just: bool) -> None:
    # published: a dominant seventh's first inversion has 3, 6 and 8 steps over its third (any book of harmony)
    turned = inverted(chord_named("dominant seventh"), 1)
    asked = replace(description_of(harbour(), "mm"), chord=turned, lowest_note="G5", just=just)
    box = shown(qtbot, Settings(), described(asked, "mm")).fields.chord
    assert turned.equal_steps == (0, 3, 6, 8)
    assert (box.chord(), box.is_just(), box.lowest.text()) == (turned, just, "G5")
    assert (box.chords.currentData().name, box.turn.currentText()) == ("dominant seventh", "lowest note an octave up")


def test_every_chord_of_the_list_is_read_whole_at_twice_the_letters(qtbot) -> None:
    box = shown(qtbot, Settings(text_scale=2.0)).fields.chord
    option = QStyleOptionComboBox()
    for n_chambers in range(2, 7):
        box.chambers.setValue(n_chambers)
        box.chords.initStyleOption(option)
        room_px = box.chords.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox, option, QStyle.SubControl.SC_ComboBoxEditField, box.chords
        ).width()
        wide = {text: box.chords.fontMetrics().horizontalAdvance(text) for text in map(
            box.chords.itemText, range(box.chords.count()))}
        assert {text for text, px in wide.items() if px > room_px} == set()
