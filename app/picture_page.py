"""The page with a recording's picture: spectrum, notes, time, blows, and every blow in words. Drawn by Pillow alone.

Grey for sound, with equal steps of lightness for equal steps of level; a blow is told by line, bar and words, so that
nothing rests on colour.
"""
from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from acoustics.blow import Blow
from acoustics.notes import nearest_note, note_hz
from app.picture_place import BIN_PX, N_OCTAVES, Place
from app.wording import blow_reason

PAPER, INK, MUTED = (255, 255, 255), (43, 38, 34), (95, 88, 80)
START, NOTE = (15, 74, 124), (185, 82, 15)  # blue and burnt orange, as on the bench
CASING = (*PAPER, 200)
FONT = "DejaVuSans.ttf"
LARGE_PX, TEXT_PX, SMALL_PX = 24, 17, 15
LINE_PX = 24
EDGE_PX, LEFT_PX, RIGHT_PX = 24, 84, 190
TITLE_PX, LABELS_PX, TIME_PX = 76, 66, 92
LABELLED = ("C", "D", "E", "G", "A")  # the two others lie too near their neighbours to be written
STEPS = ("C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B")
RANGE_DB = 70
DARKEST_AT_LEAST_DBFS = -40
TIME_STEPS_S = (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 1200, 1800, 3600)
TICK_GAP_PX = 80
ONE_COLUMN_ROWS = 12  # so few blows stand in one column, however wide the page
NARROW_PX = 24  # a blow drawn narrower is marked by its bar alone: upright lines would hide its sound
LEGEND = (
    "Upright line: a blow begins; broken upright line: it ends. Bar above: filled, it can be used; hatched, it cannot.",
    "Line across: the note that sounded, broken where the blow cannot be used. Darker is louder.",
)


@dataclass(frozen=True)
class Sheet:
    """What the page is of: the file's name without its folder, and its spectrum, lowest note first."""

    name: str
    sample_rate_hz: int
    duration_s: float
    level_dbfs: NDArray[np.float32]
    frames_per_column: int

    @property
    def place(self) -> Place:
        top_px = EDGE_PX + TITLE_PX + LABELS_PX
        return Place(EDGE_PX + LEFT_PX, top_px, self.level_dbfs.shape[1], self.frames_per_column)

    @property
    def loudest_dbfs(self) -> int:
        """The dark end of the scale, a whole ten; a quiet room is not drawn as dark as a blow."""
        return max(int(np.ceil(float(self.level_dbfs.max()) / 10.0)) * 10, DARKEST_AT_LEAST_DBFS)

    @property
    def in_minutes(self) -> bool:
        return self.duration_s > 120.0


