"""Cautions on woods, from the list in a woodturning journal of 1990 and the UK HSE's woodworking sheet 30."""
from __future__ import annotations

import pytest

from app.woods import wood_caution

LISTED = "Black walnut, cocobolo, rosewood, olivewood, iroko, padauk, ebony, boxwood, yew, birch, beech, spalted maple"


@pytest.mark.parametrize("wood", LISTED.split(", "))
def test_a_wood_on_the_list_has_a_caution_of_its_own(wood: str) -> None:
    assert wood_caution(wood) != wood_caution("cherry")


@pytest.mark.parametrize("wood", ["", "cherry", "yew", "ebony", "plum, spalted"])
def test_every_caution_names_an_authority_defers_to_local_rules_and_promises_nothing(wood: str) -> None:
    caution = wood_caution(wood)
    assert caution.authority
    assert "ocal rules" in caution.text
    assert "safe" not in caution.text.lower()
