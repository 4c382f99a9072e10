"""One trial blow, asked for again: is the microphone, or the system behind it, at fault?"""
from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.settings import Settings
from app.trial_words import trial_words
from app.ui.ear import Ear
from app.ui.first_pages import Judge, TrialPage
from app.ui.sheet import Sheet
from app.ui.sheet_style import paper_for


class TrialSheet(Sheet):
    """Listens while it is open."""

    def __init__(self, settings: Settings, ear: Ear, parent: QWidget | None = None, judge: Judge = trial_words) -> None:
        super().__init__(TrialPage.heading, paper_for(settings), parent)
        self._ear = ear
        self.page = TrialPage(ear, judge)
        self.body.addWidget(self.page)
        self.body.addStretch(1)
        self.buttons.addStretch(1)
        self.ready = self.add_button("&Done", "Done with the trial", default=True)
        self.ready.clicked.connect(self.accept)
        self.finished.connect(lambda _result: ear.close())
        self.page.opened(settings)
