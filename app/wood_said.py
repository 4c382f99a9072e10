"""Body, stock and drift as their maker writes them: every text may stay empty, and then nothing is said."""
from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace

from app.body import Body, Stock
from app.description import Description, Drilled, FieldRefusedError
from app.errors import WorldError
from app.lengths import length_text, parse_length_mm
from app.whistle import LETTERS
from app.whistle_limits import BODY_LIMITS, STOCK_LIMITS, UNSAID_CHAMBER_LIMITS, Limit

BODY_NAMES = {
    "diameter_mm": "diameter of the body",
    "circle_radius_mm": "radius of the bores' circle",
    "least_wall_mm": "least wall",
    "length_mm": "length of the body",
    "window_from_end_mm": "distance from the mouthpiece end to the window",
    "grip_diameter_mm": "diameter of the grip",
    "tenon_diameter_mm": "diameter of the tenons",
    "tenon_length_mm": "length of the tenons",
    "mortise_depth_mm": "depth of the mortises",
    "cap_length_mm": "length of the cap",
    "mouthpiece_length_mm": "length of the mouthpiece",
    "mouthpiece_chamber_diameter_mm": "diameter of the mouthpiece's hollow",
    "mouthpiece_chamber_depth_mm": "depth of the mouthpiece's hollow",
    "windway_flat_mm": "flat of the fipples",
}
STOCK_NAMES = {
    "blank_width_mm": "width of the blank",
    "blank_height_mm": "height of the blank",
    "blank_length_mm": "length of the blank",
    "bit_diameter_mm": "diameter of the bit",
    "bit_reach_mm": "reach of the longest bit",
    "dowel_diameter_mm": "dowel, one way",
    "dowel_across_mm": "dowel, across that",
    "kerf_mm": "width of a saw cut",
    "chucking_mm": "length in the chuck",
}
DRIFT_NAMES = {"drift_outward_mm": "drift outward", "drift_clockwise_mm": "drift clockwise"}
DOWEL_WOOD = "dowel_wood"
FLAT = "windway_flat_mm"
_OFFSET = re.compile(r"\s*([-+−]?)\s*(.*)")


@dataclass(frozen=True)
class WoodSaid:
    """What stands in the fields, by the keys of the document; drift by key and letter: "drift_outward_mm B"."""

    lengths: Mapping[str, str] = field(default_factory=dict)
    drifts: Mapping[str, str] = field(default_factory=dict)
    dowel_wood: str = ""


def said_of(description: Description, units: str) -> WoodSaid:
    """The fields as they would be filled in for this body, stock and drift."""
    lengths = {
        one.name: length_text(value, units)
        for part in (description.turned, description.stock) for one in fields(part)
        if isinstance(value := getattr(part, one.name), int | float)
    }
    drifts = {
        f"{key} {letter}": _offset_text(offset_mm, units)
        for letter, drilled in zip(LETTERS, description.drilled, strict=False) for key in DRIFT_NAMES
        if (offset_mm := getattr(drilled, key)) is not None
    }
    return WoodSaid(lengths, drifts, description.stock.dowel_wood)


def with_wood(description: Description, said: WoodSaid, units: str) -> Description:
    """The description with what these fields say; FieldRefusedError names the first that cannot be used."""
    body = Body(**_lengths_mm(BODY_NAMES, BODY_LIMITS, said.lengths, units))
    stock = Stock(**_lengths_mm(STOCK_NAMES, STOCK_LIMITS, said.lengths, units), dowel_wood=said.dowel_wood.strip())
    _require_pairs(stock)
    return replace(description, turned=body, stock=stock, drilled=_drilled(description, said.drifts, units))


def flats_said(description: Description, units: str) -> dict[str, str]:
    """By letter, the flats that single fipples have of their own, as they would be filled in."""
    return {
        letter: length_text(drilled.windway_flat_mm, units)
        for letter, drilled in zip(LETTERS, description.drilled, strict=False) if drilled.windway_flat_mm is not None
    }


def with_flats(description: Description, texts: Mapping[str, str], units: str) -> Description:
    """The description with these flats of single fipples; FieldRefusedError names the first that cannot be used."""
    before = description.drilled
    return replace(description, drilled=tuple(
        replace(before[index] if index < len(before) else Drilled(),
                windway_flat_mm=_flat_mm(letter, texts.get(letter, ""), units))
        for index, letter in enumerate(LETTERS[: description.n_chambers])
    ))


def _flat_mm(letter: str, text: str, units: str) -> float | None:
    if not text.strip():
        return None
    key, name = f"{FLAT} {letter}", f"flat of {letter}'s fipple"
    return _within(key, name, round(_parsed_mm(key, name, text, units), 6), UNSAID_CHAMBER_LIMITS[FLAT])


def _require_pairs(stock: Stock) -> None:
    """Of two that are measured across each other, the second alone tells nothing."""
    for first, second in (("dowel_diameter_mm", "dowel_across_mm"), ("blank_width_mm", "blank_height_mm")):
        if getattr(stock, second) is not None and getattr(stock, first) is None:
            raise FieldRefusedError(
                first, f"{STOCK_NAMES[second].capitalize()} is given without the {STOCK_NAMES[first]}: measure both."
            )


def _lengths_mm(
    names: Mapping[str, str], limits: Mapping[str, Limit], texts: Mapping[str, str], units: str
) -> dict[str, float]:
    return {
        key: _within(key, name, round(_parsed_mm(key, name, text, units), 6), limits[key])
        for key, name in names.items() if (text := texts.get(key, "")).strip()
    }


def _drilled(description: Description, drifts: Mapping[str, str], units: str) -> tuple[Drilled, ...]:
    before = description.drilled
    return tuple(
        replace(
            before[index] if index < len(before) else Drilled(),
            **{key: _offset_mm(key, letter, drifts.get(f"{key} {letter}", ""), units) for key in DRIFT_NAMES},
        )
        for index, letter in enumerate(LETTERS[: description.n_chambers])
    )


def _offset_mm(key: str, letter: str, text: str, units: str) -> float | None:
    """A length either way; None where nobody measured."""
    match = _OFFSET.fullmatch(text)
    if match is None or not text.strip():
        return None
    name, own_key = f"{letter}'s {DRIFT_NAMES[key]}", f"{key} {letter}"
    length_mm = round(_parsed_mm(own_key, name, match[2], units), 6)
    signed_mm = -length_mm if match[1] in ("-", "−") and length_mm else length_mm
    return _within(own_key, name, signed_mm, UNSAID_CHAMBER_LIMITS[key])


def _offset_text(offset_mm: float, units: str) -> str:
    return ("-" if offset_mm < 0.0 else "") + length_text(abs(offset_mm), units)


def _parsed_mm(key: str, name: str, text: str, units: str) -> float:
    try:
        return parse_length_mm(text, units)
    except WorldError as refusal:
        raise FieldRefusedError(key, f"{name[:1].upper()}{name[1:]}: {refusal}") from refusal


def _within(key: str, name: str, length_mm: float, limit: Limit) -> float:
    if not limit.low <= length_mm <= limit.high:
        raise FieldRefusedError(
            key, f"{name[:1].upper()}{name[1:]} is {length_mm:.4g} mm; it must be from {limit.low:g} to "
            f"{limit.high:g} mm: {limit.hint}",
        )
    return length_mm
