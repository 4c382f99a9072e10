"""The bench: one window that shows a view and turns keys and clicks into the walk's events. It knows nothing else."""
from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QMainWindow

from app.events import GLUE_KEYS, ChamberChosen, Event, GlueChosen, Key, Pressed, StageChosen, Typed
from app.settings import Settings
from app.ui.bench import Bench
from app.ui.breath_line import BreathPoint
from app.ui.empty_bench import empty_view
from app.ui.keys_line import keys_named
from app.ui.menus import Menus
from app.ui.painted import TextBox
from app.ui.stillness import hold_still, wants_stillness
from app.ui.theme import DESIGN_HEIGHT_PX, DESIGN_WIDTH_PX, Dress, palette_for
from app.ui.window_keys import WindowKeys
from app.ui.window_style import window_style
from app.view import Stage, View

WALK_KEYS = {"space": Key.DONE, "backspace": Key.FORGET, "r": Key.VOICE, "n": Key.NEXT, "s": Key.NEW_SET}


class BenchWindow(QMainWindow):
    """Shows views and breath, posts events.

    Signals: `open_asked`, `new_asked`, `keep_asked`, `practice_asked`, `microphone_asked`, `air_asked`,
    `preferences_asked`, `truth_asked`, `memory_asked`, `plan_asked`, `session_asked`, `club_asked`, `ways_asked`: a
    sheet is wanted;
    `call_asked`: the next in turn is; `settings_changed(Settings)`: light or dark, a text size or a unit was chosen;
    `closed`.
    """

    open_asked = Signal()
    new_asked = Signal()
    keep_asked = Signal()
    practice_asked = Signal()
    microphone_asked = Signal()
    air_asked = Signal()
    preferences_asked = Signal()
    truth_asked = Signal()
    memory_asked = Signal()
    plan_asked = Signal()
    session_asked = Signal()
    club_asked = Signal()
    ways_asked = Signal()
    call_asked = Signal()
    settings_changed = Signal(object)
    closed = Signal()

    def __init__(self, post: Callable[[Event], None], settings: Settings) -> None:
        super().__init__()
        self.setWindowTitle("Whistlewright")
        self.setAccessibleName("Whistlewright, the bench")
        self.post = post
        self.settings = settings
        self.view: View | None = None
        self._still: bool | None = None  # whether little is to move; None until it matters
        self._wishes = {
            "ctrl+n": self.new_asked, "ctrl+o": self.open_asked, "ctrl+l": self.plan_asked, "ctrl+s": self.keep_asked,
            "p": self.practice_asked,
        }
        self.bench = Bench(self.choose_stage, self.choose_chamber, self.press_named, self.send_typed)
        self.setCentralWidget(self.bench)
        self._menus = Menus(self)
        self._keys = WindowKeys(self)
        self._keys.follow_settings()
        self.bench.covered_changed.connect(lambda covered: self.menuBar().setVisible(not covered))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFocus()
        self.resize(DESIGN_WIDTH_PX, DESIGN_HEIGHT_PX)
        self._dress()

    # ---- what is shown -------------------------------------------------------------------------------------------
    def show_view(self, view: View) -> None:
        """Paint this view; an equal one changes nothing."""
        if view == self.view:
            return
        self.view = view
        self.setWindowTitle(f"{view.title} - Whistlewright" if view.title else "Whistlewright")
        self.bench.show_view(view)

    def show_trouble(self, sentence: str) -> None:
        """A trouble that the walk does not know of, over whatever is shown; the next view takes it away."""
        self.show_view(replace(self.view or empty_view(), trouble=sentence))

    def show_breath(self, points: Iterable[BreathPoint]) -> None:
        if self._still is None:  # asked only now: the window is to open at once
            self._follow_motion()
        self.bench.page.breath.show_breath(points)

    def change_settings(self, settings: Settings) -> None:
        """Dress by these and tell whoever keeps them."""
        self.apply_settings(settings)
        self.settings_changed.emit(settings)

    def apply_settings(self, settings: Settings) -> None:
        changed = settings.motion != self.settings.motion
        self.settings = settings
        self._menus.follow_settings()
        self._keys.follow_settings()
        if changed:
            self._follow_motion()
        self._dress()

    def text_boxes(self) -> list[tuple[str, TextBox]]:
        """Every piece of text on the bench as last painted, with the name of the part that bears it."""
        return self.bench.text_boxes()

    # ---- what is meant -------------------------------------------------------------------------------------------
    def press_named(self, name: str) -> None:
        """A key, by the name it bears on the line of keys; clicks on that line come here too."""
        bench = self.bench
        if name == "escape":
            if not bench.close_top():
                self.post(Pressed(Key.BACK))
        elif bench.help.isVisible() and name != "?":
            bench.close_top()
        elif name in WALK_KEYS:
            self.post(Pressed(WALK_KEYS[name]))
        elif name == "t":
            self.open_length("")
        elif name in GLUE_KEYS:
            if self.view is not None and f"{name.upper()}:" in self.view.keys:
                self.post(GlueChosen(GLUE_KEYS[name]))
        elif name == "c":
            self.call_asked.emit()
        elif name == "o":
            self.ways_asked.emit()
        elif name in self._wishes:
            if self.view is None or name in keys_named(self.view.keys):
                self._wishes[name].emit()
        elif name in ("left", "right"):
            self._choose_beside(1 if name == "right" else -1)
        else:
            bench.turn(name)

    def choose_stage(self, stage: Stage) -> None:
        self.post(StageChosen(stage))

    def choose_chamber(self, letter: str) -> None:
        self.post(ChamberChosen(letter))

    def send_typed(self, typed: Typed) -> None:
        self.setFocus()
        self.post(typed)

    def open_length(self, text: str) -> None:
        """The field for a length, when one is understood now."""
        if self.view is not None and self.view.may_type:
            self.bench.open_length(text, self.settings.units)

    def toggle_whole_screen(self) -> None:
        self.setWindowState(self.windowState() ^ Qt.WindowState.WindowFullScreen)

    def _choose_beside(self, step: int) -> None:
        """The chamber before or after the one that is meant."""
        rows = self.view.rows if self.view else ()
        if rows:
            at = next((number for number, row in enumerate(rows) if row.meant), -step if step > 0 else 0)
            self.choose_chamber(rows[(at + step) % len(rows)].letter)

    # ---- Qt ------------------------------------------------------------------------------------------------------
    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A digit begins a length."""
        if event.text().isdigit() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.open_length(event.text())
        else:
            super().keyPressEvent(event)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._keys.held.watch(self.windowHandle())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._dress()

    def closeEvent(self, event: object) -> None:
        self.closed.emit()
        super().closeEvent(event)  # type: ignore[arg-type]

    def _follow_motion(self) -> None:
        self._still = wants_stillness(self.settings)
        hold_still(self._still)
        self.bench.page.breath.rest(self._still)

    def _dress(self) -> None:
        """Scale everything to the window."""
        unit_px = max(0.4, min(self.width() / DESIGN_WIDTH_PX, self.height() / DESIGN_HEIGHT_PX))
        settings = self.settings
        palette, inches = palette_for(settings.theme, settings.contrast), settings.units == "inch"
        dress = Dress(palette, unit_px, settings.text_scale, inches)
        if dress != self.bench.dress or not self.styleSheet():
            self.setStyleSheet(window_style(dress))
            self.bench.wear(dress)
