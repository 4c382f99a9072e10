"""Cautions for work that the screen never asks for: sawing windows, turning, finishing, sharing, giving away.

Sources, by kind, as in `app.cautions`: each stands under its caution. None of them replaces local rules.
"""
from __future__ import annotations

from app.cautions import LOCAL, NOISE_LIMIT, TRIMMING
from app.view import Caution

SAWING = Caution(
    "Saw windows with the stock in a V cradle with cheeks, never freehand; fingers clear of the blade's line.",
    f"A club's whistle project and woodworking magazines. {LOCAL}",
)
TURNING = Caution(
    "Full-face shield, not glasses alone. No gloves, rings or loose sleeves near what turns; stand aside at the start; "
    "slowly for a long drilled blank. Dust: extract it at the source and wear a fitted respirator.",
    f"National turning bodies; slow speed: common practice, no source. Dust: IARC group 1, OSHA, HSE Woodworking Sheet "
    f"30. {LOCAL}",
)
MOUTHPIECE = Caution(
    "The lathe as for the body: full-face shield, no gloves, rings or loose sleeves; dust extracted, a fitted "
    "respirator. Wood at the lips: rash and swelling are reported, of ebony, cocobolo, blackwood and rosewood before "
    "others.",
    f"National turning bodies; dust: IARC group 1, OSHA, HSE Woodworking Sheet 30; lips: a dermatology case report and "
    f"allergy clinics. Your doctor's advice comes first. {LOCAL}",
)
FIPPLES = Caution(
    "Cut them from a long rod, hand well clear of the blade: a short piece is thrown back. The flat by abrasive, in a "
    "jig, never pinched in the fingers at a disc. Dust: extract it at the source and wear a fitted respirator. No lips "
    "near glue that has not cured.",
    f"{TRIMMING.authority.removesuffix(LOCAL)}Glue: poison centres; its own sheet comes first. {LOCAL}",
)
TRIALS = Caution(
    f"{TRIMMING.text} Between, short blows, sit, and rest: never at an ear.",
    f"{TRIMMING.authority.removesuffix(LOCAL)}{NOISE_LIMIT} {LOCAL}",
)
SHARING = Caution(
    "One whistle, one mouth: or wipe with alcohol and let it dry before the next. Short blows, sit, and rest. Never at "
    "an ear; ear plugs for whoever stands near.",
    f"School-music hygiene advice. {NOISE_LIMIT} This whistle's loudness has not been measured. Your doctor's advice "
    "and local rules come first.",
)
FINISHING = Caution(
    "Keep finish out of windway and lip; oil or wax there, or nothing. Hand out nothing that is still curing: 30 days "
    "is a rule of thumb, not a promise.",
    "Craft-magazine articles on finishes. The finish's own sheet and local rules come first.",
)
GIVING = Caution(
    "Plugs and fipples are small parts: not for children under three. It is loud: not near ears. Selling or giving it "
    "as a toy brings toy law with it.",
    "US 16 CFR 1501; other countries have their own law, and a licensed test house knows it. Local rules come first.",
)
