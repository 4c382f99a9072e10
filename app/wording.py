"""Numbers to sentences: every word the maker reads about a blow, a plug or a trouble is made here.

Two rules of grammar keep the bench clear. "Flat" is never used for low pitch and for a sanded facet in one sentence;
a plug is "long" (its note sharp) or "short" (its note low), never "high" or "lower it".
"""
from __future__ import annotations

import math
from collections.abc import Sequence

from acoustics.blow import Blow, Finding, Verdict
from acoustics.tuning import Action, Advice, Stop, Why
from acoustics.units import MM_PER_INCH, inch_fraction_down, inch_fraction_up
from app.events import Request, Task
from app.records import BlowTaken
from app.source import Hearing, Notice
from app.view import Stage

# ---- lengths -------------------------------------------------------------------------------------------------------


def mm_text(length_mm: float) -> str:
    return f"{length_mm:.1f} mm"


def mark_text(depth_mm: float, units: str) -> str:
    """A mark on a slug's tail: whole millimetres where it is one."""
    return f"{depth_mm:.0f} mm" if units != "inch" and depth_mm == round(depth_mm) else length_text(depth_mm, units)


def length_text(length_mm: float, units: str) -> str:
    """A length that stays: fractions round up, so that nothing is cut too short."""
    return _inches(inch_fraction_up(length_mm)) if units == "inch" else mm_text(length_mm)


def amount_text(amount_mm: float, units: str) -> str:
    """An amount that goes: fractions round down."""
    return _inches(inch_fraction_down(amount_mm)) if units == "inch" else mm_text(amount_mm)


def _inches(fraction: object) -> str:
    text = str(fraction)
    return text if text.endswith("in") else f"{text} in"


def both_units_text(amount_mm: float, left_mm: float) -> str:
    """The same cut in inch fractions, for the second line of a maker who owns both scales."""
    cut = inch_fraction_down(amount_mm)
    cut_text = _inches(cut) if cut.numerator or cut.whole else "under 1/64 in"
    return f"{cut_text} off; leave a full {_inches(inch_fraction_up(left_mm))}"


def rounded_uncertainty_mm(uncertainty_mm: float) -> float:
    """Up to the next figure a maker can use: 0.1 below half a millimetre, then halves, then whole ones."""
    step = known_step_mm(uncertainty_mm)
    return max(0.1, math.ceil(uncertainty_mm / step - 1e-9) * step)


def known_step_mm(uncertainty_mm: float) -> float:
    """The finest step in which something known so surely is said."""
    return 0.1 if uncertainty_mm < 0.5 else 0.5 if uncertainty_mm < 2.0 else 1.0


def known_text(length_mm: float, uncertainty_mm: float, units: str) -> str:
    """What is believed, in no finer step than it is known; "under ..." where that step is more than all of it."""
    step_mm = known_step_mm(uncertainty_mm)
    if units == "inch":
        step_mm = MM_PER_INCH / {0.1: 64, 0.5: 32, 1.0: 16}[step_mm]
    said_mm = round(length_mm / step_mm) * step_mm
    if said_mm == 0.0:
        return f"under {known_text(step_mm, uncertainty_mm, units)}"
    return f"{said_mm:.0f} mm" if units != "inch" and step_mm == 1.0 else amount_text(said_mm + 1e-6, units)


def within_text(uncertainty_mm: float, units: str) -> str:
    """A spread, never said smaller than it is."""
    return length_text(rounded_uncertainty_mm(uncertainty_mm) - 1e-6, units)


def too_long_text(advice: Advice, units: str) -> str:
    """ "1.2 mm long", "0.8 mm short", or "" while nothing is known."""
    too_long = too_long_mm(advice)
    if too_long is None:
        return ""
    if abs(too_long) < 0.05:
        return "right"
    amount = known_text(abs(too_long), advice.uncertainty_mm or 0.0, units)
    return f"{amount} {'long' if too_long > 0 else 'short'}"


def too_long_mm(advice: Advice) -> float | None:
    """By how much this plug, as it was blown, is longer than its note wants; None before it was blown."""
    if advice.heard_hz is None or advice.full_amount_mm is None or advice.deviation_cents is None:
        return None
    return math.copysign(advice.full_amount_mm, advice.deviation_cents)


# ---- the sentence --------------------------------------------------------------------------------------------------
STOP_WORDS = {
    Stop.FINGER: "a finger on its far end",
    Stop.FLAT: "a flat scrap on its far end",
    Stop.SLUG: "the slug in",
    Stop.PLUG: "its plug in",
    Stop.CAP: "the cap on",
}


LONG_ON_PURPOSE_MM = 0.2  # less is within what a cut lands by


