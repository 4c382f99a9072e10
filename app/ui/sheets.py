"""The sheets that the menu opens: each built when asked for; one that lists microphones gets the microphone."""
from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer
from PySide6.QtWidgets import QDialog

from app.errors import WorldError
from app.events import AirTold, ChordLowered, MemoryTold
from app.journal.trouble import DamagedJournalError
from app.ui.club_desk import ClubDesk
from app.ui.desk import Desk
from app.whistle import Whistle

if TYPE_CHECKING:
    from app.bench import State

NO_WHISTLE = "No whistle lies on the bench: open or describe one in the menu Whistle."


class Sheets(QObject):
    """Connects the window's wishes to their sheets."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.desk = desk
        self.open_sheet: QDialog | None = None
        window = desk.window
        window.new_asked.connect(self.describe_whistle)
        window.open_asked.connect(self.open_whistle)
        window.keep_asked.connect(self.keep_document)
        window.preferences_asked.connect(self.ask_preferences)
        window.microphone_asked.connect(self.ask_preferences)
        window.air_asked.connect(self.ask_air)
        window.truth_asked.connect(self.show_truth)
        window.memory_asked.connect(self.show_memory)
        window.plan_asked.connect(self.plan_whistle)
        window.session_asked.connect(self.show_session)
        window.ways_asked.connect(self.show_ways)
        desk.practice_finished.connect(self.show_truth)
        desk.journal_damaged.connect(lambda: QTimer.singleShot(0, self.show_damage))  # after a sheet that just closes
        self.club = ClubDesk(desk, self.show, self.busy)

    def first_start(self) -> None:
        """Microphone, units, air and a trial blow; then the bench."""
        from app.ui.ear import Ear
        from app.ui.first_start import FirstStart

        sheet = FirstStart(self.desk.settings, Ear(parent=self), parent=self.desk.window)
        sheet.told.connect(self.desk.keep_settings)
        sheet.finished.connect(lambda _result: self.desk.begin())
        self.show(sheet)

    def describe_whistle(self) -> None:
        """A new one, from nothing but common sizes."""
        self._lay_out(None)

    def plan_whistle(self) -> None:
        """The one that lies on the bench, laid out anew: its drift after drilling, its papers."""
        desk = self.desk
        if desk.whistle is None or desk.bridge is None:
            desk.window.show_trouble(NO_WHISTLE)
        elif desk.maker is not None:
            desk.window.show_trouble("A practice whistle is invented and cannot be laid out: describe one of your own.")
        else:
            self._lay_out(desk.whistle)

    def open_whistle(self) -> None:
        """One of the journal's; where it has none, one from its document."""
        if self.busy():
            return
        from app.shelf import journal_standings
        from app.shelf_words import unlisted_line
        from app.ui.whistles_sheet import WhistlesSheet

        desk = self.desk
        try:
            found, unread = journal_standings(desk.context.journal_path, desk.settings)
        except WorldError as trouble:
            self._journal_refused(trouble)
            return
        if not found:
            self.open_document()
            return
        on_bench = desk.whistle.id if desk.whistle and desk.bridge is not None and desk.maker is None else None
        sheet = WhistlesSheet(found, on_bench, desk.settings, desk.window)
        sheet.say_trouble(unlisted_line(unread))
        sheet.chosen.connect(desk.lay)
        sheet.document_asked.connect(self.open_document)
        self.show(sheet)

    def open_document(self) -> None:
        from app.ui.whistle_file import ask_for_file
        from app.whistle import load_whistle

        path = ask_for_file(self.desk.window)
        if path is None:
            return
        try:
            self.desk.lay(load_whistle(path))
        except WorldError as trouble:
            self.desk.window.show_trouble(str(trouble))

    def keep_document(self) -> None:
        """The document of the whistle on the bench, as a file."""
        if self.busy():
            return
        from app.ui.whistle_file import ask_to_keep

        desk = self.desk
        if desk.whistle is None or desk.bridge is None:
            desk.window.show_trouble(NO_WHISTLE)
        elif desk.maker is not None:
            desk.window.show_trouble("A practice whistle is invented, and has no document to keep.")
        else:
            ask_to_keep(desk.window, desk.whistle, desk.window.show_trouble)

    def show_damage(self) -> None:
        """What can still be read of the journal, and the offer to go on with that."""
        if self.busy():
            return
        from app.journal.checking import check
        from app.ui.damaged_sheet import DamagedSheet

        desk = self.desk
        try:
            found = check(desk.context.journal_path)
        except WorldError as trouble:
            desk.window.show_trouble(str(trouble))
            return
        if not found.sound:
            sheet = DamagedSheet(found, desk.settings, desk.window)
            sheet.repair_asked.connect(self._repair)
            self.show(sheet)

    def _repair(self) -> None:
        """As “journal check --repair” does; the window holds the lock already. Then the bench begins again."""
        from app.journal.checking import check
        from app.shelf_words import set_aside_line

        desk = self.desk
        desk.clear()
        try:
            found = check(desk.context.journal_path, repair=True)
        except WorldError as trouble:
            desk.window.show_trouble(str(trouble))
            return
        desk.begin()
        if found.set_aside is not None:
            desk.window.show_trouble(set_aside_line(found.set_aside.name, sum(found.n_records.values())))

    def _journal_refused(self, trouble: WorldError) -> None:
        self.desk.window.show_trouble(str(trouble))
        if isinstance(trouble, DamagedJournalError):
            self.show_damage()

    def ask_preferences(self) -> None:
        """The list of microphones can only be read while none is open."""
        if self.busy():
            return
        from app.ui.preferences import Preferences

        desk = self.desk
        listening = desk.bridge is not None and desk.maker is None
        if listening:
            desk.clear()
        sheet = Preferences(
            desk.settings, whistle=desk.whistle, delete_sound=desk.delete_sound, parent=desk.window,
        )
        sheet.settings_chosen.connect(desk.keep_settings)
        if listening:
            sheet.finished.connect(lambda _result: desk.lay_again())
        self.show(sheet)

    def ask_air(self) -> None:
        if self.busy():
            return
        from app.ui.air_sheet import AirSheet

        sheet = AirSheet(self.desk.settings, self.desk.window)
        sheet.air_told.connect(self._take_air)
        self.show(sheet)

    def show_truth(self) -> None:
        """Only an invented whistle has a truth that anyone knows."""
        if self.busy():
            return
        from app.truth_words import GOES_ON, aimed_truth, believed_off_cents
        from app.ui.truth_sheet import TruthSheet

        desk = self.desk
        if desk.maker is None or desk.bridge is None:
            desk.window.show_trouble("Only a practice whistle can say what it truly is: begin one in the menu Whistle.")
            return
        session = desk.bridge.session
        truth = aimed_truth(desk.maker.truth(), session.state.place.lowered_cents)
        then = GOES_ON if session.done() and not session.glued() else ""
        believed_cents = believed_off_cents(truth, session.state.place.advice)
        self.show(TruthSheet(truth, believed_cents, desk.settings, desk.window, then))

    def show_memory(self) -> None:
        """What earlier whistles taught of the one that lies on the bench."""
        if self.busy():
            return
        from app.place import memory_aside
        from app.ui.learned_sheet import LearnedSheet

        desk, state = self.desk, self._state_on_bench()
        if state is None:
            return
        sheet = LearnedSheet(state.learned, memory_aside(state.standing), desk.settings, desk.window)
        sheet.memory_told.connect(lambda used: desk.post(MemoryTold(used)))
        self.show(sheet)

    def show_ways(self) -> None:
        """Out of the chamber in hand, where wood has run out."""
        if self.busy():
            return
        from app.rescue_words import NO_WAYS
        from app.rescues import ways_out
        from app.ui.ways_sheet import WaysSheet

        desk, state = self.desk, self._state_on_bench()
        if state is None:
            return
        ways = ways_out(state.place, state.whistle, state.place.letter, desk.settings.units)
        if ways is None:
            desk.window.show_trouble(NO_WAYS)
            return
        sheet = WaysSheet(ways, desk.settings, desk.window)
        sheet.chord_lowered.connect(lambda cents: desk.post(ChordLowered(cents)))
        sheet.plan_asked.connect(self.plan_whistle)
        self.show(sheet)

    def show_session(self) -> None:
        """Before and after: what was blown, step by step, to look at, hear again and keep."""
        if self.busy():
            return
        from app.ui.session_door import session_page

        state = self._state_on_bench()
        if state is not None:
            self.show(session_page(self.desk, state.whistle, state.standing))

    def _state_on_bench(self) -> State | None:
        """None without a whistle, and then that is said."""
        if self.desk.bridge is None:
            self.desk.window.show_trouble(NO_WHISTLE)
            return None
        return self.desk.bridge.session.state

    def _lay_out(self, whistle: Whistle | None) -> None:
        if self.busy():
            return
        from app.shelf import Shelf
        from app.ui.whistle_form import WhistleForm

        desk = self.desk
        try:
            shelf = Shelf.of_journal(desk.context.journal_path, desk.settings)
        except WorldError as trouble:
            self._journal_refused(trouble)
            return
        sheet = WhistleForm(desk.settings, whistle, desk.window, shelf)
        sheet.whistle_described.connect(desk.lay)
        sheet.chord_asked.connect(desk.let_hear)
        desk.sound_unheard.connect(sheet.say_trouble)
        sheet.page_size_chosen.connect(self._take_page_size)
        self.show(sheet)

    def _take_page_size(self, page_size: str) -> None:
        self.desk.keep_settings(replace(self.desk.settings, page_size=page_size))  # type: ignore[arg-type]

    def _take_air(self, temperature_c: float | None) -> None:
        self.desk.keep_settings(replace(self.desk.settings, temperature_c=temperature_c))
        self.desk.post(AirTold(temperature_c))

    def busy(self) -> bool:
        """One sheet at a time: the one that is open comes forward instead."""
        if self.open_sheet is not None:
            self.open_sheet.raise_()
        return self.open_sheet is not None

    def show(self, sheet: QDialog) -> None:
        """The bench goes on behind it."""
        self.open_sheet = sheet
        sheet.finished.connect(self._forget)
        sheet.open()

    def _forget(self, _result: int) -> None:
        sheet, self.open_sheet = self.open_sheet, None
        if sheet is not None:
            sheet.deleteLater()
