"""What must hold of every sheet: nothing clipped, everything named and reached by Tab, every mnemonic its own."""
from __future__ import annotations

import re

import numpy as np
from PySide6.QtCore import QPoint, QRect, Qt
from PySide6.QtGui import QColor, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLabel,
    QLineEdit,
    QListWidget,
    QWidget,
)

from app.ui.theme import contrast

FIELDS = (QAbstractButton, QLineEdit, QComboBox, QAbstractSpinBox, QListWidget)


def fields(sheet: QWidget) -> list[QWidget]:
    """Everything that can be used now, without the inner parts of composite fields."""
    return [
        widget for widget in sheet.findChildren(QWidget)
        if isinstance(widget, FIELDS) and widget.isVisibleTo(sheet) and widget.isEnabled()
        and widget.focusPolicy() & Qt.FocusPolicy.TabFocus
        and not isinstance(widget.parent(), (QAbstractSpinBox, QComboBox))
    ]  # fmt: skip


def unnamed(sheet: QWidget) -> list[str]:
    return [repr(widget) for widget in fields(sheet) if not widget.accessibleName().strip()]


def clipped(sheet: QWidget) -> list[str]:
    """Texts that want more room than they have, and parts that stick out of the sheet's width."""
    QApplication.processEvents()
    found = []
    for widget in sheet.findChildren(QWidget):
        if not widget.isVisibleTo(sheet):
            continue
        text = _text(widget)
        if text and not _fits(widget, text):
            found.append(f"{text!r} has {widget.width()} x {widget.height()}")
        left = widget.mapTo(sheet, QPoint(0, 0)).x()
        if text and not QRect(0, 0, sheet.width(), 1).contains(QRect(left, 0, widget.width(), 1)):
            found.append(f"{text!r} sticks out of the sheet")
    return found


def faint(sheet: QWidget, least: float = 4.5) -> list[str]:
    """Texts whose darkest or lightest point, as drawn, has less than `least` times the contrast of its ground."""
    QApplication.processEvents()
    image = sheet.grab().toImage().convertToFormat(QImage.Format.Format_RGB32)
    pixels = np.frombuffer(image.constBits(), np.uint32).reshape(image.height(), -1)
    found = []
    for widget in sheet.findChildren(QWidget):
        text = _text(widget)
        if not text.strip() or not widget.isEnabled() or widget.visibleRegion().isEmpty():
            continue
        seen = widget.visibleRegion().boundingRect().translated(widget.mapTo(sheet, QPoint(0, 0)))
        inside = pixels[seen.top() + 6 : seen.bottom() - 5, seen.left() + 6 : seen.right() - 5]
        colours, counts = np.unique(inside, return_counts=True)
        if len(colours) == 0:
            continue
        ground = QColor.fromRgb(int(colours[counts.argmax()]))
        best = max(contrast(QColor.fromRgb(int(colour)), ground) for colour in colours)
        if best < least:
            found.append(f"{text!r}: {best:.1f}")
    return found


def same_mnemonics(sheet: QWidget) -> list[str]:
    """Letters that two visible parts claim at once."""
    taken: dict[str, str] = {}
    doubled = []
    for widget in sheet.findChildren(QWidget):
        text = widget.text() if isinstance(widget, (QLabel, QAbstractButton)) and widget.isVisibleTo(sheet) else ""
        for letter in re.findall(r"&(\w)", text):
            if letter.lower() in taken:
                doubled.append(f"{letter}: {taken[letter.lower()]!r} and {text!r}")
            taken[letter.lower()] = text
    return doubled


def missed_by_tab(sheet: QWidget) -> list[str]:
    """Usable parts that Tab never comes to (of a group of radio buttons, the checked one counts)."""
    seen: list[QWidget] = []
    for _ in range(4 * len(fields(sheet)) + 8):
        seen.append(QApplication.focusWidget())
        QTest.keyClick(QApplication.focusWidget() or sheet, Qt.Key.Key_Tab)
    missed = [widget for widget in fields(sheet) if widget not in seen]
    return [widget.accessibleName() for widget in missed if not _reached_by_arrows(widget)]


def _reached_by_arrows(widget: QWidget) -> bool:
    group = widget.group() if isinstance(widget, QAbstractButton) else None
    return group is not None and not widget.isChecked()  # type: ignore[attr-defined]


def _text(widget: QWidget) -> str:
    if isinstance(widget, QComboBox):
        return widget.currentText()
    return widget.text() if isinstance(widget, (QLabel, QAbstractButton, QLineEdit)) else ""


def _fits(widget: QWidget, text: str) -> bool:
    if isinstance(widget, QLabel) and widget.wordWrap():
        longest = max((widget.fontMetrics().horizontalAdvance(word) for word in text.split()), default=0)
        return widget.height() >= widget.heightForWidth(widget.width()) - 1 and longest <= widget.width()
    if isinstance(widget, QLineEdit):
        return widget.fontMetrics().height() <= widget.height()
    if isinstance(widget, QComboBox):
        return widget.fontMetrics().height() <= widget.height()
    wanted = widget.minimumSizeHint()
    return widget.width() >= wanted.width() - 1 and widget.height() >= wanted.height() - 1