def sentence(request: Request, units: str, sliding: bool, held_back_mm: float = 0.0) -> tuple[str, str]:
    """The two lines of equal size: which bore, which way, how much, and what is left."""
    letter, depth = request.letter or "", length_text(request.depth_mm or 0.0, units)
    amount = amount_text(abs(request.amount_mm or 0.0), units)
    match request.task:
        case Task.BLOW if request.covered:
            return f"Press a finger over plug {letter}", f"then blow chamber {letter}"
        case Task.BLOW:
            return f"Blow chamber {letter}", STOP_WORDS[request.stop or Stop.FINGER]
        case Task.RESEAT if request.stop in (Stop.FINGER, Stop.FLAT, None):
            what = "finger" if request.stop is not Stop.FLAT else "scrap"
            return f"Lift the {what}, set it again", f"then blow chamber {letter}"
        case Task.RESEAT:
            what = "slug" if request.stop is Stop.SLUG else "plug"
            return f"Take {what} {letter} out", "seat it again, then blow"
        case Task.SET_STOP:
            return f"Push the slug into bore {letter}", f"to its {mark_text(request.depth_mm or 0.0, units)} mark"
        case Task.CUT if sliding:
            return f"Push tailed plug {letter} in", f"its face {depth} deep"
        case Task.CUT:
            purpose = "long on purpose: " if held_back_mm >= LONG_ON_PURPOSE_MM else ""
            return f"Cut plug {letter} {depth} long", f"{purpose}push it in flush"
        case Task.TRIM:
            return f"Trim {amount} off plug {letter}", f"stop at {depth}"
        case Task.SLIDE:
            way = "in" if (request.amount_mm or 0.0) > 0 else "out"
            return f"Move plug {letter} {way} {amount}", f"its face {depth} deep"
        case Task.MARK:
            return f"Plug {letter} is right: mark it", "knife a line at the plug end"
        case Task.REPAIR if request.text == "disc":
            return f"Plug {letter} is {amount} short", f"add a disc of {amount}, or push it in"
        case Task.REPAIR:
            return f"Seal plug {letter} before any cut", "grease or wax, then blow"
        case Task.REST:
            return "Rest a minute", "it goes on by itself"
    return f"Bore {letter} is too short", "for the note it was given"


PAPER_KEYS = "ctrl+L: sizes, chord and papers · ctrl+S: keep its document"
LAY_OUT_KEYS = f"{PAPER_KEYS} · ctrl+O: another whistle · N: straight to the first blow"


def stage_sentence(stage: Stage, letter: str, finished: bool) -> tuple[str, str]:
    """For the stages in which no bore is worked on."""
    match stage:
        case Stage.LAY_OUT:
            return "Is this your whistle?", "space when it is"
        case Stage.VOICE:
            return f"Blow chamber {letter}", "and hear how it speaks"
    if not finished:
        return "Not every plug is on its note", "space: on with the walk"
    return "Every plug is on its note", "next the whole chord, dry"


def done_words(request: Request) -> str:
    """What the space bar says now."""
    return {
        Task.CUT: "it is cut and in", Task.TRIM: "I have trimmed it", Task.SLIDE: "I have moved it",
        Task.SET_STOP: "the slug is in", Task.MARK: "I have marked it", Task.REPAIR: "I have done it",
        Task.BLOW: "enough blows", Task.CHORD: "enough blows", Task.RESEAT: "enough blows", Task.NOTHING: "go on",
    }.get(request.task, "I have done it")


def held_back_text(request: Request, advice: Advice | None, units: str, kept_for_chord: bool) -> str:
    """What is not cut yet, and the same amount in the other unit. Nothing is kept for the chord on the lowest plug."""
    if advice is None or request.task not in (Task.CUT, Task.TRIM):
        return ""
    goal_mm = advice.target_depth_mm
    if request.task is Task.TRIM and advice.depth_mm is not None:
        goal_mm = advice.depth_mm - (too_long_mm(advice) or 0.0)
    parts = []
    if units == "both" and request.depth_mm:
        if request.task is Task.TRIM:
            parts.append(both_units_text(request.amount_mm or 0.0, request.depth_mm) + ".")
        else:
            parts.append(f"A full {_inches(inch_fraction_up(request.depth_mm))}.")
    if goal_mm is not None and request.depth_mm is not None:
        waits_mm = request.depth_mm - goal_mm
        whole = request.task is Task.TRIM and advice.why is Why.FULL_AMOUNT
        if waits_mm >= 0.05 and (kept_for_chord or not whole):  # of a whole cut the rest is rounding
            until = "until this plug has been blown"
            if request.task is Task.TRIM:
                until = "for the whole chord" if whole else "for the next blow"
            parts.append(f"The last {amount_text(waits_mm, units)} waits {until}.")
    return " ".join(parts)


