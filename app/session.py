"""One whistle on the bench: holds the walk's state, carries out its effects, and tells whoever shows it.

Lives on one thread (the window's, or the terminal's). The listener's events come in through `deliver`, which may be
called from any thread: by default it fills a queue that `pump` empties; the window puts a queued signal in its place.
"""
from __future__ import annotations

import logging
import queue
import uuid
from collections import deque
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from typing import Protocol

from acoustics.tuning import Policy, Priors, Stop
from app.bench import Sitting, State
from app.closeness import policy_of
from app.doing import UNHEARD
from app.errors import WorldError
from app.events import (
    Confirmed,
    Effect,
    Event,
    Expecting,
    Heard,
    Keep,
    LevelHeard,
    Listen,
    NotConfirmed,
    Noticed,
    Passed,
    Request,
    Route,
    Signal,
    Speak,
    Tooted,
    Troubled,
)
from app.heard import (
    BlowHeard,
    Breath,
    Level,
    ListenerDied,
    ListenerEvent,
    SourceNoticed,
    TootsHeard,
)
from app.learned import Learned
from app.learned_words import unread_text
from app.listener import Listener
from app.prompts import Prompts
from app.records import Record, StepTaken, WhistleFiled
from app.settings import Settings
from app.showing import view
from app.source import Hearing, SoundSource
from app.spoken import spoken
from app.tones import Sound
from app.view import View
from app.whistle import Whistle, dump_whistle, revision
from app.workflow import begin, step

BREATH_POINTS = 400  # ten seconds and a little more
PASSING_S = 1.0

log = logging.getLogger(__name__)


class Journal(Protocol):
    """What a session needs of the journal: `app.journal.Journal` in earnest, a list in tests."""

    def append(self, record: Record) -> None: ...
    def records(self, whistle_id: str) -> tuple[Record, ...]: ...


class SoundKeeper(Protocol):
    """Writes the sound of blows on its own thread."""

    def keep(self, samples: object, sample_rate_hz: int) -> str | None: ...


