"""The session page: everything legible and reached, one choice for plot, table and blows, files, sounds when asked."""
from __future__ import annotations

import csv
import json
import re
import subprocess

import numpy as np
import pytest
import soundfile
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from app.context import Context
from app.evidence import standing
from app.home import journal_path
from app.journal import Journal
from app.logged_sound import LoggedSound
from app.paper.job import job_of
from app.paper.model import A4, LETTER
from app.paper.session import session
from app.settings import Settings
from app.story import story_of
from app.story_words import spoken
from app.ui.desk import Desk
from app.ui.session_door import page_of
from app.ui.session_page import SessionPage
from app.ui.sheets import Sheets
from tests.app.paper_jobs import outside, overlapping, words_of
from tests.ui.session_cases import sessions
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import clipped, faint, missed_by_tab, same_mnemonics, unnamed

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")
SESSIONS = sessions()


def shown(qtbot, name: str = "whole", **settings: object) -> SessionPage:
    page = page_of(harbour(), standing(SESSIONS[name]), Settings(**{"theme": "light", **settings}))
    qtbot.addWidget(page)
    with qtbot.waitActive(page):
        page.show()
        page.activateWindow()
    return page


# ---- looks -------------------------------------------------------------------------------------------------------
@pytest.mark.parametrize("name", SESSIONS)
@pytest.mark.parametrize(("text_scale", "width_px", "height_px"), [
    (1.0, 1280, 760), (1.5, 1280, 760), (2.0, 1280, 760), (1.0, 3840, 2160), (2.0, 3840, 2160)])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_is_clipped_or_faint_at_any_size_of_text_and_window(
    qtbot, name, theme, text_scale, width_px, height_px
):
    page = shown(qtbot, name, theme=theme, text_scale=text_scale)
    page.resize(width_px, height_px)
    assert page.width() == width_px
    assert clipped(page) == []
    assert page.scroll.horizontalScrollBar().maximum() == 0
    if width_px == 1280:  # colours do not change with the window
        assert faint(page) == []


@pytest.mark.parametrize("name", SESSIONS)
@pytest.mark.parametrize(("text_scale", "width_px"), [(1.0, 1280), (2.0, 1280), (1.0, 3840)])
def test_words_of_the_plot_stay_inside_it_and_off_one_another(qtbot, name, text_scale, width_px):
    page = shown(qtbot, name, text_scale=text_scale)
    page.resize(width_px, 800)
    page.plot.grab()
    boxes = page.plot.text_boxes()
    assert {box.text for box in boxes} >= {"its note", "cents sharp", "cents flat"}
    for number, box in enumerate(boxes):
        assert page.plot.rect().adjusted(-1, -1, 1, 1).contains(box.rect.toAlignedRect()), box.text
        for other in boxes[number + 1 :]:
            both = box.rect.intersected(other.rect)
            assert both.isEmpty() or min(both.width(), both.height()) < 0.35 * box.size_px, (box.text, other.text)


def test_each_chamber_has_its_letter_beside_the_plot_and_a_mark_of_its_own(qtbot):
    page = shown(qtbot)
    page.plot.grab()
    assert {box.text for box in page.plot.text_boxes()} >= set("ABCD")
    grey = page.plot.grab().toImage()
    pictures = set()
    for box in page.plot.text_boxes():
        if box.text in "ABCD":
            left, top = round(box.rect.left()), round(box.rect.center().y())
            pictures.add(bytes(grey.copy(left - 18, top - 8, 16, 16).constBits()))
    assert len(pictures) == 4, "told apart without colour"


@pytest.mark.parametrize(("text_scale", "width_px", "height_px"), [
    (1.0, 1280, 800), (1.0, 3840, 2160), (2.0, 3840, 2160)])
def test_plot_table_and_hearing_are_on_the_screen_at_once(qtbot, text_scale, width_px, height_px):
    page = shown(qtbot, text_scale=text_scale)
    page.resize(width_px, height_px)
    QApplication.processEvents()
    for part in (page.plot, page.table, page.hear):
        assert part.visibleRegion().boundingRect() == part.rect()
    assert page.plot.width() > 0.45 * width_px
    assert page.table.horizontalScrollBar().maximum() == 0


