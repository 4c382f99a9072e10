"""Cautions for work that the screen never asks for: sawing windows, turning, finishing, sharing, giving away.

Sources, by kind, as in `app.cautions`: each stands under its caution. None of them replaces local rules.
"""
from __future__ import annotations

from app.cautions import LOCAL
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
SHARING = Caution(
    "One whistle, one mouth: or wipe with alcohol and let it dry before the next. Short blows, sit, and rest. Never at "
    "an ear; ear plugs for whoever stands near.",
    "School-music hygiene advice. NIOSH: 85 dBA for 8 hours, half the time for each 3 dB more; this whistle's loudness "
    "has not been measured. Your doctor's advice and local rules come first.",
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
