"""The session on paper: before and after in a sentence, the plot, the table. Lines are told apart by mark and dash."""
from __future__ import annotations

from typing import Final

from app.paper.drawing import Drawing
from app.paper.flow import Column, Flow
from app.paper.job import Job
from app.paper.lettering import width_mm
from app.paper.model import Align, Box, Sheet, Stroke, Weight
from app.story_plot import PlotLayout, PlotPoint, plot_of
from app.story_readings import Story
from app.story_words import HEADINGS, air_words, cells, story_sentence

PLOT_HIGH_MM: Final = 92.0
LETTER_MM: Final = 16.0  # beside the plot, for letters
SCALE_MM: Final = 17.0  # beside it, for the figures
AIR_MM: Final = 9.0
SMALL_PT: Final = 7.5
MARK_MM: Final = 1.1
SHARES: Final = (0.7, 1.6, 1.9, 1.9, 0.8, 1.5)
LINES: Final = (  # by chamber, the lowest first
    (Stroke.WHOLE, Weight.PLAIN), (Stroke.DASHED, Weight.PLAIN), (Stroke.CENTRE, Weight.PLAIN),
    (Stroke.WHOLE, Weight.THIN), (Stroke.DASHED, Weight.THIN), (Stroke.CENTRE, Weight.THIN),
)  # fmt: skip
# Corners in half-widths; None is a ring, and the first chamber's is a dot.
MARKS: Final[tuple[tuple[tuple[float, float], ...] | None, ...]] = (
    None, ((-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)), ((0.0, -1.3), (1.25, 1.0), (-1.25, 1.0)),
    ((0.0, -1.4), (1.4, 0.0), (0.0, 1.4), (-1.4, 0.0)), ((0.0, 1.3), (1.25, -1.0), (-1.25, -1.0)), None,
)  # fmt: skip
HOW_TO_READ = (
    "Upward is sharp, in cents off the note that is aimed at; near the note the scale is even, further off its lines "
    "draw together. After ± stands the standard error by the scatter from blow to blow: what a finger or a breath "
    "always does alike is not in it. One degree of air is about 3 cents for all chambers alike: compare intervals, "
    "not days."
)


def session(job: Job, story: Story) -> Sheet:
    flow = Flow(job, "session", "Before and after")
    flow.paragraph(story_sentence(story), bold=True)
    flow.space(1.5)
    if story.steps:
        flow.need(PLOT_HIGH_MM)
        room = Box(flow.left_mm, flow.y_mm, flow.right_mm, flow.y_mm + PLOT_HIGH_MM)
        _Plot(flow.drawing, plot_of(story), room).draw()
        flow.space(PLOT_HIGH_MM + 2.0)
    flow.paragraph(HOW_TO_READ, 8.0)
    flow.space(2.0)
    lowest = story.letters[0]
    columns = [
        Column(heading.format(home=lowest), share, Align.LEFT) for heading, share in zip(HEADINGS, SHARES, strict=True)
    ]
    flow.table(columns, [list(cells(reading, lowest)) for reading in story.readings])
    return flow.sheet()