WHY_WORDS = {
    Why.NO_READING: "Nothing has been heard of this chamber yet.",
    Why.FIRST_PLUG_LONG: "The first plug starts long: wood taken off cannot be put back.",
    Why.TOO_LOOSE: "That is not known closely enough yet.",
    Why.RESEAT_FIRST: "Blows on one seating agree falsely.",
    Why.BELOW_BREATH: "What is left could not be told from breath.",
    Why.SUSPECT: "This reading is hard to believe: check before you cut.",
    Why.TARGET_OUT_OF_REACH: "No plug in this bore reaches that note.",
}


# What may have happened, as the one check that would tell.
STORY_WORDS = {
    "overblown": "It may have jumped to its twelfth: blow softer.",
    "open_neighbour": "An open neighbour may have spoken: tape its window.",
    "wrong_bore": "It sounds like another bore: was it this one?",
    "not_cut": "It sounds as before: is it done?",
    "leak": "Sharper than the others foretell: if it leaks, the finger lowers its note.",
    "odd": "Not what the other blows foretell: measure the plug, seat it again.",
    "bore": "Not what the other chambers foretell: measure this bore again, and what stops it; was it the right one?",
    "length": "Not what the other blows foretell: is the plug as long as was said? Measure it again.",
    "length_or_voice": "Not what the other blows foretell: measure the plug. If it is as long as was said, was the "
    "window or fipple touched since? Then say that the voice was changed.",
    "voice": "Only this one reads otherwise than before. Was its window or fipple touched? Then say that the voice "
    "was changed; else seat the plug again.",
    "changed": "It reads otherwise than before: blow another chamber. If that one has moved too, the air is warmer or "
    "colder; if not, was this window or fipple touched?",
    "air": "All that is blown now has moved the same way: is the room warmer or colder? Say how warm it is.",
}


NO_LOUDSPEAKER = "No loudspeaker was found, so nothing could be heard."
SEAL_WORDS = "It may well leak: sealing it costs little, and a cut cannot be put back."


def why_text(advice: Advice, request: Request, note: str, units: str, sliding: bool) -> str:
    """What the blows say about this plug, and how surely."""
    if request.task is Task.SET_STOP:
        return "Read near its own note, it cannot jump to its twelfth, and the guess is small."
    if request.task is Task.CUT and not sliding and (advice.held_back_mm or 0.0) < LONG_ON_PURPOSE_MM:
        return "The blows say it this closely; the next ones on the plug decide."
    if request.task is Task.CUT and sliding:
        return "It starts a little shallow, and goes in blow by blow: nothing can be cut too short."
    said, extra = too_long_text(advice, units), _extra_text(advice)
    if not said or said == "right" or advice.uncertainty_mm is None:
        return extra or WHY_WORDS.get(advice.why, "")
    if request.task is Task.MARK:
        within = within_text(advice.uncertainty_mm, units)
        return f"As near {note} as breath lets it be told: {said}, two times in three within {within}."
    way = "sharp of" if (advice.deviation_cents or 0.0) > 0 else "below"
    within = within_text(advice.uncertainty_mm, units)
    plug = "too much plug" if said.endswith("long") else "too little plug"
    amount = said.rpartition(" ")[0]
    told = f"{advice.letter} speaks {way} {note}: {amount} {plug}, two times in three within {within}."
    doubted = advice.action is Action.SEAL_LEAK or advice.why is Why.SUSPECT
    return f"{extra} {told}" if doubted else f"{told} {extra}".strip()  # in doubt the check leads, not the amount


def _extra_text(advice: Advice) -> str:
    """What stands after the amount: why not by that alone."""
    if advice.action is Action.SEAL_LEAK:
        return SEAL_WORDS
    if advice.why is Why.SUSPECT:
        return STORY_WORDS.get(advice.story or "", WHY_WORDS[advice.why])
    return WHY_WORDS[advice.why] if advice.why in (Why.TOO_LOOSE, Why.RESEAT_FIRST) else ""


# ---- blows ---------------------------------------------------------------------------------------------------------
VERDICT_WORDS = {
    Verdict.STEADY: "steady",
    Verdict.OVERBLOWN: "jumped up to its twelfth: blow softer",
    Verdict.BREATHY: "breathy",
    Verdict.UNSTEADY: "wavered: hold it even",
    Verdict.TOO_SHORT: "too short: hold it for a second",
    Verdict.CLIPPED: "too loud for the microphone: move back",
    Verdict.SEVERAL: "more than one chamber spoke: tape the others",
    Verdict.OPEN_NEIGHBOUR: "an open neighbour spoke: tape its window",
    Verdict.HUM: "a hum, not a blow: switch off the dust collector",
    Verdict.NOT_A_WHISTLE: "not a whistle",
}
FINDING_WORDS = {
    Finding.SLOW_TO_SPEAK: "slow to speak",
    Finding.CHIRPS_FIRST: "chirped first",
    Finding.HISSY: "hissy",
    Finding.WAVERS: "wavering",
    Finding.DRIFTS: "drifting",
    Finding.FAINT: "faint",
    Finding.NEAR_CLIPPING: "nearly too loud",
    Finding.HUM_BEFORE: "over a hum",
    Finding.OUTSIDE_RANGE: "far from where it was expected",
    Finding.WEAK_FUNDAMENTAL: "thin",
}
SOFT_DB = 3.0  # this far under the median of its fellows a blow is called soft


