"""What stands behind the window: which journal is open, which whistle lies on the bench, which settings hold."""
from __future__ import annotations

import logging
from collections.abc import Callable
from contextlib import ExitStack
from dataclasses import replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from app.chord_player import ChordPlayer
from app.club import blower_of
from app.context import Context
from app.earlier import recall
from app.errors import WorldError
from app.events import Event, Key, Pressed, Task, Troubled
from app.glue_clock import is_past
from app.home import HomeLock, journal_path
from app.journal import Journal
from app.journal.trouble import DamagedJournalError
from app.learned import Learned
from app.records import BlowTaken
from app.session import Session
from app.settings import FILE_NAME, Settings, save_settings
from app.shelf import glue_elsewhere
from app.shelf_words import due_line
from app.sound_files import SoundFiles, SoundNotKept
from app.source import SoundSource
from app.tones import Sampled
from app.truth_words import NEXT_DAY_KEY
from app.ui.bridge import Bridge
from app.ui.empty_bench import empty_view
from app.ui.window import BenchWindow
from app.view import View
from app.whistle import Whistle, decode_whistle
from app.wording import NO_LOUDSPEAKER, PAPER_KEYS

if TYPE_CHECKING:
    from app.practice_glue import Nights

log = logging.getLogger(__name__)


