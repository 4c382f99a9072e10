"""What is known against a wood, said beside the field where it is named. No wood is ever called harmless here.

Sources, by kind: a toxicity table in a woodturning journal (1990) for dust; the UK HSE's Woodworking Information
Sheet 30; a case report in a contact-dermatitis journal and allergy-clinic advice for lips and skin; the IARC for dust.
"""
from __future__ import annotations

from app.view import Caution

TURNERS_TABLE = "woodturning journal's toxicity table, 1990; UK HSE woodworking sheet 30"
LIPS = "contact-dermatitis case report; allergy-clinic advice"
DUST = "IARC; OSHA and UK HSE wood-dust pages"

_ON_LIPS_TOO = ("ebony", "cocobolo", "rosewood", "blackwood")
_LISTED = ("walnut", "olive", "iroko", "padauk", "boxwood", "birch", "beech")


def wood_caution(wood: str) -> Caution:
    """The caution for a wood by its common name; the general one on dust when it is not on the list."""
    name = " ".join(wood.lower().split())
    listed = next((known for known in _ON_LIPS_TOO if known in name), None)
    if listed:
        return Caution(
            f"{listed.capitalize()} is named as a sensitiser of skin and lips: keep it off the mouthpiece, draw the "
            "dust off and wear a mask. Past use without trouble proves nothing. Your doctor's advice and local rules "
            "come first.",
            f"{LIPS}; {TURNERS_TABLE}",
        )
    if "yew" in name.split():
        return Caution(
            "Yew is listed as toxic: choose another wood for anything that goes to the lips or to a child. Local "
            "rules come first.",
            TURNERS_TABLE,
        )
    if "spalted" in name:
        return Caution(
            "Spalted wood is listed as a strong sensitiser by its dust: draw the dust off and wear a fitted mask. "
            "Local rules come first.",
            TURNERS_TABLE,
        )
    listed = next((known for known in _LISTED if known in name), None)
    if listed:
        return Caution(
            f"{listed.capitalize()} dust is listed as a sensitiser: draw the dust off and wear a fitted mask. Past use "
            "without trouble proves nothing. Local rules come first.",
            TURNERS_TABLE,
        )
    return Caution(
        "All wood dust is rated a cause of cancer, and no wood is a free pass for skin: draw the dust off where it is "
        "made and wear a fitted mask. Local rules come first.",
        DUST,
    )