def draw_page(sheet: Sheet, blows: Sequence[Blow]) -> bytes:
    """The whole page as a PNG file."""
    from PIL import Image, ImageDraw

    pen = _Pen()
    rows = [_row_text(number, blow, sheet.in_minutes) for number, blow in enumerate(blows, start=1)]
    rows = rows or ["No blow was found."]
    place = sheet.place
    row_px = EDGE_PX + max(pen.width_px(row) for row in rows)
    width_px = max(place.right_px + RIGHT_PX, row_px + EDGE_PX, EDGE_PX * 2 + pen.width_px(LEGEND[0], SMALL_PX))
    n_across = max(1, (width_px - EDGE_PX) // row_px)
    n_down = max(-(-len(rows) // n_across), min(len(rows), ONE_COLUMN_ROWS))
    list_px = place.bottom_px + TIME_PX
    page = Image.new("RGB", (width_px, list_px + n_down * LINE_PX + EDGE_PX), PAPER)
    page.paste(_spectrum(sheet), (place.left_px, place.top_px))
    pen.take(ImageDraw.Draw(page, "RGBA"))
    _title(pen, sheet, len(blows), width_px)
    _notes(pen, place)
    _times(pen, sheet)
    _levels(pen, sheet)
    for number, blow in enumerate(blows, start=1):
        _blow(pen, place, number, blow, _room_px(place, blows, number))
    for index, row in enumerate(rows):
        across, down = divmod(index, n_down)
        pen.words(EDGE_PX + across * row_px, list_px + down * LINE_PX + LINE_PX // 2, row, anchor="lm")
    file = io.BytesIO()
    page.save(file, "PNG")
    return file.getvalue()


def grey_of_lightness(lightness: NDArray[np.float64]) -> NDArray[np.uint8]:
    """The grey of a CIE lightness L*, 0 to 100 (ISO/CIE 11664-4), in the sRGB coding of IEC 61966-2-1."""
    luminance = np.where(lightness > 8.0, ((lightness + 16.0) / 116.0) ** 3, lightness / 903.3)
    coded = np.where(luminance > 0.0031308, 1.055 * luminance ** (1.0 / 2.4) - 0.055, 12.92 * luminance)
    return np.round(255.0 * coded).astype(np.uint8)


def _grey(level_dbfs: NDArray[Any], loudest_dbfs: int) -> NDArray[np.uint8]:
    quieter_share = np.clip((loudest_dbfs - level_dbfs) / RANGE_DB, 0.0, 1.0)
    return grey_of_lightness(100.0 * quieter_share)


def _spectrum(sheet: Sheet) -> Any:
    from PIL import Image

    place = sheet.place
    picture = Image.fromarray(np.ascontiguousarray(_grey(sheet.level_dbfs, sheet.loudest_dbfs)[::-1]))
    return picture.resize((place.width_px, place.height_px), Image.Resampling.BILINEAR)


class _Pen:
    """Lines and words on the page; the built-in lettering where DejaVu is missing, which has plain letters only."""

    def __init__(self) -> None:
        self._fonts: dict[int, Any] = {}
        self._plain = False
        self.draw: Any = None

    def take(self, draw: Any) -> None:
        self.draw = draw

    def font(self, size_px: int) -> Any:
        from PIL import ImageFont

        if size_px not in self._fonts:
            try:
                self._fonts[size_px] = ImageFont.truetype(FONT, size_px)
            except OSError:
                self._plain = True
                self._fonts[size_px] = ImageFont.load_default(size_px)
        return self._fonts[size_px]

    def width_px(self, text: str, size_px: int = TEXT_PX) -> int:
        font = self.font(size_px)
        return int(np.ceil(font.getlength(self._written(text))))

    def words(
        self, x_px: float, y_px: float, text: str, size_px: int = TEXT_PX, *, anchor: str = "ls", colour: Any = INK
    ) -> None:
        font = self.font(size_px)
        self.draw.text((x_px, y_px), self._written(text), fill=colour, font=font, anchor=anchor)

    def cased(self, ends_px: tuple[float, float, float, float], colour: Any, width_px: int, dash_px: int = 0) -> None:
        """A level or upright line with paper on both sides, so that it stands out on light and dark."""
        self.draw.line(ends_px, fill=CASING, width=width_px + 2)
        for part in _dashes(ends_px, dash_px):
            self.draw.line(part, fill=colour, width=width_px)

    def _written(self, text: str) -> str:
        text = "".join(sign if sign.isprintable() else "?" for sign in text)
        if not self._plain:
            return text
        return text.replace("♯", "#").replace("−", "-").encode("ascii", "replace").decode("ascii")


def _dashes(ends_px: tuple[float, float, float, float], dash_px: int) -> Iterator[tuple[float, float, float, float]]:
    """The line itself, or every second stretch of it."""
    x0, y0, x1, y1 = ends_px
    length_px = max(abs(x1 - x0), abs(y1 - y0))
    if not dash_px or not length_px:
        yield ends_px
        return
    along = (x1 - x0) / length_px, (y1 - y0) / length_px
    for start in range(0, int(length_px) + 1, 2 * dash_px):
        end = min(start + dash_px, length_px)
        yield x0 + along[0] * start, y0 + along[1] * start, x0 + along[0] * end, y0 + along[1] * end


def _title(pen: _Pen, sheet: Sheet, n_blows: int, width_px: int) -> None:
    name = sheet.name
    while pen.width_px(name, LARGE_PX) > width_px - 2 * EDGE_PX:
        half = len(name) // 2
        name = f"{name[:half - 2]}…{name[half + 1:]}"
    pen.words(EDGE_PX, EDGE_PX + LARGE_PX, name, LARGE_PX)
    blows = f"{n_blows or 'no'} blow{'' if n_blows == 1 else 's'}"
    about = f"{sheet.duration_s:.2f} s, {sheet.sample_rate_hz} Hz, {blows}"
    pen.words(EDGE_PX, EDGE_PX + LARGE_PX + LINE_PX, about, colour=MUTED)


def _notes(pen: _Pen, place: Place) -> None:
    """A line for each equal step, heavier for those without a sign; names to the left, hertz to the right."""
    for octave in range(3, 4 + N_OCTAVES):
        for step in STEPS:
            frequency_hz = note_hz(f"{step}{octave}")
            if not place.holds(frequency_hz):
                continue
            y_px = int(place.y_px(frequency_hz))
            alpha = 150 if step == "C" else 70 if len(step) == 1 else 30
            pen.draw.line((place.left_px, y_px, place.right_px - 1, y_px), fill=(*START, alpha))
            if step in LABELLED:
                pen.draw.line((place.left_px - 8, y_px, place.left_px - 1, y_px), fill=INK)
                size_px = TEXT_PX if step == "C" else SMALL_PX
                colour = INK if step == "C" else MUTED
                pen.words(place.left_px - 14, y_px, f"{step}{octave}", size_px, anchor="rm", colour=colour)
            if step == "C":
                pen.words(place.right_px + 8, y_px, f"{frequency_hz:.0f} Hz", SMALL_PX, anchor="lm", colour=MUTED)


def _times(pen: _Pen, sheet: Sheet) -> None:
    place = sheet.place
    px_per_s = place.x_px(sheet.duration_s) / sheet.duration_s - place.left_px / sheet.duration_s
    step_s = next((step for step in TIME_STEPS_S if step * px_per_s >= TICK_GAP_PX), TIME_STEPS_S[-1])
    for count in range(int(sheet.duration_s / step_s + 1e-9) + 1):
        at_s = count * step_s
        x_px = int(place.x_px(at_s))
        pen.draw.line((x_px, place.bottom_px, x_px, place.bottom_px + 8), fill=INK)
        pen.words(x_px, place.bottom_px + 12, _time_text(at_s, step_s, sheet.in_minutes), SMALL_PX, anchor="ma")
    pen.draw.rectangle((place.left_px - 1, place.top_px - 1, place.right_px, place.bottom_px), outline=INK)
    for down, line in enumerate(LEGEND):
        pen.words(EDGE_PX, place.bottom_px + 50 + 20 * down, line, SMALL_PX, colour=MUTED)


def _time_text(at_s: float, step_s: float, in_minutes: bool) -> str:
    if in_minutes:
        return f"{int(at_s) // 60}:{int(at_s) % 60:02}"
    return f"{at_s:.1f} s" if step_s < 1 else f"{at_s:.0f} s"


def _levels(pen: _Pen, sheet: Sheet) -> None:
    """The scale of level, loudest at the top."""
    from PIL import Image

    place = sheet.place
    left_px, top_px, width_px, height_px = place.right_px + 90, place.top_px + 24, 18, 5 * RANGE_DB
    bar = sheet.loudest_dbfs - np.arange(height_px)[:, np.newaxis] * RANGE_DB / (height_px - 1)
    grey = _grey(np.repeat(bar, width_px, axis=1), sheet.loudest_dbfs)
    pen.draw.bitmap((left_px, top_px), Image.fromarray(255 - grey), fill=(0, 0, 0))
    pen.draw.rectangle((left_px - 1, top_px - 1, left_px + width_px, top_px + height_px), outline=INK)
    pen.words(left_px, top_px - 10, "dBFS", SMALL_PX)
    for down in range(0, RANGE_DB + 1, 10):
        y_px = top_px + round(down * (height_px - 1) / RANGE_DB)
        pen.draw.line((left_px + width_px, y_px, left_px + width_px + 6, y_px), fill=INK)
        text = f"{sheet.loudest_dbfs - down:d}".replace("-", "−")
        pen.words(left_px + width_px + 10, y_px, text, SMALL_PX, anchor="lm")


def _blow(pen: _Pen, place: Place, number: int, blow: Blow, room_px: float) -> None:
    """Its start and end, its note across the spectrum, a bar above, and as many words as there is room for."""
    start_px, end_px = int(place.x_px(blow.start_s)), int(place.x_px(blow.end_s))
    if end_px - start_px >= NARROW_PX:
        pen.cased((start_px, place.top_px, start_px, place.bottom_px - 1), START, 1)
        pen.cased((end_px, place.top_px, end_px, place.bottom_px - 1), START, 1, 6)
    if blow.heard_hz is not None and place.holds(blow.heard_hz):
        y_px = int(place.y_px(blow.heard_hz))
        pen.cased((start_px, y_px, end_px, y_px), NOTE, BIN_PX, 0 if blow.usable else 7)
    bar = (start_px, place.top_px - 14, max(end_px, start_px + 2), place.top_px - 5)
    pen.draw.rectangle(bar, outline=START, fill=START if blow.usable else PAPER)
    if not blow.usable:
        for x_px in range(bar[0] + 4, bar[2], 6):
            pen.draw.line((x_px, bar[1], x_px, bar[3]), fill=START)
    note, words = f"{number}  {note_text(blow)}", _words(blow)
    if pen.width_px(note) <= room_px:
        fits = pen.width_px(words, SMALL_PX) <= room_px
        pen.words(start_px, place.top_px - 42 if fits else place.top_px - 22, note)
        pen.words(start_px, place.top_px - 22, words if fits else "", SMALL_PX)
    elif pen.width_px(str(number), SMALL_PX) <= room_px:
        pen.words(start_px, place.top_px - 22, str(number), SMALL_PX)


def _room_px(place: Place, blows: Sequence[Blow], number: int) -> float:
    """From the start of this blow to the next one's; the last may write over the edge of the plot."""
    here_px = place.x_px(blows[number - 1].start_s)
    if number == len(blows):
        return place.right_px + RIGHT_PX - EDGE_PX - here_px
    return place.x_px(blows[number].start_s) - here_px - 6.0


def note_text(blow: Blow) -> str:
    """ "F♯5 −3.2 cents": the nearest note of the equal scale, and how far off it."""
    if blow.heard_hz is None:
        return "no note"
    note = nearest_note(blow.heard_hz)
    return f"{note} {note.deviation_cents:+.1f} cents".replace("-", "−")


def _words(blow: Blow) -> str:
    return blow_reason(blow) if blow.usable else f"not usable: {blow_reason(blow)}"


def _row_text(number: int, blow: Blow, in_minutes: bool) -> str:
    span = f"{_clock_text(blow.start_s, in_minutes)} to {_clock_text(blow.end_s, in_minutes)}"
    sounded = "no note" if blow.heard_hz is None else f"{note_text(blow)} ({blow.heard_hz:.1f} Hz)"
    return f"{number}   {span}{'' if in_minutes else ' s'}   {sounded}   {_words(blow)}"


def _clock_text(at_s: float, in_minutes: bool) -> str:
    hundredths = round(100.0 * at_s)
    if not in_minutes:
        return f"{hundredths / 100:.2f}"
    return f"{hundredths // 6000}:{hundredths % 6000 // 100:02}.{hundredths % 100:02}"
