"""The words of a club evening: whose turn it is, and what each whistle waits for.

What is shown to the room never tells a failure: no plug too short, no leak, no chamber that will not speak, whosever it
is. That stands on the bench's own page, which bears no name. A name stands beside a number in the room view alone.
"""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.bench import State
from app.club import Standing, Waits
from app.events import Request, Task
from app.room_words import turn_sentence

MOST_NAMED_NEXT = 3
CALLED = ("your turn", "key C first")  # nothing is listened to before that key
CURED = "cured"  # what the glue's request says once its time is over
AT_THE_BENCH = {
    Task.CUT: "plug {letter} to be cut", Task.TRIM: "plug {letter} to be trimmed",
    Task.GLUE: "plug {letter} to be glued", Task.REPAIR: "plug {letter} to be mended",
}
AT_THE_MICROPHONE = {Task.CHORD: "the whole chord", Task.MARK: "a knife line at plug {letter}"}


@dataclass(frozen=True)
class Turn:
    """Whose turn it is, to be read across the room."""

    number: int
    name: str  # empty where none was given
    sentence: tuple[str, ...]
    foot: tuple[str, ...]  # what the one who goes to the bench does there; who comes next
    calls: bool = False  # another than the one on the bench, for whom nothing is listened until then


def turn(state: State, at_bench: Standing, waiting: Sequence[Standing], names: dict[str, str]) -> Turn:
    """The whistle on the bench while it wants the microphone; else the next is called, and `at_bench` goes to work."""
    mine, asked = _name(at_bench, names), turn_sentence(state)
    if at_bench.waits is Waits.MICROPHONE:
        return Turn(at_bench.number, mine, asked, _then(waiting))
    if not waiting:
        return Turn(at_bench.number, mine, asked, ("nobody waits for the microphone",))
    called, *others = waiting
    told = f"{at_bench.number}: {_in_a_line(asked)}"
    return Turn(called.number, _name(called, names), CALLED, (told, *_then(others)), calls=True)


def held_text(called: Turn) -> str:
    """In place of "hearing you": what is blown now is nobody's."""
    return f"heard for nobody until C calls {called.number}"


def _name(standing: Standing, names: dict[str, str]) -> str:
    return names.get(standing.whistle.id, "")


def _in_a_line(lines: Sequence[str]) -> str:
    text = " ".join(lines)
    return text[:1].lower() + text[1:]


def _then(waiting: Sequence[Standing]) -> tuple[str, ...]:
    """ "then 7, 2, 9": the others wait."""
    shown = [str(each.number) for each in waiting[:MOST_NAMED_NEXT]]
    more = "…" if len(waiting) > MOST_NAMED_NEXT else ""
    return (f"then {', '.join(shown)}{more}",) if shown else ()


# ---- the list ------------------------------------------------------------------------------------------------------
def waits_text(standing: Standing) -> str:
    """What it waits for: "the microphone: chamber B", "its bench: plug B to be trimmed"."""
    request = standing.request
    match standing.waits:
        case Waits.NOTHING:
            return "nothing: it is done"
        case Waits.GLUE:
            return "its glue"
        case Waits.MICROPHONE:
            return f"the microphone: {_at_the_microphone(request)}"
    words = "its maker" if not standing.tuned else "has its glue set?" if request.text == CURED else "to be glued"
    what = AT_THE_BENCH.get(request.task, words).format(letter=request.letter)
    return f"the microphone: back, {what}" if standing.here else f"its bench: {what}"


def _at_the_microphone(request: Request) -> str:
    words = AT_THE_MICROPHONE.get(request.task, "chamber {letter}")
    return words.format(letter=request.letter)


def on_note_text(standing: Standing) -> str:
    return f"{standing.n_on_note} of {len(standing.whistle.chambers)} on their note"


def row_text(standing: Standing, n_before: int | None, *, named: bool = True) -> str:
    """One whistle as one line of the list, without a person's name. `n_before` wait for the microphone before it;
    `named` says the pattern too, where there is more than one."""
    others = f"after {n_before} other{'' if n_before == 1 else 's'}"
    turn_text = "" if n_before is None else others if n_before else "next"
    parts = (str(standing.number), standing.whistle.name if named else "", standing.stage.value,
             on_note_text(standing), f"waits for {waits_text(standing)}", turn_text)
    return " · ".join(part for part in parts if part)


def nobody_text(standings: Sequence[Standing]) -> str:
    """Why nobody can be called, in one sentence."""
    if not standings:
        return "No club evening was begun: add whistles in the menu Whistle, Club evening."
    away = [str(each.number) for each in standings if each.waits is Waits.BENCH]
    if away:
        who = f"{', '.join(away)} {'is at its' if len(away) == 1 else 'are at their'}"
        return f"Nobody else waits for the microphone: {who} bench; type a number to call it."
    return "Nobody else waits for the microphone."
