"""Where the walk stands: a pure function of the whistle, the policy and the standing records.

Nothing here is remembered between calls, so forgetting a blow, entering at any stage and resuming after a power cut
are one and the same thing: the records are read again.
"""
from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from acoustics.tuning import Action, Advice, Belief, Plan, Policy, Priors, Stop, advise
from acoustics.units import shift_hz
from app.chamber import Chamber, Status, chamber_of
from app.chord_stage import Chord, Word, in_chord
from app.events import Condition, Route
from app.evidence import evidence
from app.former_voices import believe
from app.glue_stage import Glue, before_glue, glue_of
from app.records import PlugSet, Record, StepTaken
from app.view import Stage
from app.voice_stage import Speaking, is_voicing, speaking_of, voiced_letters
from app.warmth import Warmth, warmth_of

MOST_FIRST_BLOWS = 6  # a looser reading than this buys is taken as it is: the first plug starts long anyway
HELD_BACK_CENTS = 3.0  # for the dry chord, where a plug that is trimmed can only come down: common practice, no source
SET_GAP_S = 180.0  # breath and air drift apart after about three minutes: a later blow begins a new set
WARM_UP_BLOWS = 2  # at the start of a sitting and after ten idle minutes: heard, not counted
UNCHECKED = "unchecked"  # the maker goes on without the finger over the plug; its text is the face
SETTLING_STEPS = ("accepted", "left", "first_enough", "voiced")  # nothing is left to do where the maker chose to be


@dataclass(frozen=True)
class Place:
    """The whole bench, as far as the records tell it."""

    stage: Stage
    letter: str
    route: Route
    first_stop: Stop
    temperature_c: float | None
    conditions: frozenset[Condition]
    chambers: Mapping[str, Chamber]
    plan: Plan  # with targets lowered as the maker chose, then moved to the home chamber's own pitch
    belief: Belief
    advice: Mapping[str, Advice]
    home_cents: float | None  # how far the accepted lowest chamber lies from its note in `plan`
    finished: bool  # every plug is on its note
    speaking: Mapping[str, Speaking]  # how each chamber speaks
    voiced: frozenset[str]
    chord: Chord
    chord_asks: bool  # what is asked now is the whole chord's doing
    glue: Glue
    glue_asks: bool
    warmth: Warmth
    lowered_cents: float  # by the maker's choice the chord lies so far off the document's notes; mostly below 0

    @property
    def chamber(self) -> Chamber:
        return self.chambers[self.letter]

    @property
    def done(self) -> bool:
        """Every plug is on its note, and the whole chord is settled."""
        return self.finished and self.chord.settled


def place(
    plan: Plan, records: Sequence[Record], policy: Policy, priors: Priors, untold: Route = Route.SLIDE,
    step_mm: float = 0.1, now_utc: str = "",
) -> Place:
    """Read the standing records (tombstones already applied) into the present state of the bench.

    `untold` is the route while none was chosen: the walk offers the sliding plug first. `priors` are what earlier
    whistles taught, for as long as the maker does not set that aside. `step_mm` is a step of the maker's scale.
    `now_utc` is the hour, for what glue wants; not told, it is that of the last record.
    """
    route, lowered_cents = _route(records, untold), taken_down_cents(plan, records)
    plan = _shifted(plan, lowered_cents)
    letters = [chamber.letter for chamber in plan.chambers]
    voiced = voiced_letters(records)
    chambers = _with_voicing({letter: chamber_of(letter, records) for letter in letters}, records, voiced)
    home_cents = _home_cents(chambers[letters[0]])
    seen = evidence(records)
    temperature_c = told_temperature_c(records)
    moved = _moved_to_home(plan, home_cents, temperature_c)
    belief = believe(moved, records, Priors() if memory_aside(records) else priors)
    plugs = {letter: seen.closures[letter] for letter, c in chambers.items() if c.plug and letter in seen.closures}
    policy = replace(policy, sliding=route is Route.SLIDE, held_back_cents=held_back_cents(route, letters))
    unchecked = frozenset(step.text for step in _steps(records, UNCHECKED))
    advice = {each.letter: each for each in advise(belief, policy, plugs, unchecked)}
    finished = all(c.status in (Status.ON_NOTE, Status.GLUED) for c in chambers.values())
    faces = {letter: c.face.id for letter, c in chambers.items() if c.face is not None}
    speaking = speaking_of(records, {letter: c.epoch for letter, c in chambers.items()}, faces, belief)
    chord = in_chord(plan, belief, chambers, before_glue(records), policy, step_mm)
    stage, letter, chord_asks = _by_chord(*(_focus(records, chambers) or _natural(letters, chambers)), chord, finished)
    glue = glue_of(plan, belief, chambers, records, policy, chord, letter, now_utc)
    glue_asks = stage is Stage.GLUE and finished
    return Place(
        stage, letter, route, _first_stop(records), temperature_c, _conditions(records), chambers, moved, belief,
        advice, home_cents, finished, speaking, voiced, chord, chord_asks, glue,
        glue_asks, warmth_of(records, chambers[letters[0]], now_utc), lowered_cents,
    )


def held_back_cents(route: Route, letters: Sequence[str]) -> float:
    """Wood that waits for the dry chord: chambers pull each other, and a trimmed plug goes only one way."""
    return HELD_BACK_CENTS if route is Route.TRIM and len(letters) > 1 else 0.0


