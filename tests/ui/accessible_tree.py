"""What a screen reader is told: the tree of accessible things under a window, and what is wanting in it."""
from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QLabel, QWidget

from app.ui.painted import Painted

ROLE = QAccessible.Role
CONTROLS = {
    ROLE.Button, ROLE.CheckBox, ROLE.RadioButton, ROLE.ComboBox, ROLE.EditableText, ROLE.SpinBox, ROLE.List, ROLE.Table,
    ROLE.MenuItem, ROLE.Slider, ROLE.PageTab, ROLE.Tree, ROLE.ListItem, ROLE.Cell, ROLE.Dial,
}  # fmt: skip
MENU_PARTS = {ROLE.MenuItem, ROLE.PopupMenu, ROLE.MenuBar}


@dataclass(frozen=True)
class Told:
    """One thing, as it is told."""

    role: QAccessible.Role
    name: str
    description: str
    widget: QWidget | None
    focusable: bool
    within: str  # the kind of control it is a part of, else empty

    def __str__(self) -> str:
        return f"{self.role.name} {type(self.widget).__name__} {self.name!r}"


def told_of(window: QWidget) -> list[Told]:
    """Everything that is shown, menus that are shut included."""
    return list(_below(QAccessible.queryAccessibleInterface(window), ""))


def _below(interface: QAccessibleInterface, within: str) -> Iterator[Told]:
    role, state = interface.role(), interface.state()
    if state.invisible and role not in MENU_PARTS:
        return
    thing = interface.object()
    widget = thing if isinstance(thing, QWidget) else None
    yield Told(role, interface.text(QAccessible.Text.Name), interface.text(QAccessible.Text.Description), widget,
               bool(state.focusable), within)
    for index in range(interface.childCount()):
        child = interface.child(index)
        if child is not None and child.isValid():
            yield from _below(child, role.name if role in CONTROLS - MENU_PARTS else within)


def nameless(window: QWidget) -> list[str]:
    """Controls, and whatever the keyboard can come to, without a name; names with marks of the menu left in them."""
    found = []
    for each in told_of(window):
        if each.within or not (each.role in CONTROLS or each.focusable):
            continue
        if not each.name.strip() or "&" in each.name.replace("&&", ""):
            found.append(str(each))
    return found


def silent(window: QWidget) -> list[str]:
    """Painted parts that show words or pictures and say nothing; the arrow only points at what is told elsewhere."""
    return [
        str(each) for each in told_of(window)
        if isinstance(each.widget, Painted) and each.widget.height() > 0
        and not (each.name and (each.description.strip(" .,") or type(each.widget).__name__ == "Arrow"))
    ]


def untold(window: QWidget) -> list[str]:
    """Labels whose words are not what is told."""
    return [
        label.text() for label in window.findChildren(QLabel)
        if label.isVisible() and label.text().strip() and label.buddy() is None
        and not QAccessible.queryAccessibleInterface(label).text(QAccessible.Text.Name).strip()
    ]


def namesakes(window: QWidget) -> list[str]:
    """Controls that cannot be told apart by kind, name and description."""
    seen: set[tuple[str, str, str]] = set()
    found = []
    for each in told_of(window):
        if each.within or each.role not in CONTROLS or each.role in MENU_PARTS:
            continue
        key = (each.role.name, each.name, each.description)
        if key in seen:
            found.append(str(each))
        seen.add(key)
    return found
