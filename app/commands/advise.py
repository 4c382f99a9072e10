"""`advise`: what to do to each plug, from the readings in the whistle's journal."""
from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from acoustics.tuning import Action, Advice
from app.asking import asks_finger
from app.closeness import Boldness, policy_of
from app.commands.answering import Answer
from app.commands.arguments import add_home, add_json, add_whistle, open_home
from app.commands.whistles import find_whistle, title
from app.earlier import recall
from app.events import Route
from app.evidence import observations, standing
from app.journal import Journal
from app.learned_words import learned_json, learned_sentence, unread_text
from app.place import memory_aside, place
from app.records import PlugSet, Record
from app.rescue_words import down_text, ways_json, ways_lines
from app.rescues import ways_out
from app.whistle import to_plan
from app.wording import within_text


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "advise", help="what to do to each plug, from the journal's readings",
        description="Advice for every chamber from the readings in the whistle's journal. plug_length_mm and depth_mm"
        " are what the plug and the depth of its inner face shall be after this step; amounts are never below zero.",
    )
    add_whistle(parser, required=True)
    parser.add_argument(
        "--boldness", choices=[each.value for each in Boldness],
        help="how bold the cuts may be, for this answer; else as in the preferences",
    )
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        home = open_home(arguments)
        with Journal(home.journal_path) as journal:
            whistle = find_whistle(arguments.whistle, journal)
            records = standing(journal.records(whistle.id))
            learned = recall(journal, whistle, home.settings)
        # Plugs put in by command are flush ones unless the walk was told otherwise.
        chosen = replace(home.settings, boldness=arguments.boldness or home.settings.boldness)
        bench = place(to_plan(whistle), records, policy_of(chosen), learned.priors, untold=Route.TRIM)
        aside = memory_aside(records)
        units = home.settings.units
        ways = {letter: ways_out(bench, whistle, letter, units) for letter in whistle.letters}
        rows = [
            {**_row(bench.advice[letter], bench.chambers[letter].plug), "ways_out": ways_json(ways[letter])}
            for letter in whistle.letters
        ]
        if arguments.json:
            answer.json({"chambers": rows, "memory": learned_json(learned, aside)})
        else:
            answer.line(f"{title(whistle)}, {_count(records)}")
            told = "" if aside else learned_sentence(learned, units)
            down = f"{down_text(bench.lowered_cents)}, as the maker chose" if bench.lowered_cents else ""
            for line in filter(None, (told, unread_text(learned.unread), down)):
                answer.line(line)
            for row in rows:
                answer.line(_text(row))
                for line in ways_lines(way, units) if (way := ways[row["name"]]) else ():
                    answer.line(f"   {line}")
    return 0


def _row(advice: Advice, plug: PlugSet | None) -> dict[str, Any]:
    depth_mm = advice.depth_mm if advice.stop_at_depth_mm is None else advice.stop_at_depth_mm
    outside_mm = plug.proud_mm - plug.recess_mm if plug else 0.0
    return {
        "name": advice.letter, "target_hz": advice.target_hz, "heard_hz": advice.heard_hz,
        "deviation_cents": advice.deviation_cents, "action": advice.action.value,
        "full_amount_mm": advice.full_amount_mm, "held_back_mm": advice.held_back_mm, "amount_mm": advice.amount_mm,
        "uncertainty_mm": advice.uncertainty_mm,
        "plug_length_mm": None if depth_mm is None else depth_mm + outside_mm,
        "depth_mm": depth_mm, "why": advice.why.value,
        "story": advice.story, "more_blows": advice.more_blows, "covered": asks_finger(advice),
    }


def _count(records: Sequence[Record]) -> str:
    n = len(observations(records))
    return f"{n or 'no'} blow{'' if n == 1 else 's'} that count"


def _text(row: dict[str, Any]) -> str:
    finger = " with a finger over the plug" if row["covered"] else ""
    parts = [f"{row['name']}  {row['action'].replace('_', ' ')}{finger}"]
    if row["amount_mm"]:
        parts.append(f"{row['amount_mm']:.1f} mm")
    if row["depth_mm"] is not None:
        parts.append(f"plug {row['plug_length_mm']:.1f} mm, its face {row['depth_mm']:.1f} mm deep")
    if row["uncertainty_mm"] is not None:
        parts.append(f"two times in three within {within_text(row['uncertainty_mm'], 'mm')}")
    if row["action"] == Action.BLOW_AGAIN and row["more_blows"] > 1:
        parts.append(f"{row['more_blows']} blows are likely to do")
    why = row["why"] if row["story"] is None else f"{row['why']}, {row['story']}"
    return "; ".join([*parts, why.replace("_", " ")])
