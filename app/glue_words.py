"""The words of the glue: millimetres of wood first, cents one key away, and no promise that the glue cannot keep.

`with_glue` dresses a view while the glue asks; at every other time the view stays as it is.
"""
from __future__ import annotations

from dataclasses import replace

from app import wording
from app.bench import State
from app.cautions import BLOWING, GLUE_CAUTIONS
from app.events import GLUE_WORDS, GlueKind
from app.glue_clock import CURE
from app.glue_remedies import moved_sentence, remedy, settled_why, size_text, whole_text
from app.glue_stage import NEXT_DAY, Word
from app.glue_table import table
from app.moments import moment_text
from app.records import BlowTaken, ChordTaken, StepTaken
from app.remark import listed
from app.view import Breath, Caution, ChamberRow, View
from app.warm_words import warm_up_text

HANDS = (Word.SET, Word.PUT_BACK)
BLOWN = (Word.CHORD, Word.OPEN_BLOW, Word.ALONE)
SHOWN_BLOWS = 4


def with_glue(state: State, view: View) -> View:
    """The same view in the words of the glue."""
    if not state.place.glue_asks:
        return view
    glue = state.place.glue
    meant = {glue.letter}
    return replace(
        view,
        ends=tuple(replace(end, meant=end.letter in meant) for end in view.ends),
        rows=tuple(_row(state, row, row.letter in meant) for row in view.rows),
        section=None, closer=None, sentence=_sentence(state), held_back=_held_back(state), why=_why(state),
        blows=_blows(state), caution=_caution(state), asides=_asides(state), keys=_keys(state),
        figures=_figures(state), may_type=False, table=table(state),
    )


def _row(state: State, row: ChamberRow, meant: bool) -> ChamberRow:
    glue, chamber = state.place.glue, state.place.chambers[row.letter]
    status = "glued" if chamber.glued else "to glue" if chamber.plug is not None else row.state
    figure = f"{wording.length_text(chamber.plug.depth_mm, state.sitting.units)} deep" if chamber.plug else ""
    moved = next((each for each in glue.moved if each.letter == row.letter), None)
    if moved is not None:
        figure = moved_sentence(moved, state.sitting.units, short=True)
    elif len(glue.columns) > 1:
        figure = "stayed"
    return replace(row, state=status, figure=figure, meant=meant)


# ---- the sentence, and why -----------------------------------------------------------------------------------------
def _sentence(state: State) -> tuple[str, str]:
    glue, units = state.place.glue, state.sitting.units
    depth = wording.length_text(state.request.depth_mm or 0.0, units)
    match glue.word:
        case Word.WHICH:
            return "Which glue: W water", "I instant, or E epoxy?"
        case Word.SET:
            return f"Glue plug {glue.letter} at its line", f"its face {depth} deep"
        case Word.OPEN_BLOW:
            return f"Blow chamber {glue.letter} once", "while its glue is open"
        case Word.PUT_BACK:
            way = "in" if (glue.off_mm or 0.0) > 0.0 else "out"
            moved = f"Plug {glue.letter} went {way} {size_text(glue.off_mm, units)}"
            return moved, "back to its line, at once"
        case Word.CURING:
            return "Lips off while it cures", f"until {_due(state)}"
        case Word.CURED:
            return "Has the glue cured?", "by its sheet? then space"
        case Word.ALONE:
            return f"Blow chamber {glue.letter} alone", "others taped: a hiss?"
        case Word.CHORD:
            return "Blow the whole chord", _which_chord(state)
    first, second = _told(state)
    return (first, f"blow {_due(state)}") if glue.word is Word.RESTING else (first, second)


def _which_chord(state: State) -> str:
    return "next day, same breath" if state.place.glue.round == NEXT_DAY else "all glued, same breath"


def _due(state: State) -> str:
    return moment_text(state.place.glue.due_utc, state.place.glue.now_utc)


def _told(state: State) -> tuple[str, str]:
    glue = state.place.glue
    if glue.moved:
        first = moved_sentence(glue.moved[0], state.sitting.units)
        rest = len(glue.moved) - 1
        return first, f"and {rest} more: see the cards" if rest else "see what can be done"
    if len(glue.columns) < 2:
        return "Not blown since the glue", "so nobody knows what it moved"
    if not glue.columns[0].n_blows:
        return "The whistle is glued", "with no dry chord before"
    if glue.doubted:
        return f"{listed(glue.doubted)} may have moved", "by less than you allow"
    return "The glue moved nothing", "now its cap, its finish"


def _why(state: State) -> str:
    glue, blow = state.place.glue, state.last_blow
    if blow is not None and glue.word in BLOWN and not blow.usable and state.last_chord is None:
        return f"Last blow: {wording.blow_reason(blow)}."
    match glue.word:
        case Word.WHICH:
            return ("Water-based glue lets each plug be blown while it is open. Instant glue and epoxy do not: no lips "
                    "before they have cured.")
        case Word.SET if glue.lips_off:
            return "No blow and no toots with this glue. The space bar or a pedal says that it is in."
        case Word.SET:
            return "Space or two short toots says that it is in; then one blow while the glue is open."
        case Word.OPEN_BLOW:
            return "Glue and trapped air move a plug. Now it can still be put back."
        case Word.PUT_BACK:
            return "By one blow, so only a large step is told. Wipe off what squeezed out, then blow once more."
        case Word.CURING:
            return "At least a day (common practice, no source), longer if the glue's sheet says so. It asks by itself."
        case Word.CURED:
            return "A day has passed. Its sheet counts, and a cold shop makes it longer. Then the whole chord."
        case Word.ALONE:
            return "It went sharp in the glue: a leak would hiss, a plug that was pushed in would not."
        case Word.CHORD:
            return _why_chord(state)
    return settled_why(glue, state.place.chambers)


