"""What stands beside each step: the caution with its authority, and short advice. Neither replaces local rules."""
from __future__ import annotations

from acoustics.tuning import Stop
from app.events import GlueKind, Request, Route, Task
from app.view import Caution, Stage

LOCAL = "Your machine's manual and local rules come first."
# NIOSH publication 98-126 (1998), as its public library and its page on measuring noise give it.
NOISE_LIMIT = "NIOSH: 85 dBA for 8 hours, half the time for each 3 dB more."

BLOWING = Caution(
    "Short blows, and rest between them: hard blowing makes dizzy, so sit. It is loud: never at an ear; ear plugs "
    "for whoever stands near.",
    f"{NOISE_LIMIT} This whistle's own loudness has not been measured. {LOCAL}",
)
CUTTING = Caution(
    "Cut plugs from a long rod, in a V-block with a stop or by hand on a bench hook; hand well clear of the blade. A "
    "short piece in a mitre or table saw is thrown back.",
    "Woodworking magazines; clearance is common practice, no source. " + LOCAL,
)
TRIMMING = Caution(
    "Trim by abrasive, in a jig or on its tail, never pinched in the fingers at a disc or saw. Dust: extract it at "
    "the source and wear a fitted respirator.",
    "Woodworking magazines; wood dust: IARC group 1, HSE Woodworking Sheet 30, OSHA. " + LOCAL,
)
DRILLING = Caution(
    "Hold the blank in a clamp, never in the palm; peck and clear the flutes, never by hand while it turns; smoke "
    "means stop, and the bit comes out hot. Full-face shield at the lathe, no gloves or loose sleeves. Some woods "
    "sensitise: ask for yours.",
    "Turning magazines and national turning bodies; woods: HSE Woodworking Sheet 30. " + LOCAL,
)
VOICING = Caution(
    "Take wood from a lip only as the last remedy, the blade moving away from the hand that holds. Short blows, sit, "
    "and rest: hard blowing makes dizzy. It is loud: never at an ear.",
    f"Knife and breath: common practice, no source. {NOISE_LIMIT} {LOCAL}",
)
GLUING = Caution(
    "Never blow a whistle with uncured instant glue, and keep lips away from it. It bonds skin and lids at once; its "
    "fumes want air. In an eye: flush 15 minutes and get medical help.",
    "Poison centres. The glue's own sheet and local rules come first.",
)
GLUING_OPEN = Caution(
    "Blow only from the mouthpiece end, the wet plug away from you, and wipe what squeezes out. Plugs and fipples are "
    "small parts: glue every one, and give the whistle to no child under three.",
    "Small parts: US 16 CFR 1501, other countries have their own law. Blowing: common practice, no source. The glue's "
    "own sheet and local rules come first.",
)
GLUING_EPOXY = Caution(
    "Never blow a whistle with uncured epoxy, and keep lips and skin away from it: gloves, and fresh air.",
    "Common practice, no source; from memory, hardeners sensitise skin. The glue's own sheet and local "
    "rules come first.",
)
GLUE_CAUTIONS = {GlueKind.WATER: GLUING_OPEN, GlueKind.INSTANT: GLUING, GlueKind.EPOXY: GLUING_EPOXY}
SEALING = Caution(
    "Grease or wax only for trials: clean it off before glue.",
    "Common practice, no source. " + LOCAL,
)
DISC = Caution(
    "Saw the disc off a long rod, in a V-block or on a bench hook, hand well clear; never pinch it at a sander or saw. "
    "Instant glue bonds skin and lids at once: no lips near it, no blow before it has cured. In an eye: flush "
    "15 minutes and get medical help.",
    "Woodworking magazines; poison centres; clearance is common practice, no source. The glue's own sheet, your "
    "machine's manual and local rules come first.",
)


def caution_for(stage: Stage, request: Request) -> Caution:
    """The one that fits what the hands are about to do."""
    if request.task is Task.TRIM:
        return TRIMMING
    if request.task is Task.CUT:
        return CUTTING
    if request.task is Task.REPAIR:
        return DISC if request.text == "disc" else SEALING
    return {Stage.LAY_OUT: DRILLING, Stage.VOICE: VOICING, Stage.GLUE: GLUING}.get(stage, BLOWING)


def standing_advice(request: Request, route: Route, first_cut: bool) -> tuple[str, ...]:
    """Short lines of craft for this step: common practice, no source."""
    if request.task is Task.CUT and first_cut:
        return (
            "Are the fipples glued? Only then cut.",
            "Is the body's plug end finished? Sanding it later moves every mark.",
        )
    match request.task:
        case Task.BLOW if request.covered:
            return ("Over the whole plug from outside; round its tail, where it has one.", "Cap off, windows taped.")
        case Task.BLOW | Task.RESEAT if request.stop is Stop.FINGER:
            return ("Press a finger pad over the whole bore.", "Tape the other windows, stop their ends.")
        case Task.CUT if route is Route.SLIDE:
            return ("Leave a tail on the plug: it comes out by its tail.", "Chamfer its edge now or never.")
        case Task.CUT:
            return ("Say how it comes out before it goes in: a tail, a screw eye.", "Chamfer its edge now or never.")
        case Task.TRIM:
            return ("Plug out: pull by its tail. Never push through the window.", "Check that the face is square.")
        case Task.SLIDE if route is Route.SLIDE:
            return ("Read the mark where the tail leaves the bore.",)
        case Task.SLIDE:
            return ("A flush plug has no tail to read: measure how deep it sits.", "Fill behind it so that it stays.")
        case Task.MARK:
            return ("Saw the tail after the glue has cured.",)
        case Task.SET_STOP:
            return ("Grease the slug so that it seals and slides.",)
    return ()
