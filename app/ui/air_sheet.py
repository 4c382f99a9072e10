"""How warm is the shop: one question, asked again whenever the day warms up."""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from app.errors import WorldError
from app.settings import Settings
from app.ui.air_box import AirBox
from app.ui.sheet import Sheet
from app.ui.sheet_style import paper_for


class AirSheet(Sheet):
    """Signals: `air_told(temperature_c or None)` when it was kept."""

    air_told = Signal(object)

    def __init__(self, settings: Settings, parent: QWidget | None = None) -> None:
        super().__init__("Air in the shop", paper_for(settings), parent)
        self.air = AirBox(settings.temperature_c, fahrenheit=settings.units == "inch")
        self.body.addWidget(self.air)
        self.body.addStretch(1)
        self.leave = self.add_button("C&ancel", "Leave the air as it was told before")
        self.buttons.addStretch(1)
        self.keep = self.add_button("&Keep it", "Keep this temperature", default=True)
        self.leave.clicked.connect(self.reject)
        self.keep.clicked.connect(self.take)

    def take(self) -> None:
        try:
            temperature_c = self.air.temperature_c()
        except WorldError as refusal:
            self.say_trouble(str(refusal))
            return
        self.air_told.emit(temperature_c)
        self.accept()
