"""The whole whistle lengthwise, to scale: mouthpiece with its hollow, tenons, two bores, cap, and the bit's reach."""
from __future__ import annotations

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPolygonF

from app.remark import Lengths
from app.ui.painted import MIDDLE, Painted, Pencil, words_height
from app.ui.wood import hatch, long_grain
from app.whistle import Chamber, Whistle
from app.whole_plan import WorkPlan
from app.window_plan import WindowPlan

CAPTION_PX, FIGURE_PX = 14.0, 14.0
LEAST_WIDTH_PX, LEAST_HEIGHT_PX = 330, 170
BIT_ROOM_PX = 16.0


class LengthPicture(Painted):
    """A cut through chamber A, and through the one opposite where there is one; windows are open upward."""

    def __init__(self) -> None:
        super().__init__("Whistle lengthwise, to scale")
        self._drawn: tuple[WorkPlan, Whistle] | None = None
        self._say = Lengths("mm")
        self.setMinimumSize(QSize(LEAST_WIDTH_PX, LEAST_HEIGHT_PX))

    def show_plan(self, plan: WorkPlan | None, whistle: Whistle | None, units: str) -> None:
        self._drawn = None if plan is None or whistle is None else (plan, whistle)
        self._say = Lengths(units)
        self.tell(self._figures())

    def _figures(self) -> str:
        if self._drawn is None:
            return ""
        (plan, whistle), say = self._drawn, self._say
        parts = [f"body {say.size(plan.body.length_mm)}", f"bore A {say.size(whistle.chambers[0].bore_length_mm)}"]
        reach_mm = whistle.stock.bit_reach_mm
        if reach_mm is not None:
            parts.append(f"the bit reaches {say.size(reach_mm)}")
        return ", ".join(parts)

    def draw(self, pencil: Pencil) -> None:
        caption = f"lengthwise, to scale: {self._figures()}" if self._drawn else "lengthwise"
        caption_px = words_height(caption, self.dress.text_px(CAPTION_PX), self.width()) + self.dress.px(4)
        pencil.words(QRectF(0, 0, self.width(), caption_px), caption, CAPTION_PX, "muted", align=MIDDLE)
        if self._drawn is None:
            return
        plan, whistle = self._drawn
        first_mm, last_mm = _span_mm(plan, whistle)
        across_mm = plan.body.diameter_mm
        below_px = self.dress.px(BIT_ROOM_PX)
        scale = min((self.width() - 6) / (last_mm - first_mm), (self.height() - caption_px - below_px - 6) / across_mm)
        left_px = (self.width() - scale * (last_mm - first_mm)) / 2 - first_mm * scale
        axis_px = caption_px + (self.height() - caption_px - below_px) / 2
        ruled = _Ruled(scale, left_px, axis_px)
        _draw_ends(pencil, ruled, plan, whistle)
        _draw_body(pencil, ruled, plan, whistle)
        n_bores = len(whistle.chambers)
        for at, side in ((0, 1),) if n_bores % 2 else ((0, 1), (n_bores // 2, -1)):
            place_mm = (plan.body.circle_radius_mm, across_mm / 2, side)
            _draw_bore(pencil, ruled, whistle.chambers[at], plan.windows[at], place_mm)
        if whistle.stock.bit_reach_mm is not None:
            self._draw_reach(pencil, ruled, plan, whistle.stock.bit_reach_mm)

    def _draw_reach(self, pencil: Pencil, ruled: _Ruled, plan: WorkPlan, reach_mm: float) -> None:
        """How far the longest bit comes from the plug end; what it leaves is hatched."""
        length_mm, half_px = plan.body.length_mm, self.dress.px(5)
        y_px = ruled.y(-plan.body.diameter_mm / 2) + self.dress.px(BIT_ROOM_PX * 0.6)
        from_px, to_px = ruled.x(max(0.0, length_mm - reach_mm)), ruled.x(length_mm)
        pencil.painter.setPen(pencil.stroke("ink", 2.0))
        pencil.painter.drawLine(QPointF(from_px, y_px), QPointF(to_px, y_px))
        for x_px in (from_px, to_px):
            pencil.painter.drawLine(QPointF(x_px, y_px - half_px), QPointF(x_px, y_px + half_px))
        if reach_mm < length_mm:
            left = QRectF(ruled.x(0.0), y_px - half_px, from_px - ruled.x(0.0), 2 * half_px)
            hatch(pencil.painter, left, self.dress, gap_design_px=5)


class _Ruled:
    """From mm along the body and out from its axis to pixels."""

    def __init__(self, scale: float, left_px: float, axis_px: float) -> None:
        self.scale, self._left_px, self._axis_px = scale, left_px, axis_px

    def x(self, along_mm: float) -> float:
        return self._left_px + along_mm * self.scale

    def y(self, out_mm: float) -> float:
        return self._axis_px - out_mm * self.scale

    def rect(self, from_mm: float, to_mm: float, half_mm: float) -> QRectF:
        return QRectF(QPointF(self.x(from_mm), self.y(half_mm)), QPointF(self.x(to_mm), self.y(-half_mm)))

    def band(self, from_mm: float, to_mm: float, one_mm: float, other_mm: float) -> QRectF:
        return QRectF(QPointF(self.x(from_mm), self.y(one_mm)), QPointF(self.x(to_mm), self.y(other_mm))).normalized()


def _span_mm(plan: WorkPlan, whistle: Whistle) -> tuple[float, float]:
    """From the mouthpiece's tip to the cap's end, measured from the body's mouthpiece end."""
    body, tenon_mm, length_mm = whistle.body, whistle.body.tenon_length_mm or 0.0, plan.body.length_mm
    first_mm = min(0.0, tenon_mm - (body.mouthpiece_length_mm or 0.0))
    return first_mm, max(length_mm, length_mm - tenon_mm + (body.cap_length_mm or 0.0))


def _draw_body(pencil: Pencil, ruled: _Ruled, plan: WorkPlan, whistle: Whistle) -> None:
    """Turned down at both ends where there are tenons."""
    length_mm, half_mm = plan.body.length_mm, plan.body.diameter_mm / 2
    tenon_mm = whistle.body.tenon_length_mm or 0.0
    thin_mm = (whistle.body.tenon_diameter_mm or 2 * half_mm) / 2
    for from_mm, to_mm, out_mm in (
        (0.0, tenon_mm, thin_mm), (length_mm - tenon_mm, length_mm, thin_mm), (tenon_mm, length_mm - tenon_mm, half_mm),
    ):  # fmt: skip
        if to_mm > from_mm:
            _wood(pencil, ruled.rect(from_mm, to_mm, out_mm), "wood", 2)


def _draw_ends(pencil: Pencil, ruled: _Ruled, plan: WorkPlan, whistle: Whistle) -> None:
    """Mouthpiece with mortise and hollow, cap with mortise; only what has a length."""
    body, length_mm, half_mm = whistle.body, plan.body.length_mm, plan.body.diameter_mm / 2
    tenon_mm = body.tenon_length_mm or 0.0
    mortise_mm, thin_mm = body.mortise_depth_mm or tenon_mm, (body.tenon_diameter_mm or 2 * half_mm) / 2
    if body.mouthpiece_length_mm is not None:
        _wood(pencil, ruled.rect(tenon_mm - body.mouthpiece_length_mm, tenon_mm, half_mm), "plug", 5)
        _air(pencil, ruled.rect(tenon_mm - mortise_mm, tenon_mm, thin_mm))
    if body.cap_length_mm is not None:
        begin_mm = length_mm - tenon_mm
        _wood(pencil, ruled.rect(begin_mm, begin_mm + body.cap_length_mm, half_mm), "plug", 6)
        _air(pencil, ruled.rect(begin_mm, begin_mm + min(mortise_mm, body.cap_length_mm), thin_mm))
    if body.mouthpiece_chamber_diameter_mm is not None:
        deep_mm = body.mouthpiece_chamber_depth_mm or 2.0
        _air(pencil, ruled.rect(-deep_mm, 0.0, body.mouthpiece_chamber_diameter_mm / 2))


def _wood(pencil: Pencil, at: QRectF, ground: str, seed: int) -> None:
    long_grain(pencil.painter, at, pencil.dress, ground=ground, grain="grain" if ground == "wood" else "plug_grain",
               seed=seed)
    pencil.painter.setBrush(Qt.BrushStyle.NoBrush)
    pencil.painter.setPen(pencil.stroke("edge", 1.4))
    pencil.painter.drawRect(at)


def _air(pencil: Pencil, at: QRectF) -> None:
    pencil.painter.setBrush(pencil.palette["air"])
    pencil.painter.setPen(pencil.stroke("edge", 1.2))
    pencil.painter.drawRect(at)


def _draw_bore(
    pencil: Pencil, ruled: _Ruled, chamber: Chamber, window: WindowPlan, place_mm: tuple[float, float, int]
) -> None:
    """Bore, fipple with its windway, window and the slope down to the lip."""
    circle_mm, half_mm, side = place_mm
    top_mm, bottom_mm = side * (circle_mm + chamber.bore_mm / 2), side * (circle_mm - chamber.bore_mm / 2)
    fipple_mm, lip_mm = window.fipple_line_mm, window.lip_line_mm
    _air(pencil, ruled.band(max(0.0, fipple_mm - window.fipple_length_mm), fipple_mm + chamber.bore_length_mm, top_mm,
                            bottom_mm))
    _wood(pencil, ruled.band(fipple_mm - window.fipple_length_mm, fipple_mm, top_mm - side * window.flat_mm, bottom_mm),
          "plug", 7)
    painter = pencil.painter
    painter.setPen(pencil.stroke("edge", 1.2))
    painter.setBrush(pencil.palette["air"])
    rim_mm = side * half_mm
    painter.drawPolygon(QPolygonF([
        QPointF(ruled.x(fipple_mm), ruled.y(top_mm)), QPointF(ruled.x(fipple_mm), ruled.y(rim_mm)),
        QPointF(ruled.x(window.ramp_line_mm), ruled.y(rim_mm)), QPointF(ruled.x(lip_mm), ruled.y(top_mm)),
    ]))  # fmt: skip
    size_px = pencil.dress.text_px(FIGURE_PX)
    middle = QPointF(ruled.x(fipple_mm + chamber.bore_length_mm * 0.6), ruled.y((top_mm + bottom_mm) / 2))
    frame = QRectF(middle.x() - size_px, middle.y() - size_px * 0.75, size_px * 2, size_px * 1.5)
    pencil.words(frame, chamber.letter, FIGURE_PX, bold=True, align=MIDDLE, middle=True)
