"""Every page of every sheet, without a raster: nothing beyond the margins, nothing on top of anything, nothing cut."""
from __future__ import annotations

import re
from dataclasses import replace

import pytest

from app.cautions import CUTTING
from app.paper.lettering import fitted, width_mm, wrapped
from app.paper.model import A4, LETTER
from app.paper.sheets import SHEETS
from tests.app.paper_jobs import (
    NAMES,
    SIZES,
    jobs,
    outside,
    overlapping,
    random_job,
    sample,
    struck,
    words_of,
    wordy,
)

JOBS = dict(jobs())
SEEDS = range(30)


def text_of(sheet) -> str:
    return " ".join(words.words for page in sheet.pages for words in words_of(page)).replace("\u00a0", " ")


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("sheet", SHEETS)
def test_page_keeps_its_margins_and_its_words_apart(name, sheet):
    job = JOBS[name]
    for page in SHEETS[sheet](job).pages:
        assert page.size == job.size
        assert not outside(page)
        assert not overlapping(page)
        assert not struck(page)


@pytest.mark.parametrize("name", JOBS)
@pytest.mark.parametrize("size", [A4, LETTER])
def test_the_caution_of_the_saw_stands_on_the_page_of_its_cuts(name, size):
    beginnings = ("Every saw cut", "Caution. " + CUTTING.text[:20])
    found = [
        number for number, page in enumerate(SHEETS["cuts"](replace(JOBS[name], size=size)).pages)
        for words in words_of(page) if words.words.replace("\u00a0", " ").startswith(beginnings)
    ]
    assert len(found) == 2
    assert found[0] == found[1]


@pytest.mark.parametrize("seed", SEEDS)
def test_any_whistle_that_may_be_written_down_can_be_printed(seed):
    job = random_job(seed)
    for name, sheet in SHEETS.items():
        for page in sheet(job).pages:
            assert not outside(page), name
            assert not overlapping(page), name
            # A body that is refused may have its bores through one another, letters and all.
            assert not struck(page) or job.plan.refusals, name


@pytest.mark.parametrize("name", JOBS)
def test_no_figure_is_cut_off(name):
    job = JOBS[name]
    for sheet in SHEETS.values():
        shortened = [words.words for page in sheet(job).pages for words in words_of(page) if words.words.endswith("…")]
        figures = [words for words in shortened if re.search(r"\d", words) and "xx" not in words]
        assert not figures


@pytest.mark.parametrize("size", SIZES, ids=lambda size: size.name)
def test_name_as_long_as_a_document_allows_is_shortened_not_lost(size):
    from app.paper.job import job_of

    assert len(wordy().name) > 150
    for sheet in SHEETS.values():
        assert "The long-awaited whistle" in text_of(sheet(job_of(wordy(), size=size)))


@pytest.mark.parametrize("sheet", SHEETS)
def test_nothing_is_called_safe(sheet):
    for job in JOBS.values():
        assert not re.search(r"\bsafe(ly|ty)?\b", text_of(SHEETS[sheet](job)), re.IGNORECASE)


def test_papers_have_the_size_of_their_standards():
    # Published: ISO 216 for A4; 8 1/2 by 11 in for Letter (ANSI/ASME Y14.1, size A), an inch being 25.4 mm.
    assert (A4.width_mm, A4.height_mm) == (210.0, 297.0)
    assert (LETTER.width_mm, LETTER.height_mm) == pytest.approx((8.5 * 25.4, 11.0 * 25.4))


@pytest.mark.parametrize("name", NAMES)
def test_every_letter_and_note_stands_on_every_sheet(name):
    from app.paper.job import job_of

    whistle = sample(name)
    for sheet in SHEETS.values():
        text = text_of(sheet(job_of(whistle)))
        for chamber in whistle.chambers:
            assert chamber.note in text


def test_wrapped_lines_keep_to_their_room():
    words = "Peck and clear the flutes; a-very-long-word-that-no-line-of-this-width-can-hold-by-itself ends here."
    lines = wrapped(words, 40.0, 9.5)
    assert max(width_mm(line, 9.5) for line in lines) <= 40.0
    assert "".join(lines).replace(" ", "") == words.replace(" ", "")


def test_figure_is_not_broken_over_two_lines():
    assert not any(line.endswith("12.7") for line in wrapped("a bore of 12.7\u00a0mm " * 9, 43.0, 9.5))


def test_words_that_fit_are_left_alone_and_others_end_in_an_ellipsis():
    assert fitted("Ferry bell", 60.0, 9.5) == "Ferry bell"
    short = fitted("Ferry bell " * 9, 30.0, 9.5)
    assert short.endswith("…")
    assert width_mm(short, 9.5) <= 30.0