def _by_chord(stage: Stage, letter: str, chord: Chord, finished: bool) -> tuple[Stage, str, bool]:
    """From the chord back to the plug that it names, or on to the glue when the maker is through with it."""
    if stage is not Stage.CHORD or not finished:
        return stage, letter, False
    if chord.closed:
        return Stage.GLUE, letter, False
    about = chord.letters[0] if chord.letters else letter
    return (Stage.TRIM if chord.word in (Word.MOVE, Word.MARK) else Stage.CHORD), about, True


def _steps(records: Sequence[Record], step: str) -> list[StepTaken]:
    return [r for r in records if isinstance(r, StepTaken) and r.step == step]


def _route(records: Sequence[Record], untold: Route) -> Route:
    told = _steps(records, "route")
    return Route(told[-1].text) if told else untold


def _first_stop(records: Sequence[Record]) -> Stop:
    told = _steps(records, "stop")
    return Stop(told[-1].text) if told else Stop.FINGER


def told_temperature_c(records: Sequence[Record]) -> float | None:
    """The shop's air as it was told last; None without a thermometer."""
    told = _steps(records, "air")
    return told[-1].value if told else None


def memory_aside(records: Sequence[Record]) -> bool:
    """Whether this whistle is to be tuned as if there had been none before it."""
    told = _steps(records, "memory")
    return bool(told) and told[-1].text == "aside"


def taken_down_cents(plan: Plan, records: Sequence[Record]) -> float:
    """How far the maker has taken the whole chord down; notes that were planned anew begin where they are planned."""
    told = [r.value for r in _steps(records, "chord_lowered") if r.text == notes_text(plan)]
    return (told[-1] or 0.0) if told else 0.0


def notes_text(plan: Plan) -> str:
    """The planned notes, as a step that counts for them alone bears them."""
    return ",".join(f"{chamber.target_hz:g}" for chamber in plan.chambers)


def _conditions(records: Sequence[Record]) -> frozenset[Condition]:
    holds = {Condition.MOUTHPIECE_ON: True, Condition.NEIGHBOURS_SHUT: True, Condition.CAP_ON: False}
    for condition in Condition:
        told = _steps(records, condition.value)
        if told:
            holds[condition] = told[-1].text == "yes"
    return frozenset(condition for condition, yes in holds.items() if yes)


def _with_voicing(
    chambers: Mapping[str, Chamber], records: Sequence[Record], voiced: frozenset[str]
) -> dict[str, Chamber]:
    """While the maker voices, a chamber without a first reading is to be voiced first."""
    waits = (Status.TO_BLOW,) if is_voicing(records) else ()
    return {
        letter: replace(c, status=Status.TO_VOICE) if c.status in waits and letter not in voiced else c
        for letter, c in chambers.items()
    }


def _home_cents(lowest: Chamber) -> float | None:
    return lowest.accepted.value if lowest.accepted is not None else None


def _moved_to_home(plan: Plan, home_cents: float | None, temperature_c: float | None) -> Plan:
    """Once the lowest chamber is accepted its own pitch is home, and the others follow as intervals to it."""
    if temperature_c is not None:
        plan = replace(plan, temperature_c=temperature_c)
    if home_cents is None:
        return plan
    return replace(plan, chambers=(plan.chambers[0], *_shifted(plan, home_cents).chambers[1:]))


def _shifted(plan: Plan, cents: float) -> Plan:
    return replace(plan, chambers=tuple(replace(c, target_hz=shift_hz(c.target_hz, cents)) for c in plan.chambers))


def _natural(letters: Sequence[str], chambers: Mapping[str, Chamber]) -> tuple[Stage, str]:
    """Voices, if asked for; first blows; the lowest plug to its note; the other plugs in one session; trims; chord."""
    lowest = letters[0]
    for status, stage, among in (
        (Status.TO_VOICE, Stage.VOICE, letters),
        (Status.TO_BLOW, Stage.FIRST_BLOW, letters),
        (Status.TO_CUT, Stage.CUT, [lowest]),
        (Status.TO_TRIM, Stage.TRIM, [lowest]),
        (Status.TO_CUT, Stage.CUT, letters),
        (Status.TO_TRIM, Stage.TRIM, letters),
    ):
        for letter in among:
            if chambers[letter].status is status:
                return stage, letter
    return Stage.CHORD, lowest


def _focus(records: Sequence[Record], chambers: Mapping[str, Chamber]) -> tuple[Stage, str] | None:
    """Where the maker chose to be, for as long as there is something left to do there."""
    stage: Stage | None = None
    letter = next(iter(chambers))
    for r in records:
        if isinstance(r, StepTaken) and r.step == "focus":
            stage, letter = (Stage(r.text), r.letter or letter) if r.text else (None, letter)
        elif stage is Stage.CUT and isinstance(r, PlugSet) and r.letter == letter:
            stage = Stage.TRIM
        elif isinstance(r, StepTaken) and (
            (r.letter == letter and r.step in SETTLING_STEPS) or (stage is Stage.CHORD and r.step == "chord_done")
        ):
            stage = None
    if stage is None:
        return None
    chamber = chambers[letter]
    if chamber.glued and stage in (Stage.FIRST_BLOW, Stage.CUT, Stage.TRIM):
        return None  # nothing can be done there any more
    if stage in (Stage.FIRST_BLOW, Stage.TRIM):
        stage = Stage.TRIM if chamber.plug else Stage.FIRST_BLOW
        if stage is Stage.FIRST_BLOW and chamber.status is not Status.TO_BLOW:
            stage = Stage.CUT  # its first reading is complete
    return stage, letter


def is_settled(advice: Advice) -> bool:
    """The face may stay where it is."""
    return advice.action is Action.LEAVE
