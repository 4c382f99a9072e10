"""The glue, its rule and its clock: what to glue next, when lips may come near, what changed since the dry chord.

All is read afresh from the standing records and the hour. Blows after a plug was glued teach nothing of bore or window:
they are held against what was blown before. Water-based glue lets a plug be blown while it is open; near instant glue
and epoxy no blow is ever asked for, and none understood, until they have cured and the maker said so by key.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum

from acoustics.blow import Verdict
from acoustics.tuning import Belief, Closure, Plan, Policy, Stop
from acoustics.units import cents_between
from app.chamber import Chamber
from app.chord_stage import Chord
from app.chord_together import n_wanted_of
from app.events import GlueKind, Request, Task
from app.glue_clock import CURE, NIGHT, OPEN, after, is_past, latest
from app.glue_compare import Alone, Column, Moved, Whole, Why, column, compare
from app.records import BlowTaken, ChordTaken, PlugSet, Record, StepTaken, VoiceChanged

PAIR = 2  # plugs glued at a time: more would set before they are blown
MOST_PUT_BACK = 2  # a plug that creeps for the third time is left to set
SURE_BLOWS = 4  # before a chamber that moved by less than the maker allows is named, unless it hisses
OFF_FROM_SDS = 2.5  # one blow in the open glue: less than this is breath
BEFORE, GLUED, NEXT_DAY = "before", "glued", "next day"


class Word(StrEnum):
    """What the glue asks for next."""

    WHICH = "which"
    SET = "set"  # glue this plug
    OPEN_BLOW = "open_blow"  # one blow while the glue is open
    PUT_BACK = "put_back"  # it went off its line: put it back while that can be done
    CURING = "curing"  # no lips
    CURED = "cured"  # asks the maker whether it has
    CHORD = "chord"
    ALONE = "alone"  # a chamber that went sharp: does it hiss?
    RESTING = "resting"  # until the next day
    TOLD = "told"


@dataclass(frozen=True)
class Glue:
    """What the glue says now."""

    word: Word
    kind: GlueKind | None = None
    letter: str | None = None
    pair: tuple[str, ...] = ()  # the plugs in hand
    glued: tuple[str, ...] = ()
    due_utc: str = ""  # when it asks for something else by itself
    off_mm: float | None = None  # of a plug off its line, inwards
    n_wanted: int = 0
    round: str = ""  # GLUED or NEXT_DAY
    columns: tuple[Column, ...] = ()  # BEFORE and those that were blown since
    whole: Whole | None = None
    moved: tuple[Moved, ...] = ()
    doubted: tuple[str, ...] = ()  # may have moved, by less than is allowed: not named before a further blow
    slopes: Mapping[str, float | None] = field(default_factory=dict)  # cents that a millimetre of plug is worth
    blown_alone: tuple[str, ...] = ()  # in this round
    now_utc: str = ""
    lips_off: bool = False  # there is or will be wet glue that no lips may come near

    @property
    def finished(self) -> bool:
        return self.word is Word.TOLD

    @property
    def mendable(self) -> str | None:
        """The chamber that is named as moved, whose voice the maker may have mended for it."""
        return self.moved[0].letter if self.moved and self.word in (Word.RESTING, Word.TOLD) else None

    def comes_due(self, now_utc: str) -> bool:
        """Whether another thing is to be asked by now."""
        return bool(self.due_utc and now_utc) and is_past(self.due_utc, now_utc)


@dataclass(frozen=True)
class _Desk:
    """All that the glue is judged by."""

    plan: Plan
    belief: Belief
    chambers: Mapping[str, Chamber]
    policy: Policy
    chord: Chord
    kind: GlueKind
    now_utc: str
    before: tuple[Record, ...]  # up to the first plug glued
    since: tuple[Record, ...]  # from there on
    lips_off: bool

    def glue(self, word: Word, letter: str | None = None, pair: tuple[str, ...] = ()) -> Glue:
        glued = tuple(each for each, chamber in self.chambers.items() if chamber.glued)
        return Glue(word, self.kind, letter, pair, glued, now_utc=self.now_utc, lips_off=self.lips_off)

    def set_at_utc(self, letter: str) -> str:
        """When it was glued, or put back into its glue, last."""
        return latest(*(r.at_utc for r in self.since if _is_step(r, "glued", letter)))

    def is_skipped(self, text: str, letter: str | None = None) -> bool:
        return any(isinstance(r, StepTaken) and (r.step, r.letter, r.text) == ("glue_enough", letter, text)
                   for r in self.since)


def _is_step(record: Record, step: str, letter: str | None) -> bool:
    return isinstance(record, StepTaken) and (record.step, record.letter) == (step, letter)


def glue_start(records: Sequence[Record]) -> int:
    """Where, since plug or voice changed last, the first plug was glued; the number of records where none was.

    The voice of a whistle that is glued may be mended: then from where the walk came back from its chord.
    """
    changed = max((n for n, r in enumerate(records) if isinstance(r, PlugSet | VoiceChanged)), default=-1)
    late = [(n, r.step) for n, r in enumerate(records) if n > changed and isinstance(r, StepTaken)]
    mended = any(isinstance(r, StepTaken) and r.step == "glued" for r in records[: max(changed, 0)])
    told = [n for n, step in late if step == "glued"] or [n for n, step in late if mended and step == "chord_done"]
    return told[0] if told else len(records)


def _lips_off(records: Sequence[Record], kind: GlueKind) -> bool:
    """Whether glue is in hand, or was since it was last said to have cured, that no lips may come near."""
    cured = max((n for n, r in enumerate(records) if _is_step(r, "cured", None)), default=-1)
    glued = {r.text for r in records[cured + 1 :] if isinstance(r, StepTaken) and r.step == "glued"}
    return bool(glued - {GlueKind.WATER.value}) or (cured < 0 and kind is not GlueKind.WATER)


def before_glue(records: Sequence[Record]) -> tuple[Record, ...]:
    """Without the chords that were blown after the glue: those no longer tell how the dry whistle stands."""
    start = glue_start(records)
    return tuple(r for n, r in enumerate(records) if n < start or not isinstance(r, ChordTaken))


def glue_of(
    plan: Plan, belief: Belief, chambers: Mapping[str, Chamber], records: Sequence[Record], policy: Policy,
    chord: Chord, chosen: str, now_utc: str,
) -> Glue:
    """What to ask for at the glue. `plan` is as drawn; `chosen` is the chamber that the maker chose, if any."""
    told = [r for r in records if isinstance(r, StepTaken) and r.step == "glue"]
    now_utc = latest(now_utc, *(r.at_utc for r in records[-1:]))
    if not told:
        return Glue(Word.WHICH, now_utc=now_utc)
    kind = GlueKind(told[-1].text)
    start, all_records = glue_start(records), tuple(records)
    desk = _Desk(plan, belief, chambers, policy, chord, kind, now_utc, all_records[:start], all_records[start:],
                 _lips_off(records, kind))
    return _setting(desk, chosen) or _afterwards(desk)


# ---- while plugs are glued -----------------------------------------------------------------------------------------
def _pairs(letters: Sequence[str]) -> list[tuple[str, ...]]:
    return [tuple(letters[n:n + PAIR]) for n in range(0, len(letters), PAIR)]


def _setting(desk: _Desk, chosen: str) -> Glue | None:
    """The next plug, or a blow in its open glue; None when all are in and none is open. What is begun comes first."""
    glued = [letter for letter, chamber in desk.chambers.items() if chamber.glued]
    pairs = sorted(_pairs(tuple(desk.chambers)), key=lambda pair: (-len(set(pair) & set(glued)), chosen not in pair))
    for pair in pairs:
        for letter in sorted(pair, key=lambda letter: letter != chosen):
            if letter not in glued:
                return desk.glue(Word.SET, letter, pair)
        for letter in pair if not desk.lips_off else ():
            if (asked := _open(desk, letter, pair)) is not None:
                return asked
    return None


def _open(desk: _Desk, letter: str, pair: tuple[str, ...]) -> Glue | None:
    """One blow, and back to the line if that is off, for as long as the glue is open."""
    set_at_utc = desk.set_at_utc(letter)
    due_utc = after(set_at_utc, OPEN) if set_at_utc else ""
    if not due_utc or is_past(due_utc, desk.now_utc) or desk.is_skipped(Word.OPEN_BLOW, letter):
        return None
    blows = _blows_in_glue(desk, letter)
    if not blows:
        return replace(desk.glue(Word.OPEN_BLOW, letter, pair), due_utc=due_utc)
    off_mm = _off_mm(desk, letter, blows[-1])
    n_put_back = sum(_is_step(r, "glued", letter) for r in desk.since) - 1
    if off_mm is None or n_put_back >= MOST_PUT_BACK or desk.is_skipped(Word.PUT_BACK, letter):
        return None
    return replace(desk.glue(Word.PUT_BACK, letter, pair), due_utc=due_utc, off_mm=off_mm)


def _blows_in_glue(desk: _Desk, letter: str) -> list[BlowTaken]:
    """Of this chamber, since its plug was put in its glue last."""
    glued = [n for n, r in enumerate(desk.since) if _is_step(r, "glued", letter)]
    late = desk.since[glued[-1]:] if glued else ()
    return [r for r in late if isinstance(r, BlowTaken) and r.letter == letter and not r.covered
            and (r.usable or r.verdict == Verdict.BREATHY)]


def _off_mm(desk: _Desk, letter: str, blow: BlowTaken) -> float | None:
    """How far the plug stands off its place, by one blow; None where that is no more than breath."""
    plug, slope = desk.chambers[letter].plug, _slope(desk, letter)
    if plug is None or not slope or blow.frequency_hz is None or blow.warm_up or plug.id not in desk.belief.readings:
        return None
    reading = desk.belief.readings[plug.id]
    off_cents = cents_between(blow.frequency_hz, reading.heard_hz)
    least_cents = max(desk.policy.tolerance_cents, OFF_FROM_SDS * desk.belief.blow_sd_cents)
    return off_cents / slope if abs(off_cents) > least_cents else None


def _slope(desk: _Desk, letter: str) -> float | None:
    """Cents that a millimetre of plug is worth where its face is."""
    plug = desk.chambers[letter].plug
    if plug is None:
        return None
    planned = next(chamber for chamber in desk.belief.plan.chambers if chamber.letter == letter)
    closure = Closure(plug.id, Stop(plug.stop), plug.depth_mm, plug.depth_sd_mm)
    return desk.belief.predict(planned, closure).per_depth_cents_per_mm


# ---- when all are in -----------------------------------------------------------------------------------------------
def _afterwards(desk: _Desk) -> Glue:
    """Wait, blow, compare, wait for the next day, blow again, and tell."""
    told_utc = latest(*(r.at_utc for r in desk.since if isinstance(r, StepTaken) and r.step == "glued"))
    if desk.lips_off:
        due_utc = after(told_utc, CURE) if told_utc else ""
        if due_utc and not is_past(due_utc, desk.now_utc):
            return replace(desk.glue(Word.CURING), due_utc=due_utc)
        return desk.glue(Word.CURED)
    seen = _seen(desk, told_utc)
    if asked := _blown(desk, seen):
        return asked
    return replace(seen, word=Word.RESTING if seen.round == GLUED else Word.TOLD)


def _seen(desk: _Desk, told_utc: str) -> Glue:
    """What the chords of this round say against the dry ones. After a mend of the voice there is one round only."""
    night_utc = after(told_utc, NIGHT) if told_utc else (desk.since[0].at_utc if desk.since else desk.now_utc)
    late = is_past(night_utc, desk.now_utc)
    chords = [r for r in desk.since if isinstance(r, ChordTaken) and r.faces == desk.chord.faces
              and r.usable and not r.warm_up]
    targets_hz = {chamber.letter: chamber.target_hz for chamber in desk.plan.chambers}
    by_round = {
        GLUED: [r for r in chords if not is_past(night_utc, r.at_utc)],
        NEXT_DAY: [r for r in chords if is_past(night_utc, r.at_utc)],
    }
    before = column(BEFORE, desk.chord.blows, targets_hz)
    columns = (before, *(column(name, blows, targets_hz) for name, blows in by_round.items() if blows))
    slopes = {letter: _slope(desk, letter) for letter in targets_hz}
    alone = {letter: Alone(_singles(desk, letter), _alone(desk, letter, by_round)) for letter in targets_hz}
    whole, stray = None, ()
    if len(columns) > 1 and before.n_blows:
        whole, stray = compare(before, columns[-1], slopes, alone, desk.policy.tolerance_cents)
    doubted = tuple(each.letter for each in stray if _is_doubted(each, columns[-1]))
    name = NEXT_DAY if late else GLUED
    return replace(
        desk.glue(Word.CHORD), n_wanted=_n_wanted(desk, by_round[name], targets_hz) or int(bool(doubted)), round=name,
        columns=columns, whole=whole,
        moved=tuple(each for each in stray if each.letter not in doubted and each.stands_out),
        doubted=doubted, slopes=slopes,
        blown_alone=tuple(letter for letter, each in alone.items() if each.now), due_utc="" if late else night_utc,
    )


def _is_doubted(stray: Moved, now: Column) -> bool:
    return stray.small and stray.why is not Why.LEAKS and now.n_blows < SURE_BLOWS


def _singles(desk: _Desk, letter: str) -> tuple[BlowTaken, ...]:
    """Of this voice, before the glue, on whatever face: how it hisses is the window's, not the plug's."""
    epoch = desk.chambers[letter].epoch
    return tuple(r for r in desk.before if isinstance(r, BlowTaken) and r.usable and not r.covered
                 and (r.letter, r.voicing_epoch) == (letter, epoch))


def _alone(desk: _Desk, letter: str, by_round: Mapping[str, Sequence[ChordTaken]]) -> BlowTaken | None:
    """Its last blow since the latest round of chords began: in the open glue it may have been sound."""
    began = [blows[0] for blows in by_round.values() if blows]
    late = desk.since[desk.since.index(began[-1]) :] if began else ()
    blows = [blow for blow in _blows_in_glue(desk, letter) if blow in late]
    return blows[-1] if blows else None


def _n_wanted(desk: _Desk, blows: Sequence[ChordTaken], targets_hz: Mapping[str, float]) -> int:
    home = desk.chord.home
    told = column("", blows, targets_hz).notes_cents or {}
    apart = {
        letter: [note - low for note, low in zip(cents, told[home], strict=True)]
        for letter, cents in told.items() if len(cents) == len(told[home])
    }
    return n_wanted_of(blows, tuple(targets_hz), apart, desk.policy.tolerance_cents)


def _blown(desk: _Desk, seen: Glue) -> Glue | None:
    """A blow that this round still wants: of the whole whistle, or of a chamber that went sharp."""
    if desk.is_skipped(seen.round):
        return None
    if seen.n_wanted:
        return seen
    unsure = [each.letter for each in seen.moved if each.why is Why.SHARP and each.letter not in seen.blown_alone]
    asked = [letter for letter in unsure if not desk.is_skipped(Word.ALONE, letter)]
    return replace(seen, word=Word.ALONE, letter=asked[0]) if asked else None


# ---- the request ---------------------------------------------------------------------------------------------------
def glue_request(glue: Glue, chambers: Mapping[str, Chamber]) -> Request:
    """What the glue asks of the maker; the id is left 0 for `app.workflow` to give."""
    text = glue.round if glue.word is Word.CHORD else glue.word.value
    if glue.word is Word.CHORD:
        return Request(0, Task.CHORD, text=text)
    if glue.word in (Word.CURING, Word.RESTING):
        return Request(0, Task.REST, text=text)
    if glue.letter is None or (plug := chambers[glue.letter].plug) is None:
        return Request(0, Task.NOTHING, text=text)
    task = Task.BLOW if glue.word in (Word.OPEN_BLOW, Word.ALONE) else Task.GLUE
    return Request(0, task, glue.letter, Stop.PLUG, plug.depth_mm, glue.off_mm, text)
