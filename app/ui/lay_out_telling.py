"""From what stands in the fields to what is told beside them: plan, reach, choices, pictures and papers."""
from __future__ import annotations

from typing import TYPE_CHECKING

from app.choices_of_chord import choices, compass, most_chambers
from app.description import Description, described
from app.errors import WorldError
from app.lay_out_words import (
    body_line,
    breath_line,
    chord_line,
    drift_line,
    fit_lines,
    graded_heights_mm,
    memory_line,
    reach_lines,
    roots_in_reach,
    roots_line,
    sound_remarks,
    suggested_name,
    window_line,
    wood_remarks,
    worked_out,
)
from app.learned import Learned
from app.lengths import length_text
from app.nearest_wish import nearest_wish, nothing_fits
from app.ui.lay_out_pages import PAPERS, Pages
from app.ui.paper_out import ask_for_folder, ask_for_pdf, ask_to_print
from app.whistle import Whistle
from app.whole_plan import WorkPlan
from app.work_plan import work_plan

if TYPE_CHECKING:
    from app.choices_of_chord import ChordChoice
    from app.paper.job import Job
    from app.paper.model import Sheet as PaperSheet
    from app.shelf import Shelf
    from app.ui.whistle_form import WhistleForm

NOT_YET = "Not known yet. "


class Telling:
    """Holds nothing but what it told last."""

    def __init__(self, form: WhistleForm, pages: Pages, shelf: Shelf) -> None:
        self._form, self._pages, self._shelf = form, pages, shelf
        self._plan: WorkPlan | None = None
        self._paper: PaperSheet | None = None
        pages.sound_side.grading_asked.connect(self._grade)
        pages.sound_side.choice_taken.connect(self._take)
        pages.papers.touched.connect(self._tell_paper)
        pages.papers.print_asked.connect(self._print)
        pages.papers.save_asked.connect(self._keep)
        pages.papers.all_asked.connect(self._keep_all)

    def tell(self) -> None:
        """All of it, or the first thing that is still missing or wrong."""
        try:
            description = self._form.description()
            whistle = described(description, self._form.settings.units)
            learned = self._shelf.learned(whistle)
            self._plan = work_plan(whistle, learned.priors, self._word_units())
            self._tell_sound(description, whistle, self._plan, learned)
        except (WorldError, ValueError) as refusal:
            self._plan = None
            self._pages.sound_side.show_words((NOT_YET + str(refusal),), ())
            self._pages.wood_side.show_plan(None, None, self._word_units())
            self._pages.wood_side.show_words((NOT_YET + str(refusal),), ())
        else:
            self._tell_wood(whistle, self._plan)
        self._tell_paper()

    def _word_units(self) -> str:
        return "inch" if self._form.settings.units == "inch" else "mm"

    def _tell_sound(self, description: Description, whistle: Whistle, plan: WorkPlan, learned: Learned) -> None:
        units, fields, side = self._word_units(), self._pages.sound, self._pages.sound_side
        room, n_most, chord = compass(whistle, learned.priors), most_chambers(whistle), description.chord
        targets_hz = [chamber.target_hz for chamber in whistle.chambers]
        fields.chord.told.setText(chord_line(chord, targets_hz, whistle.a4_hz))
        fields.name.setPlaceholderText(suggested_name(chord, [chamber.note for chamber in whistle.chambers]))
        offered = choices(room, n_most, whistle.a4_hz)
        roots = "" if offered or chord is not None else nothing_fits(whistle, None, learned.priors, units)
        if chord is not None:
            own = next(iter(choices(room, len(chord.equal_steps), whistle.a4_hz, (chord,))), None)
            nearest = nearest_wish(chord, targets_hz[0], whistle, learned.priors, units)
            roots = roots_line(own, room, nearest) or nothing_fits(whistle, chord, learned.priors, units)
            fields.chord.show_roots(roots_in_reach(own, room, whistle.a4_hz))
        side.show_choices(offered)
        side.show_words(
            (" ".join(filter(None, (roots, memory_line(learned)))), "\n".join(reach_lines(plan)),
             *sound_remarks(plan.remarks)),
            (window_line(plan, units), breath_line(plan, units)),
        )

    def _tell_wood(self, whistle: Whistle, plan: WorkPlan) -> None:
        units, side, body = self._word_units(), self._pages.wood_side, plan.body
        side.show_plan(plan, whistle, units)
        side.show_words(
            tuple(wood_remarks(plan.remarks, grave=True)),
            (body_line(plan, units), drift_line(plan, units), *fit_lines(plan, units),
             *wood_remarks(plan.remarks, grave=False)),
        )
        self._pages.wood.show_worked_out({
            "diameter_mm": worked_out(body.diameter_mm, units, least=True),
            "length_mm": worked_out(body.length_mm, units, least=True),
            "circle_radius_mm": worked_out(body.circle_radius_mm, units),
            "least_wall_mm": worked_out(body.least_wall_mm, units), "grip_diameter_mm": worked_out(body.grip_mm, units),
            "windway_flat_mm": worked_out(plan.windows[0].flat_mm, units),
            "kerf_mm": worked_out(plan.cuts.kerf_mm, units),
        })

    def _grade(self) -> None:
        if self._plan is not None:
            heights = [length_text(height_mm, "mm") + " mm" for height_mm in graded_heights_mm(self._plan)]
            self._pages.sound.sizes.take_own("window_height_mm", heights)

    def _take(self, choice: ChordChoice) -> None:
        self._pages.sound.chord.take(choice.chord, choice.lowest_sure or choice.lowest_likely)

    # ---- papers --------------------------------------------------------------------------------------------------
    def _tell_paper(self) -> None:
        """Drawn only while its page is open."""
        if self._pages.page() != PAPERS:
            return
        self._paper, refusal = None, ""
        try:
            self._paper = self._drawn()
        except (WorldError, ValueError) as trouble:
            refusal = NOT_YET + str(trouble)
        self._pages.preview.show_sheet(self._paper, refusal)
        asks = self._pages.papers
        for button in (asks.printing, asks.saving, asks.saving_all):
            button.setEnabled(self._paper is not None)

    def _drawn(self) -> PaperSheet:
        from app.paper.sheets import SHEETS

        return SHEETS[self._pages.papers.name()](self._job())

    def _job(self) -> Job:
        from app.paper.job import job_of
        from app.paper.model import PAGE_SIZES

        whistle, asks = self._form.whistle(), self._pages.papers
        return job_of(
            whistle, self._shelf.standing(whistle.id), self._shelf.learned(whistle).priors,
            units=self._form.settings.units, size=PAGE_SIZES[asks.size.currentData()],
            given_to=asks.given_to.text(), maker=asks.maker.text(), day=asks.day.text(),
        )

    def _print(self) -> None:
        if self._paper is not None:
            ask_to_print(self._form, self._paper, self._form.say_trouble)

    def _keep(self) -> None:
        if self._paper is not None:
            ask_for_pdf(self._form, self._paper, self._form.say_trouble)

    def _keep_all(self) -> None:
        from app.paper.sheets import SHEETS

        if self._paper is not None:
            job = self._job()
            ask_for_folder(self._form, [drawn(job) for drawn in SHEETS.values()], self._form.say_trouble)
