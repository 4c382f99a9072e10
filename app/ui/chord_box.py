"""Which notes: a chord named by its intervals upon a lowest note, turned over or not, or notes of one's own."""
from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QLineEdit, QPushButton, QSpinBox, QVBoxLayout, QWidget

from acoustics.notes import CHORDS, Chord, chord_named
from app.cautions import NOISE_LIMIT
from app.chord_kin import inverted, n_turns, turned_from
from app.description import OWN_NOTES, Description, FieldRefusedError
from app.ui.lay_out_like import LikeBox
from app.ui.sheet import asked, said
from app.whistle_limits import MAX_CHAMBERS, MIN_CHAMBERS, WHISTLE_LIMITS

PREFERRED = "major sixth"
TURNS = ("as it is", "lowest note an octave up", "two lowest up", "three lowest up", "four lowest up", "five lowest up")
OWN_HINT = "F5 A5 C6 D6; A5-14 is 14 cents under, 690Hz any pitch"
HEAR_HINT = f"Caution: loudspeaker low first, headphones off the ears. {NOISE_LIMIT} Local rules come first."


class ChordBox(QWidget):
    """Number of chambers, chord and notes.

    Signals: `touched()` on any change; `chambers_changed(int)`.
    """

    touched = Signal()
    chambers_changed = Signal(int)

    def __init__(self, start: Description) -> None:
        super().__init__()
        self.chambers = QSpinBox()
        self.chambers.setRange(MIN_CHAMBERS, MAX_CHAMBERS)
        self.chambers.setValue(start.n_chambers)
        self.chords, self.turn, self.roots = _list(14), _list(8), _list(5)
        self.roots.setEditable(True)
        self.roots.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.roots.setCompleter(None)
        self.lowest = self.roots.lineEdit()
        self.lowest.setPlaceholderText("F5, F#5 or Bb4")
        self.own, self.a4 = QLineEdit(start.own_notes), QLineEdit(f"{start.a4_hz:g}")
        self.just = QCheckBox("Whole-number ratios (&just)")
        self.just.setAccessibleName("The chord in whole-number ratios, not in equal steps")
        self.hear = QPushButton("Hear &it")
        self.hear.setAccessibleName("Hear the chord, softly")
        self.hear.setAccessibleDescription(HEAR_HINT)
        self.hear.setAutoDefault(False)
        self.told = said("")
        self.like = LikeBox()
        self._lay_out()
        self._fill()
        self.just.setChecked(start.just)
        self._show(start.chord, start.lowest_note)
        self._connect()

    def chord(self) -> Chord | None:
        """The chosen chord, turned over as chosen; None when the notes are named one by one."""
        chord: Chord | None = self.chords.currentData()
        return None if chord is None else inverted(chord, self.turn.currentData() or 0)

    def is_just(self) -> bool:
        return self.just.isChecked() and self.just.isEnabled()

    def a4_hz(self) -> float:
        """Concert pitch; FieldRefusedError when it is none."""
        low_hz, high_hz, hint = WHISTLE_LIMITS["a4_hz"]
        text = self.a4.text().lower().removesuffix("hz").replace(",", ".").strip()
        try:
            a4_hz = float(text)
        except ValueError:
            raise FieldRefusedError("a4_hz", f"A4 is “{text[:12]}”, which is no number of Hz: {hint}.") from None
        if not low_hz <= a4_hz <= high_hz:
            raise FieldRefusedError("a4_hz", f"A4 is {a4_hz:g} Hz; it must be from {low_hz:g} to {high_hz:g}: {hint}.")
        return a4_hz

    def field(self, name: str) -> QLineEdit | None:
        return {"lowest_note": self.lowest, "own_notes": self.own, "a4_hz": self.a4}.get(name)

    def show_roots(self, roots: Sequence[tuple[str, str]]) -> None:
        """Offer these lowest notes, each with how surely it is in reach; what is typed stays."""
        offered = [(f"{root}  {how}", root) for root, how in roots]
        if offered == [(self.roots.itemText(at), self.roots.itemData(at)) for at in range(self.roots.count())]:
            return
        text, cursor = self.lowest.text(), self.lowest.cursorPosition()
        self.roots.blockSignals(True)
        self.roots.clear()
        for words, root in offered:
            self.roots.addItem(words, root)
        self.roots.setCurrentIndex(next((at for at, (_, root) in enumerate(offered) if root == text), -1))
        self.roots.blockSignals(False)
        self.lowest.setText(text)
        self.lowest.setCursorPosition(cursor)

    def take(self, chord: Chord, root: str) -> None:
        """This chord, turned over or not, upon this note."""
        self.chambers.setValue(len(chord.equal_steps))
        self._show(chord, root)

    def take_own(self, notes: Sequence[str]) -> None:
        """These notes, lowest first."""
        self.own.setText(" ".join(notes))
        self.chambers.setValue(len(notes))
        self._choose(None)
        self._show_fields()

    def _lay_out(self) -> None:
        self._lowest_part, self._own_part = QWidget(), QWidget()
        upper, lower, below = QHBoxLayout(), QHBoxLayout(self._lowest_part), QHBoxLayout()
        upper.addLayout(asked("Cham&bers", self.chambers, "Number of chambers"), 1)
        upper.addLayout(asked("&A4, in Hz", self.a4, "Concert pitch A4 in Hz"), 1)
        upper.addWidget(self.just, 2, Qt.AlignmentFlag.AlignBottom)
        lower.addLayout(asked("Low&est note", self.roots, "Lowest note"), 2)
        lower.addLayout(asked("&Turned over", self.turn, "Chord turned over"), 3)
        self._own_part.setLayout(asked("No&tes, lowest first", self.own, "Notes, lowest first", OWN_HINT))
        below.addWidget(self.hear, 1)
        below.addWidget(said(HEAR_HINT, "muted"), 3)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(upper)
        column.addLayout(asked("C&hord, in steps above its lowest note", self.chords, "Chord"))
        for part in (self._lowest_part, self._own_part):
            part.layout().setContentsMargins(0, 0, 0, 0)
            column.addWidget(part)
        column.addLayout(below)
        column.addWidget(self.told)
        column.addWidget(self.like)

    def _connect(self) -> None:
        self.chambers.valueChanged.connect(self._change_chambers)
        self.chords.currentIndexChanged.connect(self._show_fields)
        self.turn.currentIndexChanged.connect(self.touched)
        self.just.toggled.connect(self.touched)
        self.roots.activated.connect(self._take_root)
        for field in (self.lowest, self.own, self.a4):
            field.textEdited.connect(self.touched)

    def _take_root(self, at: int) -> None:
        self.lowest.setText(self.roots.itemData(at))
        self.touched.emit()

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

    def _show(self, chord: Chord | None, root: str) -> None:
        """This chord as the one of the list that it is, and how that is turned over."""
        base, turn = (None, 0) if chord is None else turned_from(chord)
        self._choose(base)
        self.lowest.setText(root)
        self._show_fields()
        self.turn.setCurrentIndex(turn)

    def _choose(self, chord: Chord | None) -> None:
        """Show this chord where it is offered, else the first; None stands for one's own notes."""
        offered = [self.chords.itemData(index) for index in range(self.chords.count())]
        self.chords.setCurrentIndex(offered.index(chord) if chord in offered else 0)

    def _change_chambers(self, n_chambers: int) -> None:
        own = self.chords.currentData() is None
        self._fill()
        if own:
            self._choose(None)
        self.chambers_changed.emit(n_chambers)
        self._show_fields()

    def _show_fields(self) -> None:
        chord = self.chords.currentData()
        self._own_part.setVisible(chord is None)
        self._lowest_part.setVisible(chord is not None)
        self.just.setEnabled(chord is not None and chord.just_ratio is not None)
        self.turn.blockSignals(True)
        self.turn.clear()
        for number, words in enumerate(TURNS[:1 if chord is None else n_turns(chord)]):
            self.turn.addItem(words, number)
        self.turn.blockSignals(False)
        self.touched.emit()


def _list(n_letters: int) -> QComboBox:
    box = QComboBox()
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(n_letters)
    return box
