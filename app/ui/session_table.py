"""The session as a table: a row for each chamber and step."""
from __future__ import annotations

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from app.story_readings import Reading, Story
from app.story_words import HEADINGS, cells, spoken
from app.ui.sheet_style import LETTER_PX, Paper

LEAST_ROWS = 4
SMALLER = 0.88


class SessionTable(QTableWidget):
    """Rows are chosen by arrow keys or mouse; Tab leads on.

    Signals: `reading_chosen(Reading)`; `heard_again()`: Enter on a row, or a double click.
    """

    reading_chosen = Signal(object)
    heard_again = Signal()

    def __init__(self, story: Story) -> None:
        self._story = story
        super().__init__(len(story.readings), len(HEADINGS))
        self.setAccessibleName("The session in figures, a row for each chamber and step")
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setTabKeyNavigation(False)
        self.setShowGrid(False)
        self.setWordWrap(False)
        self.setCornerButtonEnabled(False)
        self.verticalHeader().hide()
        self._fill(story)
        self.itemSelectionChanged.connect(self._tell)
        self.itemDoubleClicked.connect(lambda _item: self.heard_again.emit())

    def sizeHint(self) -> QSize:
        rows = min(max(self.rowCount(), 1), LEAST_ROWS)
        high_px = self.horizontalHeader().sizeHint().height() + rows * self.verticalHeader().defaultSectionSize()
        header = self.horizontalHeader()
        columns_px = [max(self.sizeHintForColumn(n), header.sectionSizeHint(n)) for n in range(self.columnCount())]
        wide_px = sum(columns_px) + self.verticalScrollBar().sizeHint().width()
        return QSize(wide_px + 2 * self.frameWidth(), high_px + 2 * self.frameWidth() + 2)

    def minimumSizeHint(self) -> QSize:
        return QSize(200, self.sizeHint().height())

    def wear(self, paper: Paper) -> None:
        colour, letter_px = paper.palette, round(LETTER_PX * SMALLER * paper.text_scale)
        self.setStyleSheet(f"""
            QTableWidget {{ background: {colour.card}; border: 1px solid {colour.muted}; font-size: {letter_px}px; }}
            QTableWidget:focus {{ border: 3px solid {colour.goal}; }}
            QTableWidget::item {{ padding: 0 {letter_px // 3}px; border-bottom: 1px solid {colour.line}; }}
            QTableWidget::item:selected {{ background: {colour.goal}; color: {colour.card}; }}
            QHeaderView {{ background: {colour.paper}; }}
            QHeaderView::section {{ background: {colour.paper}; color: {colour.ink}; border: none;
                border-bottom: 2px solid {colour.ink}; padding: 2px {letter_px // 3}px; font-size: {letter_px}px; }}
        """)
        self.verticalHeader().setDefaultSectionSize(round(1.75 * letter_px))
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setStretchLastSection(True)
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignBottom)
        header.setHighlightSections(False)

    def head_in_lines(self, n_lines: int) -> None:
        """Headings with their unit beside or below."""
        between = ", " if n_lines == 1 else ",\n"
        home = self._story.letters[0]
        self.setHorizontalHeaderLabels([text.format(home=home).replace(", ", between) for text in HEADINGS])

    def chosen(self) -> Reading | None:
        rows = self.selectionModel().selectedRows()
        return self._story.readings[rows[0].row()] if rows else None

    def choose(self, reading: Reading) -> None:
        """Select its row, as if by hand."""
        self.selectRow(self._story.readings.index(reading))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.heard_again.emit()
        else:
            super().keyPressEvent(event)

    def _fill(self, story: Story) -> None:
        lowest = story.letters[0]
        self.head_in_lines(1)
        for row, reading in enumerate(story.readings):
            for column, text in enumerate(cells(reading, lowest)):
                item = QTableWidgetItem(text)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, spoken(reading, lowest) if column == 0 else text)
                self.setItem(row, column, item)

    def _tell(self) -> None:
        reading = self.chosen()
        if reading is not None:
            self.reading_chosen.emit(reading)
