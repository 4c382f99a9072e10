"""Are the record sheets of an evening right? Held against the journal's tables by plain SQL, and against what was said.

The sums here share nothing with the program's own reading of records but the names of the columns.
"""
from __future__ import annotations

import math
import re
import sqlite3
import statistics
from dataclasses import dataclass, field
from pathlib import Path

from app.club_book import latest_evening, standings
from app.evidence import standing
from app.journal import Journal
from app.paper.club import Member, club_papers
from app.paper.club_jobs import members_of
from app.paper.depths import DEEP, depths
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


CHORDS = "SELECT * FROM chord_taken WHERE whistle_id = ? AND usable AND NOT warm_up ORDER BY sequence"
FURTHEST = re.compile(r"([B-F]) (?:(\d+) c (sharp|flat)|even)")
WITHIN_CENTS = 1.0  # the table is written in whole cents, and the walk may weigh one blow less than another


@dataclass
class Papers:
    """What was looked at, and what was wrong."""

    n_sheets: int = 0
    n_figures: int = 0
    n_rows: int = 0
    n_pages: int = 0
    n_depths: int = 0  # on the cards of depths
    faults: list[str] = field(default_factory=list)


def check_sheets(path: Path, said: list[Record]) -> Papers:
    """Every record sheet of the evening. `said` is what the killed programs confirmed."""
    papers = Papers()
    with Journal(path) as journal:
        evening = latest_evening(journal)
        found = standings(journal, evening, SETTINGS)
        members = members_of(journal, found, "mm", A4)
        whole = club_papers(members, evening.name)
        papers.n_pages = len(whole.pages)
    rows = [mark.words for mark in whole.pages[0].marks if isinstance(mark, Words)]
    with sqlite3.connect(path) as plain:
        plain.row_factory = sqlite3.Row
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
            _check_depths(papers, plain, member)
            _check_row(papers, plain, member, rows)
    plain.close()
    return papers


def _check_row(papers: Papers, plain: sqlite3.Connection, member: Member, words: list[str]) -> None:
    """The evening's table says which chamber is furthest off its interval to A: the mean over the last chords."""
    whistle, number = member.standing.whistle, str(member.standing.number)
    chords = plain.execute(CHORDS, (whistle.id,)).fetchall()
    chords = [chord for chord in chords if chord["faces"] == chords[-1]["faces"]]
    off_cents = {}
    for chamber in whistle.chambers[1:]:
        hz, wanted = f"{chamber.letter.lower()}_hz", chamber.target_hz / whistle.chambers[0].target_hz
        off_cents[chamber.letter] = statistics.fmean(1200 * math.log2(c[hz] / c["a_hz"] / wanted) for c in chords)
    told = next(found for each in words[words.index(number):] if (found := FURTHEST.fullmatch(each)))
    letter, said = told[1], float(told[2] or 0.0) * (-1.0 if told[3] == "flat" else 1.0)
    furthest = max(abs(each) for each in off_cents.values())
    papers.n_rows += 1
    if abs(said - off_cents[letter]) > WITHIN_CENTS or abs(abs(said) - furthest) > WITHIN_CENTS:
        papers.faults.append(f"no. {number}: the table says {told[0]}, the chords say {off_cents}")


def _check_depths(papers: Papers, plain: sqlite3.Connection, member: Member) -> None:
    """Both cards of depths, chamber by chamber: a line to write on where no plug was ever accepted."""
    whistle = member.standing.whistle
    words = [mark.words.replace("\u00a0", " ") for page in depths(member.job).pages for mark in page.marks
             if isinstance(mark, Words)]
    plugs = [plain.execute(PLUGS, (whistle.id, letter)).fetchall()[-1] for letter in whistle.letters]
    for label, column in ((DEEP, 0), ("plug length", 1)):
        wanted = [f"{plug[column]:.1f} mm" for plug in plugs]
        for at in (number for number, each in enumerate(words) if each == label):
            papers.n_depths += len(wanted)
            if (found := words[at + 1 : at + 1 + len(wanted)]) != wanted:
                papers.faults.append(f"no. {whistle.number}: the card's {label} says {found}, the journal {wanted}")


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
