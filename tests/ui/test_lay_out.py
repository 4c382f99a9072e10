"""The lay-out sheet: what is typed on its three pages, what stands beside it, and what comes out."""
from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest

from app.chord_sound import ChordSound
from app.paper.job import job_of
from app.paper.sheets import SHEETS
from app.settings import Settings
from app.shelf import Shelf
from app.ui.body_walls import wall_marks
from app.ui.lay_out_pages import PAPERS, SOUND, WOOD
from app.ui.paper_out import _print_on, file_name
from app.ui.paper_preview import PAPERS as PAPER_LIST
from app.ui.whistle_form import WhistleForm
from app.whistle import Whistle, dump_whistle
from app.work_plan import work_plan
from tests.ui.lay_out_cases import drilled, too_thin
from tests.ui.sheet_cases import harbour

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


def shown(qtbot, whistle: Whistle | None = None, **settings) -> WhistleForm:
    form = WhistleForm(Settings(units="mm", temperature_c=20.0, **settings), whistle)
    qtbot.addWidget(form)
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    return form


@pytest.fixture
def form(qtbot) -> WhistleForm:
    return shown(qtbot)


def write(field, text: str) -> None:
    field.clear()
    QTest.keyClicks(field, text)


# ---- the sound -------------------------------------------------------------------------------------------------------
def test_a_set_of_notes_with_two_names_is_told_by_both(form) -> None:
    # published: F A C D are a major sixth on F and a minor seventh on D (any book of harmony)
    assert form.fields.chord.told.text() == (
        "F5 A5 C6 D6: major third, fifth, major sixth above the lowest. The same notes by name: minor seventh on D."
    )


def test_a_chord_turned_over_keeps_its_lowest_note_where_it_was_typed(form) -> None:
    form.fields.chord.turn.setCurrentIndex(1)
    assert form.fields.chord.told.text().startswith("F5 G♯5 A♯5 C♯6: minor third, fourth, minor sixth")
    assert [chamber.note for chamber in form.whistle().chambers] == ["F5", "G♯5", "A♯5", "C♯6"]


def test_just_ratios_are_taken_where_the_chord_has_them(form) -> None:
    form.fields.chord.just.setChecked(True)
    a, _, c, _ = (chamber.target_hz for chamber in form.whistle().chambers)
    assert c / a == pytest.approx(3 / 2, abs=1e-5)  # published: a just fifth is 3 to 2
    form.fields.chord.chambers.setValue(3)
    at = form.fields.chord.chords.findText("augmented triad", Qt.MatchFlag.MatchStartsWith)
    form.fields.chord.chords.setCurrentIndex(at)
    assert not form.fields.chord.just.isEnabled()  # no just form of it is agreed upon
    form.whistle()


def test_another_concert_pitch_moves_every_note(form) -> None:
    before_hz = form.whistle().chambers[0].target_hz
    write(form.fields.chord.a4, "442")
    assert form.whistle().chambers[0].target_hz == pytest.approx(before_hz * 442 / 440, abs=0.01)
    write(form.fields.chord.a4, "44")
    form.ready.click()
    assert form.trouble.text() == "A4 is 44 Hz; it must be from 390 to 490: concert pitch is 440."
    assert form.fields.chord.a4.hasFocus()


def test_the_roots_on_offer_are_those_that_this_wood_can_take(form) -> None:
    box = form.fields.chord.roots
    offered = {box.itemData(row): box.itemText(row) for row in range(box.count())}
    assert offered["F5"] == "F5  sure"
    assert "C5" not in offered
    write(form.fields.sizes.field("bore_length_mm"), "180")
    assert "C5" in {box.itemData(row) for row in range(box.count())}
    assert form.fields.chord.lowest.text() == "F5"  # what was typed stays


def test_a_short_bit_takes_the_low_roots_away(form) -> None:
    write(form.fields.sizes.field("bore_length_mm"), "180")
    box = form.fields.chord.roots
    before = {box.itemData(row) for row in range(box.count())}
    write(form.wood.lengths["bit_reach_mm"], "80")  # 80 + 80 - 5 from both ends, less the fipple
    assert {box.itemData(row) for row in range(box.count())} < before


def test_the_bores_own_note_is_told_with_a_first_whistles_uncertainty(form) -> None:
    assert "± 58 cents" in form.reach.text()  # frozen: two standard deviations of the window's share
    assert "As for a first whistle" in form.reach.text()


def test_a_wish_out_of_reach_is_told_the_nearest_and_the_roots_there_are(form) -> None:
    write(form.fields.chord.lowest, "C4")
    assert form.reach.text().startswith(
        "The major sixth on C4 is out of this wood's reach: the nearest it can take is the major sixth on E5. The"
        " lowest note of this chord may be: surely from E5 to"
    )


