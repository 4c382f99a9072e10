"""The words of the whole chord: millimetres first; cents and the whole whistle's pitch one key away.

`with_chord` dresses a view while the whole chord asks; at every other time the view stays as it is.
"""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from acoustics.blow import Verdict
from acoustics.chord import ChordReading, Heard
from app import wording
from app.asking import step_mm
from app.bench import State
from app.chord_stage import Chord, Word
from app.chord_together import Beating, InChord
from app.events import Route, Task
from app.records import ChordTaken
from app.remark import listed
from app.view import Breath, ChamberRow, Closer, Stage, View
from app.warm_words import warm_up_text

HEARD_WORDS = {Heard.MISSING: "not heard", Heard.TOO_NEAR: "too near another", Heard.WEAK: "weak"}
ALL_WORDS = {2: "both", 3: "all three", 4: "all four", 5: "all five", 6: "all six"}
RATIO_WORDS = {(2, 1): "an octave", (3, 2): "a fifth", (4, 3): "a fourth", (5, 3): "a sixth", (5, 4): "a third",
               (6, 5): "a small third"}
TELLING_MM = 0.05  # less is called right
ALONE_WORDS_FROM_CENTS = 3.0  # single blows and chord differ by less than this without a word
SHOWN_BLOWS = 6


def with_chord(state: State, view: View) -> View:
    """The same view in the words of the whole chord."""
    where = state.place
    if not where.chord_asks:
        return view
    chord, whole = where.chord, where.stage is Stage.CHORD
    meant = set() if whole and state.request.letter is None else {where.letter}
    return replace(
        view,
        ends=tuple(replace(end, meant=end.letter in meant) for end in view.ends),
        rows=tuple(_row(state, row, row.letter in meant) for row in view.rows),
        section=None if whole or view.section is None else replace(view.section, goal_depth_mm=_goal_mm(state)),
        closer=None if whole else _closer(state), sentence=_sentence(state), held_back=_held_back(state),
        why=_why(state), blows=_blows(state), asides=_asides(state), keys=_keys(state), figures=_figures(chord),
        may_type=state.request.task in (Task.TRIM, Task.SLIDE, Task.REPAIR),
    )


# ---- sizes ---------------------------------------------------------------------------------------------------------
def size_text(length_mm: float, units: str) -> str:
    if abs(length_mm) < TELLING_MM:
        return "right"
    return f"{wording.amount_text(abs(length_mm), units)} {'long' if length_mm > 0.0 else 'short'}"


def _size_of(each: InChord, units: str) -> str:
    """ "0.2 mm long"; in cents where no plug is known."""
    if each.too_long_mm is not None:
        return size_text(each.too_long_mm, units)
    return "" if each.interval_cents is None else f"{each.interval_cents:+.0f} cents"


def _row(state: State, row: ChamberRow, meant: bool) -> ChamberRow:
    chord = state.place.chord
    each = next((c for c in chord.chambers if c.letter == row.letter), None)
    figure, status = row.figure, row.state
    if chord.blows and each is not None and each.heard is not None:
        figure = HEARD_WORDS.get(each.heard, "") if each.interval_cents is None else _size_of(each, state.sitting.units)
        figure = "home" if row.letter == chord.home and each.interval_cents is not None else figure
        status = "in the chord"
    return replace(row, state=status, figure=figure, meant=meant)


def _too_long_mm(state: State) -> float | None:
    """Of the plug that is meant; what it is to be moved by where it is home, to which all others are held."""
    chord, letter = state.place.chord, state.place.letter
    if letter != chord.home or chord.move is None:
        return chord.chamber(letter).too_long_mm
    return chord.move.amount_mm if chord.move.task is Task.TRIM else -chord.move.amount_mm  # inwards is what it lacks


def _goal_mm(state: State) -> float | None:
    plug, too_long_mm = state.place.chamber.plug, _too_long_mm(state)
    return None if plug is None or too_long_mm is None else plug.depth_mm - too_long_mm


def _closer(state: State) -> Closer | None:
    plug, goal_mm, chord = state.place.chamber.plug, _goal_mm(state), state.place.chord
    if plug is None or goal_mm is None:
        return None
    ticks_mm = () if state.place.letter == chord.home else chord.chamber(state.place.letter).ticks_mm
    stops = {Task.TRIM: "this cut stops here", Task.SLIDE: "move the face to here"}
    return Closer(
        plug.depth_mm, goal_mm, state.request.depth_mm if state.request.task in stops else None,
        tuple(plug.depth_mm - tick for tick in ticks_mm), size_text(plug.depth_mm - goal_mm, state.sitting.units),
        stops.get(state.request.task, ""),
    )


