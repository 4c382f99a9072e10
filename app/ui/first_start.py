"""The first start: one plain page at a time, each of which may be skipped, then the bench."""
from __future__ import annotations

from dataclasses import replace

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.errors import WorldError
from app.settings import Settings
from app.trial_words import trial_words
from app.ui.ear import Ear
from app.ui.first_pages import AirPage, Judge, MicrophonePage, Page, TrialPage, UnitsPage
from app.ui.sheet import Sheet, said
from app.ui.sheet_style import paper_for

WELCOME = "Before the first blow"


class FirstStart(Sheet):
    """Asks for microphone, units and air, and hears one trial blow.

    Signals: `told(Settings)` once, when the last page is left or all the rest is skipped.
    """

    told = Signal(object)

    def __init__(self, settings: Settings, ear: Ear, judge: Judge = trial_words,
                 parent: QWidget | None = None) -> None:
        super().__init__(WELCOME, paper_for(settings), parent)
        self.settings = settings
        self._ear = ear
        self.place = said("", "muted")
        self.body.addWidget(self.place)
        self.pages: tuple[Page, ...] = (
            MicrophonePage(settings, ear), UnitsPage(settings), AirPage(settings), TrialPage(ear, judge),
        )  # fmt: skip
        for page in self.pages:
            self.body.addWidget(page)
        self.body.addStretch(1)
        self._add_buttons()
        self._index = 0
        self._finished = False
        self._show_page(0)

    @property
    def page(self) -> Page:
        return self.pages[self._index]

    def go_on(self) -> None:
        """Take what this page says and turn to the next; a page that cannot be understood stays, with a sentence."""
        try:
            self.settings = self.page.taken(self.settings)
        except WorldError as refusal:
            self.say_trouble(str(refusal))
            return
        self.skip()

    def skip(self) -> None:
        """The next page; what this one asks keeps its default."""
        if self._index + 1 < len(self.pages):
            self._show_page(self._index + 1)
        else:
            self.finish()

    def go_back(self) -> None:
        if self._index:
            self._show_page(self._index - 1)

    def finish(self) -> None:
        """Leave the first start with what was told so far; it is not asked for again by itself."""
        if self._finished:
            return
        self._finished = True
        self._ear.close()
        self.settings = replace(self.settings, first_start_done=True)
        self.told.emit(self.settings)
        self.accept()

    def reject(self) -> None:
        """Escape and the window's own button skip all that is left."""
        self.finish()

    def _add_buttons(self) -> None:
        self.back = self.add_button("&Back", "Back to the page before")
        self.leave = self.add_button("Skip &all", "Skip all that is left and go to the bench")
        self.buttons.addStretch(1)
        self.skip_one = self.add_button("Skip &this", "Skip this page")
        self.next = self.add_button("&Go on", "Go on to the next page", default=True)
        self.back.clicked.connect(self.go_back)
        self.leave.clicked.connect(self.finish)
        self.skip_one.clicked.connect(self.skip)
        self.next.clicked.connect(self.go_on)

    def _show_page(self, index: int) -> None:
        self._index = index
        self.say_trouble("")
        for page in self.pages:
            page.setVisible(page is self.page)
        self.heading.setText(self.page.heading)
        self.setWindowTitle(f"{WELCOME}: {self.page.heading}")
        self.place.setText(f"page {index + 1} of {len(self.pages)} · every page can be skipped and asked again later")
        self.back.setEnabled(index > 0)
        self.next.setText("&Go on" if index + 1 < len(self.pages) else "&Go to the bench")
        self.page.opened(self.settings)
        self.page.first_field().setFocus()
