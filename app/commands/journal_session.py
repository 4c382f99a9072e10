"""`journal session`: before and after, chamber by chamber, on the terminal or as PDF, CSV or JSON."""
from __future__ import annotations

import argparse
import json
from pathlib import Path

from app.commands.answering import Answer
from app.commands.arguments import open_home
from app.commands.whistles import find_whistle
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.paper.job import job_of
from app.paper.model import PAGE_SIZES
from app.session_files import KINDS, session_file
from app.story import story_of
from app.story_words import HEADINGS, as_json, cells, story_sentence
from app.whole_file import write_whole


def describe(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--out", metavar="FILE", help="a .pdf, .csv or .json file; without it, a table is printed")
    parser.add_argument("--size", choices=tuple(PAGE_SIZES), default="A4", help="of a PDF's paper (A4)")


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        home = open_home(arguments)
        with Journal(home.journal_path) as journal:
            whistle = find_whistle(arguments.whistle, journal)
            records = standing(journal.records(whistle.id))
        story = story_of(whistle, records)
        if arguments.out is not None:
            out = Path(arguments.out)
            kind = _kind_of(out)
            job = job_of(whistle, records, units=home.settings.units, size=PAGE_SIZES[arguments.size])
            write_whole(out, session_file(kind, story, whistle, job), replace=False, what="the session")
        if arguments.json:
            told = json.loads(as_json(story, whistle))
            answer.json({"file": arguments.out, "n_readings": len(told["readings"])} if arguments.out else told)
        elif arguments.out is not None:
            answer.line(f"{arguments.out} is written.")
        else:
            lowest = story.letters[0]
            for line in table_lines([_headings(lowest), *(cells(reading, lowest) for reading in story.readings)]):
                answer.line(line)
            answer.line(story_sentence(story))
    return 0


def _kind_of(out: Path) -> str:
    kind = out.suffix.lower().lstrip(".")
    if kind not in KINDS:
        raise WorldError(f"{out} must end in .pdf, .csv or .json: the ending says what is written.")
    return kind


def _headings(lowest: str) -> tuple[str, ...]:
    return tuple(heading.format(home=lowest) for heading in HEADINGS)


def table_lines(rows: list[tuple[str, ...]]) -> list[str]:
    """Columns as wide as their widest cell."""
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]