def test_a_body_too_thin_for_the_chord_is_told_how_thick_it_should_be(form) -> None:
    write(form.wood.lengths["diameter_mm"], "30")
    # derived by hand: walls of 2 mm want 2 (14.7 / (2 sin 45) + 6.35 + 2) = 37.49 mm for four, 31.4 for two
    assert "it needs a body of 37.5 mm; any two notes need a body of 31.4 mm." in form.reach.text()
    write(form.wood.lengths["diameter_mm"], "44")  # under the wanted walls, over the least: minded, and not forbidden
    assert form.reach.text().startswith("The lowest note of this chord may be")
    form.fields.chord.take_own(["F5", "A5"])
    write(form.wood.lengths["diameter_mm"], "30")
    assert form.pages.sound_side.others.count() == 0
    assert form.reach.text().startswith("No chord fits this wood with walls of 4 mm: any two notes need a body of 37.4")


def test_a_chord_from_the_list_of_what_can_be_played_is_taken_by_a_click(qtbot, form) -> None:
    others = form.pages.sound_side.others
    item = next(others.item(row) for row in range(others.count()) if others.item(row).text().startswith("minor triad:"))
    others.itemActivated.emit(item)
    whistle = form.whistle()
    assert len(whistle.chambers) == 3
    assert form.fields.chord.chord().name == "minor triad"
    assert "cannot be reached" not in form.reach.text()


def test_windows_graded_by_the_ratio_rule_get_shorter_up_the_chord(form) -> None:
    form.pages.sound_side.grade.click()
    heights_mm = [chamber.window_height_mm for chamber in form.whistle().chambers]
    # derived by hand: H goes with f to the power of minus 2/3; D6 lies 9 steps over F5, 6.35 * 2 ** (-9/12*2/3) = 4.49
    assert heights_mm[0] == pytest.approx(6.35, abs=0.05)
    assert heights_mm[3] == pytest.approx(4.49, abs=0.05)


def test_breath_and_windways_are_told(form) -> None:
    # derived by hand: flats of 1.6 mm on 12.7 mm leave segments of 9.24 mm² each, 37 in all; trade's table says 2.8 s
    assert "All take 37 mm²" in form.pages.sound_side.more.text()
    assert "2.8 s" in form.pages.sound_side.more.text()


# ---- hearing it ------------------------------------------------------------------------------------------------------
def test_the_chord_sounds_only_when_it_is_asked_for(qtbot, form) -> None:
    with qtbot.assertNotEmitted(form.chord_asked):
        form.fields.chord.turn.setCurrentIndex(1)
        form.fields.chord.turn.setCurrentIndex(0)
        write(form.fields.chord.lowest, "E5")
    with qtbot.waitSignal(form.chord_asked) as asked:
        form.fields.chord.hear.click()
    sound = asked.args[0]
    assert isinstance(sound, ChordSound)
    assert sound.notes_hz[0] == pytest.approx(659.255, abs=0.01)  # published: equal scale on ISO 16


def test_a_note_that_cannot_be_read_is_said_and_not_sounded(qtbot, form) -> None:
    write(form.fields.chord.lowest, "H9")
    with qtbot.assertNotEmitted(form.chord_asked):
        form.fields.chord.hear.click()
    assert "“H9” is not a note" in form.trouble.text()


# ---- the wood --------------------------------------------------------------------------------------------------------
def test_every_key_of_a_full_document_comes_out_as_it_went_in(qtbot) -> None:
    whistle = drilled()
    assert dump_whistle(shown(qtbot, whistle).whistle()) == dump_whistle(whistle)


def test_what_was_measured_is_read_in_the_makers_units(form) -> None:
    write(form.wood.lengths["dowel_diameter_mm"], "1/2")
    write(form.wood.lengths["dowel_across_mm"], "12.5")
    write(form.wood.lengths["bit_diameter_mm"], "12.9")
    stock = form.whistle().stock
    assert (stock.dowel_diameter_mm, stock.dowel_across_mm) == (12.7, 12.5)
    assert "The dowel slides and seals in a hole of 12.9 mm: 0.20 mm of room." in form.pages.wood_side.sizes.text()


def test_a_dowel_measured_one_way_only_is_asked_for_the_other_name(form) -> None:
    write(form.wood.lengths["dowel_across_mm"], "12.5")
    form.ready.click()
    assert form.trouble.text() == "Dowel, across that is given without the dowel, one way: measure both."
    assert form.keys.chosen() == WOOD
    assert form.wood.lengths["dowel_diameter_mm"].hasFocus()


