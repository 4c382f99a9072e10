"""What every sheet owes its reader, at every size of text, light and dark, on a screen of 1280 x 800."""
from __future__ import annotations

from collections.abc import Callable

import pytest

from app.settings import Settings
from app.ui.air_sheet import AirSheet
from app.ui.first_start import FirstStart
from app.ui.preferences import Preferences
from app.ui.sheet import Sheet
from app.ui.sheet_style import paper_for
from app.ui.theme import contrast
from app.ui.trial_sheet import TrialSheet
from app.ui.whistle_form import WhistleForm
from app.ui.window import BenchWindow
from tests.ui.fake_ear import FakeEar
from tests.ui.sheet_cases import harbour
from tests.ui.sheet_checks import clipped, faint, fields, missed_by_tab, same_mnemonics, unnamed

NO_HINTS = "propagateSizeHints"  # said by Qt's off-screen platform for every top window

pytestmark = pytest.mark.qt_log_ignore(NO_HINTS)


def first_start_at(page: int) -> Callable[[Settings], Sheet]:
    def make(settings: Settings) -> Sheet:
        sheet = FirstStart(settings, FakeEar(), judge=lambda samples, rate: ("", ""))
        for _ in range(page):
            sheet.skip()
        return sheet

    return make


def form_with_own_sizes(settings: Settings) -> Sheet:
    form = WhistleForm(settings, harbour())
    form.fields.sizes.own.setChecked(True)
    return form


SHEETS: dict[str, Callable[[Settings], Sheet]] = {
    "microphone": first_start_at(0),
    "units": first_start_at(1),
    "air": first_start_at(2),
    "trial": first_start_at(3),
    "whistle": lambda settings: WhistleForm(settings, harbour()),
    "new whistle": WhistleForm,
    "own sizes": form_with_own_sizes,
    "preferences": lambda settings: Preferences(settings, FakeEar().devices, harbour(), lambda: 3),
    "air sheet": AirSheet,
    "trial sheet": lambda settings: TrialSheet(settings, FakeEar()),
}


@pytest.fixture(params=SHEETS)
def make(request: pytest.FixtureRequest) -> Callable[[Settings], Sheet]:
    return SHEETS[request.param]


def shown(qtbot, sheet: Sheet) -> Sheet:
    qtbot.addWidget(sheet)
    with qtbot.waitActive(sheet):
        sheet.show()
        sheet.activateWindow()
    sheet.resize(min(sheet.width(), 1280), min(sheet.height(), 800))
    return sheet


@pytest.mark.parametrize("text_scale", [1.0, 1.5, 2.0])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_nothing_is_clipped_at_any_size_of_text(qtbot, make, theme, text_scale) -> None:
    sheet = shown(qtbot, make(Settings(theme=theme, text_scale=text_scale, units="both")))
    for width_px in (round(min(860 * text_scale, 1280)), 1280):
        sheet.resize(width_px, 760)
        assert clipped(sheet) == []
        assert sheet.scroll.horizontalScrollBar().maximum() == 0


def test_the_check_for_clipping_finds_what_is_clipped(qtbot) -> None:
    sheet = shown(qtbot, Preferences(Settings(text_scale=2.0), FakeEar().devices, harbour()))
    sheet.resize(600, 760)
    assert clipped(sheet) or sheet.scroll.horizontalScrollBar().maximum() > 0


def test_everything_that_can_be_used_has_a_name(qtbot, make) -> None:
    sheet = shown(qtbot, make(Settings()))
    assert fields(sheet)
    assert unnamed(sheet) == []


def test_no_letter_jumps_to_two_places(qtbot, make) -> None:
    assert same_mnemonics(shown(qtbot, make(Settings()))) == []


def test_tab_comes_to_everything(qtbot, make) -> None:
    assert missed_by_tab(shown(qtbot, make(Settings()))) == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_text_as_drawn_stands_out_from_its_ground(qtbot, make, theme) -> None:
    assert faint(shown(qtbot, make(Settings(theme=theme)))) == []


def test_the_check_for_contrast_finds_faint_ink(qtbot) -> None:
    sheet = shown(qtbot, Preferences(Settings(theme="light"), FakeEar().devices))
    sheet.heading.setStyleSheet("color: #c0b8a8")
    (found,) = faint(sheet)
    assert "Preferences" in found


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_page_turned_to_later_is_as_legible_as_the_first(qtbot, theme) -> None:
    window = BenchWindow(lambda event: None, Settings(theme=theme))
    qtbot.addWidget(window)
    sheet = shown(qtbot, FirstStart(Settings(theme=theme), FakeEar(), parent=window))
    for _ in sheet.pages[1:]:
        sheet.skip()
        assert faint(sheet) == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_every_text_stands_out_from_its_paper(theme) -> None:
    # published: Web Content Accessibility Guidelines 2.1, 1.4.3 asks 4.5 for text, 1.4.11 asks 3 for focus marks
    colours = paper_for(Settings(theme=theme)).palette
    for text, ground in (("ink", "paper"), ("ink", "card"), ("muted", "paper"), ("muted", "card"), ("paper", "ink"),
                         ("card", "goal")):
        assert contrast(colours[text], colours[ground]) >= 4.5
    assert contrast(colours["goal"], colours["paper"]) >= 3.0
