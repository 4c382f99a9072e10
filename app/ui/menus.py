"""The menu: everything that is not done many times an hour. What opens a sheet is told to whoever listens."""
from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from acoustics.tuning import Stop
from app.events import Condition, ConditionTold, GlueChosen, GlueKind, Route, RouteChosen, StopChosen
from app.view import Stage

if TYPE_CHECKING:
    from app.ui.window import BenchWindow

CONDITIONS = (
    ("&Mouthpiece on", Condition.MOUTHPIECE_ON, True), ("Mouthpiece &off", Condition.MOUTHPIECE_ON, False),
    ("&Cap on", Condition.CAP_ON, True), ("C&ap off", Condition.CAP_ON, False),
    ("&Neighbours taped and pegged", Condition.NEIGHBOURS_SHUT, True),
    ("Neighbours left op&en", Condition.NEIGHBOURS_SHUT, False),
)
TEXT_SCALES = (1.0, 1.25, 1.5, 1.75, 2.0)


class Menus:
    """Built once; ticks follow the settings."""

    def __init__(self, window: BenchWindow) -> None:
        self._window = window
        self._choices: list[tuple[str, Any, QAction]] = []
        bar = window.menuBar()
        bar.setAccessibleName("Menu")
        self._fill_whistle(bar.addMenu("&Whistle"))
        self._fill_chamber(bar.addMenu("&Chamber"))
        self._fill_way(bar.addMenu("Wa&y"))
        self._fill_screen(bar.addMenu("&Screen"))
        self._fill_sound(bar.addMenu("&Ear"))
        for menu in bar.findChildren(QMenu):
            menu.setAccessibleName(menu.title().replace("&", ""))
        self.follow_settings()

    def follow_settings(self) -> None:
        for field, value, action in self._choices:
            action.setChecked(getattr(self._window.settings, field) == value)

    def _fill_whistle(self, menu: QMenu) -> None:
        asked = self._window
        _add(menu, "&Open a whistle…", asked.open_asked.emit, QKeySequence.StandardKey.Open)
        _add(menu, "&Keep this whistle’s document as a file…", asked.keep_asked.emit, QKeySequence.StandardKey.Save)
        _add(menu, "&New whistle…", asked.new_asked.emit, QKeySequence.StandardKey.New)
        _add(menu, "&Lay out this whistle: sound, wood, papers…", asked.plan_asked.emit, "Ctrl+L")
        _add(menu, "&Before and after: the session so far…", asked.session_asked.emit, "Ctrl+B")
        _add(menu, "Club e&vening: numbered whistles, whose turn…", asked.club_asked.emit, "Ctrl+E")
        _add(menu, "Call the ne&xt in turn\tC", lambda: asked.press_named("c"))
        _add(menu, "&Practice on an invented whistle", asked.practice_asked.emit)
        _add(menu, "What &earlier whistles taught…", asked.memory_asked.emit)
        _add(menu, "After practice: what the &invented whistle truly is", asked.truth_asked.emit)
        menu.addSeparator()
        _add(menu, "&Close the bench", self._window.close, QKeySequence.StandardKey.Quit)

    def _fill_chamber(self, menu: QMenu) -> None:
        window = self._window
        _add(menu, "I have &done it\tSpace", lambda: window.press_named("space"))
        _add(menu, "&Forget the last blow\tBackspace", lambda: window.press_named("backspace"))
        _add(menu, "One stage &back\tEsc", lambda: window.press_named("escape"))
        _add(menu, "I changed the &voice of this chamber\tR", lambda: window.press_named("r"))
        _add(menu, "&Leave it as it is, go on\tN", lambda: window.press_named("n"))
        _add(menu, "Begin a new &set\tS", lambda: window.press_named("s"))
        _add(menu, "&Type a length…\tT", lambda: window.press_named("t"))
        _add(menu, "&Other ways out, where wood has run out…\tO", lambda: window.press_named("o"))
        glues = menu.addMenu("Gl&ue")
        for words, kind in (("&Water-based: blown while it is open\tW", GlueKind.WATER),
                            ("&Instant: no lips for a day\tI", GlueKind.INSTANT),
                            ("&Epoxy: no lips for a day\tE", GlueKind.EPOXY)):
            _add(glues, words, lambda _=False, k=kind: window.post(GlueChosen(k)))
        stages = menu.addMenu("&Go to stage")
        for number, stage in enumerate(Stage, start=1):
            _add(stages, f"&{number} {stage.value}", lambda _=False, s=stage: window.choose_stage(s))

    def _fill_way(self, menu: QMenu) -> None:
        post = self._window.post
        for words, route in (("&Slide a tailed plug to its note", Route.SLIDE), ("&Trim a flush plug", Route.TRIM)):
            _add(menu, words, lambda _=False, r=route: post(RouteChosen(r)))
        menu.addSection("First reading")
        for words, stop in (("With a s&lug", Stop.SLUG), ("With a flat faced scra&p", Stop.FLAT),
                            ("With a &finger", Stop.FINGER)):
            _add(menu, words, lambda _=False, s=stop: post(StopChosen(s)))
        menu.addSection("At each blow")
        for words, condition, holds in CONDITIONS:
            _add(menu, words, lambda _=False, c=condition, h=holds: post(ConditionTold(c, h)))
        menu.addSeparator()
        _add(menu, "A&ir in the shop…", self._window.air_asked.emit)

    def _fill_screen(self, menu: QMenu) -> None:
        window = self._window
        _add(menu, "&Room view\tF", lambda: window.press_named("f"))
        _add(menu, "Fi&gures\tD", lambda: window.press_named("d"))
        _add(menu, "Whole &screen", window.toggle_whole_screen, QKeySequence(QKeySequence.StandardKey.FullScreen))
        self._add_choices(menu.addMenu("&Light or dark"), "theme",
                          (("&Light", "light"), ("&Dark", "dark"), ("As the &system", "system")))
        self._add_choices(menu.addMenu("&Contrast"), "contrast",
                          (("&Usual", "usual"), ("&High", "high"), ("As the &system", "system")))
        self._add_choices(menu.addMenu("&Motion"), "motion",
                          (("&Usual", "usual"), ("&Reduced", "reduced"), ("As the &system", "system")))
        _add(menu, "Breath line &holds still, or moves\tB", lambda: window.press_named("b"))
        self._add_choices(menu.addMenu("&Text size"), "text_scale",
                          tuple((f"{scale * 100:.0f} %", scale) for scale in TEXT_SCALES))
        self._add_choices(menu.addMenu("&Units"), "units",
                          (("&Millimetres", "mm"), ("&Inch fractions", "inch"), ("&Both", "both")))
        menu.addSeparator()
        _add(menu, "&Preferences…", window.preferences_asked.emit, QKeySequence(QKeySequence.StandardKey.Preferences))
        _add(menu, "All &keys\t?", lambda: window.press_named("?"))

    def _fill_sound(self, menu: QMenu) -> None:
        _add(menu, "&Microphone…", self._window.microphone_asked.emit)
        _add(menu, "I or the microphone mo&ved\tS", lambda: self._window.press_named("s"))

    def _add_choices(self, menu: QMenu, field: str, choices: tuple[tuple[str, Any], ...]) -> None:
        group = QActionGroup(menu)
        for words, value in choices:
            action = _add(menu, words, lambda _=False, v=value: self._choose(field, v))
            action.setCheckable(True)
            group.addAction(action)
            self._choices.append((field, value, action))

    def _choose(self, field: str, value: Any) -> None:
        self._window.change_settings(replace(self._window.settings, **{field: value}))


def _add(
    menu: QMenu, words: str, do: Any, shortcut: QKeySequence | QKeySequence.StandardKey | str | None = None
) -> QAction:
    action = menu.addAction(words)
    action.triggered.connect(do)
    if shortcut is not None:
        action.setShortcut(shortcut)
    return action
