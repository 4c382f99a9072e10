"""The line of keys at the foot of the bench: it names each key that counts now, and each may be clicked."""
from __future__ import annotations

from collections.abc import Callable

from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from app.ui.painted import PaintedButton, Pencil, words_height, words_width
from app.ui.theme import Dress

MORE = "page down: see more"
NAMES = {"page down": "pgdown", "page up": "pgup"}
KEY_PX = 14
GAP_PX = 22


def keys_named(text: str) -> set[str]:
    """The keys that such a line names, in small letters: {"space", "ctrl+l"}."""
    return {part.partition(":")[0].strip().lower() for part in text.split("·")}


class KeysLine(QWidget):
    """Flows its keys over as many rows as they need."""

    def __init__(self, press: Callable[[str], None]) -> None:
        super().__init__()
        self.setAccessibleName("Keys that count now")
        self._press = press
        self._dress: Dress | None = None
        self._offers_more = False
        self._keys: list[KeyWords] = []

    @property
    def keys(self) -> list[KeyWords]:
        """Those that are offered now."""
        return [key for key in self._keys if self._is_offered(key)]

    def show_keys(self, text: str) -> None:
        parts = [part.strip() for part in text.split("·") if part.strip()]
        parts.insert(len(parts) - parts[-1].startswith("?"), MORE)
        if parts == [key.text() for key in self._keys]:
            return
        for key in self._keys:
            key.hide()
            key.deleteLater()
        self._keys = [KeyWords(part, self._press, self) for part in parts]
        for key in self._keys:
            if self._dress is not None:
                key.wear(self._dress)
            key.setVisible(self._is_offered(key))
        self._lay_out()

    def offer_more(self, offered: bool) -> None:
        """Whether there is more to see below, and a key that leads there."""
        self._offers_more = offered
        for key in self._keys:
            key.setVisible(self._is_offered(key))
        self._lay_out()

    def _is_offered(self, key: KeyWords) -> bool:
        return self._offers_more or key.text() != MORE

    def wear(self, dress: Dress) -> None:
        self._dress = dress
        for key in self._keys:
            key.wear(dress)

    def wanted_height(self, width_px: float) -> float:
        return max((bottom for *_, bottom in self._places(width_px)), default=0.0)

    def resizeEvent(self, _event: QResizeEvent) -> None:
        self._lay_out()

    def _places(self, width_px: float) -> list[tuple[float, float, float, float]]:
        """(left, top, right, bottom) of each key, wrapped to the width."""
        gap_px = self._dress.px(GAP_PX) if self._dress else GAP_PX
        places, left_px, top_px = [], 0.0, 0.0
        for key in self.keys:
            key_px, height_px = min(width_px, key.wanted_width()), key.wanted_height(width_px)
            if left_px and left_px + key_px > width_px:
                left_px, top_px = 0.0, top_px + height_px
            places.append((left_px, top_px, left_px + key_px, top_px + height_px))
            left_px += key_px + gap_px
        return places

    def _lay_out(self) -> None:
        for key, (left_px, top_px, right_px, bottom_px) in zip(self.keys, self._places(self.width()), strict=True):
            key.setGeometry(round(left_px), round(top_px), round(right_px - left_px), round(bottom_px - top_px))


class KeyWords(PaintedButton):
    """"space: I have cut it", the key's name bold."""

    def __init__(self, text: str, press: Callable[[str], None], parent: KeysLine) -> None:
        super().__init__(text, parent)
        self.setText(text)
        self._key, _, self._meaning = (part.strip() for part in text.partition(":"))
        self.clicked.connect(lambda: press(NAMES.get(self._key.lower(), self._key.lower())))

    def _key_width(self) -> float:
        return words_width(f"{self._key}:", self.dress.text_px(KEY_PX), bold=True) + self.dress.text_px(5)

    def wanted_width(self) -> float:
        return self._key_width() + words_width(self._meaning, self.dress.text_px(KEY_PX)) + 4

    def wanted_height(self, width_px: float) -> float:
        room_px = min(width_px, self.wanted_width()) - self._key_width()
        return words_height(self._meaning or " ", self.dress.text_px(KEY_PX), room_px) + self.dress.px(6)

    def draw(self, pencil: Pencil) -> None:
        left_px = self._key_width()
        pencil.words(self.area().adjusted(0, self.dress.px(3), 0, 0), f"{self._key}:", KEY_PX, bold=True)
        pencil.words(self.area().adjusted(left_px, self.dress.px(3), 0, 0), self._meaning, KEY_PX, "muted")
        self.draw_focus(pencil)
