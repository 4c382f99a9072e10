"""A chord from the recording of another whistle: read aside, told in words, moved into this wood's reach."""
from __future__ import annotations

from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QComboBox, QFileDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from app.description import SIZES, Description, described
from app.errors import WorldError
from app.like import Intervals, Likeness, Moved, kept, likeness_of, moved_into
from app.like_words import likeness_lines, moved_line
from app.shelf import Shelf
from app.ui.sheet import asked, said
from app.ui.sizes_table import SizesTable
from app.whistle import LETTERS, Whistle

SOUNDS = "Recordings (*.wav *.flac *.ogg *.opus *.mp3 *.aif *.aiff *.caf);;All files (*)"
LIKE_HINT = "One held chord, a second or so, of another whistle; at most 300 s."
KEPT = {Intervals.HEARD: "as heard", Intervals.EQUAL: "equal steps", Intervals.JUST: "whole-number ratios"}
LOOK_EVERY_MS = 40
ANY_NOTE_HZ = 440  # a wood is measured by its sizes: which notes its chambers have meanwhile changes nothing


class LikeBox(QWidget):
    """A button, what becomes of the intervals, and what was heard.

    Signals: `file_asked()`; `liked(Likeness)`: it was read, or its intervals shall be kept otherwise;
    `refused(str)`: the file holds no chord.
    """

    file_asked = Signal()
    liked = Signal(object)
    refused = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self.ask = QPushButton("From a recor&ding…")
        self.ask.setAccessibleName("Take the chord from a recording of another whistle")
        self.ask.setAccessibleDescription(LIKE_HINT)
        self.ask.setAutoDefault(False)
        self.kept = QComboBox()
        for intervals, words in KEPT.items():
            self.kept.addItem(words, intervals)
        self.told = said("")
        self.told.hide()
        self._heard: tuple[Likeness, list[str]] | None = None
        self._reading: Future[Likeness] | None = None
        self._file_name, self._a4_hz = "", 440.0
        self._look = QTimer(self)
        self._look.setInterval(LOOK_EVERY_MS)
        self._look.timeout.connect(self._look_for_reading)
        self.ask.clicked.connect(self.file_asked)
        self.kept.activated.connect(self._keep_otherwise)
        self._lay_out()

    def intervals(self) -> Intervals:
        return Intervals(self.kept.currentData())  # Qt hands a text enum back as bare text

    def read(self, path: Path, a4_hz: float) -> None:
        """Read it aside: five minutes of sound take longer than a window may stand still. The last one asked counts."""
        self._file_name, self._a4_hz = path.name, a4_hz
        pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="like")
        self._reading = pool.submit(likeness_of, path, a4_hz)
        pool.shutdown(wait=False)
        self._say([f"{path.name} is being read."])
        self._look.start()

    def tell_move(self, to: Moved, a4_hz: float) -> None:
        """Below what was heard: where it will be played."""
        self._say([*self._heard_lines(), moved_line(to, self.intervals(), a4_hz)])

    def forget_move(self) -> None:
        """A field was changed: where the chord went then may not hold any more; what was heard does."""
        if self._reading is None:
            self._say(self._heard_lines())

    def let_go(self) -> None:
        """What is still being read is not wanted any more."""
        self._look.stop()
        self._reading = None

    def _look_for_reading(self) -> None:
        if self._reading is None or not self._reading.done():
            return
        reading, self._reading = self._reading, None
        self._look.stop()
        self._say(self._heard_lines())
        try:
            likeness = reading.result()
        except WorldError as refusal:
            self.refused.emit(str(refusal))
            return
        lines = likeness_lines(likeness, self._file_name, self._a4_hz)
        self._heard = likeness, [" ".join(line.split()) for line in lines]
        self._say(self._heard_lines())
        self.liked.emit(likeness)

    def _heard_lines(self) -> list[str]:
        return [] if self._heard is None else self._heard[1]

    def _keep_otherwise(self) -> None:
        if self._heard is not None and self._reading is None:
            self.liked.emit(self._heard[0])

    def _say(self, lines: list[str]) -> None:
        self.told.setText("\n".join(lines))
        self.told.setAccessibleName(self.told.text())
        self.told.setVisible(bool(lines))

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self.ask, 2, Qt.AlignmentFlag.AlignBottom)
        row.addLayout(asked("Its intervals &kept", self.kept, "Intervals of the recorded chord"), 2)
        row.addWidget(said(LIKE_HINT, "muted"), 3)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.told)


def ask_for_sound(parent: QWidget) -> QFileDialog:
    """Which recording; its `fileSelected` says so."""
    dialog = QFileDialog(parent, "Take the chord from a recording", str(Path.home()), SOUNDS)
    dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.open()
    return dialog


def moved_into_wood(
    likeness: Likeness, intervals: Intervals, description: Description, table: SizesTable, units: str, shelf: Shelf,
) -> Moved:
    """Where the described wood can play it; WorldError when it cannot, or when a size cannot be read."""
    notes_hz = kept(likeness, intervals)
    wood = _wood_of(description, table, len(notes_hz), units)
    return moved_into(notes_hz, wood, shelf.learned(wood).priors, units)


def _wood_of(description: Description, table: SizesTable, n_chambers: int, units: str) -> Whistle:
    """The wood with so many chambers, whatever stands in the fields of its notes."""
    sizes = description.sizes
    if table.own.isChecked():  # rows that more chambers will bring to light count too
        fields = {key: [table.field(f"{key} {letter}") for letter in LETTERS[:n_chambers]] for key in SIZES}
        sizes = {key: tuple(field.text() for field in row if field is not None) for key, row in fields.items()}
    any_notes = " ".join(f"{ANY_NOTE_HZ + at}Hz" for at in range(n_chambers))
    return described(replace(
        description, name=description.name.strip() or "a whistle", n_chambers=n_chambers, sizes=sizes, chord=None,
        own_notes=any_notes,
    ), units)  # fmt: skip
