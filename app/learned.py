"""What finished whistles taught, as the prior of the next one: a pure refit of records, never a stored belief.

The window's share belongs to a pattern; finger, breath and its scatter belong to whoever blows. Each earlier whistle is
fitted again under what the ones before it taught, oldest first.
"""
from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from math import hypot

from acoustics.tuning import Plan, Priors, remember
from app.chamber import accepted_letters
from app.evidence import blower_tag, former_observations, observations, standing
from app.former_voices import believe
from app.place import told_temperature_c
from app.records import BlowTaken, Record
from app.whistle import Chamber, Whistle, to_plan

SAME_SIZE_MM = 0.3  # what a saw and a drill repeat; common practice, no source
MOST_WHISTLES = 12  # the newest, those of the pattern first: what is older has faded behind them
UNTOLD_AIR_WINDOW_SD = 0.05  # a shop 3 °C off is 9 cents, about 0.6 mm of a window's 12; common practice, no source
FIRST = Priors()


@dataclass(frozen=True)
class Teacher:
    """One earlier whistle that taught something."""

    whistle_id: str
    name: str  # with its number
    same_pattern: bool
    n_blows: int  # that counted
    by_finger: bool  # at least one of them on a finger


@dataclass(frozen=True)
class Learned:
    """What is known of a whistle before its first blow, and whom it comes from, oldest first."""

    priors: Priors = FIRST
    teachers: tuple[Teacher, ...] = ()
    unread: tuple[str, ...] = ()  # earlier whistles that could not be made sense of
    switched_off: bool = False  # for all whistles, by the maker

    @property
    def of_pattern(self) -> tuple[Teacher, ...]:
        return tuple(teacher for teacher in self.teachers if teacher.same_pattern)


@dataclass(frozen=True)
class _Lesson:
    teacher: Teacher
    plan: Plan
    records: tuple[Record, ...]
    air_told: bool


def learned(whistle: Whistle, earlier: Sequence[tuple[Whistle, Sequence[Record]]], blower: str = "") -> Learned:
    """The priors for a whistle from those that came to the bench before it, oldest first.

    Only this blower's blows teach, and only whistles with a chamber that was brought to its note.
    """
    lessons: list[_Lesson] = []
    unread: list[str] = []
    for other, records in earlier:
        try:
            lesson = _lesson(whistle, other, _blown_by(blower, standing(records)))
        except (ValueError, LookupError):  # records that do not fit their document, as after a bad import
            unread.append(_called(other))
        else:
            lessons += [lesson] if lesson else []
    priors, teachers = FIRST, []
    for lesson in _newest(lessons):
        try:
            priors = _after(lesson, priors)
        except (ValueError, LookupError):
            unread.append(lesson.teacher.name)
        else:
            teachers.append(lesson.teacher)
    return Learned(priors, tuple(teachers), tuple(unread))


def same_pattern(one: Whistle, other: Whistle) -> bool:
    """Whether every bore with its window has its like in the other whistle; lengths and notes may differ."""
    return _has_all(one, other) and _has_all(other, one)


def _has_all(one: Whistle, other: Whistle) -> bool:
    return all(any(_alike(chamber, like) for like in other.chambers) for chamber in one.chambers)


def _alike(one: Chamber, other: Chamber) -> bool:
    sizes = ("bore_mm", "window_width_mm", "window_height_mm")
    return all(abs(getattr(one, size) - getattr(other, size)) <= SAME_SIZE_MM for size in sizes)


def _blown_by(blower: str, records: Sequence[Record]) -> tuple[Record, ...]:
    """The records without anybody else's blows."""
    mine = blower_tag(blower)
    return tuple(record for record in records if not isinstance(record, BlowTaken) or blower_tag(record.blower) == mine)


def _lesson(whistle: Whistle, other: Whistle, records: tuple[Record, ...]) -> _Lesson | None:
    """What can be learned from that whistle; None when nothing can."""
    former = former_observations(records)
    blows = [blow for blow in observations(records) if blow.letter in other.letters]
    blows += [blow for letter in other.letters for blow in former.get(letter, ())]
    if not blows or not accepted_letters(other.letters, records):
        return None
    told_c, plan = told_temperature_c(records), to_plan(other)
    by_finger = any(blow.closure.stop == "finger" for blow in blows)
    teacher = Teacher(other.id, _called(other), same_pattern(whistle, other), len(blows), by_finger)
    air_told = all(blow.temperature_c is not None for blow in blows)
    return _Lesson(teacher, plan if told_c is None else replace(plan, temperature_c=told_c), records, air_told)


def _called(whistle: Whistle) -> str:
    return whistle.name if whistle.number is None else f"{whistle.name} no. {whistle.number}"


def _newest(lessons: Sequence[_Lesson]) -> Iterator[_Lesson]:
    """Those that are refitted, in their own order."""
    ranked = sorted(range(len(lessons)), key=lambda at: (lessons[at].teacher.same_pattern, at))
    return (lessons[at] for at in sorted(ranked[-MOST_WHISTLES:]))


def _after(lesson: _Lesson, priors: Priors) -> Priors:
    """What is known once this whistle has taught too. Another pattern's windows tell nothing of this one's."""
    same = lesson.teacher.same_pattern
    window = FIRST if not same else priors
    before = replace(priors, window_log=window.window_log, window_log_sd=window.window_log_sd)
    after = remember(believe(lesson.plan, lesson.records, before))
    if not same:
        after = replace(after, window_log=priors.window_log, window_log_sd=priors.window_log_sd)
    if lesson.air_told:
        return after
    # Without a thermometer the shop's own warmth hides in the window and the air: neither is known as closely.
    wide_sd = min(hypot(after.window_log_sd, UNTOLD_AIR_WINDOW_SD), FIRST.window_log_sd)
    return replace(
        after, air_cents=priors.air_cents, air_sd_cents=priors.air_sd_cents,
        window_log_sd=wide_sd if same else after.window_log_sd,
    )