def _why_chord(state: State) -> str:
    if warming := warm_up_text(state):
        return warming
    if doubted := state.place.glue.doubted:
        return f"{listed(doubted)} may have moved, by less than you allow: one more blow says whether."
    return "The intervals to A tell what moved; the shop moves the whole whistle, and that is named apart."


def _held_back(state: State) -> str:
    return whole_text(state.place.glue)


# ---- panels --------------------------------------------------------------------------------------------------------
def _blows(state: State) -> Breath:
    """Beside glue what is glued; beside blows what was heard."""
    from app.chord_words import blow_text

    glue = state.place.glue
    if glue.word in (*HANDS, Word.WHICH, Word.CURING, Word.CURED):
        kind = GLUE_WORDS[glue.kind] if glue.kind is not None else "not told yet"
        return Breath("Glue", (kind, *(f"{letter} is in" for letter in glue.glued)), "", "")
    late = _since_glue(state)
    chords = [r for r in late if isinstance(r, ChordTaken)]
    lines = [f"{number} {blow_text(blow)}" for number, blow in enumerate(chords, 1)]
    if glue.letter is not None:
        mine = [r for r in late if isinstance(r, BlowTaken) and r.letter == glue.letter]
        lines = [wording.blow_line(number, blow, mine) for number, blow in enumerate(mine, 1)]
    wish = f"{glue.n_wanted} more wanted" if glue.n_wanted and glue.word is Word.CHORD else ""
    return Breath("Blows since the glue", tuple(lines[-SHOWN_BLOWS:]), "", wish)


def _since_glue(state: State) -> tuple[object, ...]:
    glued = [n for n, r in enumerate(state.standing) if isinstance(r, StepTaken) and r.step == "glued"]
    return state.standing[glued[0] :] if glued else ()


def _caution(state: State) -> Caution:
    glue = state.place.glue
    if glue.word in BLOWN or (glue.word in (Word.RESTING, Word.TOLD)):
        return BLOWING
    kind = GlueKind.INSTANT if glue.kind is None else glue.kind
    return GLUE_CAUTIONS[kind]


def _asides(state: State) -> tuple[str, ...]:
    glue = state.place.glue
    match glue.word:
        case Word.WHICH:
            return ("Every window and windway stays clear of glue.", "The lowest plug first, two at a time.")
        case Word.SET if glue.kind is GlueKind.INSTANT:
            return ("Wax and grease off first. Seat it dry at its line; a drop at the rim creeps in by itself.",
                    "It grips at once: nothing can be put back.", "Caps stay off.")
        case Word.SET | Word.PUT_BACK:
            return ("Wax and grease off first. A thin ring near the outer end only: none on the face or inner edge.",
                    "Press slowly, let the air out, stop at the line. Wipe what squeezes out.", "Caps stay off.")
        case Word.CURING | Word.CURED:
            return ("Lay it with the plug ends up, warm and dry.", "Saw the tails after the cure.")
        case Word.OPEN_BLOW | Word.ALONE:
            return ("Tape the other windows.",
                    "A finger over the plug: if the note falls, it leaks. Then forget that blow.")
        case Word.CHORD:
            return ("Cap as it was for the dry chord.", "Breath as it was: an easy one.")
    if glue.moved:
        return remedy(glue.moved[0])
    return ("Saw the tails after the cure.", "Before the cap is glued: it must not touch a plug.")


def _keys(state: State) -> str:
    word, forget = state.place.glue.word, "backspace: take that back"
    if (mended := state.place.glue.mendable) is not None:
        return f"R: I changed the voice of {mended} · {forget}"
    kinds = "W: water-based · I: instant · E: epoxy"
    return {
        Word.WHICH: f"{kinds} · {forget}",
        Word.SET: f"space: plug {state.place.glue.letter} is in · {kinds} · {forget}",
        Word.PUT_BACK: f"space: it is back at its line · {forget} · N: leave it",
        Word.CURING: forget,
        Word.CURED: f"space: it has cured · {forget}",
        Word.OPEN_BLOW: f"{forget} · N: go on without that blow",
        Word.ALONE: f"{forget} · N: go on without that blow",
        Word.CHORD: f"{'space: enough blows · ' if _has_blows(state) else ''}{forget} · N: go on without it",
    }.get(word, forget)


def _has_blows(state: State) -> bool:
    return any(each.name == state.place.glue.round for each in state.place.glue.columns)


def _figures(state: State) -> tuple[str, ...]:
    """Cents, one key away."""
    glue, home = state.place.glue, state.place.chord.home
    lines = []
    for each in glue.columns:
        told = [f"{letter} {cents:+.1f}" for letter in state.place.chambers if letter != home
                and (cents := each.interval_cents(letter, home)) is not None]
        if told:
            lines.append(f"{each.name}, to {home}: {', '.join(told)} cents")
    lines += [f"{m.letter} moved {m.shift_cents:+.1f} cents, ± {m.sd_cents or 0.0:.1f}" for m in glue.moved
              if m.shift_cents is not None]
    if glue.whole is not None:
        lines.append(f"whole whistle {glue.whole.shift_cents:+.1f} cents since the dry chord")
        if glue.whole.air_cents is not None and glue.whole.warmer_c is not None:
            lines.append(f"air {glue.whole.warmer_c:+.1f} °C explains {glue.whole.air_cents:+.1f}")
    if glue.kind in (GlueKind.INSTANT, GlueKind.EPOXY) and glue.word is Word.CURING:
        lines.append(f"a day after the last plug: {CURE.total_seconds() / 3600:.0f} h")
    return tuple(lines) or ("no figures yet",)
