"""How a chamber speaks, in words: what was heard, what to look at, and the figures one key away.

A remedy is worded as a place to look, never as the cause: sound cannot show one.
"""
from __future__ import annotations

from collections.abc import Sequence

from acoustics.blow import Blow, Finding, Verdict
from acoustics.remedies import Remedy, Symptom, remedies_for
from acoustics.speech import GOOD_BLOWS, Shown, Voice
from app.voice_stage import Speaking

SAYS = {
    Symptom.SILENT: "gives breath, no note",
    Symptom.LEAKS: "may leak",
    Symptom.OVERBLOWS: "jumps to its twelfth",
    Symptom.HISSY: "is hissy",
    Symptom.WAVERS: "wavers",
    Symptom.CHIRPS: "chirps first",
    Symptom.SLOW: "is slow to speak",
    Symptom.WEAKER: "is the weak one",
    Symptom.BREATHIER: "is the breathy one",
}
CARD = {Symptom.SILENT: "no note", Symptom.OVERBLOWS: "jumps up", Symptom.SLOW: "slow"}  # room for one word or two
LOOK_AT = {
    Remedy.BLOW_SOFTER: "blow it softer",
    Remedy.BLOW_EVENLY: "blow it even, for a second",
    Remedy.CLOSE_END: "is its far end quite closed?",
    Remedy.RESEAT: "take its stop out, seat it again",
    Remedy.PRESS_OVER_STOP: "press a finger over its stop",
    Remedy.SHORTER_BORE: "try it shorter, by the slug",
    Remedy.DRY_WINDWAY: "dry its windway",
    Remedy.CLEAR_WINDWAY: "look for fuzz in its windway",
    Remedy.LOOSE_FIPPLE: "is its fipple loose?",
    Remedy.SLIDE_FIPPLE: "is its fipple flush at the window?",
    Remedy.SIGHT_LIP: "sight down its windway at the lip",
    Remedy.SEAL_SIDES: "wax the sides of its fipple",
    Remedy.SEAL_STOP: "seal its stop for a trial",
    Remedy.MEASURE_FIT: "measure its plug two ways across",
    Remedy.LOOK_FOR_SPLIT: "look for a split in its wall",
    Remedy.COMPARE_WAY_IN: "compare its way in with the others",
    Remedy.COMPARE_FLATS: "compare its fipple with the others",
    Remedy.SHIM_WINDWAY: "try paper on its fipple's flat",
    Remedy.NEW_FIPPLE: "try another fipple",
    Remedy.EASE_FLAT: "ease its fipple's flat by a hair",
    Remedy.CHAMFER_EXIT: "break its windway's exit edge",
    Remedy.PARE_LIP: "re-pare its lip by a hair",
    Remedy.LENGTHEN_WINDOW: "lengthen its window by a hair",
}
HOW = {
    Remedy.BLOW_SOFTER: "Begin softly, and stay under what makes it jump.",
    Remedy.BLOW_EVENLY: "A wavering breath and a wavering chamber sound alike.",
    Remedy.CLOSE_END: "A finger wants its whole pad on the bore; a plug, its full round.",
    Remedy.RESEAT: "Turn it a little as it goes in.",
    Remedy.PRESS_OVER_STOP: "Cap off, a damp pad over the plug's end: does the note change? Then forget that blow.",
    Remedy.SHORTER_BORE: "A bore much longer than its note wants jumps by itself.",
    Remedy.DRY_WINDWAY: "Blow it out backwards with the far end closed, then let it dry.",
    Remedy.CLEAR_WINDWAY: "Against the light: a chip or a hair is enough. Dust the lip too.",
    Remedy.LOOSE_FIPPLE: "Press it against the floor of the bore and blow again.",
    Remedy.SLIDE_FIPPLE: "Unglued, push it until it ends at the window's back edge.",
    Remedy.SIGHT_LIP: "The lip's edge wants to lie across the middle of the slot.",
    Remedy.SEAL_SIDES: "Soft wax for a trial; clean it off before glue.",
    Remedy.SEAL_STOP: "Grease, tape or wax for a trial; clean it off before glue.",
    Remedy.MEASURE_FIT: "Rods are often oval: calipers, twice, at right angles.",
    Remedy.LOOK_FOR_SPLIT: "Or a place where the drill came near the outside.",
    Remedy.COMPARE_WAY_IN: "The hole in the mouthpiece may feed one windway less.",
    Remedy.COMPARE_FLATS: "Is its flat as wide and as deep as theirs?",
    Remedy.SHIM_WINDWAY: "A strip makes the windway thinner, and comes out again.",
    Remedy.NEW_FIPPLE: "With less sanded off its flat, or pushed on to shorten the window.",
    Remedy.EASE_FLAT: "Wood from the fipple cannot be put back: blow after each stroke.",
    Remedy.CHAMFER_EXIT: "A hair off the fipple's inner edge cannot be put back.",
    Remedy.PARE_LIP: "Wood from the lip cannot be put back; a change you can see is too much.",
    Remedy.LENGTHEN_WINDOW: "It cannot be shortened again; a change you can see is too much.",
}
COUNT = {1: "one more, a second long", 2: "two more, a second each", 3: "three times, a second each"}
FROM_VERDICT = {Verdict.OVERBLOWN: Symptom.OVERBLOWS, Verdict.UNSTEADY: Symptom.WAVERS}
FROM_FINDING = {
    Finding.HISSY: Symptom.HISSY, Finding.WAVERS: Symptom.WAVERS, Finding.CHIRPS_FIRST: Symptom.CHIRPS,
    Finding.SLOW_TO_SPEAK: Symptom.SLOW,
}
UNTOLD = (  # what says nothing of how a chamber speaks
    Verdict.HUM, Verdict.NOT_A_WHISTLE, Verdict.TOO_SHORT, Verdict.CLIPPED, Verdict.SEVERAL, Verdict.OPEN_NEIGHBOUR,
)
SHOWN_NEXT = 2  # of what comes after the one thing
TRIED_DB = 1.0  # over the usual, before it says anything that none jumped


