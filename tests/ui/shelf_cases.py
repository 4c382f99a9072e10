"""Whistles of a journal, and a damaged one, for the tests and pictures of the sheets that show them."""
from __future__ import annotations

from dataclasses import replace

from app.closeness import policy_of
from app.club import standing_of
from app.journal.checking import Check
from app.settings import Settings
from app.ui.damaged_sheet import DamagedSheet
from app.ui.whistles_sheet import WhistlesSheet
from tests.app.journal_cases import new_id
from tests.number_maker import WHISTLE
from tests.ui.club_cases import walked
from tests.ui.lay_out_cases import drilled
from tests.ui.sheet_cases import harbour

BELL = replace(harbour(), id=new_id(), name="Harbour bell", number=None, of=None)
PILOT = replace(drilled(), id=new_id(), name="Pilot's whistle", number=3, of=12)
NAMES = ("Harbour bell", "Pilot's whistle", "Ferry", "Rope-walk", "Second lighter", "Lamp on the mole")


def shelf(settings: Settings) -> WhistlesSheet:
    """Six whistles at different stages, the second on the bench."""
    found = []
    for number, name in enumerate(NAMES, 1):
        whistle = replace(WHISTLE, id=f"whistle {number}", name=name, number=None, of=None)
        found.append(standing_of(whistle, walked(whistle, number, 11 * number), policy_of(settings), "mm", ""))
    return WhistlesSheet(found, "whistle 2", settings)


def many(settings: Settings) -> WhistlesSheet:
    """More than a small screen holds, with long names."""
    whistles = [replace(BELL, id=new_id(), name=f"{BELL.name}, the {n}th of its pattern") for n in range(4, 24)]
    standings = [standing_of(whistle, (), policy_of(settings), "mm", "") for whistle in whistles]
    return WhistlesSheet(standings, standings[2].whistle.id, settings)


def damaged(settings: Settings) -> DamagedSheet:
    """Cut short, with most of it still to be read."""
    fault = "the file is cut short: 120000 of 4194304 bytes are there"
    return DamagedSheet(Check((fault,), {"blow_taken": 1200, "plug_set": 82}, ()), settings)
