"""A sheet of paper for everything that is asked away from the bench: large letters, one column, nothing clipped."""
from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QPainter, QPaintEvent, QShowEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QComboBox,
    QDialog,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from app.ui.sheet_style import Paper, outlined_palette, paper_palette, paper_style
from app.view import Caution

OUTLINED = (QAbstractButton, QAbstractSpinBox, QComboBox)
NATURAL_SIZE_PX = (860, 760)


class Sheet(QDialog):
    """Heading, a body that scrolls only when it must, one line for trouble, and the buttons in a row below."""

    def __init__(self, heading: str, paper: Paper, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.paper = paper
        self.setWindowTitle(heading)
        self.heading = said(heading, "heading")
        self.trouble = said("", "trouble")
        self.trouble.hide()
        self.body = QVBoxLayout()
        self.body.setContentsMargins(0, 0, round(8 * paper.text_scale), 0)
        self.body.setSpacing(round(12 * paper.text_scale))
        self.buttons = QHBoxLayout()
        self._lay_out()
        self.fit_to_screen()

    def put_on(self, paper: Paper) -> None:
        """Show the sheet in these colours and letters."""
        self.paper = paper
        self.setStyleSheet(paper_style(paper))
        palette, outlined = paper_palette(paper), outlined_palette(paper)
        for widget in (self, *self.findChildren(QWidget)):  # a style sheet keeps palettes from being handed down
            widget.ensurePolished()  # a hidden page is polished when it is shown first, and would lose its palette
            widget.setPalette(outlined if isinstance(widget, OUTLINED) else palette)

    def say_trouble(self, sentence: str) -> None:
        """One sentence that cannot be missed; an empty one takes it away."""
        self.trouble.setText(sentence)
        self.trouble.setAccessibleName(sentence)
        self.trouble.setVisible(bool(sentence))

    def add_button(self, text: str, name: str, *, default: bool = False) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName("default" if default else "")
        button.setAccessibleName(name)
        button.setDefault(default)
        button.setAutoDefault(default)
        self.buttons.addWidget(button)
        return button

    def fit_to_screen(self, natural_size_px: tuple[int, int] = NATURAL_SIZE_PX) -> None:
        """As large as the letters ask, and no larger than the screen."""
        room = self.screen().availableSize()
        width_px, height_px = (round(side * self.paper.text_scale) for side in natural_size_px)
        self.resize(min(width_px, room.width()), min(height_px, room.height()))

    def showEvent(self, event: QShowEvent) -> None:
        self.put_on(self.paper)  # reaches all that was added since
        super().showEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """An inked edge, so that the sheet lies on the bench where no window manager frames it."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setPen(self.paper.palette["ink"])
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        painter.end()

    def _lay_out(self) -> None:
        inner = QWidget()
        inner.setLayout(self.body)
        self.scroll = QScrollArea()
        self.scroll.setWidget(inner)
        self.scroll.setWidgetResizable(True)
        self.scroll.setFrameShape(QFrame.Shape.NoFrame)
        self.scroll.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column = QVBoxLayout(self)
        margin = round(24 * min(self.paper.text_scale, 1.5))
        column.setContentsMargins(margin, margin, margin, margin)
        column.addWidget(self.heading)
        self.middle = QHBoxLayout()
        self.middle.setSpacing(round(20 * self.paper.text_scale))
        self.middle.addWidget(self.scroll, 3)
        column.addLayout(self.middle, 1)
        column.addWidget(self.trouble)
        column.addLayout(self.buttons)


def said(text: str, kind: str = "plain") -> QLabel:
    """Words that wrap. `kind` picks their look: heading, plain, muted, large, trouble, caution."""
    label = QLabel(text)
    label.setObjectName(kind)
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.PlainText)
    return label


def asked(question: str, answer: QWidget, name: str, hint: str = "") -> QVBoxLayout:
    """A question above the field that answers it, and a muted hint below; the mnemonic jumps to the field."""
    label = QLabel(question)
    label.setBuddy(answer)
    label.setWordWrap(True)
    answer.setAccessibleName(name)
    answer.setAccessibleDescription(hint)
    column = QVBoxLayout()
    column.setSpacing(2)
    column.addWidget(label)
    column.addWidget(answer)
    if hint:
        column.addWidget(said(hint, "muted"))
    return column


class CautionNote(QFrame):
    """A caution beside its step, with a bar at its side and its authority below."""

    def __init__(self, caution: Caution | None = None) -> None:
        super().__init__()
        self.setObjectName("caution")
        self.text = said("")
        self.authority = said("", "muted")
        column = QVBoxLayout(self)
        column.addWidget(said("Caution", "strong"))
        column.addWidget(self.text)
        column.addWidget(self.authority)
        self.show_caution(caution)

    def show_caution(self, caution: Caution | None) -> None:
        self.setVisible(caution is not None)
        if caution:
            self.text.setText(caution.text)
            self.authority.setText(caution.authority)
            self.setAccessibleName(f"Caution: {caution.text}")
