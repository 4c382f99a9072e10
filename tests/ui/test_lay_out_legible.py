"""What the lay-out sheet owes its reader on every page: nothing clipped, all named, reached by keys, ink on paper."""
from __future__ import annotations

import pytest
from PySide6.QtWidgets import QApplication, QWidget

from app.settings import Settings
from app.ui.lay_out_pages import PAPERS, SOUND, WOOD
from app.ui.painted import Painted
from app.ui.whistle_form import WhistleForm
from app.whistle import Whistle
from tests.ui.lay_out_cases import drilled, too_thin
from tests.ui.sheet_checks import clipped, faint, fields, missed_by_tab, same_mnemonics, unnamed

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")

PAGES = {"sound": SOUND, "wood": WOOD, "papers": PAPERS}
SCREENS_PX = ((1280, 760), (3840, 2160))
WHISTLES = {"new": lambda: None, "drilled": drilled, "too thin": too_thin}


def shown(qtbot, settings: Settings, page: int, whistle: Whistle | None = None) -> WhistleForm:
    form = WhistleForm(settings, whistle)
    qtbot.addWidget(form)
    with qtbot.waitActive(form):
        form.show()
        form.activateWindow()
    form.resize(*SCREENS_PX[0])
    form.turn_to(page)
    QApplication.processEvents()
    return form


def outside(form: WhistleForm) -> list[str]:
    """Figures that were written beyond the picture they belong to."""
    found = []
    for picture in form.findChildren(QWidget):
        if isinstance(picture, Painted) and picture.isVisible():
            picture.grab()
            assert picture.text_boxes()
            frame = picture.rect().adjusted(-1, -1, 1, 1)
            found += [box.text for box in picture.text_boxes() if not frame.contains(box.rect.toRect())]
    return found


@pytest.mark.parametrize("whistle", WHISTLES.values(), ids=WHISTLES)
@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
@pytest.mark.parametrize("text_scale", [1.0, 2.0])
@pytest.mark.parametrize("units", ["both", "inch"])
def test_nothing_is_clipped_on_small_and_large_screens(qtbot, page, text_scale, units, whistle) -> None:
    form = shown(qtbot, Settings(theme="light", text_scale=text_scale, units=units), page, whistle())
    for size_px in SCREENS_PX:
        form.resize(*size_px)
        assert clipped(form) == []
        assert form.scroll.horizontalScrollBar().maximum() == 0
        assert form.pages.side_scroll.horizontalScrollBar().maximum() == 0
        assert outside(form) == []


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
def test_every_control_has_a_name_and_a_way_to_it(qtbot, page) -> None:
    form = shown(qtbot, Settings(), page, drilled())
    form.pages.papers.paper.setCurrentIndex(4)  # the card asks for names too
    assert fields(form)
    assert unnamed(form) == []
    assert same_mnemonics(form) == []
    assert missed_by_tab(form) == []


@pytest.mark.parametrize("page", PAGES.values(), ids=PAGES)
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_text_stands_out_from_its_ground(qtbot, page, theme) -> None:
    assert faint(shown(qtbot, Settings(theme=theme), page, drilled())) == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_figures_of_walls_stand_out_from_paper(qtbot, theme) -> None:
    from app.ui.theme import contrast

    form = shown(qtbot, Settings(theme=theme), WOOD, too_thin())
    picture = form.pages.wood_side.plug_end
    picture.grab()
    for box in picture.text_boxes():
        ground = "hole" if len(box.text) == 1 else "paper"
        # published: Web Content Accessibility Guidelines 2.1, 1.4.3
        assert contrast(box.colour, form.paper.palette[ground]) >= 4.5


def test_pictures_tell_in_words_what_they_show(qtbot) -> None:
    form = shown(qtbot, Settings(units="mm"), WOOD, too_thin())
    # derived by hand: circle of (11.65 + 12.7) / (1 + 2 sin 45°) = 10.086; 18 - 10.086 - 6.35 = 1.564, rounded down
    assert "outside A 1.5 mm, too thin" in form.pages.wood_side.plug_end.accessibleDescription()
    assert "bore A 140 mm" in form.pages.wood_side.length.accessibleDescription()
    form.turn_to(PAPERS)
    assert "Drilling template" in form.pages.preview.picture.accessibleDescription()
