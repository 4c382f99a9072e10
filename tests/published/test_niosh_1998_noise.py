"""Hearing: NIOSH, Criteria for a Recommended Standard: Occupational Noise Exposure, publication 98-126 (1998).

The limit is quoted from the abstract in the public library of its own institute (85 decibels, A-weighted, as an 8-hour
average; the 1998 revision's 3 dB exchange rate from the institute's paper of 2002 on it). The times below are the table
of the institute's page on measuring noise. The publication itself was not read.
"""
from __future__ import annotations

import re
from pathlib import Path

import pytest

from app.cautions import NOISE_LIMIT

ROOT = Path(__file__).resolve().parents[2]
HOURS_AT_DBA = {85: 8.0, 88: 4.0, 91: 2.0, 94: 1.0, 97: 0.5, 100: 0.25}
SAID = re.compile(
    r"NIOSH(?:'s limit(?: is)?)?:? (\d+) dBA for (\d+|eight) hours, half the time for each (\d+) dB more", re.ASCII
)
PAGES = [path for path in (ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))) if "NIOSH" in path.read_text()]


def hours_at(dba: float, limit: re.Match[str]) -> float:
    """What a sentence allows."""
    level_dba, hours, halving_db = (8.0 if told == "eight" else float(told) for told in limit.groups())
    return hours * 2.0 ** ((level_dba - dba) / halving_db)


def limits_in(text: str) -> list[re.Match[str]]:
    """Every limit that a text names; a NIOSH without it is no match, and fails."""
    words = " ".join(re.sub(r"^> ?", "", text, flags=re.MULTILINE).split())
    found = list(SAID.finditer(words))
    assert len(found) == words.count("NIOSH"), "NIOSH is named without its whole limit"
    return found


@pytest.mark.parametrize(("dba", "hours"), HOURS_AT_DBA.items())
def test_sentence_gives_the_published_times(dba, hours):
    (limit,) = limits_in(NOISE_LIMIT)
    assert hours_at(dba, limit) == pytest.approx(hours)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_pages_give_the_published_times(page):
    limits = limits_in(page.read_text(encoding="utf-8"))
    for limit in limits:
        assert {dba: hours_at(dba, limit) for dba in HOURS_AT_DBA} == pytest.approx(HOURS_AT_DBA)


def test_program_has_the_limit_in_one_place():
    naming = [path for path in (ROOT / "app").rglob("*.py") if re.search(r"NIOSH:|\bdBA\b", path.read_text())]
    assert [path.relative_to(ROOT).as_posix() for path in naming] == ["app/cautions.py"]
    assert (ROOT / "app/cautions.py").read_text().count("dBA") == 1


def test_other_numbers_and_half_a_limit_are_noticed():
    wrong = limits_in("NIOSH: 85 dBA for 8 hours, half the time for each 5 dB more.")[0]
    assert hours_at(100, wrong) != pytest.approx(HOURS_AT_DBA[100])
    with pytest.raises(AssertionError, match="whole limit"):
        limits_in("NIOSH's limit is 85 dBA for eight hours.")