# ---- the sentence, and why -----------------------------------------------------------------------------------------
def _sentence(state: State) -> tuple[str, str]:
    chord, about = state.place.chord, state.place.chord.letters
    match chord.word:
        case Word.MOVE | Word.MARK:
            return wording.sentence(state.request, state.sitting.units, sliding=False)
        case Word.MISSING:
            return f"{listed(about)} did not speak", "first look at its voice"
        case Word.TOO_NEAR:
            return f"{listed(about)} cannot be told apart", "blow each of them alone"
        case Word.GOOD:
            return "The chord is good: stop", "next the glue, as it is"
        case Word.LEAVE:
            return "Leave the chord as it is", "next the glue"
    return "Blow the whole chord", "again, the same breath" if chord.blows else "dry, cap on, one breath"


def _why(state: State) -> str:
    blow, chord = state.last_blow, state.place.chord
    unread = blow is not None and state.last_chord is None and not blow.usable and blow.verdict is not Verdict.SEVERAL
    if blow is not None and unread and state.request.task is Task.CHORD:
        return f"Last blow: {wording.blow_reason(blow)}."
    match chord.word:
        case Word.MOVE:
            return _why_move(state)
        case Word.MARK:
            return "The chord is as it should be: this plug was moved for it and has no line yet."
        case Word.MISSING:
            return _why_missing(chord)
        case Word.TOO_NEAR:
            return "Their notes lie so near each other that one blow holds them as one, or one has drawn the other in."
        case Word.GOOD | Word.LEAVE:
            return _why_stop(state)
    if warming := warm_up_text(state):
        return warming
    return "One breath now feeds them all: each may differ a little from what it speaks alone."


def _why_move(state: State) -> str:
    chord, letter, units = state.place.chord, state.place.letter, state.sitting.units
    size = size_text(_too_long_mm(state) or 0.0, units)
    short = [each for each in chord.chambers if (each.interval_cents or 0.0) < -chord.tolerance_cents]
    if letter == chord.home and state.request.task is Task.TRIM and len(short) < len(chord.chambers) - 1:
        who = listed([each.letter for each in short])
        return f"{who} cannot come up: {letter} comes down to it, others may follow."
    if letter == chord.home:
        return f"All others stand to one side of {letter}: its own plug, {size}, betters every interval at once."
    each = chord.chamber(letter)
    way = "sharp" if (each.interval_cents or 0.0) > 0.0 else "low"
    within = wording.within_text(each.sd_mm or 0.0, units)
    return f"Against {chord.home}, {letter} stands {way} in the chord: {size}, two times in three within {within}."


def _alone_text(each: InChord, units: str) -> str:
    """What the same plug was by its single blows, where that is another thing."""
    if each.differs_cents is None or each.too_long_mm is None or not each.interval_cents:
        return ""
    if abs(each.differs_cents) < ALONE_WORDS_FROM_CENTS:
        return ""
    alone_mm = each.too_long_mm * (each.interval_cents - each.differs_cents) / each.interval_cents
    return f"Alone it was {size_text(alone_mm, units)}; the chord counts."


def _why_missing(chord: Chord) -> str:
    heard = [each.letter for each in chord.chambers if each.interval_cents is not None]
    others = f"Heard: {listed(heard)}." if heard else "No chamber was heard where it should be."
    return (f"{others} Look first for chips in the windway and at the lip; then whether the plug is in and tight; "
            "then blow it alone.")


def _why_stop(state: State) -> str:
    chord, units = state.place.chord, state.sitting.units
    off = [each for each in chord.chambers if each.letter != chord.home and each.interval_cents is not None]
    if not off:
        return ""
    widest = max(off, key=lambda each: abs(each.interval_cents or 0.0))
    size = _size_of(widest, units)
    if chord.word is Word.GOOD:
        rest = "none is off" if size == "right" else f"the widest is {widest.letter}, {size}"
        return f"Every interval to {chord.home} is as close as you asked for: {rest}."
    if size.endswith("short") and state.place.route is Route.TRIM:
        return f"{widest.letter} is {size} in the chord: trimming only lowers it, and it is too little for a disc."
    return f"{widest.letter} is {size} in the chord: less than your scale shows, or moved often enough."


# ---- beats ---------------------------------------------------------------------------------------------------------
STILL_HZ = 0.5  # planned slower than this two notes stand still for as long as a breath lasts


def beats_text(beats: Sequence[Beating], word: Word) -> str:
    """The fastest beat that should not be there, in words; where nothing is to be done, nothing is asked of it."""
    if not beats:
        return ""
    beat = beats[0]
    rate = f"{beat.lower} and {beat.upper} beat {beat.rate_hz:.1f} times a second"
    if word is Word.GOOD:
        return f"{rate}, within what you allow."
    if word is Word.LEAVE:
        return f"{rate}; nothing here mends it."
    name = RATIO_WORDS.get((beat.n, beat.m), f"{beat.n} to {beat.m}")
    should = "should stand still" if beat.planned_hz < STILL_HZ else f"should beat {beat.planned_hz:.1f} times"
    return f"{rate}: as {name} they {should}."


