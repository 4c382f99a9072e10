"""Lay out a whistle: what it shall sound, the wood it is turned from, and the papers to take to the bench."""
from __future__ import annotations

import uuid
from dataclasses import replace
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeySequence, QResizeEvent, QShortcut
from PySide6.QtWidgets import QFileDialog, QLabel, QLineEdit, QWidget

from acoustics.notes import chord_named
from app.chord_sound import ChordSound
from app.description import Description, FieldRefusedError, described, description_of, notes_of
from app.errors import WorldError
from app.lay_out_words import suggested_name
from app.lengths import length_text
from app.like import Intervals, Likeness
from app.reach import Reach, Verdict, reaches
from app.settings import Settings
from app.shelf import Shelf
from app.ui.lay_out_like import ask_for_sound, moved_into_wood
from app.ui.lay_out_pages import SOUND, PageKeys, Pages
from app.ui.lay_out_telling import Telling
from app.ui.lay_out_wood import WoodFields
from app.ui.sheet import Sheet
from app.ui.sheet_style import paper_for
from app.ui.whistle_fields import WhistleFields
from app.ui.whistle_file import ask_for_file, ask_to_keep
from app.whistle import Whistle, load_whistle

NATURAL_SIZE_PX = (1240, 780)
BESIDE_FROM_PX = 950  # at text scale 1
OUT_OF_REACH = (Verdict.TOO_SHORT, Verdict.TOO_HIGH)
# Where a first whistle starts: half-inch bores and a window that small whistles are given; common practice, no source.
FIRST_SIZES_MM = {"bore_mm": 12.7, "bore_length_mm": 139.7, "window_width_mm": 9.525, "window_height_mm": 6.35}
FIRST_CHORD = chord_named("major sixth")
FIRST_BODY_MM = {"fipple_length_mm": 12.7, "wall_mm": 4.0}


