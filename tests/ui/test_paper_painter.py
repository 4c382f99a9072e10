"""The sheets as they come out of the file: rasterised and measured by general PDF programs, not by our own model."""
from __future__ import annotations

import math
import re
import shutil
import subprocess

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QSize
from PySide6.QtGui import QPagedPaintDevice

from app.club_book import latest_evening, standings
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.paper import painter
from app.paper.check_bars import BAR_4_IN_MM, BAR_100_MM
from app.paper.club import club_papers
from app.paper.club_jobs import members_of
from app.paper.job import job_of
from app.paper.model import A4, Circle, Line, Page, Sheet, Weight, line_of_words
from app.paper.painter import needed_mm, paint_on, pdf_of, picture_of
from app.paper.session import session
from app.paper.sheets import SHEETS
from app.settings import Settings
from app.story import story_of
from tests.app.paper_jobs import NAMES, SIZES, jobs, sample, words_of
from tests.ui.club_cases import evening_in
from tests.ui.paper_raster import (
    across_mm,
    bar_across_mm,
    bar_down_mm,
    circle_mm,
    down_mm,
    ink_of,
    ink_outside,
    rule_mm,
)
from tests.ui.session_cases import sessions
from tests.ui.sheet_cases import harbour

WITHIN_MM = 0.1
MARGIN_MM = 10.0
MM_PER_POINT = 25.4 / 72.0
HEAD_MM = 24.0  # both margins: a head's rule has the rest of the page's width
CASES = [pytest.param(name, size, id=f"{name}-{size.name}") for name in NAMES for size in SIZES]
TOLD = ("record", "card", "depths", "session", "club")  # of whistles that were walked, all that can be told filled in
PAPERS = [
    pytest.param(name, size, sheet, id=f"{name}-{sheet}-{size.name}")
    for name, sheets in (*((name, tuple(SHEETS)) for name in NAMES), ("walked", TOLD))
    for sheet in sheets for size in SIZES
]
MEASURED = [each for each in PAPERS if each.values[0] in ("ferry-six", "walked")]  # the fullest of each

pytestmark = [
    pytest.mark.usefixtures("qapp"),
    pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler-utils is not installed"),
]


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("sheets")


def sheet_of(folder, name, size, sheet):
    if name != "walked":
        return SHEETS[sheet](job_of(sample(name), units="both", size=size))
    if sheet == "club":
        return club_of(folder / f"club-{size.name}.sqlite", size)
    records = standing(sessions()["whole"])
    job = job_of(harbour(), records, units="both", size=size, given_to="Tamsin", maker="the guild", day="1 May 2026")
    return session(job, story_of(harbour(), records)) if sheet == "session" else SHEETS[sheet](job)


def club_of(path, size):
    """Three whistles of an evening at three stages."""
    if not path.exists():
        evening_in(path, 3, (120, 45, 12))
    with Journal(path) as journal:
        evening = latest_evening(journal)
        return club_papers(members_of(journal, standings(journal, evening, Settings()), "both", size), evening.name)


def file_of(folder, name, size, sheet):
    """The sheet as a file, drawn once."""
    path = folder / f"{name}-{sheet}-{size.name}.pdf"
    if not path.exists():
        path.write_bytes(pdf_of(sheet_of(folder, name, size, sheet)))
    return path


def said_by(*command) -> str:
    return subprocess.run([str(word) for word in command], check=True, capture_output=True, text=True).stdout


def bars_of(page, upright):
    """Where the model puts the two bars, to know where to look; how long they are is measured."""
    for length_mm in (BAR_100_MM, BAR_4_IN_MM):
        (line,) = [
            mark for mark in page.marks
            if isinstance(mark, Line) and mark.weight is Weight.PLAIN
            and (mark.x1_mm == mark.x2_mm if upright else mark.y1_mm == mark.y2_mm)
            and math.isclose((mark.y2_mm - mark.y1_mm) + (mark.x2_mm - mark.x1_mm), length_mm, abs_tol=1e-9)
        ]
        yield line, length_mm


