"""The club evening behind the window: who lies on the bench, who is called next, and the sheets that belong to it."""
from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QDialog

from app.club import Standing, Waits, comes_due, evening_of, numbered_as, queue, standing_at
from app.club_book import (
    NO_EVENING,
    Evening,
    add_whistles,
    join,
    latest_evening,
    standings,
    tell_here,
    tell_passed,
    utc_now,
)
from app.club_names import FILE_NAME, load_names, save_names
from app.club_words import held_text, nobody_text, turn
from app.errors import WorldError
from app.journal import Journal
from app.ui.desk import Desk
from app.view import View
from app.whistle import Whistle

if TYPE_CHECKING:
    from app.ui.club_sheet import ClubSheet
    from app.ui.sheet import Sheet


class ClubDesk(QObject):
    """One whistle at a time: the microphone hears only the one on the bench, and each change is read from the journal.

    `show` opens a sheet over the bench; `busy` says whether one is open.
    """

    def __init__(self, desk: Desk, show: Callable[[QDialog], object], busy: Callable[[], bool]) -> None:
        super().__init__(desk)
        self.desk, self._show, self._busy = desk, show, busy
        self.evening: Evening = NO_EVENING
        self.names: dict[str, str] = {}
        self._standings: tuple[Standing, ...] = ()
        self._list: ClubSheet | None = None  # while it is open
        self._read_for: object = None  # the bridge on the bench when the journal was read last
        self._read_utc = ""
        desk.adorn = self.adorn
        desk.window.club_asked.connect(self.show_list)
        desk.window.call_asked.connect(self.call_next)

    # ---- what is shown -------------------------------------------------------------------------------------------
    def adorn(self, view: View) -> View:
        """The same view, with the key that calls the next; and the turn, for the room view."""
        room, bridge = self.desk.window.bench.room, self.desk.bridge
        if bridge is None or not self._of_evening():
            room.show_turn(None)
            return view
        if bridge is not self._read_for or comes_due(self._standings, self._read_utc, utc_now()):
            self._read_for = bridge
            try:
                self.read()
            except WorldError as trouble:
                view = replace(view, trouble=str(trouble))
        if self._list is not None:
            self._list.show_whistles(self.all_standings(), self.on_bench())
        others, state = self._waiting(), bridge.session.state
        shown = turn(state, standing_at(state), others, self.names)
        room.show_turn(shown)
        bridge.session.hold(shown.calls)  # else what the one who was called blows would be booked to the one who left
        if shown.calls and view.hearing_ok:
            view = replace(view, hearing=held_text(shown))
        return replace(view, keys=f"{view.keys} · C: call {others[0].number}") if others else view

    def read(self) -> None:
        """The evening as the journal has it; what stood before is only worked out again where something came."""
        self._read_utc = utc_now()
        with Journal(self.desk.context.journal_path) as journal:
            self.evening = latest_evening(journal)
            self._standings = standings(journal, self.evening, self.desk.settings, self._standings)
        self.names = load_names(self.desk.context.home / FILE_NAME)

    def all_standings(self) -> tuple[Standing, ...]:
        """Every whistle of the evening; the one on the bench as it stands this moment."""
        bridge = self.desk.bridge
        if bridge is None or not self._of_evening():
            return self._standings
        now = standing_at(bridge.session.state)
        return tuple(now if each.whistle.id == now.whistle.id else each for each in self._standings)

    def on_bench(self) -> Standing | None:
        """The whistle on the bench, where it belongs to the evening."""
        whistle = self.desk.whistle if self._of_evening() else None
        return next((each for each in self.all_standings() if whistle and each.whistle.id == whistle.id), None)

    def _of_evening(self) -> bool:
        bridge = self.desk.bridge
        return bridge is not None and self.desk.maker is None and bool(evening_of(bridge.session.state.standing))

    def _waiting(self) -> tuple[Standing, ...]:
        at_bench = self.desk.whistle if self._of_evening() else None
        return queue(self._standings, at_bench.id if at_bench else None)

    # ---- whose turn ----------------------------------------------------------------------------------------------
    def call_next(self) -> None:
        """Who waited longest; where nobody waits that is said."""
        if not self._guarded(self.read):
            return
        waiting = self._waiting()
        if waiting:
            self.call(waiting[0].number)
        else:
            self.desk.window.show_trouble(nobody_text(self.all_standings()))

    def call(self, number: int) -> None:
        """This number to the microphone; whoever stood there and was not through waits behind the others."""
        self._guarded(lambda: self._call(number))

    def _call(self, number: int) -> None:
        called, before = numbered_as(self.all_standings(), number), self.on_bench()
        if called is None:
            raise WorldError(_no_such_number(number, self.evening))
        if before is not None and before.number == number:
            return
        if before is not None and before.waits is Waits.MICROPHONE:
            self.desk.clear()
            with Journal(self.desk.context.journal_path) as journal:
                tell_passed(journal, before.whistle)
        self.desk.lay(called.whistle)

    # ---- the sheets ----------------------------------------------------------------------------------------------
    def show_list(self) -> None:
        if self._busy() or not self._guarded(self.read):
            return
        from app.ui.club_sheet import ClubSheet

        sheet = self._list = ClubSheet(self.desk.settings, self.desk.window)
        sheet.finished.connect(self._list_closed)
        sheet.show_whistles(self.all_standings(), self.on_bench())
        sheet.called.connect(lambda number: self._leave(sheet, lambda: self._call(number)))
        sheet.back_told.connect(lambda number: self._tell_back(sheet, number))
        sheet.add_asked.connect(lambda: self._instead(sheet, self.show_add))
        sheet.names_asked.connect(lambda: self._instead(sheet, self.show_names))
        sheet.papers_asked.connect(lambda how: self._papers(sheet, how))
        self._show(sheet)

    def show_add(self) -> None:
        from app.ui.club_add import ClubAdd

        lying = self.desk.whistle if self.desk.bridge is not None and self.desk.maker is None else None
        sheet = ClubAdd(self.desk.settings, lying, self.evening, lying is not None and not self._of_evening(),
                        self.desk.window)
        sheet.added.connect(lambda pattern, count, anew: self._leave(sheet, lambda: self._add(pattern, count, anew)))
        sheet.joined.connect(lambda: self._leave(sheet, self._join))
        self._show(sheet)
        sheet.finished.connect(lambda _result: self.show_list())

    def show_names(self) -> None:
        from app.ui.club_names import ClubNames

        sheet = ClubNames(self.desk.settings, self.evening.whistles, self.names, self.desk.window)
        sheet.named.connect(lambda names: self._leave(sheet, lambda: self._name(names)))
        self._show(sheet)
        sheet.finished.connect(lambda _result: self.show_list())

    def _add(self, pattern: Whistle, count: int, anew: bool) -> None:
        with Journal(self.desk.context.journal_path) as journal:
            add_whistles(journal, pattern, count, anew=anew)
        if self.desk.bridge is None:
            self.read()
            self.desk.lay(self.evening.whistles[0])

    def _join(self) -> None:
        """The whistle on the bench, as it is, becomes one of the evening's."""
        whistle = self.desk.whistle
        assert whistle is not None
        self.desk.clear()
        with Journal(self.desk.context.journal_path) as journal:
            joined = join(journal, whistle)
        self.desk.lay(joined)

    def _name(self, names: dict[str, str]) -> None:
        save_names(self.desk.context.home / FILE_NAME, names)
        self.names, self._read_for = names, None
        if self.desk.bridge is not None:
            self.adorn(self.desk.bridge.session.view())

    def _list_closed(self) -> None:
        self._list = None

    def _tell_back(self, sheet: ClubSheet, number: int) -> None:
        back, on_bench = numbered_as(self.all_standings(), number), self.on_bench()
        try:
            if back is None:
                raise WorldError(_no_such_number(number, self.evening))
            if on_bench is not None and on_bench.number == number:
                raise WorldError(f"No. {number} lies on the bench already.")
            with Journal(self.desk.context.journal_path) as journal:
                tell_here(journal, back)
            self.read()
            if self.desk.bridge is not None:
                self.desk.show(self.desk.bridge.session.view())
            sheet.say_trouble("")
            sheet.show_whistles(self.all_standings(), on_bench)
        except WorldError as trouble:
            sheet.say_trouble(str(trouble))

    def _papers(self, sheet: Sheet, how: str) -> None:
        from app.paper.club import club_papers
        from app.paper.club_jobs import members_of
        from app.paper.model import PAGE_SIZES
        from app.ui.paper_out import ask_for_pdf, ask_to_print

        say, settings = sheet.say_trouble, self.desk.settings
        try:
            with Journal(self.desk.context.journal_path) as journal:
                members = members_of(journal, self.all_standings(), settings.units, PAGE_SIZES[settings.page_size])
        except WorldError as trouble:
            say(str(trouble))
            return
        paper = club_papers(members, self.evening.name)
        (ask_to_print if how == "print" else ask_for_pdf)(sheet, paper, say)

    # ---- what goes wrong -----------------------------------------------------------------------------------------
    def _guarded(self, act: Callable[[], object]) -> bool:
        """Do it; the world's fault is one sentence on the bench."""
        try:
            act()
        except WorldError as trouble:
            self.desk.window.show_trouble(str(trouble))
            return False
        return True

    def _leave(self, sheet: Sheet, act: Callable[[], object]) -> None:
        """Do it and close the sheet; where it cannot be done the sheet stays and says why."""
        try:
            act()
        except WorldError as trouble:
            sheet.say_trouble(str(trouble))
        else:
            sheet.accept()

    def _instead(self, sheet: QDialog, show: Callable[[], object]) -> None:
        """One sheet at a time: this one goes before the other comes."""
        sheet.accept()
        show()


def _no_such_number(number: int, evening: Evening) -> str:
    if not evening.whistles:
        return "No club evening was begun: add whistles first."
    return f"No whistle of this evening is numbered {number}: the last is {evening.next_number - 1}."