def test_a_refusal_turns_to_the_page_where_it_lies(form) -> None:
    form.turn_to(PAPERS)
    write(form.wood.lengths["blank_width_mm"], "2")
    form.ready.click()
    assert form.trouble.text() == "Width of the blank is 2 mm; it must be from 15 to 150 mm: was it typed in inches?"
    assert form.keys.chosen() == WOOD
    assert form.wood.lengths["blank_width_mm"].hasFocus()


def test_drift_that_was_measured_moves_the_bore_and_thins_its_wall(qtbot) -> None:
    form = shown(qtbot, replace(harbour(), wall_mm=4.0))
    form.turn_to(WOOD)
    picture = form.pages.wood_side.plug_end
    before = picture.grab().toImage()
    assert "outside B 4 mm" in picture.accessibleDescription()
    write(form.wood.drift.field("drift_outward_mm B"), "2.5")
    write(form.wood.drift.field("drift_clockwise_mm B"), "-0.0")
    assert "outside B 1.5 mm, too thin" in picture.accessibleDescription()  # derived by hand: 4 less 2.5
    assert picture.grab().toImage() != before
    assert "1.5 mm, under the 2 mm that is the least" in form.pages.wood_side.verdict.text()
    assert form.whistle().chambers[1].drift_clockwise_mm == 0.0


def test_the_picture_shows_every_wall_once(form) -> None:
    marks = wall_marks(work_plan(harbour()))
    assert [mark.name for mark in marks] == ["A", "B", "C", "D", "A and B", "B and C", "C and D", "D and A"]
    assert all(mark.wall_mm == pytest.approx(4.0) for mark in marks)
    for mark in marks:
        apart_mm = ((mark.to_mm - mark.from_mm).x() ** 2 + (mark.to_mm - mark.from_mm).y() ** 2) ** 0.5
        assert apart_mm == pytest.approx(mark.wall_mm)


def test_two_bores_share_one_wall(form) -> None:
    form.fields.chord.chambers.setValue(2)
    assert [mark.name for mark in wall_marks(work_plan(form.whistle()))] == ["A", "B", "A and B"]


def test_what_cannot_be_made_is_the_first_thing_said(qtbot) -> None:
    form = shown(qtbot, too_thin())
    verdict = form.pages.wood_side.verdict.text()
    assert verdict.startswith("Change this: The thinnest wall is 1.5 mm where 2 mm is the least")


def test_empty_fields_show_what_the_plan_would_take(form) -> None:
    # derived by hand: circle of (12.7 + 4) / (2 sin 45°) = 11.81, body 2 (11.81 + 6.35 + 4) = 44.32
    assert form.wood.lengths["circle_radius_mm"].placeholderText() == "11.8"
    assert form.wood.lengths["diameter_mm"].placeholderText() == "44.4"  # 44.34, and no less will do


# ---- the papers ------------------------------------------------------------------------------------------------------
def test_every_sheet_there_is_can_be_chosen() -> None:
    assert {name for name, _, _ in PAPER_LIST} == set(SHEETS)


@pytest.mark.parametrize("at", range(len(PAPER_LIST)), ids=[name for name, _, _ in PAPER_LIST])
def test_every_sheet_is_previewed_page_by_page(form, at) -> None:
    form.turn_to(PAPERS)
    form.pages.papers.paper.setCurrentIndex(at)
    preview = form.pages.preview
    assert preview.place.text().startswith("page 1 of ")
    n_pages = int(preview.place.text().split()[-1])
    for _ in range(n_pages + 2):
        preview.later.click()
    assert preview.place.text() == f"page {n_pages} of {n_pages}"
    assert not preview.later.isEnabled()


def test_the_preview_follows_what_is_typed(form) -> None:
    form.turn_to(PAPERS)
    before = form.pages.preview.picture.grab().toImage()
    form.pages.papers.size.setCurrentIndex(1)
    assert form.pages.preview.picture.grab().toImage() != before


def test_no_paper_is_printed_of_a_whistle_that_cannot_be_read(form) -> None:
    write(form.fields.chord.lowest, "H9")
    form.turn_to(PAPERS)
    assert "Not known yet." in form.pages.preview.place.text()
    assert not form.pages.papers.printing.isEnabled()
    assert not form.pages.papers.saving.isEnabled()


def test_a_sheet_goes_to_the_printer_at_its_size(form, tmp_path: Path) -> None:
    sheet = SHEETS["template"](job_of(harbour()))
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(tmp_path / "printed.pdf"))
    told: list[str] = []
    _print_on(printer, sheet, told.append)
    assert told == [f"{tmp_path / 'printed.pdf'} is written."]
    assert (tmp_path / "printed.pdf").read_bytes().startswith(b"%PDF")
    assert printer.pageLayout().pageSize().name() == "A4"
    assert file_name(sheet) == "tidewick-harbour-whistle-drilling-template.pdf"


