"""The parts of the bench between heading and keys, without a place yet."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from app.ui.arrow import Arrow
from app.ui.breath_line import BreathLine
from app.ui.chambers import Chambers
from app.ui.closer import CloserPicture
from app.ui.glue_table import GlueTable
from app.ui.heading import HeadingRest
from app.ui.panels import AsidesPanel, BlowsPanel, CautionPanel
from app.ui.plug_end import PlugEnd
from app.ui.section import SectionPicture
from app.ui.sentence import Notes, Sentence
from app.ui.theme import LIGHT, Dress


class PageParts(QWidget):
    """All parts of the bench that show a view, and which pictures the present one has."""

    def __init__(self, choose: Callable[[str], None]) -> None:
        super().__init__()
        self.dress = Dress(LIGHT, 1.0, 1.0)
        self.has_section = self.has_closer = self.has_table = False
        self.plug_end = PlugEnd(choose)
        self.section, self.closer, self.table = SectionPicture(), CloserPicture(), GlueTable()
        self.chambers = Chambers(choose)
        self.sentence, self.notes = Sentence(), Notes()
        self.blows, self.caution, self.asides = BlowsPanel(), CautionPanel(), AsidesPanel()
        self.breath = BreathLine()
        self.rest = HeadingRest()
        self.arrow = Arrow()
        self.parts = (self.plug_end, self.section, self.closer, self.table, self.chambers, self.sentence, self.notes,
                      self.blows, self.asides, self.breath, self.caution, self.rest, self.arrow)
        for part in self.parts:
            part.setParent(self)

    def has_pictures(self) -> bool:
        return self.has_section or self.has_closer or self.has_table