@pytest.mark.parametrize(("name", "size"), CASES)
def test_bars_measure_what_they_say_both_ways_on_every_page_of_the_template(folder, name, size):
    path = file_of(folder, name, size, "template")
    for number, page in enumerate(SHEETS["template"](job_of(sample(name), units="both", size=size)).pages, 1):
        ink = ink_of(path, number)
        for line, length_mm in bars_of(page, upright=False):
            assert bar_across_mm(ink, line.x1_mm, line.y1_mm, length_mm) == pytest.approx(length_mm, abs=WITHIN_MM)
        for line, length_mm in bars_of(page, upright=True):
            assert bar_down_mm(ink, line.x1_mm, line.y1_mm, length_mm) == pytest.approx(length_mm, abs=WITHIN_MM)


@pytest.mark.parametrize(("name", "size"), CASES)
def test_hole_centres_and_bores_measure_as_planned_on_both_copies(folder, name, size):
    whistle = sample(name)
    ink = ink_of(file_of(folder, name, size, "template"), 1)
    page = SHEETS["template"](job_of(whistle, units="both", size=size)).pages[0]
    bodies = [mark for mark in page.marks if isinstance(mark, Circle) and mark.weight is Weight.STRONG]
    # By hand, for equal bores: neighbours lie bore and wall apart on a circle; the body has a wall outside them.
    n_bores, bore_mm = len(whistle.chambers), whistle.chambers[0].bore_mm
    circle_radius_mm = (bore_mm + whistle.wall_mm) / 2.0 / math.sin(math.pi / n_bores)
    body_radius_mm = circle_radius_mm + bore_mm / 2.0 + whistle.wall_mm
    assert len(bodies) == 2
    for body in bodies:
        middle_x_mm, middle_y_mm, radius_mm = circle_mm(ink, body.x_mm, body.y_mm, body.radius_mm)
        assert radius_mm == pytest.approx(body_radius_mm, abs=WITHIN_MM)
        for number in range(n_bores):
            angle = 2.0 * math.pi * (number + 0.5) / n_bores
            x_mm = middle_x_mm + circle_radius_mm * math.sin(angle)
            y_mm = middle_y_mm - circle_radius_mm * math.cos(angle)
            found_x_mm, found_y_mm, found_radius_mm = circle_mm(ink, x_mm, y_mm, bore_mm / 2.0)
            assert math.hypot(found_x_mm - x_mm, found_y_mm - y_mm) < WITHIN_MM
            assert found_radius_mm == pytest.approx(bore_mm / 2.0, abs=WITHIN_MM)


@pytest.mark.parametrize(("name", "size", "sheet"), MEASURED)
def test_nothing_is_printed_beyond_the_margins(folder, name, size, sheet):
    path = file_of(folder, name, size, sheet)
    for number, _ in enumerate(sheet_of(folder, name, size, sheet).pages, 1):
        ink = ink_of(path, number)
        assert ink_outside(ink, MARGIN_MM) == 0.0
        assert ink.max() > 0.9


@pytest.mark.parametrize(("name", "size", "sheet"), [
    each for each in MEASURED if each.values[2] in ("cuts", "steps", "record", "club", "session")
])  # fmt: skip
def test_rule_under_the_head_is_as_long_as_the_page_has_room(folder, name, size, sheet):
    pages = sheet_of(folder, name, size, sheet).pages
    headed = [n for n, page in enumerate(pages, 1) if any(each.words.startswith("page ") for each in words_of(page))]
    assert headed == list(range(1, len(pages) + (sheet != "club")))  # the last of the club's are its cards
    for number in headed:
        rule = next(m for m in pages[number - 1].marks if isinstance(m, Line) and m.weight is Weight.STRONG)
        long_mm = rule_mm(ink_of(file_of(folder, name, size, sheet), number), rule.y1_mm)
        assert long_mm == pytest.approx(size.width_mm - HEAD_MM, abs=WITHIN_MM)