class _Plot:
    """Draws one layout into one room."""

    def __init__(self, drawing: Drawing, layout: PlotLayout, room: Box) -> None:
        self._drawing, self._layout, self._room = drawing, layout, room
        under_mm = 5.0 + (AIR_MM + 6.0 if layout.airs else 0.0)
        self._field = Box(room.left_mm + SCALE_MM, room.top_mm + 5.0, room.right_mm - LETTER_MM,
                          room.bottom_mm - under_mm)

    def draw(self) -> None:
        self._scale()
        self._columns()
        for number, points in enumerate(self._layout.lines.values()):
            self._line(number, points)
        self._letters()
        self._air()

    def _at(self, point: PlotPoint) -> tuple[float, float]:
        return (self._field.left_mm + point.x * self._field.width_mm,
                self._field.top_mm + point.y * self._field.height_mm)

    def _scale(self) -> None:
        field, taken = self._field, []
        for cents, y in sorted(self._layout.scale, key=lambda each: abs(each[0])):
            at_mm = field.top_mm + y * field.height_mm
            self._drawing.line(field.left_mm, at_mm, field.right_mm, at_mm,
                               Weight.STRONG if cents == 0.0 else Weight.THIN)
            if all(abs(at_mm - other) >= 3.4 for other in taken):
                taken.append(at_mm)
                words = "its note" if cents == 0.0 else f"{abs(cents):.0f}"
                self._drawing.write(field.left_mm - 2.0, at_mm + 1.0, words, SMALL_PT, align=Align.RIGHT)
        self._drawing.write(self._room.left_mm, self._room.top_mm + 2.6, "cents sharp", SMALL_PT)
        self._drawing.write(self._room.left_mm, field.bottom_mm + 3.8, "cents flat", SMALL_PT)

    def _columns(self) -> None:
        """Names as far as they have room, the last one always."""
        free_until_mm, first_mm = self._room.right_mm, self._field.left_mm + 1.0
        for x, name in reversed(self._layout.columns):
            at_mm = self._field.left_mm + x * self._field.width_mm
            self._drawing.line(at_mm, self._field.bottom_mm, at_mm, self._field.bottom_mm + 1.0, Weight.THIN)
            wide_mm = width_mm(name, SMALL_PT)
            middle_mm = min(at_mm, self._room.right_mm - wide_mm / 2.0)
            if middle_mm + wide_mm / 2.0 <= free_until_mm and middle_mm - wide_mm / 2.0 >= first_mm:
                free_until_mm = middle_mm - wide_mm / 2.0 - 1.2
                self._drawing.write(middle_mm, self._field.bottom_mm + 3.8, name, SMALL_PT, align=Align.MIDDLE)

    def _line(self, number: int, points: tuple[PlotPoint, ...]) -> None:
        stroke, weight = LINES[number]
        places = [self._at(point) for point in points]
        for start, end in zip(places, places[1:], strict=False):
            self._drawing.line(*start, *end, weight, stroke)
        for place in places:
            self._mark(number, *place)

    def _mark(self, number: int, x_mm: float, y_mm: float) -> None:
        corners = MARKS[number]
        if corners is None:
            if number == 0:
                self._drawing.dot(x_mm, y_mm, MARK_MM)
            else:
                self._drawing.circle(x_mm, y_mm, MARK_MM)
            return
        at = [(x_mm + x * MARK_MM, y_mm + y * MARK_MM) for x, y in corners]
        for start, end in zip(at, (*at[1:], at[0]), strict=True):
            self._drawing.line(*start, *end)

    def _letters(self) -> None:
        """Beside the field, as high as the last point, never over one another."""
        ends = sorted((self._at(points[-1])[1], number, letter, self._at(points[-1])[0])
                      for number, (letter, points) in enumerate(self._layout.lines.items()) if points)
        lowest_mm = self._field.bottom_mm - 5.0 * len(ends)
        last_mm = self._field.top_mm - 5.0
        for place, (at_mm, number, letter, end_mm) in enumerate(ends):
            here_mm = max(last_mm + 5.0, min(at_mm, lowest_mm + 5.0 * (place + 1)))
            last_mm = here_mm
            self._drawing.line(end_mm + 2.0, at_mm, self._field.right_mm, at_mm, Weight.THIN, Stroke.DASHED)
            self._drawing.line(self._field.right_mm, at_mm, self._field.right_mm + 4.0, here_mm, Weight.THIN,
                               Stroke.DASHED)
            self._mark(number, self._field.right_mm + 6.5, here_mm)
            self._drawing.write(self._field.right_mm + 9.5, here_mm + 1.4, letter, 11.0, bold=True)

    def _air(self) -> None:
        """The coolest and the warmest of each column to a scale of its own, with figures as far as they have room."""
        airs, field = self._layout.airs, self._field
        if not airs:
            return
        top_mm = self._room.bottom_mm - AIR_MM
        low, high = min(low for _, low, _ in airs), max(high for *_, high in airs)
        middle, span = (low + high) / 2.0, max(high - low, 2.0)
        self._drawing.write(self._room.left_mm, top_mm + 3.0, "air, °C", SMALL_PT)
        free_from_mm = field.left_mm - 6.0
        for x, coolest, warmest in airs:
            at_mm = field.left_mm + x * field.width_mm
            ends = [top_mm + AIR_MM * (0.5 - 0.9 * (air - middle) / span) for air in (coolest, warmest)]
            self._drawing.line(at_mm, ends[0] + 0.3, at_mm, ends[1] - 0.3, Weight.HEAVY)
            words = air_words(warmest) if warmest - coolest < 0.05 else f"{coolest:.1f} to {warmest:.1f}"
            wide_mm = width_mm(words, SMALL_PT)
            middle_mm = min(at_mm, self._room.right_mm - wide_mm / 2.0)
            if middle_mm - wide_mm / 2.0 >= free_from_mm:
                free_from_mm = middle_mm + wide_mm / 2.0 + 1.2
                self._drawing.write(middle_mm, top_mm - 1.2, words, SMALL_PT, align=Align.MIDDLE)