# ---- the journal beside it -------------------------------------------------------------------------------------------
def test_an_empty_shelf_teaches_nothing_and_asks_the_journal_once(monkeypatch) -> None:
    asked: list[str] = []
    monkeypatch.setattr("app.shelf.recall", lambda shelf, whistle, settings: asked.append(whistle.id) or "known")
    shelf = Shelf()
    assert shelf.learned(harbour()) == "known"
    assert shelf.learned(replace(harbour(), id="11111111-2222-3333-4444-555555555555")) == "known"
    assert len(asked) == 1


def test_a_page_is_turned_at_the_press_not_after_it(form) -> None:
    QTest.keyClick(form.fields.name, Qt.Key.Key_2, Qt.KeyboardModifier.AltModifier)
    assert form.keys.chosen() == WOOD
    assert form.wood.wood.hasFocus()
    form.turn_to(SOUND)
    assert form.fields.name.hasFocus()


# ---- what few need ---------------------------------------------------------------------------------------------------
def test_slope_and_humidity_are_out_of_sight_until_they_are_asked_for(form) -> None:
    more = form.fields.more
    assert not more.lip_slope.isVisible()
    more.wanted.click()
    write(more.lip_slope, "45°")
    write(more.humidity, "62 %")
    whistle = form.whistle()
    assert whistle.lip_slope_deg == 45.0
    assert whistle.air.relative_humidity == pytest.approx(0.62)


@pytest.mark.parametrize(("text", "sentence"), [
    ("9", "Slope of the lip is 9 degrees; it must be from 10 to 80 degrees: it is measured from the bore's axis, "
          "commonly 30 to 45."),
    ("81", "Slope of the lip is 81 degrees; it must be from 10 to 80 degrees: it is measured from the bore's axis, "
           "commonly 30 to 45."),
    ("steep", "Slope of the lip: “steep” is no figure: write it in degrees, such as 45."),
    ("nan", "Slope of the lip: “nan” is no figure: write it in degrees, such as 45."),
])
def test_a_slope_outside_its_limits_is_refused_and_shown(form, text, sentence) -> None:
    form.fields.more.lip_slope.setText(text)
    form.ready.click()
    assert form.trouble.text() == sentence
    assert form.fields.more.lip_slope.isVisible()
    assert form.fields.more.lip_slope.hasFocus()


def test_a_humidity_over_all_that_air_holds_is_refused(form) -> None:
    form.fields.more.humidity.setText("101")
    form.ready.click()
    assert form.trouble.text() == (
        "Humidity of the air is 101 %; it must be from 0 to 100 %: half of what air can hold is 50.")


def with_flats() -> Whistle:
    a, b, c, d = harbour().chambers
    chambers = (replace(a, windway_flat_mm=1.2), b, replace(c, windway_flat_mm=0.9), d)
    return replace(harbour(), chambers=chambers, lip_slope_deg=60.0)


def test_flats_of_single_fipples_are_asked_for_where_the_document_has_them(qtbot, form) -> None:
    assert form.fields.more.flats == {}
    whistle = with_flats()
    form = shown(qtbot, whistle)
    more = form.fields.more
    assert more.lip_slope.isVisible()
    assert [field.text() for field in more.flats.values()] == ["1.2", "", "0.9", "", "", ""]
    assert [letter for letter, field in more.flats.items() if field.isVisible()] == ["A", "B", "C", "D"]
    assert dump_whistle(form.whistle()) == dump_whistle(whistle)
    write(more.flats["B"], "1.1")
    write(more.flats["C"], "")
    assert [c.windway_flat_mm for c in form.whistle().chambers] == [1.2, 1.1, None, None]
    write(more.flats["B"], "12")
    form.ready.click()
    assert form.trouble.text().startswith("Flat of B's fipple is 12 mm; it must be from 0.2 to 8 mm")
    assert more.flats["B"].hasFocus()


def test_the_template_is_drawn_at_the_slope_that_was_typed(form) -> None:
    """A 60 degree lip has a shorter ramp than one of 30: the same window, another drawing."""
    form.turn_to(PAPERS)
    form.pages.preview.later.click()  # the windows to wrap round the body
    before = form.pages.preview.picture.grab().toImage()
    form.turn_to(SOUND)
    form.fields.more.wanted.click()
    write(form.fields.more.lip_slope, "60")
    form.turn_to(PAPERS)
    form.pages.preview.later.click()
    assert form.pages.preview.picture.grab().toImage() != before