@pytest.mark.parametrize(("name", "size", "sheet"), [each for each in MEASURED if each.values[2] in ("card", "club")])
def test_gift_cards_are_cut_and_folded_where_they_say(folder, name, size, sheet):
    """170 by 55 mm, folded at 85: what a punch and a ribbon were chosen for."""
    ink = ink_of(file_of(folder, name, size, sheet), len(sheet_of(folder, name, size, sheet).pages))
    page = sheet_of(folder, name, size, sheet).pages[-1]
    uprights = [m for m in page.marks if isinstance(m, Line) and m.x1_mm == m.x2_mm and abs(m.y2_mm - m.y1_mm) > 50.0]
    left_mm, tops_mm = min(m.x1_mm for m in uprights), sorted({min(m.y1_mm, m.y2_mm) for m in uprights})
    assert len(tops_mm) == (3 if sheet == "club" else 4)
    for top_mm in tops_mm:
        rows_mm = (top_mm + 20.0, top_mm + 40.0)
        assert across_mm(ink, left_mm, 170.0, rows_mm) == pytest.approx(170.0, abs=WITHIN_MM)
        assert across_mm(ink, left_mm, 85.0, rows_mm) == pytest.approx(85.0, abs=WITHIN_MM)
        assert down_mm(ink, top_mm, 55.0, (left_mm + 81.0, left_mm + 84.0)) == pytest.approx(55.0, abs=WITHIN_MM)


@pytest.mark.parametrize(("name", "size", "sheet"), [each for each in MEASURED if each.values[2] == "depths"])
def test_cards_of_depths_measure_as_drawn(folder, name, size, sheet):
    ink = ink_of(file_of(folder, name, size, sheet), 1)
    left_mm = (size.width_mm - 180.0) / 2.0
    for top_mm in (12.0, 12.0 + 124.0 + 6.0):
        assert across_mm(ink, left_mm, 180.0, (top_mm + 20.0, top_mm + 100.0)) == pytest.approx(180.0, abs=WITHIN_MM)
        assert down_mm(ink, top_mm, 124.0, (left_mm + 0.5, left_mm + 3.5)) == pytest.approx(124.0, abs=WITHIN_MM)


@pytest.mark.parametrize(("name", "size", "sheet"), PAPERS)
def test_file_has_its_typefaces_inside_and_is_lines_not_pictures(folder, name, size, sheet):
    path = file_of(folder, name, size, sheet)
    faces = said_by("pdffonts", path).splitlines()[2:]
    assert faces
    assert all(re.search(r"\s(yes)\s+(yes|no)\s+(yes|no)\s+\d+\s+\d+$", face) for face in faces)
    assert len(said_by("pdfimages", "-list", path).splitlines()) == 2  # its heading


