"""Where the session's plot puts things, for screen and paper alike: shares of its width and height, no colours. Pure.

First blows lie hundreds of cents off, last ones within a few. The scale of cents is therefore even near the note and
closer and closer together away from it (an inverse hyperbolic sine), and its lines say so.
"""
from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from app.story_readings import Reading, Step, Story
from app.story_words import column_words

EVEN_CENTS: Final = 5.0  # up to about here the scale is even
LINES_CENTS: Final = (0.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0)
LEAST_SPAN_CENTS: Final = 10.0  # the plot never shows less than this either way


@dataclass(frozen=True)
class PlotPoint:
    """`x` and `y` from 0 to 1, y downward."""

    reading: Reading
    x: float
    y: float


@dataclass(frozen=True)
class PlotLayout:
    """Lines by letter, the scale of cents, the columns' names, and the air of each column."""

    lines: dict[str, tuple[PlotPoint, ...]]
    scale: tuple[tuple[float, float], ...]  # (cents, y)
    columns: tuple[tuple[float, str], ...]  # (x, name)
    airs: tuple[tuple[float, float, float], ...]  # (x, coolest, warmest), where the air is known

    @property
    def zero(self) -> float:
        return next(y for cents, y in self.scale if cents == 0.0)


def plot_of(story: Story) -> PlotLayout:
    """An empty story gives an empty plot with its scale."""
    told = [reading.deviation_cents or 0.0 for letter in story.letters for reading in story.of(letter)]
    low, high = min([-LEAST_SPAN_CENTS, *told]), max([LEAST_SPAN_CENTS, *told])
    names = column_words(story)
    places = {step: (number + 0.5) / len(names) for number, step in enumerate(names)}
    lines = {
        letter: tuple(
            PlotPoint(r, places[r.step], _share(r.deviation_cents or 0.0, low, high)) for r in story.of(letter)
        )
        for letter in story.letters
    }
    return PlotLayout(lines, _scale(low, high), tuple((places[step], name) for step, name in names.items()),
                      tuple(_airs(story, places)))


def _share(cents: float, low: float, high: float) -> float:
    """0 at the top of the scale, 1 at its foot."""
    top, foot = _bent(high), _bent(low)
    return (top - _bent(cents)) / (top - foot)


def _bent(cents: float) -> float:
    return math.asinh(cents / EVEN_CENTS)


def _scale(low: float, high: float) -> tuple[tuple[float, float], ...]:
    both = sorted({sign * cents for cents in LINES_CENTS for sign in (1.0, -1.0)}, reverse=True)
    return tuple((cents, _share(cents, low, high)) for cents in both if low <= cents <= high)


def _airs(story: Story, places: dict[Step, float]) -> list[tuple[float, float, float]]:
    found = []
    for step, x in places.items():
        airs = [r.temperature_c for r in story.readings if r.step == step and r.temperature_c is not None]
        if airs:
            found.append((x, min(airs), max(airs)))
    return found