def blow_reason(blow: Blow) -> str:
    """One blow in words: the verdict, then what was noticed."""
    noticed = [FINDING_WORDS[f] for f in blow.findings if f in FINDING_WORDS]
    return ", ".join([VERDICT_WORDS[blow.verdict], *noticed])


def blow_line(number: int, blow: BlowTaken, fellows: Sequence[BlowTaken]) -> str:
    """One line of the blows panel; what to do about it stands elsewhere."""
    if not blow.usable:
        return f"{number} {VERDICT_WORDS[Verdict(blow.verdict)].partition(':')[0]}"
    words = [VERDICT_WORDS[Verdict(blow.verdict)]]
    levels = sorted(b.level_dbfs for b in fellows if b.usable and b.level_dbfs is not None)
    if levels and blow.level_dbfs is not None and blow.level_dbfs < levels[len(levels) // 2] - SOFT_DB:
        words = ["a little soft"]
    words += [FINDING_WORDS[Finding(f)] for f in blow.findings.split(",") if f]
    if blow.covered:
        words.append("finger on")
    if blow.warm_up:
        words.append("warm-up, not counted")
    elif not blow.closure_id:
        words.append("not counted")
    return f"{number} {', '.join(words)}"


# ---- state of hearing ----------------------------------------------------------------------------------------------
HEARING_WORDS = {
    Hearing.OPENING: "opening the microphone",
    Hearing.HEARING: "hearing you",
    Hearing.LOST: "microphone gone: plug it in again, it goes on by itself",
    Hearing.NO_LIBRARY: "the sound library PortAudio is missing: install it (Debian: libportaudio2)",
    Hearing.NO_DEVICE: "no microphone found: plug one in, it goes on by itself",
    Hearing.REFUSED: "the system refuses the microphone: allow it in the privacy settings",
    Hearing.BUSY: "another program holds the microphone: close it there",
    Hearing.SILENT: "the microphone sends nothing: is it muted or switched off?",
    Hearing.ENDED: "the recording is over",
}
LEVEL_WORDS = {"too_quiet": "too quiet: come nearer", "right": "loud enough", "too_loud": "too loud: move back"}


def wish_text(advice: Advice) -> str:
    """How many more blows are likely to do; where a number is a rule and no estimate, how many are wanted."""
    n_more = advice.more_blows
    if advice.why not in (Why.TOO_LOOSE, Why.RESEAT_FIRST) or advice.heard_hz is None or n_more == 1:
        return f"{n_more} more wanted"
    return f"some {n_more} more are likely to do"


def hearing_text(notice: Notice | None) -> str:
    return HEARING_WORDS[notice.hearing] if notice is not None else HEARING_WORDS[Hearing.OPENING]


TROUBLES = {
    "is_it_in": "Heard a blow: is the plug in? Space or two short toots says so; the blow is not counted.",
    "did_you_do_it": "That was well off the last blows: have you done it? Space or two short toots says so; the blow "
    "is not counted.",
    "square_it_first": "Longest and shortest differ by more than 0.3 mm: square the face first, then measure again.",
    "no_such_depth": "That length leaves no room for air in this bore: was it typed in the other unit?",
    "no_such_chamber": "This whistle has no such chamber.",
    "which_chamber": "That is about one chamber: press its letter first.",
    "nothing_to_forget": "There is nothing left to forget.",
    "blow_first": "Blow first: nothing has been read for this yet.",
    "lowest_first": "The lowest chamber is asked for: blow it first, or go on without it by N.",
    "finger_first": "Blow with the finger on the plug first, or go on without it by N.",
    "which_glue": "Say which glue it will be first: W water-based, I instant, E epoxy.",
    "is_it_glued": "Heard a blow: is the plug glued? Space or two short toots says so; the blow is not counted.",
    "lips_off": "Heard the whistle: keep lips away, this glue has not cured. Say what is done with the space bar.",
    "not_cured": "That glue has not had its day yet: no lips, no blow.",
    "glued_already": "That plug is glued: its length stays as it is.",
}


def trouble_text(code: str) -> str:
    return TROUBLES.get(code, code)
