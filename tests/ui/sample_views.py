"""Views made by hand, one for every stage of the harbour whistle of Tidewick: what the window is tried on.

The numbers are invented and agree with one another; no acoustics stands behind them.
"""
from __future__ import annotations

from dataclasses import replace

from app.view import BoreEnd, Breath, Caution, ChamberRow, Closer, Face, RoomLines, Section, Stage, View

ORDER = tuple(Stage)
SECTION = Section(
    body_mm=160.0, fipple_mm=20.0, bore_mm=12.7, wall_mm=6.0, window_mm=6.0, lip_slope_deg=30.0, stop="plug",
    depth_mm=58.3, tail=True, goal_depth_mm=57.1, air_text="air 81.7 mm",
)
KEYS = "space: I have cut it · backspace: forget that blow · R: I changed the voice · N: leave it, go on · ?: all keys"


def ends(meant: str | None, faces: str) -> tuple[BoreEnd, ...]:
    """`faces` holds one mark a bore: o open, s stopped, p plugged."""
    kinds = {"o": Face.OPEN, "s": Face.STOPPED, "p": Face.PLUGGED}
    return tuple(BoreEnd(letter, kinds[mark], letter == meant) for letter, mark in zip("ABCDEF", faces, strict=False))


def rows(meant: str | None, *cells: str) -> tuple[ChamberRow, ...]:
    """Each cell is "note|state|figure"."""
    parts = [cell.split("|") for cell in cells]
    lettered = zip("ABCDEF", parts, strict=False)
    return tuple(ChamberRow(letter, note, state, figure, letter == meant) for letter, (note, state, figure) in lettered)


TRIM = View(
    title="Tidewick harbour whistle",
    subtitle="no. 4 of 12 · cherry, ash caps · F A C D",
    hearing="hearing you",
    hearing_ok=True,
    conditions="shop 19.5 °C · room quiet · mouthpiece on",
    stage=Stage.TRIM,
    stages_done=ORDER[:4],
    ends=ends("B", "ppoo"),
    rows=rows("B", "F5|on its note|home", "A5|to trim|1.2 mm long", "C6|to cut|rod 74 mm", "D6|to cut|rod 80 mm"),
    section=SECTION,
    closer=Closer(58.3, 57.1, 57.6, (57.02, 57.15, 57.2, 57.08), "1.2 mm long", "this cut stops here"),
    sentence=("Trim 0.7 mm off plug B", "stop at 57.6 mm"),
    held_back="1/64 in and a bit; leave a full 2 17/64 in. The last 0.5 mm waits for the next blow.",
    why="B speaks sharp of A5: 1.2 mm too much plug, two times in three within 0.3 mm.",
    blows=Breath(
        "Blows on this plug", ("1 steady", "2 steady", "3 a little soft", "lift and reseat the plug", "4 steady"),
        "they agree to 0.1 mm", "2 more would let you cut 0.9",
    ),
    caution=Caution(
        "Trim by abrasive, plug in a jig or on its tail, never pinched in the fingers at a disc or saw. Face shield at "
        "the lathe. Your club's and country's rules come first.",
        "woodworking magazines; see step sheet 6",
    ),
    asides=("Plug out: pull by its tail. Never push through the window.", "Rest a minute after the next two blows."),
    level="right",
    keys=KEYS,
    figures=("B sounds 887.4 Hz", "A5 is 880.0 Hz", "14.5 cents sharp, ± 2.1", "speaks in 38 ms", "breath −31 dB"),
    trouble="",
    may_type=True,
    room=RoomLines("B", ("Trim off 0.7 mm", "stop at 57.6 mm")),
)