class Desk(QObject):
    """Lays whistles on the bench one at a time; each gets a session of its own, replayed from the journal.

    Signals: `practice_finished()`: the practice whistle is done, and its truth may be told; `journal_damaged()`: it
    could not be read, and the window says so.
    """

    practice_finished = Signal()  # for each practice whistle after its chord, and once more after its glue
    journal_damaged = Signal()
    sound_unheard = Signal(str)  # what was to be heard was not, in a sentence; from any thread
    _sound_not_kept = Signal(str)  # from the writing thread

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self.settings: Settings = context.settings
        self.window = BenchWindow(self.post, context.settings)
        self.window.settings_changed.connect(self.keep_settings)
        self.window.practice_asked.connect(self.practise)
        self.window.closed.connect(self.clear)
        self._sound_not_kept.connect(lambda sentence: self.post(Troubled(sentence)))
        self.bridge: Bridge | None = None
        self.whistle: Whistle | None = None
        self.maker: Any = None  # of a practice whistle
        self.refused: WorldError | None = None  # why no whistle lies here, where one should
        self._nights: Nights | None = None  # of a practice whistle
        self._truths_told = 0  # of it: after the chord, and after the glue
        self._open = ExitStack()
        self._keeper: SoundFiles | None = None
        self._player = ChordPlayer()
        self._due: tuple[tuple[str, str], ...] = ()  # glue on other whistles: when it is due, whose it is
        self.adorn: Callable[[View], View] = lambda view: view  # what others add to each view before it is shown

    # ---- what lies on the bench ----------------------------------------------------------------------------------
    def begin(self) -> None:
        """The practice whistle when that was asked for, else the whistle that lay here last, else nothing."""
        if self.context.practice:
            self.practise()
        else:
            self._or_say(self._lay_last)

    def lay(self, whistle: Whistle) -> None:
        """This whistle on the bench, heard through the microphone; what hinders that stands on the empty bench."""
        self._or_say(lambda: self._lay(whistle))

    def _lay_last(self) -> None:
        with Journal(self.context.journal_path) as journal:
            filed = journal.whistles()
        if not filed:
            self.window.show_view(empty_view(self.context.trouble))
            return
        last = next((each for each in filed if each.whistle_id == self.settings.last_whistle), filed[-1])
        self._lay(decode_whistle(last.document_json, f"The journal's whistle {last.whistle_id}"))

    def _or_say(self, lay: Callable[[], None]) -> None:
        """The world's fault stays to be read on the window."""
        self.refused = None
        try:
            lay()
        except WorldError as refusal:
            self.clear()
            self.refused = refusal
            self.window.show_view(empty_view(str(refusal)))
            if isinstance(refusal, DamagedJournalError):
                self.journal_damaged.emit()

    def _lay(self, whistle: Whistle) -> None:
        from app.microphone import Microphone

        self.clear()
        self.maker = None
        self.keep_settings(replace(self.settings, last_whistle=whistle.id))
        journal = self._open.enter_context(Journal(self.context.journal_path))
        blower = blower_of(whistle, journal.standing(whistle.id), self.settings.blower)
        settings = replace(self.settings, blower=blower)
        learned = recall(journal, whistle, settings)
        self._due = glue_elsewhere(journal, whistle)
        self._start(journal, whistle, Microphone(settings.device_name), settings, learned)

    def practise(self) -> None:
        """An invented whistle and maker, in a journal of their own; a new maker each time: none teaches the next."""
        from app.practice import PracticeSource, invent_practice
        from app.practice_glue import Nights, PracticeClock

        self.clear()
        path = journal_path(self.context.home, practice=True)
        path.parent.mkdir(parents=True, exist_ok=True)
        try:
            if path.parent != self.context.journal_path.parent:
                self._open.enter_context(HomeLock(path.parent))
            journal = self._open.enter_context(Journal(path))
        except WorldError as trouble:
            self.clear()
            self.window.show_view(empty_view(str(trouble)))
            return
        self._due = ()
        self.maker, whistle = invent_practice(self.context.seed)
        settings = replace(self.settings, temperature_c=self.maker.whistle.room_c, keep_sound=False)
        clock = PracticeClock()
        self._start(journal, whistle, PracticeSource(self.maker, paced=not self.context.fast), settings, clock=clock)
        self._nights = Nights(self.maker, clock)

    def lay_again(self) -> None:
        """The same whistle, replayed: after a sheet that needed the microphone, or a change of units."""
        if self.bridge is None and self.whistle is not None and self.maker is None:
            self.lay(self.whistle)

    def show(self, view: View) -> None:
        """With what others add, and whose glue had its time meanwhile."""
        now_utc = datetime.now(UTC).isoformat()
        told = due_line([whose for due_utc, whose in self._due if is_past(due_utc, now_utc)])
        view = self.adorn(view)
        if self._nights is not None and self.bridge is not None and self.bridge.session.request().task is Task.REST:
            view = replace(view, keys=f"{NEXT_DAY_KEY} · {view.keys}")
        if self._is_unblown() and PAPER_KEYS not in view.keys:
            view = replace(view, keys=f"{view.keys} · {PAPER_KEYS}")
        self.window.show_view(replace(view, asides=(*view.asides, told)) if told else view)

    def _is_unblown(self) -> bool:
        """A whistle that was only just laid out: its papers are wanted before its sound. Practice has none."""
        return self.maker is None and self.bridge is not None and not any(
            isinstance(record, BlowTaken) for record in self.bridge.session.state.standing
        )

    def let_hear(self, sound: Sampled) -> None:
        """A chord laid out, or a logged blow: the listener is deaf to it, and none is opened while it sounds."""
        if self.bridge is None or not self.bridge.session.let_hear(sound, self._tell_unheard):
            self._player.play(sound, self._tell_unheard)

    def _tell_unheard(self) -> None:
        self.sound_unheard.emit(NO_LOUDSPEAKER)

    def clear(self) -> None:
        """Stop sounding and listening, and close the journal; harmless when nothing lies here."""
        self._nights = None
        self._player.stop()
        if self.bridge is not None:
            self.bridge.stop()
            self.bridge.deleteLater()
            self.bridge = None
        if self._keeper is not None and not self._keeper.stop():
            log.error("the disk did not come back when the last sounds were written")
        self._keeper = None
        self._open.close()

    def post(self, event: Event) -> None:
        """From the window to the walk; without a whistle there is no walk."""
        if self.bridge is None or (event == Pressed(Key.DONE) and self._sleeps(self.bridge.session)):
            return
        self.bridge.post(event)

    def _sleeps(self, session: Session) -> bool:
        """In practice nobody waits for the glue: the next day comes by key."""
        return self._nights is not None and self._nights.sleep(session)

    def _start(
        self, journal: Journal, whistle: Whistle, source: SoundSource, settings: Settings,
        learned: Learned | None = None, clock: Callable[[], datetime] | None = None,
    ) -> None:
        self.whistle = whistle
        if settings.keep_sound:
            self._keeper = SoundFiles(journal.path.parent, self._sound_told)
            self._keeper.start()
        session = Session(journal, whistle, settings, source, keeper=self._keeper, learned=learned, clock=clock)
        self.bridge = Bridge(session, self)
        self.bridge.view_changed.connect(self.show)
        self.bridge.breath_changed.connect(self.window.show_breath)
        self._truths_told = 0
        self.bridge.view_changed.connect(self._tell_when_finished)
        self.bridge.start()
        if self.context.trouble:
            self.post(Troubled(self.context.trouble))
            self.context = replace(self.context, trouble="")

    def _tell_when_finished(self) -> None:
        if self.maker is None or self.bridge is None:
            return
        n_due = self.bridge.session.done() + self.bridge.session.glued()
        if n_due > self._truths_told:
            self._truths_told = n_due
            self.practice_finished.emit()

    def delete_sound(self) -> int:
        """All kept sound of blows; the readings stay."""
        return SoundFiles(self.context.journal_path.parent, self._sound_told).delete_all()

    def _sound_told(self, outcome: object) -> None:
        if isinstance(outcome, SoundNotKept):
            self._sound_not_kept.emit(outcome.why)

    # ---- settings ------------------------------------------------------------------------------------------------
    def keep_settings(self, settings: Settings) -> None:
        """Dress the window by them, write them down, and begin again where the words themselves change."""
        before, self.settings = self.settings, settings
        self.window.apply_settings(settings)
        if self.bridge is not None:
            self.bridge.session.prompt_as(settings)
        try:
            save_settings(self.context.home / FILE_NAME, settings)
        except WorldError as trouble:
            self.post(Troubled(str(trouble)))
        spoken = ("units", "device_name", "tolerance_cents", "boldness", "blower", "keep_sound", "memory")
        if self.bridge is not None and self.whistle is not None and self.maker is None and any(
            getattr(before, name) != getattr(settings, name) for name in spoken
        ):
            self.lay(self.whistle)