@pytest.mark.parametrize("name", SESSIONS)
def test_everything_has_a_name_a_letter_of_its_own_and_is_reached(qtbot, name):
    page = shown(qtbot, name)
    assert (unnamed(page), same_mnemonics(page), missed_by_tab(page)) == ([], [], [])


def test_plot_and_table_are_reached_by_tab_and_left_again(qtbot):
    page = shown(qtbot)
    seen = []
    for _ in range(12):
        seen.append(QApplication.focusWidget())
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    assert {page.plot, page.table, page.leave} <= set(seen)


def test_whoever_cannot_see_the_plot_is_told_every_point(qtbot):
    page = shown(qtbot)
    told = page.plot.accessibleDescription()
    points = [reading for letter in "ABCD" for reading in page.story.of(letter)]
    assert len(points) > 30
    assert all(spoken(reading, "A") in told for reading in points)


# ---- one choice --------------------------------------------------------------------------------------------------
def test_a_row_rings_its_point_and_tells_its_figures_and_blows(qtbot):
    page = shown(qtbot)
    page.table.selectRow(8)
    reading = page.story.readings[8]
    assert page.plot._chosen is reading
    assert page.told.text() == spoken(reading, "A")
    assert page.blows.count() == len(reading.blows)


def test_arrow_keys_on_the_plot_walk_along_a_line_and_from_chamber_to_chamber(qtbot):
    page = shown(qtbot)
    page.plot.setFocus()
    told = []
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Up, Qt.Key.Key_Left):
        QTest.keyClick(page.plot, key)
        told.append(page.told.text().partition(":")[0])
    assert told == ["A, finger", "A, cut", "B, cut", "B, finger", "A, finger", "A, finger"]
    assert page.table.chosen().letter == "A"


def test_a_click_takes_the_nearest_point(qtbot):
    page = shown(qtbot)
    point = page.plot._points()[-1]
    QTest.mouseClick(page.plot, Qt.MouseButton.LeftButton, pos=page.plot._at(point).toPoint() + QPoint(2, 1))
    assert page.table.chosen() is not None
    assert page.told.text().endswith("blow")


def test_keys_on_an_empty_page_do_no_harm(qtbot):
    page = shown(qtbot, "none")
    QTest.keyClick(page.plot, Qt.Key.Key_Right)
    QTest.keyClick(page.table, Qt.Key.Key_Return)
    assert not page.hear.isEnabled()


# ---- hearing again -----------------------------------------------------------------------------------------------
def test_any_blow_whose_sound_was_kept_can_be_heard_again_warm_ups_too(qtbot):
    page = shown(qtbot)
    page.table.selectRow(0)
    assert page.blows.itemText(0).endswith("not counted")
    page.blows.setCurrentIndex(0)
    with qtbot.waitSignal(page.sound_asked) as asked:
        page.hear.click()
    assert asked.args == [page.story.readings[0].blows[0].sound_file]
    with qtbot.waitSignal(page.sound_asked):
        QTest.keyClick(page.table, Qt.Key.Key_Return)


def test_a_blow_without_a_sound_is_said_to_have_none(qtbot):
    records = SESSIONS["one"]
    page = page_of(harbour(), [type(records[0])(**{**vars(record), "sound_file": None}) for record in records],
                   Settings(theme="light"))
    qtbot.addWidget(page)
    page.table.selectRow(0)
    assert not page.hear.isEnabled()
    assert "no sound kept" in page.blows.currentText()
    with qtbot.assertNotEmitted(page.sound_asked):
        page.hear_again()


def test_the_caution_for_ears_stands_on_the_page(qtbot):
    page = shown(qtbot)
    text = " ".join(label.text() for label in page.findChildren(type(page.told)))
    assert "turn it low first" in text
    assert "local rules" in text


