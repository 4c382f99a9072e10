"""Are the record sheets of an evening right? Held against the journal's tables by plain SQL, and against what was said.

The sums here share nothing with the program's own reading of records but the names of the columns.
"""
from __future__ import annotations

import sqlite3
import statistics
from dataclasses import dataclass, field
from pathlib import Path

from app.club_book import latest_evening, standings
from app.evidence import standing
from app.journal import Journal
from app.paper.club import club_papers
from app.paper.club_jobs import members_of
from app.paper.job import job_of
from app.paper.model import A4, Words
from app.paper.record import record
from app.records import Record
from tests.simulation.evening import SETTINGS

PLUGS = (
    "SELECT depth_mm, length_mm FROM plug_set WHERE whistle_id = ? AND letter = ? AND stop = 'plug' ORDER BY sequence"
)
FIRST = (
    "SELECT frequency_hz, closure_id FROM blow_taken WHERE whistle_id = ? AND letter = ? AND usable AND NOT warm_up"
    " AND stop != 'plug' ORDER BY sequence"
)


@dataclass
class Papers:
    """What was looked at, and what was wrong."""

    n_sheets: int = 0
    n_figures: int = 0
    n_pages: int = 0
    faults: list[str] = field(default_factory=list)


def check_sheets(path: Path, said: list[Record]) -> Papers:
    """Every record sheet of the evening. `said` is what the killed programs confirmed."""
    papers = Papers()
    with Journal(path) as journal:
        evening = latest_evening(journal)
        found = standings(journal, evening, SETTINGS)
        members = members_of(journal, found, "mm", A4)
        papers.n_pages = len(club_papers(members, evening.name).pages)
    with sqlite3.connect(path) as plain:
        for member in members:
            whistle = member.standing.whistle
            sheet = record(member.job)
            mine = [each for each in said if each.whistle_id == whistle.id]
            if sheet != record(job_of(whistle, standing(mine), units="mm", size=A4)):
                papers.faults.append(f"no. {whistle.number}: the sheet is not that of the records that were confirmed")
            words = [mark.words.replace("\u00a0", " ") for page in sheet.pages for mark in page.marks
                     if isinstance(mark, Words)]
            for letter in whistle.letters:
                _check_chamber(papers, plain, whistle.id, letter, words)
            papers.n_sheets += 1
    plain.close()
    return papers


def _check_chamber(papers: Papers, plain: sqlite3.Connection, whistle_id: str, letter: str, words: list[str]) -> None:
    plugs = plain.execute(PLUGS, (whistle_id, letter)).fetchall()
    blows = plain.execute(FIRST, (whistle_id, letter)).fetchall()
    row = words[words.index(letter, words.index("next day")):]  # from this chamber's own row on
    wanted = []
    if blows:
        alike = [hz for hz, closure_id in blows if closure_id == blows[-1][1]]
        wanted += [f"{statistics.fmean(alike):.1f} Hz"]
    if plugs:
        wanted += [f"{length_mm:.1f} mm" for length_mm in reversed(plugs[-1]) if length_mm is not None]
    at = 0
    for figure in wanted:
        papers.n_figures += 1
        try:
            at = row.index(figure, at, 24) + 1  # a row has some ten words: 24 are this one's and the next one's
        except ValueError:
            papers.faults.append(f"{whistle_id} {letter}: {figure} of {wanted} is not in its row {row[:12]}")
