"""The whistle document as a file: which one to open, and where to keep one."""
from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QWidget

from app.errors import WorldError
from app.session_files import name_stem
from app.whistle import Whistle, dump_whistle
from app.whole_file import write_whole

FILES = "Whistle documents (*.json)"


def ask_for_file(parent: QWidget, folder: Path | None = None) -> Path | None:
    """Which whistle document to open; None when the maker would rather not."""
    chosen, _ = QFileDialog.getOpenFileName(parent, "Open a whistle document", str(folder or ""), FILES)
    return Path(chosen) if chosen else None


def ask_to_keep(parent: QWidget, whistle: Whistle, tell: Callable[[str], None]) -> QFileDialog:
    """Where to keep this whistle's document; then the file. `tell` hears one sentence either way."""
    name = f"{name_stem(whistle)}.json"
    dialog = QFileDialog(parent, f"Keep the document of {whistle.name}", str(Path.home() / name), FILES)
    dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
    dialog.setDefaultSuffix("json")
    dialog.selectFile(name)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.fileSelected.connect(lambda path: _keep(Path(path), whistle, tell))
    dialog.open()
    return dialog


def _keep(path: Path, whistle: Whistle, tell: Callable[[str], None]) -> None:
    """The dialog has asked before one is written over."""
    try:
        write_whole(path, dump_whistle(whistle), replace=True, what="the whistle document")
    except WorldError as trouble:
        tell(str(trouble))
    else:
        tell(f"{path} is written.")