@pytest.mark.parametrize(("name", "size", "sheet"), PAPERS)
def test_words_in_the_file_keep_the_margins(folder, name, size, sheet):
    path = file_of(folder, name, size, sheet)
    told = said_by("pdftotext", "-bbox", path, "-")
    words = re.findall(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">', told)
    assert len(words) > 40
    left, top, right, bottom = (np.array(edge, dtype=float) * MM_PER_POINT for edge in zip(*words, strict=True))
    assert left.min() >= MARGIN_MM
    assert top.min() >= MARGIN_MM
    assert right.max() <= size.width_mm - MARGIN_MM
    assert bottom.max() <= size.height_mm - MARGIN_MM


@pytest.mark.parametrize(("name", "size", "sheet"), [each for each in MEASURED if each.values[1] is A4])
def test_file_is_black_on_white_and_nothing_else(folder, name, size, sheet):
    path = file_of(folder, name, size, sheet)
    stem = folder / f"colours-{name}-{sheet}"
    subprocess.run(["pdftoppm", "-r", "60", "-png", path, stem], check=True, capture_output=True)
    pictures = sorted(folder.glob(f"colours-{name}-{sheet}-*.png"))
    assert pictures
    for picture in pictures:
        with Image.open(picture) as image:
            dots = np.asarray(image.convert("RGB"), dtype=int)
        assert (dots[..., 0] == dots[..., 1]).all()
        assert (dots[..., 1] == dots[..., 2]).all()
        assert dots.min() < 60
        assert dots.max() == 255


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_file_has_the_papers_size_and_asks_not_to_be_scaled(folder, size):
    path = file_of(folder, "harbour-major-sixth", size, "steps")
    told = said_by("pdfinfo", path)
    width, height = map(float, re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", told).groups())
    # A PDF page counts in whole points here: 0.35 mm, none of which is in what is drawn.
    assert width * MM_PER_POINT == pytest.approx(size.width_mm, abs=0.2)
    assert height * MM_PER_POINT == pytest.approx(size.height_mm, abs=0.2)
    assert "Harbour pilot: step by step" in told
    assert path.read_bytes().count(b"/PrintScaling /None") == 1


def test_room_given_to_words_is_enough_for_the_typeface_here():
    tight = {
        (words.words, round(needed_mm(words), 2), round(words.room_mm, 2))
        for _, job in jobs() for sheet in SHEETS.values() for page in sheet(job).pages for words in words_of(page)
        if needed_mm(words) > words.room_mm * 1.001
    }
    assert not tight


def test_words_too_wide_for_their_room_are_drawn_narrower(qapp):
    wide = line_of_words(20.0, 30.0, "WWWWWWWW", 40.0)
    tight = Page(A4, (type(wide)(20.0, 30.0, wide.words, 40.0, 50.0),))
    image = picture_of(tight, 4.0)
    inked = [x for x in range(image.width()) for y in range(80, 130, 3) if image.pixelColor(x, y).lightness() < 128]
    assert min(inked) >= 20 * 4 - 2
    assert max(inked) <= 70 * 4 + 2


def test_preview_shows_the_whole_page_in_black_on_white():
    page = SHEETS["template"](job_of(sample("harbour-major-sixth"))).pages[0]
    image = picture_of(page, 2.0)
    assert image.size() == QSize(420, 594)
    assert image.pixelColor(2, 2).lightness() == 255


def test_printer_gets_the_same_page_at_its_own_size(tmp_path):
    from PySide6.QtPrintSupport import QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    path = tmp_path / "printed.pdf"
    printer.setOutputFileName(str(path))
    sheet = SHEETS["template"](job_of(sample("harbour-major-sixth"), units="both"))
    paint_on(printer, sheet.pages)
    ink = ink_of(path, 2)
    for line, length_mm in bars_of(sheet.pages[1], upright=False):
        assert bar_across_mm(ink, line.x1_mm, line.y1_mm, length_mm) == pytest.approx(length_mm, abs=WITHIN_MM)


@pytest.mark.qt_log_ignore("QPainter::begin")
def test_printer_that_cannot_begin_is_told_in_one_sentence(tmp_path):
    from PySide6.QtGui import QPdfWriter

    nowhere: QPagedPaintDevice = QPdfWriter(str(tmp_path / "no" / "such" / "folder.pdf"))
    with pytest.raises(WorldError, match="could not be begun"):
        paint_on(nowhere, (Page(A4, ()),))


def test_file_that_is_not_built_as_expected_is_left_as_it_is():
    from app.paper.print_scaling import at_own_size

    assert at_own_size(b"%PDF-1.4 something else") == b"%PDF-1.4 something else"


def test_system_without_a_typeface_is_told_what_to_install(monkeypatch):
    monkeypatch.setattr(painter.QFontDatabase, "families", lambda: [])
    with pytest.raises(WorldError, match="no typeface"):
        painter.ready_without_window()


def test_library_that_qt_lacks_is_named(monkeypatch):
    class Broken:
        def __init__(self, file):
            self.file = file

        def load(self):
            return False

        def errorString(self):  # noqa: N802 - Qt's own name
            return "libEGL.so.1: cannot open shared object file"

    monkeypatch.setattr(painter.QGuiApplication, "instance", lambda: None)
    monkeypatch.setattr(painter, "QPluginLoader", Broken)
    with pytest.raises(WorldError, match=r"libEGL\.so\.1"):
        painter.ready_without_window()


def test_sheet_without_words_can_be_drawn():
    assert pdf_of(Sheet("plain", "Plain", (Page(A4, (Line(20.0, 20.0, 40.0, 20.0),)),))).startswith(b"%PDF")