class WhistleForm(Sheet):
    """Three pages of fields; beside each what it comes to.

    Signals: `whistle_described(Whistle)` when the form was accepted; `chord_asked(ChordSound)`: it is to be heard;
    `page_size_chosen(str)`: papers are to be of this size from now on.
    """

    whistle_described = Signal(object)
    chord_asked = Signal(object)
    page_size_chosen = Signal(str)

    def __init__(
        self, settings: Settings, whistle: Whistle | None = None, parent: QWidget | None = None,
        shelf: Shelf | None = None,
    ) -> None:
        super().__init__("Lay out a whistle", paper_for(settings), parent)
        self.settings, self.shelf = settings, shelf or Shelf(settings=settings)
        self._start = _start(settings, whistle)
        self.keys = PageKeys()
        self.layout().insertWidget(1, self.keys)
        self.pages = Pages(self.body, self.middle)
        self.keys.page_chosen.connect(self._turned)
        self._add_buttons()
        self._fill()
        self.fit_to_screen(NATURAL_SIZE_PX)

    @property
    def fields(self) -> WhistleFields:
        """The first page's fields."""
        return self.pages.sound

    @property
    def wood(self) -> WoodFields:
        """The second page's fields."""
        return self.pages.wood

    @property
    def reach(self) -> QLabel:
        """What the wood can play, in words."""
        return self.pages.sound_side.reach

    def description(self) -> Description:
        """What stands in all fields; WorldError when one cannot be read. A whistle without a name gets its chord's."""
        description = self._said()
        if description.name.strip():
            return description
        notes = tuple(name for name, _ in notes_of(description))
        return replace(description, name=suggested_name(description.chord, notes))

    def whistle(self) -> Whistle:
        return described(self.description(), self.settings.units)

    def check(self) -> None:
        """Tell what the fields come to, or the first thing that is still missing or wrong."""
        self.telling.tell()

    def turn_to(self, page: int) -> None:
        self.keys.choose(page)

    def hear(self) -> None:
        """The chord, softly; a note that cannot be read is said instead."""
        try:
            notes = notes_of(self.pages.sound.described(self._start))
        except (WorldError, ValueError) as refusal:
            self._refuse(refusal)
            return
        self.chord_asked.emit(ChordSound(tuple(target_hz for _, target_hz in notes)))

    def ask_for_recording(self) -> QFileDialog:
        """Which sound file holds the chord that is wanted; it is read as soon as it is chosen."""
        dialog = ask_for_sound(self)
        dialog.fileSelected.connect(lambda path: self.read_recording(Path(path)))
        return dialog

    def read_recording(self, path: Path) -> None:
        """Read the chord in it; its notes are taken when it has one."""
        try:
            a4_hz = self.pages.sound.chord.a4_hz()
        except WorldError as refusal:
            self._refuse(refusal)
            return
        self.say_trouble("")
        self.pages.sound.chord.like.read(path, a4_hz)

    def take_like(self, likeness: Likeness) -> None:
        """Its notes where this wood can play them; a refusal is said, and the fields left as they were."""
        box = self.pages.sound.chord
        intervals = box.like.intervals()
        try:
            description = self._said()
            to = moved_into_wood(likeness, intervals, description, self.fields.sizes, self.settings.units, self.shelf)
        except (WorldError, ValueError) as refusal:
            self._refuse(refusal)
            return
        notes = to.texts(description.a4_hz)
        if intervals is Intervals.HEARD or likeness.chord is None:
            box.take_own(notes)
        else:
            box.just.setChecked(intervals is Intervals.JUST)
            box.take(likeness.chord, notes[0])
        self.say_trouble("")
        box.like.tell_move(to, description.a4_hz)

    def lay_on_bench(self) -> None:
        """Make the whistle and hand it on; a refusal is said, and the keyboard put into its field."""
        try:
            whistle = self.whistle()
            _require_reach(reaches(whistle, self.settings.units))
        except (WorldError, ValueError) as refusal:
            self._refuse(refusal)
            return
        self.whistle_described.emit(whistle)
        self.accept()

    def open_file(self) -> None:
        """Ask for a whistle document and fill the form from it."""
        path = ask_for_file(self)
        if path:
            self.open_document(path)

    def keep_document(self) -> None:
        """Ask where to keep the whistle document of what stands in the fields; a refusal is said instead."""
        try:
            whistle = self.whistle()
        except (WorldError, ValueError) as refusal:
            self._refuse(refusal)
            return
        ask_to_keep(self, whistle, self.say_trouble)

    def open_document(self, path: Path) -> None:
        """Fill the form from this document; what is wrong with it is said, and the form left as it was."""
        try:
            whistle = load_whistle(path)
        except WorldError as refusal:
            self.say_trouble(str(refusal))
            return
        self.say_trouble("")
        self.pages.sound.chord.like.let_go()
        self._start = description_of(whistle, self.settings.units)
        self._fill()
        self.put_on(self.paper)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What is told stands beside the fields where there is room, else below them."""
        super().resizeEvent(event)
        self.pages.place(beside=self.width() >= BESIDE_FROM_PX * self.paper.text_scale)

    def _add_buttons(self) -> None:
        self.file = self.add_button("&Open a document", "Fill the form from a whistle document")
        self.buttons.addStretch(1)
        self.leave = self.add_button("&Cancel", "Leave the form; nothing is changed")
        self.ready = self.add_button("La&y it on the bench", "Lay this whistle on the bench", default=True)
        self.file.clicked.connect(self.open_file)
        QShortcut(QKeySequence(QKeySequence.StandardKey.Save), self).activated.connect(self.keep_document)
        self.leave.clicked.connect(self.reject)
        self.ready.clicked.connect(self.lay_on_bench)

    def _fill(self) -> None:
        """All pages anew from the description."""
        self.pages.fill(self._start, self.settings.units, self.settings.page_size, self.paper)
        self.telling = Telling(self, self.pages, self.shelf)
        self.pages.sound.touched.connect(self.check)
        self.pages.wood.touched.connect(self.check)
        self.pages.sound.chord.hear.clicked.connect(self.hear)
        self.pages.papers.size_chosen.connect(self._take_page_size)
        self.pages.papers.document_asked.connect(self.keep_document)
        self._connect_like()
        self.pages.place(beside=self.width() >= BESIDE_FROM_PX * self.paper.text_scale)
        self.turn_to(SOUND)
        self._turned(SOUND)
        self.check()

    def _connect_like(self) -> None:
        like = self.pages.sound.chord.like
        like.file_asked.connect(self.ask_for_recording)
        like.liked.connect(self.take_like)
        like.refused.connect(self.say_trouble)
        for part in (self.pages.sound, self.pages.wood):
            part.touched.connect(like.forget_move)

    def _said(self) -> Description:
        """Word for word what stands in the fields."""
        return self.pages.wood.described(self.pages.sound.described(self._start))

    def _take_page_size(self, page_size: str) -> None:
        self.settings = replace(self.settings, page_size=page_size)  # type: ignore[arg-type]  # one of the box's own
        self.page_size_chosen.emit(page_size)

    def _turned(self, page: int) -> None:
        self.pages.show_page(page)
        self.scroll.verticalScrollBar().setValue(0)
        first = self.pages.first_field(page)
        first.setFocus()
        if isinstance(first, QLineEdit):
            first.selectAll()
        self.check()

    def _refuse(self, refusal: Exception) -> None:
        """Say it, and put the keyboard where it lies."""
        self.say_trouble(str(refusal))
        name = getattr(refusal, "field", "")
        page, field = self.pages.field(name) if name else (SOUND, None)
        if field is not None:
            self.turn_to(page)
            field.setFocus()
            field.selectAll()
            self.scroll.ensureWidgetVisible(field)


def _require_reach(found: tuple[Reach, ...]) -> None:
    for one in found:
        if one.verdict in OUT_OF_REACH:
            raise FieldRefusedError("bore_length_mm", one.sentence)


def _start(settings: Settings, whistle: Whistle | None) -> Description:
    """A new whistle has its id from here on, so that document, papers and journal mean the same one."""
    if whistle is not None:
        return description_of(whistle, settings.units)
    return Description(
        sizes={key: (length_text(length_mm, settings.units),) for key, length_mm in FIRST_SIZES_MM.items()},
        body={key: length_text(length_mm, settings.units) for key, length_mm in FIRST_BODY_MM.items()},
        chord=FIRST_CHORD, lowest_note="F5", temperature_c=settings.temperature_c,
        whistle_id=str(uuid.uuid4()),
    )  # fmt: skip
