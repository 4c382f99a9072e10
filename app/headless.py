"""The same program on a terminal: prints what the window would show, one line at a time, and takes keys by the line.

With the practice whistle nothing is typed at all: the invented maker answers by sound, to the end of the walk.
"""
from __future__ import annotations

import secrets
import sys
import threading
from collections.abc import Callable
from dataclasses import replace
from queue import SimpleQueue

from acoustics.blow import Blow
from acoustics.chord import ChordReading
from app import wording
from app.chord_words import chord_text
from app.context import Context
from app.earlier import recall
from app.errors import OurError, WorldError
from app.events import GLUE_KEYS, ChordLowered, GlueChosen, Key, MemoryTold, Noticed, Pressed, Task, Typed
from app.heard import ListenerDied, ListenerEvent
from app.invented_maker import ChamberTruth
from app.journal import Journal
from app.learned_words import learned_lines
from app.lengths import parse_length_mm
from app.place import memory_aside
from app.practice import Performer, PracticeSource, invent_practice
from app.practice_glue import Nights, PracticeClock
from app.rehearsal import drive
from app.rescue_words import NO_WAYS, NOT_DOWN, TAKE_DOWN_HERE, ways_lines
from app.rescues import FlatWays, WaysOut, ways_out
from app.session import Session
from app.source import Hearing, Notice
from app.truth_words import aimed_truth, believed_off_cents, truth_sentence
from app.view import View
from app.whistle import Whistle, decode_whistle

KEYS = {"d": Key.DONE, "f": Key.FORGET, "v": Key.VOICE, "n": Key.NEXT, "s": Key.NEW_SET, "b": Key.BACK}
KEYS_TEXT = (
    "Keys, each with Enter: d done · f forget that blow · v I changed the voice · n go on · s new set · b back · "
    "m what earlier whistles taught: set it aside or use it again · o other ways out, where wood has run out · "
    "l take the whole chord down, as o says · w water-based, i instant, e epoxy glue · "
    "q quit; a number is a length off the calipers in mm"
)
SEEDS = 10_000
QUICK_RATE_HZ = 24_000  # of practice that does not keep time; nothing of a whistle lies above its half
Typing = str | None  # a line; None when the keyboard is closed


def run_text(context: Context, say: Callable[[str], None] | None = None) -> None:
    """Walk one whistle on the terminal, by practice or by microphone, until it is finished or left."""
    say = say or _print
    if context.trouble:
        say(context.trouble)
    with Journal(context.journal_path) as journal:
        if context.practice:
            _run_practice(context, journal, say)
        else:
            _run_microphone(context, journal, say)


def _print(line: str) -> None:
    print(line, flush=True)


def _run_practice(context: Context, journal: Journal, say: Callable[[str], None]) -> None:
    seed = secrets.randbelow(SEEDS) if context.seed is None else context.seed
    maker, whistle = invent_practice(seed)
    settings = replace(context.settings, temperature_c=maker.whistle.room_c)
    say(f"Practice whistle {seed}: an invented whistle and maker; what is heard is made by the program itself.")
    clock = PracticeClock()
    nights = Nights(maker, clock)
    if context.fast:
        session = Session(journal, whistle, settings, None, clock=clock)
        session.post(Noticed(Notice(Hearing.HEARING, PracticeSource.name)))
        TextBench(session, say).follow()
        performer = Performer(maker, QUICK_RATE_HZ)
        drive(session, performer, until=session.done)
        while nights.answer_by_key(session):
            drive(session, performer, until=lambda: session.glued() or session.request().task is Task.REST)
    else:
        session = Session(journal, whistle, settings, PracticeSource(maker, paced=True), clock=clock)
        TextBench(session, say, alone=True, nights=nights).run()
    truth = aimed_truth(maker.truth(), session.state.place.lowered_cents)
    say(truth_sentence(truth, believed_off_cents(truth, session.state.place.advice), settings.tolerance_cents))
    for line in truth_lines(session, truth):
        say(line)


def _run_microphone(context: Context, journal: Journal, say: Callable[[str], None]) -> None:
    from app.microphone import Microphone

    source = Microphone(context.settings.device_name)
    say(KEYS_TEXT)
    whistle, settings = _last_whistle(context, journal), context.settings
    learned = recall(journal, whistle, settings)
    session = Session(journal, whistle, settings, source, learned=learned)
    for line in learned_lines(learned, memory_aside(session.state.standing), settings.units):
        say(line)
    bench = TextBench(session, say)
    keyboard = threading.Thread(target=bench.read_keys, name="keyboard", daemon=True)
    keyboard.start()
    bench.run()


def _last_whistle(context: Context, journal: Journal) -> Whistle:
    """The whistle that lay on the bench last, or the newest of the journal."""
    filed = journal.whistles()
    if not filed:
        raise WorldError("The journal has no whistle yet: make one with “whistlewright plan --out FILE” and put it in.")
    last = next((each for each in filed if each.whistle_id == context.settings.last_whistle), filed[-1])
    return decode_whistle(last.document_json, f"The journal's whistle {last.whistle_id}")