# ---- files -------------------------------------------------------------------------------------------------------
def test_csv_json_and_pdf_are_written_and_agree(qtbot, tmp_path):
    page = shown(qtbot)
    for what, name in (("csv", "s.csv"), ("json", "s.json"), ("A4", "s.pdf"), ("Letter", "letter.pdf")):
        page.keep(tmp_path / name, what)
        assert page.trouble.text().endswith("is written.")
    rows = list(csv.DictReader((tmp_path / "s.csv").read_text("utf-8").splitlines()))
    document = json.loads((tmp_path / "s.json").read_text("utf-8"))
    assert len(rows) == len(document["readings"]) == page.table.rowCount()
    # poppler is the reader from outside
    text = subprocess.run(["pdftotext", "-layout", tmp_path / "s.pdf", "-"], capture_output=True, text=True, check=True)
    plain = re.sub(r"\s+", " ", text.stdout)
    for reading in page.story.readings[:12]:
        if reading.deviation_cents is not None:
            assert f"{abs(reading.deviation_cents):.{1 if abs(reading.deviation_cents) < 100 else 0}f}" in plain
    assert "Before and after" in plain


def test_a_file_that_cannot_be_written_is_one_sentence_on_the_page(qtbot, tmp_path):
    page = shown(qtbot)
    (tmp_path / "file").touch()
    page.keep(tmp_path / "file" / "s.csv", "csv")
    assert page.trouble.isVisible()
    assert "could not be written" in page.trouble.text()


def test_the_file_dialog_offers_a_name_and_both_papers(qtbot):
    page = shown(qtbot)
    for kind, filters in (("pdf", 2), ("csv", 1), ("json", 1)):
        dialog = page.ask_for_file(kind)
        assert len(dialog.nameFilters()) == filters
        assert dialog.selectedFiles()[0].endswith(f"tidewick-harbour-whistle-session.{kind}")
        dialog.reject()


@pytest.mark.parametrize("name", SESSIONS)
@pytest.mark.parametrize("size", [A4, LETTER], ids=lambda size: size.name)
def test_the_paper_keeps_its_margins_and_no_words_lie_over_others(name, size):
    records = standing(SESSIONS[name])
    sheet = session(job_of(harbour(), records, size=size), story_of(harbour(), records))
    for page in sheet.pages:
        assert outside(page) == []
        assert overlapping(page) == []
    told = " ".join(words.words for page in sheet.pages for words in words_of(page))
    assert "Before and after" in told
    assert ("cents sharp" in told) == (name != "none")


# ---- on the desk -------------------------------------------------------------------------------------------------
@pytest.fixture
def desk(qtbot, tmp_path):
    desk = Desk(Context(tmp_path, Settings(theme="light"), journal_path(tmp_path), seed=5, fast=True))
    qtbot.addWidget(desk.window)
    desk.window.show()
    yield desk
    desk.clear()


def test_without_a_whistle_there_is_no_session(desk):
    Sheets(desk).show_session()
    assert "No whistle lies on the bench" in desk.window.view.trouble


def test_the_menu_opens_the_page_of_the_whistle_on_the_bench_and_a_blow_is_heard_through_the_desk(
    qtbot, desk, tmp_path, monkeypatch
):
    sheets = Sheets(desk)
    desk.practise()
    folder = journal_path(tmp_path, practice=True).parent
    (folder / "blows").mkdir()
    soundfile.write(folder / "blows/one.flac", 0.1 * np.sin(np.arange(24_000) / 8.0), 48_000)
    heard = []
    monkeypatch.setattr(desk, "let_hear", heard.append)
    desk.window.session_asked.emit()
    page = sheets.open_sheet
    assert isinstance(page, SessionPage)
    page.sound_asked.emit("blows/one.flac")
    assert isinstance(heard[0], LoggedSound)
    page.sound_asked.emit("blows/gone.flac")
    assert "deleted, or lies on another laptop" in page.trouble.text()
    assert len(heard) == 1
    with Journal(journal_path(tmp_path, practice=True)) as journal:
        assert len(page.story.readings) <= len(journal.records())
