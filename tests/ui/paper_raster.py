"""A printed page measured as on a table: rasterised at 300 dots per inch by a program of its own, and read in mm."""
from __future__ import annotations

import math
import subprocess
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

DPI = 300
DOTS_PER_MM = DPI / 25.4
_BAND_MM = 0.7  # of a rim: where its ink is looked for on either side
_CLEAR_DEG = 8.0  # about the axes lies the cross

Ink = NDArray[np.float64]


def ink_of(pdf: Path, page: int) -> Ink:
    """Darkness from 0 to 1, row by row."""
    stem = pdf.with_suffix("") / f"page{page}"
    stem.parent.mkdir(exist_ok=True)
    command = ["pdftoppm", "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), "-singlefile", pdf, stem]
    subprocess.run(command, check=True, capture_output=True)
    with Image.open(stem.with_suffix(".pgm")) as image:
        return 1.0 - np.asarray(image, dtype=float) / 255.0


def bar_across_mm(ink: Ink, x_mm: float, y_mm: float, length_mm: float) -> float:
    """Between the outer ticks of the bar that should begin there: only they rise so far above it."""
    rows = slice(round((y_mm - 3.6) * DOTS_PER_MM), round((y_mm - 2.4) * DOTS_PER_MM))
    return _between(ink[rows].mean(axis=0), x_mm, length_mm)


def bar_down_mm(ink: Ink, x_mm: float, y_mm: float, length_mm: float) -> float:
    """As `bar_across_mm`, for a bar whose ticks reach to the left."""
    columns = slice(round((x_mm - 3.6) * DOTS_PER_MM), round((x_mm - 2.4) * DOTS_PER_MM))
    return _between(ink[:, columns].mean(axis=1), y_mm, length_mm)


def across_mm(ink: Ink, x_mm: float, length_mm: float, rows_mm: tuple[float, float]) -> float:
    """Between two upright lines, where nothing else stands within 2 mm of them in those rows."""
    top, bottom = (round(mm * DOTS_PER_MM) for mm in rows_mm)
    return _between(ink[top:bottom].mean(axis=0), x_mm, length_mm)


def down_mm(ink: Ink, y_mm: float, length_mm: float, columns_mm: tuple[float, float]) -> float:
    """Between two level lines, where nothing else stands within 2 mm of them in those columns."""
    left, right = (round(mm * DOTS_PER_MM) for mm in columns_mm)
    return _between(ink[:, left:right].mean(axis=1), y_mm, length_mm)


def rule_mm(ink: Ink, y_mm: float) -> float:
    """How long the line is that has these dots for itself."""
    return float(ink[int(y_mm * DOTS_PER_MM)].sum() / DOTS_PER_MM)


def ink_outside(ink: Ink, margin_mm: float) -> float:
    """The darkest dot nearer than this to the paper's edge."""
    edge = int(margin_mm * DOTS_PER_MM)
    return float(max(ink[:edge].max(), ink[-edge:].max(), ink[:, :edge].max(), ink[:, -edge:].max()))


def _between(profile: Ink, start_mm: float, length_mm: float) -> float:
    return _tick_mm(profile, start_mm + length_mm) - _tick_mm(profile, start_mm)


def _tick_mm(profile: Ink, near_mm: float) -> float:
    """Middle of the ink within 2 mm of a place."""
    first, last = round((near_mm - 2.0) * DOTS_PER_MM), round((near_mm + 2.0) * DOTS_PER_MM)
    weights = profile[first:last]
    assert weights.max() > 0.3, "no tick where one was expected"
    return float((np.arange(first, last) + 0.5) @ weights / weights.sum() / DOTS_PER_MM)


def circle_mm(ink: Ink, x_mm: float, y_mm: float, radius_mm: float) -> tuple[float, float, float]:
    """Middle and radius of the circle that was drawn about there, fitted to the ink of its rim."""
    points = [
        point for degrees in range(0, 360, 2) if min(degrees % 90, 90 - degrees % 90) > _CLEAR_DEG
        if (point := _rim_mm(ink, x_mm, y_mm, radius_mm, math.radians(degrees))) is not None
    ]
    assert len(points) > 60, "no rim where one was expected"
    xs, ys = np.array(points).T
    # x2 + y2 + a x + b y + c = 0, by least squares
    (a, b, c), *_ = np.linalg.lstsq(np.column_stack([xs, ys, np.ones_like(xs)]), -(xs**2 + ys**2), rcond=None)
    return -a / 2.0, -b / 2.0, math.sqrt((a**2 + b**2) / 4.0 - c)


def _rim_mm(ink: Ink, x_mm: float, y_mm: float, radius_mm: float, angle: float) -> tuple[float, float] | None:
    """Where a ray from the middle meets the rim."""
    radii = np.arange(radius_mm - _BAND_MM, radius_mm + _BAND_MM, 0.02)
    xs, ys = x_mm + radii * math.cos(angle), y_mm + radii * math.sin(angle)
    weights = _ink_at(ink, xs * DOTS_PER_MM - 0.5, ys * DOTS_PER_MM - 0.5)
    if weights.max() < 0.3:
        return None
    at = float(radii @ weights / weights.sum())
    return x_mm + at * math.cos(angle), y_mm + at * math.sin(angle)


def _ink_at(ink: Ink, columns: Ink, rows: Ink) -> Ink:
    """Between four dots, by their distances."""
    left, top = np.floor(columns).astype(int), np.floor(rows).astype(int)
    across, down = columns - left, rows - top
    above = ink[top, left] * (1.0 - across) + ink[top, left + 1] * across
    below = ink[top + 1, left] * (1.0 - across) + ink[top + 1, left + 1] * across
    return np.asarray(above * (1.0 - down) + below * down)