class TextBench:
    """A session on a terminal: one queue for what is heard and what is typed, one thread that answers."""

    def __init__(
        self, session: Session, say: Callable[[str], None], alone: bool = False, nights: Nights | None = None
    ) -> None:
        self.session = session
        self._nights = nights  # of a practice whistle: on to the glue and the next day
        self._say = say
        self._alone = alone  # nobody is there to type: nothing asked is the end
        self._inbox: SimpleQueue[ListenerEvent | Typing] = SimpleQueue()
        self._shown: View | None = None
        self._shown_blow: Blow | None = None
        self._cautions: set[str] = set()
        session.deliver = self._inbox.put

    def follow(self) -> None:
        """Print what changes, however the session is driven."""
        self._show()
        self.session.on_change.append(self._show)

    def run(self) -> None:
        """Until every plug is on its note, nothing more can be asked, or the maker leaves."""
        self.follow()
        self.session.start()
        try:
            while not self._over() and self._take(self._inbox.get()):
                pass
        finally:
            self.session.stop()

    def read_keys(self) -> None:
        """Pass on what is typed; on a thread of its own, since a terminal cannot be waited for together with sound."""
        for line in sys.stdin:
            self._inbox.put(line.strip())
        self._inbox.put(None)

    def type_line(self, line: str) -> bool:
        """One typed line; False to leave."""
        if line == "q":
            return False
        if line == "m":
            self.session.post(MemoryTold(used=memory_aside(self.session.state.standing)))
            return True
        if line in GLUE_KEYS:
            self.session.post(GlueChosen(GLUE_KEYS[line]))
            return True
        if line in ("o", "l"):
            self._ways(lower=line == "l")
            return True
        if line in KEYS:
            self.session.post(Pressed(KEYS[line]))
            return True
        try:
            self.session.post(Typed(parse_length_mm(line)))
        except WorldError as trouble:
            self._say(f"{trouble} {KEYS_TEXT}")
        return True

    def _ways(self, *, lower: bool) -> None:
        """Say every way out of the chamber in hand, or take the one that is no work at the bench."""
        state = self.session.state
        units = state.sitting.units
        ways: WaysOut | None = ways_out(state.place, state.whistle, state.place.letter, units)
        lowering = ways.lowering if isinstance(ways, FlatWays) else None
        if not lower:
            for line in ways_lines(ways, units) if ways else (NO_WAYS,):
                self._say(line)
            if lowering is not None:
                self._say(TAKE_DOWN_HERE)
        elif lowering is None:
            self._say(NOT_DOWN)
        else:
            self.session.post(ChordLowered(lowering.lowered_cents))

    def _over(self) -> bool:
        while self._nights is not None and self._nights.answer_by_key(self.session):
            pass
        through = self.session.done() if self._alone and self._nights is None else self.session.glued()
        return through or (self._alone and self.session.request().task is Task.NOTHING)

    def _take(self, event: ListenerEvent | Typing) -> bool:
        if event is None:
            return True  # no keyboard any more: sound alone drives the walk
        if isinstance(event, str):
            return not event or self.type_line(event)
        if isinstance(event, ListenerDied):
            raise OurError(event.text) if event.fault_is_ours else WorldError(event.text)
        self.session.take_listener_event(event)
        return True

    def _show(self) -> None:
        """Print what has changed since the last time."""
        now, before = self.session.view(), self._shown
        self._shown = now
        blow = self.session.state.last_blow
        if blow is not None and blow is not self._shown_blow:
            self._shown_blow = blow
            self._say(_blow_text(blow, self.session.state.last_chord))
        if before is None or now.hearing != before.hearing:
            self._say(f"({now.hearing})")
        if now.speaks and (before is None or now.speaks != before.speaks):
            self._say(f"  {now.speaks}")
        if now.trouble and (before is None or now.trouble != before.trouble):
            self._say(f"! {now.trouble}")
        if before is None or (now.sentence, now.held_back) != (before.sentence, before.held_back):
            self._say_sentence(now)

    def _say_sentence(self, now: View) -> None:
        why = now.why if now.why and not now.why.startswith("Last blow") else ""
        self._say("")
        for line in (f"[{now.stage.value}] {now.sentence[0]}, {now.sentence[1]}", now.held_back, why):
            if line:
                self._say(line)
        if now.caution is not None and now.caution.text not in self._cautions:
            self._cautions.add(now.caution.text)
            self._say(f"Caution: {now.caution.text} ({now.caution.authority})")


def _blow_text(blow: Blow, chord: ChordReading | None) -> str:
    if chord is not None:
        return f"  heard {chord_text(chord)}"
    heard = f"{blow.heard_hz:.1f} Hz, " if blow.heard_hz is not None else ""
    return f"  heard {heard}{wording.blow_reason(blow)}"


def truth_lines(session: Session, truth: tuple[ChamberTruth, ...]) -> list[str]:
    """How the invented whistle truly ended, beside what the program believes."""
    place = session.state.place
    believed_cents = believed_off_cents(truth, place.advice)
    windows_mm = {chamber.letter: chamber.window_mm for chamber in place.belief.chambers}
    lines = ["", "What the invented whistle truly is, beside what was believed (cents; the interval is to chamber A):",
             f"{'':8}{'true Hz':>9}{'off its note':>14}{'interval off':>14}{'in the chord':>14}{'believed off':>14}"
             f"{'window mm':>11}{'believed':>10}{'cuts':>6}{'moves':>7}{'blows':>7}"]
    for each in truth:
        believed = believed_cents[each.letter]
        believed_text = "" if believed is None else f"{believed:+.1f}"
        lines.append(
            f"{each.letter:8}{each.frequency_hz:9.1f}{each.deviation_cents:+14.1f}{each.interval_cents:+14.1f}"
            f"{each.chord_interval_cents:+14.1f}{believed_text:>14}{each.window_mm:11.1f}{windows_mm[each.letter]:10.1f}{each.cuts:6d}{each.slides:7d}"
            f"{each.blows:7d}"
        )
    return lines
