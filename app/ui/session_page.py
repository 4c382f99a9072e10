"""Before and after: the session of the whistle on the bench as a plot and a table; its blows to hear again; files."""
from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QComboBox, QFileDialog, QHBoxLayout, QLabel, QPushButton, QWidget

from app.cautions import LOCAL, NOISE_LIMIT
from app.errors import WorldError
from app.paper.model import PAGE_SIZES
from app.settings import Settings
from app.story_readings import Reading, Story
from app.story_words import blow_words, spoken, story_sentence
from app.ui.session_plot import SessionPlot
from app.ui.session_table import SessionTable
from app.ui.sheet import CautionNote, Sheet, said
from app.ui.sheet_style import paper_for
from app.ui.theme import Dress
from app.view import Caution
from app.whole_file import write_whole

NATURAL_SIZE_PX = (1260, 940)
SIDE_BY_SIDE_PX = 1700  # at text scale 1: from this width on the plot stands beside the table
ONE_LINE_PX = 1000  # at text scale 1: from this width on the table's headings need one line
HINT = "Choose a row or a point: its figures stand here."
HEARING = Caution(
    "A blow from a loudspeaker can be loud: turn it low first, headphones off the ears. The bench does not listen "
    "meanwhile.",
    f"{NOISE_LIMIT} {LOCAL}",
)
Written = Callable[[str], bytes]  # by the kind of file: "csv", "json", "A4", "Letter"


class SessionPage(Sheet):
    """`written` makes the files; `file_stem` is how they are called unless the maker says otherwise.

    Signals: `sound_asked(str)`: let this sound of the journal's folder be heard; `print_asked()`.
    """

    sound_asked = Signal(str)
    print_asked = Signal()

    def __init__(
        self, story: Story, written: Written, file_stem: str, settings: Settings, parent: QWidget | None = None
    ) -> None:
        self._beside = QBoxLayout(QBoxLayout.Direction.TopToBottom)
        super().__init__("Before and after", paper_for(settings), parent)
        self.story, self._written, self._file_stem = story, written, file_stem
        self._page_size = settings.page_size
        self.plot, self.table = SessionPlot(story), SessionTable(story)
        self.told, self.blows = said(HINT, "strong"), QComboBox()
        self.hear = QPushButton("&Hear it again")
        self._fill()
        self._connect()
        self.plot.wear(Dress(self.paper.palette, 1.0, self.paper.text_scale))
        self.table.wear(self.paper)
        self._show_blows(None)
        self.fit_to_screen(NATURAL_SIZE_PX)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        wide = self.width() >= SIDE_BY_SIDE_PX * self.paper.text_scale
        way = QBoxLayout.Direction.LeftToRight if wide else QBoxLayout.Direction.TopToBottom
        self._beside.setDirection(way)
        self._beside.setStretch(1, 0 if wide else 1)
        self.table.head_in_lines(1 if not wide and self.width() >= ONE_LINE_PX * self.paper.text_scale else 2)
        self.table.setMinimumWidth(min(self.table.sizeHint().width(), self.width() // 2) if wide else 0)

    def choose(self, reading: Reading) -> None:
        """Point, row, words and blows are one choice."""
        self.plot.choose(reading)
        if self.table.chosen() is not reading:
            self.table.choose(reading)
        self.told.setText(spoken(reading, self.story.letters[0]))
        self._show_blows(reading)

    # ---- built once ----------------------------------------------------------------------------------------------
    def _fill(self) -> None:
        self.body.addWidget(said(story_sentence(self.story)))
        scale = 0.4 + 0.6 * self.paper.text_scale
        self._beside.setSpacing(round(16 * scale))
        self._beside.addWidget(self.plot, 3)
        self._beside.addWidget(self.table, 2)
        self.body.addLayout(self._beside, 1)
        self.body.addWidget(self.told)
        self.body.addLayout(self._hearing())
        self.body.addWidget(CautionNote(HEARING))
        self.buttons.addWidget(QLabel("Keep as"))
        for kind in ("pdf", "csv", "json"):
            key = self.add_button(f"&{kind.upper()}…", f"Keep the session as a {kind.upper()} file")
            key.clicked.connect(lambda _=False, k=kind: self.ask_for_file(k))
        self.print = self.add_button("P&rint…", "Print the session")
        self.print.clicked.connect(self.print_asked)
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Back", "Back to the bench", default=True)

    def _hearing(self) -> QHBoxLayout:
        label = QLabel("Which blo&w")
        label.setBuddy(self.blows)
        self.blows.setAccessibleName("Which blow of this step")
        self.blows.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.blows.setMinimumContentsLength(16)
        self.hear.setAccessibleName("Hear this blow again")
        self.hear.setAutoDefault(False)
        row = QHBoxLayout()
        row.addWidget(label)
        row.addWidget(self.blows, 1)
        row.addWidget(self.hear)
        return row

    def _connect(self) -> None:
        self.plot.reading_chosen.connect(self.choose)
        self.table.reading_chosen.connect(self.choose)
        self.table.heard_again.connect(self.hear_again)
        self.hear.clicked.connect(self.hear_again)
        self.blows.currentIndexChanged.connect(self._show_whether_kept)
        self.leave.clicked.connect(self.accept)

    # ---- hearing again -------------------------------------------------------------------------------------------
    def _show_blows(self, reading: Reading | None) -> None:
        """The blows of this step; the last one whose sound was kept comes first to hand."""
        self.blows.clear()
        for number, blow in enumerate(reading.blows if reading is not None else (), 1):
            self.blows.addItem(blow_words(number, blow), blow.sound_file)
        kept = [index for index in range(self.blows.count()) if self.blows.itemData(index)]
        self.blows.setCurrentIndex(kept[-1] if kept else self.blows.count() - 1)
        self.blows.setEnabled(self.blows.count() > 0)
        self._show_whether_kept()

    def _show_whether_kept(self) -> None:
        self.hear.setEnabled(bool(self.blows.currentData()))

    def hear_again(self) -> None:
        """Only ever on the maker's wish."""
        if self.blows.currentData():
            self.say_trouble("")
            self.sound_asked.emit(self.blows.currentData())

    # ---- files ---------------------------------------------------------------------------------------------------
    def ask_for_file(self, kind: str) -> QFileDialog:
        """Where to keep it; a PDF on either paper."""
        sizes = sorted(PAGE_SIZES, key=lambda size: size != self._page_size)  # what is usual here comes first
        filters = {f"PDF on {size} (*.pdf)": size for size in sizes} if kind == "pdf" else {
            f"{kind.upper()} (*.{kind})": kind}
        dialog = QFileDialog(self, "Keep the session", str(Path.home()), ";;".join(filters))
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.setDefaultSuffix(kind)
        dialog.selectFile(f"{self._file_stem}.{kind}")
        dialog.fileSelected.connect(lambda path: self.keep(Path(path), filters[dialog.selectedNameFilter()]))
        dialog.finished.connect(dialog.deleteLater)
        dialog.open()
        return dialog

    def keep(self, path: Path, what: str) -> None:
        """Write the file; one sentence says how that went. The dialog has asked before one is written over."""
        try:
            write_whole(path, self._written(what), replace=True, what="the session")
        except WorldError as trouble:
            self.say_trouble(str(trouble))
        else:
            self.say_trouble(f"{path} is written.")