def sentence(letter: str, speaking: Speaking) -> tuple[str, str]:
    """What was heard and the one thing to look at; without anything amiss, how often to blow."""
    if speaking.main is not None and speaking.look_at is not None:
        return f"{letter} {SAYS[speaking.main.symptom]}", LOOK_AT[speaking.look_at]
    wanted = max(1, GOOD_BLOWS - speaking.voice.n_good)
    return f"Blow chamber {letter}", COUNT[wanted]


def next_text(speaking: Speaking) -> str:
    """What to look at after the one thing."""
    if not speaking.then:
        return ""
    last = speaking.then[-1] if len(speaking.then) > SHOWN_NEXT and speaking.then[-1].takes_wood else None
    then = _ended(_listed(speaking.then[:SHOWN_NEXT]))
    return f"Reversible first. Next: {then}" + (f" Last: {LOOK_AT[last]}." if last else "")


def _listed(remedies: Sequence[Remedy]) -> str:
    return "; ".join(LOOK_AT[remedy] for remedy in remedies).replace("?;", "?")


def _ended(words: str) -> str:
    return words if words.endswith("?") else f"{words}."


def why_text(speaking: Speaking) -> str:
    """The evidence, then how to look."""
    if speaking.main is None or speaking.look_at is None:
        return ""
    return f"{_evidence_text(speaking.main.symptom, speaking.main.shown)} {HOW[speaking.look_at]}"


def _evidence_text(symptom: Symptom, shown: Shown) -> str:
    if symptom in (Symptom.WEAKER, Symptom.BREATHIER):
        return "Beside the other chambers, heard from the same place."
    if symptom is Symptom.LEAKS:
        return f"Over {shown.n_blows} blows: {_leak_signs(shown)}."
    return f"Heard in {shown.n_showing} of {shown.n_blows} blows."


def _leak_signs(shown: Shown) -> str:
    signs = (
        ("sharper than the others foretell", (shown.surprise_sd or 0.0) > 0.0),
        ("weaker", (shown.level_apart_db or 0.0) < 0.0), ("breathier", (shown.breath_apart_db or 0.0) > 0.0),
        ("less even", (shown.scatter_ratio or 0.0) > 1.0),
    )
    return ", ".join(words for words, holds in signs if holds)


def aside(letter: str, speaking: Speaking) -> str:
    """One short line for the stages where something else is in hand; "" while nothing is amiss."""
    return _ended(": ".join(sentence(letter, speaking))) if speaking.main else ""


def card_text(speaking: Speaking, voiced: bool) -> str:
    """For the chamber's card."""
    if speaking.main is not None:
        return CARD.get(speaking.main.symptom, SAYS[speaking.main.symptom].removeprefix("is "))
    if speaking.voice.speaks_well:
        return "speaks well"
    if voiced:
        return "as it is"
    return f"{speaking.voice.n_good} of {GOOD_BLOWS}" if speaking.voice.n_blows else ""


def figures(voice: Voice) -> tuple[str, ...]:
    """Milliseconds, decibels and cents, with how many blows they rest on."""
    lines = [f"{voice.n_good} good of {voice.n_blows} blows"] if voice.n_blows else []
    if voice.attack_ms is not None:
        lines.append(f"speaks in {voice.attack_ms:.0f} ms")
    if voice.breath_db is not None:
        lines.append(f"breath {voice.breath_db:+.0f} dB of the tone")
    lines += [line for found in voice.findings for line in _shown_lines(found.shown)]
    return (*lines, *breath_figures(voice))


def breath_figures(voice: Voice) -> tuple[str, ...]:
    """What harder and softer breath did, where the blows tell."""
    lines = []
    if voice.slope is not None:
        slope = voice.slope
        lines.append(f"{slope.slope_cents_per_db:.1f} cents a dB, ± {slope.slope_sd_cents_per_db:.1f}, "
                     f"{slope.n_blows} blows over {slope.span_db:.0f} dB")
    if voice.jump is not None and voice.jump.margin_db is not None:
        lines.append(f"jumps {voice.jump.margin_db:+.0f} dB from the loudest good blow")
    elif voice.jump is not None and voice.jump.tried_db >= TRIED_DB:
        lines.append(f"none jumped, up to {voice.jump.tried_db:.0f} dB over the usual")
    return tuple(lines)


def _shown_lines(shown: Shown) -> list[str]:
    told = (
        (shown.level_apart_db, "level {:+.0f} dB against the others"), (shown.scatter_ratio, "scatter {:.1f} × usual"),
        (shown.breath_apart_db, "breath {:+.0f} dB against the others"),
        (shown.surprise_sd, "pitch {:+.1f} sd against the others"),
    )
    return [words.format(figure) for figure, words in told if figure is not None]


def remedy_line(blow: Blow) -> str:
    """After one blow of a recording: what to look at if more blows show the same; "" where nothing is amiss."""
    if blow.verdict in UNTOLD:
        return ""
    symptom = FROM_VERDICT.get(blow.verdict)
    if symptom is None and blow.verdict is Verdict.BREATHY:
        symptom = Symptom.HISSY if blow.usable else Symptom.SILENT
    symptom = symptom or next((FROM_FINDING[found] for found in blow.findings if found in FROM_FINDING), None)
    if symptom is None:
        return ""
    return f"if more blows show it: {_listed(remedies_for(symptom, 1)[:2])}"
