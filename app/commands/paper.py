"""`paper`: the sheets for the bench, as PDF files."""
from __future__ import annotations

import argparse
import re
from pathlib import Path
from types import ModuleType
from typing import Any

from app.commands.answering import Answer
from app.commands.arguments import add_home, add_json, add_whistle, open_home
from app.commands.whistles import find_whistle
from app.earlier import recall
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.paper.job import Job, job_of
from app.paper.model import PAGE_SIZES, Sheet
from app.paper.sheets import SHEETS
from app.whole_file import write_whole

UNITS = ("mm", "inch", "both")
MOST_NAME, MOST_STEM = 40, 60  # characters


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "paper", help="print-ready sheets: template, cut list, steps, record, gift card, depths",
        description="Writes the sheets of a whistle as PDF files, one for each, for printing at 100 %. They need no"
        " screen. What the journal knows of the whistle is written in.",
    )
    add_whistle(parser, required=True)
    parser.add_argument("--out", metavar="DIR", required=True, help="the folder to write them into")
    parser.add_argument("--sheet", action="append", choices=tuple(SHEETS), help="one of them; may be given again (all)")
    parser.add_argument("--size", choices=tuple(PAGE_SIZES), default="A4", help="of the paper in the printer (A4)")
    parser.add_argument("--units", choices=UNITS, help="what lengths are written in (as in the settings)")
    parser.add_argument("--for", dest="given_to", default="", metavar="NAME", help="on the gift card; kept nowhere")
    parser.add_argument("--by", dest="maker", default="", metavar="NAME", help="who turned it, on the gift card")
    parser.add_argument("--day", default="", metavar="DAY", help="on the gift card, in your own writing")
    parser.add_argument("--replace", action="store_true", help="write over sheets that are there already")
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        job = _job(arguments)
        names = dict.fromkeys(arguments.sheet or SHEETS)
        sheets = [SHEETS[name](job) for name in names]
        files = _written(job, sheets, Path(arguments.out), arguments.replace)
        refusals = [remark.sentence for remark in job.plan.refusals]
        if arguments.json:
            answer.json({
                "files": [
                    {"sheet": sheet.name, "file": str(file), "size": job.size.name, "n_pages": len(sheet.pages)}
                    for sheet, file in zip(sheets, files, strict=True)
                ],
                "refusals": refusals,
            })
            return 0
        for sheet, file in zip(sheets, files, strict=True):
            answer.line(f"{file}: {len(sheet.pages)} page{'' if len(sheet.pages) == 1 else 's'}")
        if "template" in names:
            answer.line("Print at 100 %, and measure the bars of the template before it is used.")
        for sentence in refusals:
            answer.line(f"Do not cut wood by these sheets yet. {sentence}")
    return 0


def _job(arguments: argparse.Namespace) -> Job:
    for option, text in (("--for", arguments.given_to), ("--by", arguments.maker), ("--day", arguments.day)):
        if len(text) > MOST_NAME:
            raise WorldError(f"{option} has {len(text)} characters and a card has room for {MOST_NAME}: shorten it.")
    home = open_home(arguments)
    with Journal(home.journal_path) as journal:
        whistle = find_whistle(arguments.whistle, journal)
        records = standing(journal.records(whistle.id))
        learned = recall(journal, whistle, home.settings)
    return job_of(
        whistle, records, learned.priors, units=arguments.units or home.settings.units,
        size=PAGE_SIZES[arguments.size], given_to=arguments.given_to, maker=arguments.maker, day=arguments.day,
    )


def _written(job: Job, sheets: list[Sheet], folder: Path, replace: bool) -> list[Path]:
    """All are drawn before the first is written, and none is when one of them is there already."""
    painter = ready_painter()
    drawn = [painter.pdf_of(sheet) for sheet in sheets]
    files = [folder / f"{_stem(job.whistle.name)}-{sheet.name}-{job.size.name}.pdf" for sheet in sheets]
    there = [file for file in files if file.exists()]
    if there and not replace:
        raise WorldError(f"{there[0]} exists already and nothing was written: --replace writes over it.")
    for file, data in zip(files, drawn, strict=True):
        write_whole(file, data, replace=replace, what="the sheet")
    return files


def ready_painter() -> ModuleType:
    """The painter, ready to draw; WorldError says what the system lacks."""
    try:
        from app.paper import painter
    except ImportError as error:
        raise WorldError(
            f"Sheets are drawn by Qt, which cannot be loaded here ({error}): “sh tools/setup.sh run” installs what it"
            " needs."
        ) from error
    painter.ready_without_window()
    return painter


def _stem(name: str) -> str:
    """The whistle's name as part of a file's name: letters and figures, the rest as hyphens."""
    return re.sub(r"[^\w]+|_+", "-", name.casefold()).strip("-")[:MOST_STEM].strip("-") or "whistle"
