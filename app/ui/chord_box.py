"""How many chambers, and which notes: a chord named by its intervals upon a lowest note, or notes of one's own."""
from __future__ import annotations

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLineEdit, QSpinBox, QVBoxLayout, QWidget

from acoustics.notes import CHORDS, Chord, chord_named
from app.description import OWN_NOTES
from app.ui.sheet import asked
from app.whistle_limits import MAX_CHAMBERS, MIN_CHAMBERS

PREFERRED = "major sixth"


class ChordBox(QWidget):
    """Number of chambers, chord and notes.

    Signals: `touched()` on any change; `chambers_changed(int)`.
    """

    touched = Signal()
    chambers_changed = Signal(int)

    def __init__(self, n_chambers: int, chord: Chord | None, lowest_note: str, own_notes: str) -> None:
        super().__init__()
        self.chambers = QSpinBox()
        self.chambers.setRange(MIN_CHAMBERS, MAX_CHAMBERS)
        self.chambers.setValue(n_chambers)
        self.chords = QComboBox()
        self.chords.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.chords.setMinimumContentsLength(16)
        self.lowest = QLineEdit(lowest_note)
        self.own = QLineEdit(own_notes)
        self._lay_out()
        self._fill()
        self._choose(chord)
        self._show_fields()
        self.chambers.valueChanged.connect(self._change_chambers)
        self.chords.currentIndexChanged.connect(self._show_fields)
        for field in (self.lowest, self.own):
            field.textEdited.connect(self.touched)

    def chord(self) -> Chord | None:
        """The chosen chord; None when the notes are named one by one."""
        return self.chords.currentData()

    def field(self, name: str) -> QLineEdit | None:
        return {"lowest_note": self.lowest, "own_notes": self.own}.get(name)

    def _lay_out(self) -> None:
        self._lowest_part, self._own_part = QWidget(), QWidget()
        self._lowest_part.setLayout(asked("Low&est note", self.lowest, "Lowest note", "F5, F#5 or Bb4"))
        self._own_part.setLayout(asked("No&tes, lowest first", self.own, "Notes, lowest first", "F5 A5 C6 D6 or 690Hz"))
        row = QHBoxLayout()
        row.addLayout(asked("&Chambers", self.chambers, "Number of chambers"), 1)
        row.addLayout(asked("C&hord, by steps above its lowest note", self.chords, "Chord"), 3)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        for part in (self._lowest_part, self._own_part):
            part.layout().setContentsMargins(0, 0, 0, 0)
            column.addWidget(part)

    def _fill(self) -> None:
        """Only chords with a note for every chamber, and always one's own notes."""
        self.chords.blockSignals(True)
        self.chords.clear()
        for chord in CHORDS:
            if len(chord.equal_steps) == self.chambers.value():
                self.chords.addItem(f"{chord.name}: {' '.join(map(str, chord.equal_steps))}", chord)
        self.chords.addItem(OWN_NOTES, None)
        self._choose(chord_named(PREFERRED))
        self.chords.blockSignals(False)

    def _choose(self, chord: Chord | None) -> None:
        """Show this chord where it is offered, else the first; None stands for one's own notes."""
        offered = [self.chords.itemData(index) for index in range(self.chords.count())]
        self.chords.setCurrentIndex(offered.index(chord) if chord in offered else 0)

    def _change_chambers(self, n_chambers: int) -> None:
        own = self.chord() is None
        self._fill()
        if own:
            self._choose(None)
        self.chambers_changed.emit(n_chambers)
        self._show_fields()

    def _show_fields(self) -> None:
        own = self.chord() is None
        self._own_part.setVisible(own)
        self._lowest_part.setVisible(not own)
        self.touched.emit()