LAY_OUT = replace(
    TRIM, stage=Stage.LAY_OUT, stages_done=(), ends=ends(None, "oooo"),
    rows=rows(None, "F5|to voice|", "A5|to voice|", "C6|to voice|", "D6|to voice|"), closer=None,
    section=replace(SECTION, stop="open", depth_mm=None, tail=False, goal_depth_mm=None, air_text="air 140 mm"),
    sentence=("Lay out four bores", "then drill 140 mm deep"), room=RoomLines("", ("Lay out four bores",)),
    held_back="Measure from the fipple's inner face to the plug end; finish the plug end before you measure.",
    why="All four notes lie within reach of this wood.", blows=Breath("Blows", (), "", ""),
    caution=Caution(
        "Clamp the blank. Peck, and clear the flutes with the bit stopped; a drawn bit can burn. Dust: extract at the "
        "source and wear a fitted respirator. Your club's and country's rules come first.",
        "a woodturning magazine; national occupational-safety pages on wood dust",
    ),
    asides=("Are the fipples glued?",), keys="space: it is drilled · N: go on · ?: all keys", figures=(),
    may_type=False,
)
VOICE = replace(
    LAY_OUT, stage=Stage.VOICE, stages_done=ORDER[:1], ends=ends("C", "oosooo"[:4]),
    rows=rows("C", "F5|to blow|speaks well", "A5|to blow|as it is", "C6|to voice|chirps first", "D6|to voice|"),
    section=replace(SECTION, stop="finger", depth_mm=0.0, tail=False, goal_depth_mm=None, air_text="air 140 mm"),
    sentence=("C chirps first", "blow it softer"), room=RoomLines("C", ("chirps first", "blow softer")),
    held_back="Reversible first. Next: look for fuzz in its windway; is its fipple flush at the window?",
    why="Heard in 2 of 2 blows. Begin softly, and stay under what makes it jump.",
    blows=Breath("How C speaks", ("1 steady, chirped first", "2 steady, chirped first"), "", ""),
    caution=Caution(
        "Keep the knife's edge away from the holding hand; no lips near fresh finish. Your club's and country's rules "
        "come first.", "common practice, no source"),
    asides=("Tape the other windows and peg their far ends.",),
    keys="R: I changed the voice · backspace: forget that blow · N: leave it, go on · ?: all keys",
    figures=("C sounds 611 Hz, then 1830 Hz", "speaks in 140 ms"), level="too loud: move back",
)
FIRST_BLOW = replace(
    VOICE, stage=Stage.FIRST_BLOW, stages_done=ORDER[:2], ends=ends("B", "psoo"),
    rows=rows("B", "F5|to cut|read", "A5|to blow|1 of 4", "C6|to blow|", "D6|to blow|"),
    section=replace(SECTION, stop="slug", depth_mm=48.0, tail=True, goal_depth_mm=57.1, air_text="air 92 mm"),
    closer=None, sentence=("Blow B, slug at 48 mm", "then three more marks"),
    room=RoomLines("B", ("Blow it", "with its slug in")),
    held_back="Push the slug to its 48 mm mark, tail out.", why="One reading near the note saves a trim.",
    blows=Breath("Blows on the slug", ("1 steady",), "", "3 more wanted"),
    caution=Caution(
        "These whistles are loud: ear plugs for blower and bystanders, short blows, never at an ear. Light-headed: sit "
        "and rest. Your club's and country's rules come first.",
        "an occupational-hygiene study of sports whistles; common practice, no source"),
    asides=("A steady note of about a second is one reading.",), level="right",
    keys="space: the slug is set · backspace: forget that blow · N: leave it, go on · ?: all keys", may_type=True,
)
CUT = replace(
    TRIM, stage=Stage.CUT, stages_done=ORDER[:3], ends=ends("B", "pooo"),
    rows=rows("B", "F5|on its note|home", "A5|to cut|rod 64 mm", "C6|to cut|rod 74 mm", "D6|to cut|rod 80 mm"),
    section=replace(SECTION, depth_mm=60.4, goal_depth_mm=57.1, air_text="air 79.6 mm"),
    closer=Closer(60.4, 57.1, 60.4, (56.4, 57.3, 57.6), "3.3 mm long on purpose", "saw here"),
    sentence=("Cut plug B 60.4 mm long", "the rest waits for its blows"),
    room=RoomLines("B", ("Cut plug to", "60.4 mm, in flush")),
    held_back="2 3/8 in, a hair over. Cut from the long rod, tail left on.",
    why="The slug says 57.1 mm, two times in three within 0.8 mm; a first plug starts long.",
    blows=Breath("Blows on the slug", ("1 steady", "2 steady", "3 steady"), "they agree to 0.6 mm", ""),
    caution=Caution(
        "Cut from the long rod in a V-block with a stop, or by hand on a bench hook; hand well clear of the blade. "
        "Short offcuts are thrown. Your club's and country's rules come first.", "woodworking magazines"),
    asides=("Say its way out before it goes in: leave the tail long.",),
    keys="space: I have cut it · T: type what you cut · N: leave it, go on · ?: all keys",
)
SLIDE = replace(
    TRIM, section=replace(SECTION, depth_mm=55.6, goal_depth_mm=57.1, air_text="air 84.4 mm"),
    rows=rows("B", "F5|on its note|home", "A5|to trim|1.5 mm out", "C6|to cut|rod 74 mm", "D6|to cut|rod 80 mm"),
    closer=Closer(55.6, 57.1, 56.7, (57.0, 57.3), "1.5 mm short", "push to here"),
    sentence=("Push plug B in 1.1 mm", "to 56.7 mm deep"),
    room=RoomLines("B", ("Push in 1.1 mm", "face at 56.7 mm")),
    held_back="3/64 in, a hair under. The last 0.4 mm waits for the next blow.",
    why="B speaks flat of A5: its face lies 1.5 mm too far out, two times in three within 0.3 mm.",
)
CHORD = replace(
    TRIM, stage=Stage.CHORD, stages_done=ORDER[:5], ends=ends(None, "pppp"),
    rows=rows(None, "F5|on its note|home", "A5|on its note|+3 c", "C6|on its note|−1 c", "D6|on its note|+2 c"),
    section=None, closer=None, sentence=("Blow the whole chord", "cap on, one easy breath"),
    room=RoomLines("", ("Blow the whole chord", "dry, cap on")),
    held_back="Plugs still dry: what is left of each is kept for this.", why="Singles and chord differ by a few cents.",
    blows=Breath("Chord blows", ("1 all four heard",), "A and C agree", "one more settles D"),
    caution=FIRST_BLOW.caution, asides=("Last dry chord with the cap on.",),
    keys="space: I have heard enough · backspace: forget that blow · ?: all keys", may_type=False,
)
GLUE = replace(
    CHORD, stage=Stage.GLUE, stages_done=ORDER[:6], ends=ends("A", "pppp"),
    rows=rows("A", *(f"{note}|to glue|at the line" for note in ("F5", "A5", "C6", "D6"))),
    section=replace(SECTION, depth_mm=28.4, goal_depth_mm=28.4, air_text="air 111.6 mm"),
    sentence=("Glue plug A at its line", "then one blow"), room=RoomLines("A", ("Glue it at its line",)),
    held_back="Water-based: two plugs at a time, one blow each while it still moves.",
    why="The knife line at the bore's mouth is where A was on its note.", blows=Breath("Blows while wet", (), "", ""),
    caution=Caution(
        "Instant glue bonds skin and lids at once and its fumes irritate: ventilate, and never bring lips near glue "
        "that has not cured. Your club's and country's rules come first.", "poison-centre leaflets"),
    asides=("Wipe off wax or grease first: glue will not hold on it.",), keys="space: it is glued · ?: all keys",
)
TROUBLE = replace(
    TRIM, hearing="microphone gone: plug it in again", hearing_ok=False, level="",
    trouble="The microphone went away in the middle of a blow; plug it in again and blow once more.",
)
SIX = replace(
    TRIM, title="Tidewick six-bore pilot whistle", subtitle="no. 11 of 12 · pear, holly caps · G B D E G B",
    ends=ends("E", "pppppo"), rows=rows(
        "E", "G4|on its note|home", "B4|on its note|+1 c", "D5|on its note|−2 c", "E5|on its note|0 c",
        "G5|to trim|0.8 mm long", "B5|to cut|rod 102 mm"),
    sentence=("Trim a hair off plug E and square it", "stop at a full 2 17/64 in"),
    why="E speaks sharp of G5: 0.8 mm too much plug, two times in three within 0.3 mm.",
    room=RoomLines("E", ("Trim off 1/64 in", "stop at 2 17/64 in")),
)
ALL = {
    "lay-out": LAY_OUT, "voice": VOICE, "first-blow": FIRST_BLOW, "cut": CUT, "trim": TRIM, "slide": SLIDE,
    "chord": CHORD, "glue": GLUE, "trouble": TROUBLE, "six": SIX,
}
