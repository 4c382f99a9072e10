"""Whistles whose sheets are tested: the samples of Tidewick, awkward ones, and random ones; and checks of any page."""
from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from acoustics.notes import CHORDS, chord_hz
from app.body import Body, Stock
from app.errors import WorldError
from app.paper.job import Job, job_of
from app.paper.model import A4, LETTER, Circle, Line, Page, PageSize, Words
from app.whistle import Chamber, Whistle, checked, load_whistle

SAMPLES = Path(__file__).resolve().parents[2] / "sample_audio"
NAMES = ("harbour-major-sixth", "ferry-six", "fog-minor-triad")
SIZES = (A4, LETTER)
UNITS = ("mm", "inch", "both")
LONG_NAME = "The long-awaited whistle of the Tidewick turners' guild for the harbour master's retirement " + "x" * 60


def sample(name: str) -> Whistle:
    return load_whistle(SAMPLES / f"{name}.whistle.json")


def unequal() -> Whistle:
    """Bores, windows and lengths all different, and sharps in the notes' names."""
    whistle = sample("harbour-major-sixth")
    long_mm, bores_mm, high_mm = (195.0, 150.0, 100.0, 60.0), (14.0, 12.7, 11.0, 9.5), (8.0, 6.0, 5.0, 2.5)
    sizes = zip(whistle.chambers, long_mm, bores_mm, high_mm, strict=True)
    return replace(whistle, chambers=tuple(
        replace(chamber, bore_length_mm=long, bore_mm=bore, window_height_mm=high, window_width_mm=9.0)
        for chamber, long, bore, high in sizes
    ))


def impossible() -> Whistle:
    """A body that its blank cannot give, on a bit that needs both ends."""
    stock = Stock(bit_reach_mm=90.0, dowel_diameter_mm=12.4, dowel_across_mm=12.9, dowel_wood="sugar maple",
                  blank_width_mm=40.0, blank_length_mm=120.0)
    return replace(sample("harbour-major-sixth"), body=Body(diameter_mm=100.0), stock=stock)


def wordy() -> Whistle:
    return replace(sample("ferry-six"), name=LONG_NAME, wood="spalted hornbeam " * 10, number=11, of=12,
                   caps="ebony " * 20, mouthpiece="pear " * 30)


def jobs() -> Iterator[tuple[str, Job]]:
    """Name and job, every one on both papers."""
    for size in SIZES:
        for name in NAMES:
            for units in UNITS:
                yield f"{name}-{units}-{size.name}", job_of(sample(name), units=units, size=size)
        for name, whistle in (("unequal", unequal()), ("impossible", impossible()), ("wordy", wordy()),
                              ("quay", sample("quay-diminished-seventh"))):
            yield f"{name}-{size.name}", job_of(whistle, units="both", size=size, given_to="Tamsin of the Long Quay",
                                                maker="the Tidewick guild", day="24 November 2026")


def random_job(seed: int) -> Job:
    """Any whistle that its document's limits let through; two of three have nothing alike in their chambers."""
    chance = random.Random(seed)
    while True:
        chord = chance.choice(CHORDS)
        alike, targets_hz = chance.random() < 0.3, chord_hz(chord, chance.uniform(250.0, 900.0))
        bore_mm, long_mm, wide = chance.uniform(6.0, 20.0), chance.uniform(60.0, 200.0), chance.uniform(0.4, 1.0)
        chambers = []
        for letter, target_hz in zip("ABCDEF", targets_hz, strict=False):
            bore = bore_mm if alike else chance.uniform(6.0, 20.0)
            chambers.append(Chamber(
                letter, bore, long_mm if alike else chance.uniform(40.0, 200.0), max(2.0, wide * bore),
                chance.uniform(1.5, 20.0), target_hz, drift_outward_mm=chance.choice((None, chance.uniform(-2.0, 2.0))),
            ))
        body = Body(
            diameter_mm=chance.choice((None, chance.uniform(30.0, 120.0))),
            window_from_end_mm=chance.choice((None, chance.uniform(4.0, 80.0))),
            tenon_diameter_mm=chance.choice((None, 30.0)), mouthpiece_chamber_diameter_mm=chance.choice((None, 35.0)),
        )
        whistle = Whistle(
            id="7779d49e-b2fc-4d91-a3b6-22b84a25d4bb", name=f"Gull {seed}", chambers=tuple(chambers),
            wall_mm=chance.uniform(1.0, 10.0), lip_slope_deg=chance.uniform(10.0, 80.0), body=body,
            fipple_length_mm=chance.uniform(4.0, 60.0), stock=Stock(bit_reach_mm=chance.choice((None, 110.0))),
        )
        try:
            return job_of(checked(whistle), units=chance.choice(UNITS), size=chance.choice(SIZES))
        except WorldError:
            continue


# ---- what must hold of any page ------------------------------------------------------------------------------------
def words_of(page: Page) -> list[Words]:
    return [mark for mark in page.marks if isinstance(mark, Words)]


def outside(page: Page, margin_mm: float = 10.0) -> list[object]:
    """Marks that come nearer to the paper's edge than a printer reaches."""
    return [mark for mark in page.marks if not _within(mark, page.size, margin_mm)]


def overlapping(page: Page) -> list[tuple[str, str]]:
    words = sorted(words_of(page), key=lambda one: one.box.top_mm)
    found = []
    for number, one in enumerate(words):
        for other in words[number + 1:]:
            if other.box.top_mm > one.box.bottom_mm:
                break
            if one.box.overlaps(other.box):
                found.append((one.words, other.words))
    return found


def struck(page: Page) -> list[str]:
    """Words with a line through them."""
    lines = [mark for mark in page.marks if isinstance(mark, Line)]
    return [words.words for words in words_of(page) if any(_crosses(line, words) for line in lines)]


def _crosses(line: Line, words: Words) -> bool:
    """Whether a part of the line lies in the middle of the words: each pair of edges cuts away what is outside it."""
    box, begin, end = words.box, 0.0, 1.0
    inset_x, inset_y = 0.1 * box.width_mm, 0.25 * box.height_mm
    for start, stop, low, high in (
        (line.x1_mm, line.x2_mm, box.left_mm + inset_x, box.right_mm - inset_x),
        (line.y1_mm, line.y2_mm, box.top_mm + inset_y, box.bottom_mm - inset_y),
    ):
        if start == stop:
            if not low < start < high:
                return False
            continue
        shares = sorted(((low - start) / (stop - start), (high - start) / (stop - start)))
        begin, end = max(begin, shares[0]), min(end, shares[1])
    return begin < end


def _within(mark: object, size: PageSize, margin_mm: float) -> bool:
    if isinstance(mark, Words):
        xs, ys = (mark.box.left_mm, mark.box.right_mm), (mark.box.top_mm, mark.box.bottom_mm)
    elif isinstance(mark, Circle):
        xs = (mark.x_mm - mark.radius_mm, mark.x_mm + mark.radius_mm)
        ys = (mark.y_mm - mark.radius_mm, mark.y_mm + mark.radius_mm)
    else:
        assert isinstance(mark, Line)
        xs, ys = (mark.x1_mm, mark.x2_mm), (mark.y1_mm, mark.y2_mm)
    return (
        min(xs) >= margin_mm and max(xs) <= size.width_mm - margin_mm
        and min(ys) >= margin_mm and max(ys) <= size.height_mm - margin_mm
    )
