"""The lengthwise cut through the bore that is meant, to scale, with a rule beneath it."""
from __future__ import annotations

import math
from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPolygonF

from app.ui import stops
from app.ui.painted import MIDDLE, RIGHT, Painted, Pencil
from app.ui.rule import RULE_HEIGHT_PX, draw_rule
from app.ui.wood import long_grain
from app.view import Section

CAPTION_PX = 13
RULE_GAP_PX = 6
LEAST_BODY_PX = 44
TAIL_ROOM_MM = 13.0  # kept free at the plug end for a tail, a scrap or a finger
WINDWAY_MM = 1.2  # drawn height of the slit over the fipple's flat


@dataclass(frozen=True)
class Scale:
    """From millimetres of wood to pixels of the picture."""

    left_px: float
    top_px: float
    px_per_mm: float

    def x(self, from_mouthpiece_mm: float) -> float:
        return self.left_px + from_mouthpiece_mm * self.px_per_mm

    def y(self, below_top_mm: float) -> float:
        return self.top_px + below_top_mm * self.px_per_mm

    def rect(self, x_mm: float, y_mm: float, width_mm: float, height_mm: float) -> QRectF:
        return QRectF(self.x(x_mm), self.y(y_mm), width_mm * self.px_per_mm, height_mm * self.px_per_mm)


class SectionPicture(Painted):
    """Fipple, window, lip, air, plug and tail; waste is hatched, a goal further in is dashed."""

    def __init__(self) -> None:
        super().__init__("Lengthwise cut through the bore")
        self._section: Section | None = None

    def show_section(self, section: Section | None) -> None:
        self._section = section
        self.tell(description(section))

    def px_per_mm(self) -> float:
        """How large a millimetre is here: the closer view is so many times this."""
        section = self._section
        if section is None:
            return self.width() / 170
        caption_px = self.dress.text_px(CAPTION_PX) * 1.5
        by_height = (self.height() - caption_px - self._rule_height()) / self._across_mm()
        return max(0.5, min(self._px_per_mm_across(self.width()), by_height))

    def wanted_height(self, width_px: float) -> float:
        """Height at which the cut fills the width."""
        cut_px = self._px_per_mm_across(width_px) * self._across_mm()
        return self.dress.text_px(CAPTION_PX) * 1.5 + cut_px + self._rule_height()

    def least_height(self) -> float:
        """Caption, a body that still shows its parts, rule."""
        return self.dress.text_px(CAPTION_PX) * 1.5 + self.dress.px(LEAST_BODY_PX) + self._rule_height()

    def _px_per_mm_across(self, width_px: float) -> float:
        body_mm = self._section.body_mm if self._section else 160.0
        return (width_px - self._left_px() - self.dress.px(2)) / (body_mm + TAIL_ROOM_MM)

    def _rule_height(self) -> float:
        return self.dress.px(RULE_HEIGHT_PX + RULE_GAP_PX + 2) + self.dress.text_px(12) * 1.3

    def _left_px(self) -> float:
        return self.dress.px(6) + self.dress.text_px(12 if self.dress.inches else 5)

    def end_point(self) -> QPointF:
        """Where the arrow from the plug end arrives."""
        return QPointF(self._left_px() - self.dress.px(5), self._scale().y(self._across_mm() / 2))

    def _across_mm(self) -> float:
        return self._section.bore_mm + 2 * self._section.wall_mm if self._section else 24.0

    def _scale(self) -> Scale:
        return Scale(self._left_px(), self.dress.text_px(CAPTION_PX) * 1.5, self.px_per_mm())

    def draw(self, pencil: Pencil) -> None:
        section = self._section
        if section is None:
            return
        scale = self._scale()
        body_end_px = scale.x(section.body_mm + TAIL_ROOM_MM)
        caption = QRectF(scale.left_px, 0, body_end_px - scale.left_px, self.dress.text_px(CAPTION_PX) * 1.4)
        pencil.words(caption, "mouthpiece end", CAPTION_PX, "muted")
        end_words = "plug end, tail out" if section.tail else "plug end"
        pencil.words(caption, end_words, CAPTION_PX, "muted", align=RIGHT)
        self._draw_body(pencil, section, scale)
        stops.draw_stop(pencil, section, scale)
        self._write_air(pencil, section, scale)
        rule_left = QPointF(scale.left_px, scale.y(self._across_mm()) + self.dress.px(RULE_GAP_PX))
        draw_rule(pencil, rule_left, section.body_mm, scale.px_per_mm)

    def _draw_body(self, pencil: Pencil, section: Section, scale: Scale) -> None:
        painter, across_mm = pencil.painter, self._across_mm()
        body = scale.rect(0, 0, section.body_mm, across_mm)
        long_grain(painter, body, self.dress, seed=4)
        painter.setPen(pencil.stroke("edge", 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(body)
        bore = scale.rect(0, section.wall_mm, section.body_mm, section.bore_mm)
        painter.setBrush(pencil.palette["air"])
        painter.drawRect(bore)
        self._draw_fipple(pencil, section, scale)
        self._draw_window(pencil, section, scale)

    def _draw_fipple(self, pencil: Pencil, section: Section, scale: Scale) -> None:
        fipple = scale.rect(0, section.wall_mm + WINDWAY_MM, section.fipple_mm, section.bore_mm - WINDWAY_MM)
        long_grain(pencil.painter, fipple, self.dress, ground="plug", grain="plug_grain", seed=9)
        pencil.painter.setPen(pencil.stroke("edge", 1.3))
        pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
        pencil.painter.drawRect(fipple)

    def _draw_window(self, pencil: Pencil, section: Section, scale: Scale) -> None:
        """The opening: square at the fipple's face, the lip sloping up and away from it."""
        lip_mm = section.fipple_mm + section.window_mm
        run_mm = section.wall_mm / math.tan(math.radians(max(8.0, section.lip_slope_deg)))
        points = [(section.fipple_mm, 0), (section.fipple_mm, section.wall_mm), (lip_mm, section.wall_mm),
                  (lip_mm + run_mm, 0)]
        shape = [QPointF(scale.x(x_mm), scale.y(y_mm)) for x_mm, y_mm in points]
        painter = pencil.painter
        lift = QPointF(0, self.dress.px(1.6))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(pencil.palette["paper"])
        painter.drawPolygon(QPolygonF([shape[0] - lift, shape[1], shape[2], shape[3] - lift]))
        painter.fillRect(QRectF(shape[1], shape[2]).adjusted(0, -lift.y(), 0, lift.y()), pencil.palette["air"])
        painter.setPen(pencil.stroke("edge", 1.3))
        painter.drawPolyline(QPolygonF([shape[0], shape[1] + lift]))
        painter.drawPolyline(QPolygonF([shape[3], shape[2]]))

    def _write_air(self, pencil: Pencil, section: Section, scale: Scale) -> None:
        face_mm = section.body_mm - (section.depth_mm or 0.0)
        air = scale.rect(section.fipple_mm, section.wall_mm, face_mm - section.fipple_mm, section.bore_mm)
        pencil.words(air, section.air_text, 14, "muted", align=MIDDLE, middle=True)


def description(section: Section | None) -> str:
    """The picture in words."""
    if section is None:
        return "no bore is meant now"
    if section.stop == "open":
        return f"the far end is open, {section.air_text}"
    depth = f", face {section.depth_mm:.1f} mm inside the plug end" if section.depth_mm else ""
    return f"closed by {section.stop}{depth}, {section.air_text}"