def _held_back(state: State) -> str:
    """The same cut on the other scale, then the beats."""
    request, chord = state.request, state.place.chord
    beats = beats_text(chord.beats, chord.word)
    if request.task is not Task.TRIM or state.sitting.units != "both":
        return beats
    cut = wording.both_units_text(request.amount_mm or 0.0, request.depth_mm or 0.0)
    return f"{cut}. {beats}".strip()


# ---- blows, figures, keys ------------------------------------------------------------------------------------------
def _blows(state: State) -> Breath:
    chord = state.place.chord
    mine = [r for r in state.standing if isinstance(r, ChordTaken) and r.faces == chord.faces]
    lines = tuple(f"{number} {blow_text(blow)}" for number, blow in enumerate(mine, 1))[-SHOWN_BLOWS:]
    wish = f"{chord.n_wanted} more wanted" if chord.n_wanted else ""
    return Breath("Chord blows", lines, _agreement(chord, state.sitting.units), wish)


def blow_text(blow: ChordTaken) -> str:
    """One blow of the whole whistle, in words."""
    if not blow.usable:
        return wording.VERDICT_WORDS[Verdict(blow.verdict)]
    voices = [voice for letter in "ABCDEF" if (voice := blow.voice(letter)) is not None]
    told = [f"{voice.letter} {HEARD_WORDS[voice.heard]}" for voice in voices if voice.heard in HEARD_WORDS]
    words = told or [f"{ALL_WORDS.get(len(voices), 'all')} heard"]
    return ", ".join([*words, *(["warm-up, not counted"] if blow.warm_up else [])])


def chord_text(chord: ChordReading) -> str:
    """What one blow gave, chamber by chamber, for the terminal."""
    return ", ".join(
        f"{voice.letter} {HEARD_WORDS[voice.heard]}" if voice.frequency_hz is None
        else f"{voice.letter} {voice.frequency_hz:.1f} Hz" for voice in chord.voices
    )


def _agreement(chord: Chord, units: str) -> str:
    spans_mm = [max(each.ticks_mm) - min(each.ticks_mm) for each in chord.chambers if len(each.ticks_mm) > 1]
    if not spans_mm:
        return ""
    step = step_mm(units)
    shown_mm = max(step, math.ceil(max(spans_mm) / step - 1e-9) * step)
    return f"they agree to {wording.amount_text(shown_mm + 1e-6, units)}"


def _figures(chord: Chord) -> tuple[str, ...]:
    lines = []
    for each in chord.chambers:
        if each.interval_cents is None or each.letter == chord.home:
            continue
        alone = "" if each.differs_cents is None else f"; alone {each.interval_cents - each.differs_cents:+.1f}"
        off = f"{each.interval_cents:+.1f} cents to {chord.home}, ± {each.sd_cents or 0.0:.1f}"
        lines.append(f"{each.letter} {off}{alone}")
    if chord.pitch_cents is not None:
        lines.append(f"whole whistle {chord.pitch_cents:+.1f} cents")
    lines += [f"{b.lower} and {b.upper} beat {b.rate_hz:.1f} a second, {b.n}:{b.m}" for b in chord.beats]
    return (*lines, f"you allow {chord.tolerance_cents:g} cents")


def _asides(state: State) -> tuple[str, ...]:
    weak = [each.letter for each in state.place.chord.chambers if each.heard is Heard.WEAK]
    if weak:
        return (f"{listed(weak)} {'is' if len(weak) == 1 else 'are'} weak in the chord: look at windway and lip.",)
    if state.request.task is Task.CHORD:
        return ("Every window open, every far end stopped by its plug.",
                "Look for leaks with the cap off, a finger over the plug; then forget that blow.")
    if state.place.chord.word is Word.MOVE:
        alone = _alone_text(state.place.chord.chamber(state.place.letter), state.sitting.units)
        return (*((alone,) if alone else ()), "Then blow the whole chord again.")
    if state.place.chord.word is Word.MARK:
        return ("Saw the tail after the glue has cured.",)
    return ("Glue can swell a fit and move a plug: blow again when it allows, and next day.",)


def _keys(state: State) -> str:
    chord, task = state.place.chord, state.request.task
    done = f"space: {wording.done_words(state.request)} · "
    if task is Task.NOTHING:
        done = "space: on to the glue · "
    elif task is Task.CHORD and not (chord.n_wanted and chord.blows):
        done = ""
    voice = " · R: I changed the voice" if state.request.letter is not None else ""
    leave = "" if task is Task.NOTHING else " · N: leave it, on to the glue"
    return f"{done}backspace: forget that blow{voice}{leave}"
