"""The step sheet: every step with its number, a box to tick, and its caution beside it."""
from __future__ import annotations

from app.paper.cautioned import caution_height_mm, draw_caution
from app.paper.drawing import leading_mm, paragraph_height_mm
from app.paper.flow import TICK_MM, Flow
from app.paper.heading import refused
from app.paper.job import Job
from app.paper.model import Sheet, Weight
from app.paper.work_steps import Step, steps_of

NUMBER_PT, TITLE_PT, WORDS_PT = 20.0, 13.0, 11.0
_NUMBER_MM, _GAP_MM, _AFTER_MM = 14.0, 5.0, 5.0
_WORDS_SHARE = 0.52  # of what is right of the number; the caution has the rest


def steps(job: Job) -> Sheet:
    flow = Flow(job, "steps", "Step by step")
    flow.room = refused(job, flow.drawing, flow.room)
    flow.y_mm = flow.room.top_mm
    for number, step in enumerate(steps_of(job), 1):
        _draw(flow, number, step)
    return flow.sheet()


def _draw(flow: Flow, number: int, step: Step) -> None:
    words_mm = (flow.room.width_mm - _NUMBER_MM - _GAP_MM) * _WORDS_SHARE
    caution_mm = flow.room.width_mm - _NUMBER_MM - _GAP_MM - words_mm
    height_mm = max(_words_height_mm(step, words_mm),
                    0.0 if step.caution is None else caution_height_mm(step.caution, caution_mm), 2.0 * TICK_MM + 6.0)
    flow.need(height_mm)
    top_mm, left_mm = flow.y_mm, flow.left_mm + _NUMBER_MM
    flow.drawing.write(flow.left_mm, top_mm + 5.8, str(number), NUMBER_PT, bold=True)
    flow.tick(flow.left_mm + 0.6, top_mm + 9.0)
    below_mm = flow.drawing.paragraph(left_mm, top_mm, step.title, TITLE_PT, words_mm, bold=True)
    for words in step.words:
        below_mm = flow.drawing.paragraph(left_mm, below_mm + 0.6, words, WORDS_PT, words_mm)
    if step.caution is not None:
        draw_caution(flow.drawing, step.caution, left_mm + words_mm + _GAP_MM, top_mm, caution_mm)
    rule_mm = top_mm + height_mm + _AFTER_MM / 2.0
    if rule_mm < flow.room.bottom_mm:
        flow.drawing.line(flow.left_mm, rule_mm, flow.right_mm, rule_mm, Weight.THIN)
    flow.space(height_mm + _AFTER_MM)


def _words_height_mm(step: Step, room_mm: float) -> float:
    title_mm = paragraph_height_mm(step.title, TITLE_PT, room_mm, True)
    return title_mm + sum(0.6 + paragraph_height_mm(words, WORDS_PT, room_mm) for words in step.words) + (
        leading_mm(WORDS_PT) * 0.2
    )