class Session:
    """The bench at work."""

    def __init__(
        self, journal: Journal, whistle: Whistle, settings: Settings, source: SoundSource | None,
        route: Route | None = None, first_stop: Stop | None = None, keeper: SoundKeeper | None = None,
        priors: Priors | None = None, policy: Policy | None = None, id_supply: Callable[[], str] | None = None,
        learned: Learned | None = None, clock: Callable[[], datetime] | None = None,
    ) -> None:
        self.on_change: list[Callable[[], None]] = []
        self.on_signal: list[Callable[[Signal | Speak], None]] = []
        self._journal, self._settings, self._source, self._keeper = journal, settings, source, keeper
        self._new_id = id_supply or (lambda: str(uuid.uuid4()))
        self._clock = clock or (lambda: datetime.now(UTC))
        self._events: queue.SimpleQueue[ListenerEvent] = queue.SimpleQueue()
        self.deliver: Callable[[ListenerEvent], None] = self._events.put
        self._breath: deque[Breath] = deque(maxlen=BREATH_POINTS)
        self._listener: Listener | None = None
        self._prompts: Prompts | None = None
        if source is not None:
            self._listener = Listener(source, lambda event: self.deliver(event))
            self._prompts = Prompts(settings, self._listener.own_sound)
            self.on_signal.append(self._prompts.take)
        self._passed_s = 0.0
        self._expecting: Expecting | None = None
        self._held = False
        self._open(whistle, route, first_stop, policy or policy_of(settings), priors, learned or Learned())

    def _open(
        self, whistle: Whistle, route: Route | None, first_stop: Stop | None, policy: Policy, priors: Priors | None,
        learned: Learned,
    ) -> None:
        records = self._journal.records(whistle.id)
        sitting = Sitting(id=self._new_id(), units=self._settings.units, blower=self._settings.blower,
                          began_utc=self._clock().isoformat())
        self._state, effects = begin(whistle, records, sitting, policy, priors, learned)
        self._carry_out(effects)
        filed = [r for r in records if isinstance(r, WhistleFiled)]
        if not filed or filed[-1].revision != revision(whistle):
            document = dump_whistle(whistle).decode()
            self._keep(WhistleFiled("", "", whistle.id, revision(whistle), document))
        if learned.unread:
            self.post(Troubled(unread_text(learned.unread)))
        place = self._state.place
        for name, wanted, now in (("route", route, place.route), ("stop", first_stop, place.first_stop)):
            if wanted is not None and wanted is not now:
                self._keep(StepTaken("", "", whistle.id, name, None, wanted.value, None))
        told_c = self._settings.temperature_c
        if told_c is not None and told_c != place.temperature_c:
            self._keep(StepTaken("", "", whistle.id, "air", None, "told", told_c))

    # ---- for those who show it -----------------------------------------------------------------------------------
    def view(self) -> View:
        return view(self._state)

    def request(self) -> Request:
        return self._state.request

    @property
    def state(self) -> State:
        return self._state

    def finished(self) -> bool:
        """Every plug is on its note."""
        return self._state.place.finished

    def done(self) -> bool:
        """And the whole chord is settled: nothing but the glue is left."""
        return self._state.place.done

    def glued(self) -> bool:
        """And every plug is glued and was heard the next day."""
        return self._state.place.glue_asks and self._state.place.glue.finished

    def breath(self) -> deque[Breath]:
        return self._breath

    @property
    def lost_frames(self) -> int:
        return self._listener.lost_frames if self._listener is not None else 0

    def let_hear(self, sound: Sound, unheard: Callable[[], None] = lambda: None) -> bool:
        """Sound this through the listener, which is deaf meanwhile; False while its source hears nothing, or cannot.

        `unheard` is called on the listener's thread where there is no loudspeaker.
        """
        notice = self._state.notice
        if self._listener is None or not hasattr(self._source, "play"):
            return False
        if notice is None or notice.hearing is not Hearing.HEARING:
            return False
        self._listener.own_sound.tone(sound, unheard)
        return True

    def hold(self, held: bool) -> None:
        """While held nothing is expected: a blow or two toots that begin now are nobody's, and leave no record."""
        if held != self._held:
            self._held = held
            self._tell_listener()

    def _tell_listener(self) -> None:
        if self._listener is not None:
            self._listener.expect(None if self._held else self._expecting)

    def prompt_as(self, settings: Settings) -> None:
        """Tones and voice as chosen here, from now on."""
        if self._prompts is not None:
            self._prompts.follow(settings)

    # ---- running -------------------------------------------------------------------------------------------------
    def start(self) -> None:
        if self._listener is not None:
            self._listener.start()

    def stop(self) -> None:
        if self._prompts is not None:
            self._prompts.stop()
        if self._listener is not None and not self._listener.stop():
            log.error("the sound device did not come back when it was closed")

    def pump(self, timeout_s: float) -> bool:
        """Take the listener's next event from the queue; False when none came in time."""
        try:
            event = self._events.get(timeout=timeout_s)
        except queue.Empty:
            return False
        self.take_listener_event(event)
        return True

    def take_listener_event(self, event: ListenerEvent) -> None:
        """What the listener heard, on this thread."""
        match event:
            case Breath():
                self._breath.append(event)
                if event.at_s >= self._passed_s + PASSING_S:
                    self._passed_s = event.at_s
                    self.post(Passed(event.at_s, self._clock().isoformat()))
            case BlowHeard() if event.expecting is not None:
                sound = self._sound_of(event)
                self.post(Heard(event.blow, event.expecting.id, event.at_s, event.lost_frames, sound, event.chord))
            case TootsHeard() if event.expecting is not None:
                self.post(Tooted(event.expecting.id, event.at_s))
            case SourceNoticed(notice):
                self.post(Noticed(notice))
            case Level(word):
                self.post(LevelHeard(word.value))
            case ListenerDied(text):
                self.post(Troubled(text))

    def _sound_of(self, event: BlowHeard) -> str | None:
        """Of every blow that is booked: just the one that could not be read is worth hearing again."""
        if self._keeper is None or not self._settings.keep_sound or event.blow.verdict in UNHEARD:
            return None
        return self._keeper.keep(event.samples, event.sample_rate_hz)

    def post(self, event: Event) -> None:
        """One event: new state, its effects carried out, then everyone told."""
        before = self._state
        self._state, effects = step(self._state, event)
        self._carry_out(effects)
        if self._state != before:
            for tell in self.on_change:
                tell()

    def _keep(self, record: Record) -> None:
        self._carry_out((Keep(record),))

    def _carry_out(self, effects: tuple[Effect, ...]) -> None:
        """In order; what a confirmation leads to comes before what was waiting behind it."""
        waiting = deque(effects)
        while waiting:
            effect = waiting.popleft()
            match effect:
                case Keep(record):
                    self._state, more = step(self._state, self._committed(record))
                    waiting.extendleft(reversed(more))
                case Listen(expecting):
                    self._expecting = expecting
                    self._tell_listener()
                    ask = getattr(self._source, "ask", None)
                    if ask is not None:
                        ask(self._state.request)
                case Signal() | Speak():
                    self._sound(effect)

    def _sound(self, effect: Signal | Speak) -> None:
        if isinstance(effect, Speak) and self.on_signal:
            effect = Speak(spoken(view(self._state).sentence))
        for tell in self.on_signal:
            tell(effect)

    def _committed(self, record: Record) -> Event:
        record = replace(record, id=self._new_id(), at_utc=self._clock().isoformat())
        try:
            self._journal.append(record)
        except WorldError as trouble:
            return NotConfirmed(record, str(trouble))
        return Confirmed(record)
