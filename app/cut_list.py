"""What is sawn, turned and drilled, from which stock, with spares and saw cuts counted."""
from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from acoustics.errors import OutOfRangeError
from acoustics.timber import MOVEMENT, growth_mm
from app.hole_plan import TRUING_AMPLE_MM, BodyPlan
from app.plug_plan import PlugPlan
from app.whistle import Chamber, Whistle
from app.window_plan import WindowPlan

KERF_MM: Final = 2.0  # unless measured: common practice, no source (saws take 1 to 3)
FIPPLE_LONGER_MM: Final = 5.0  # sawn off when it is glued: common practice, no source
HELD_MM: Final = 100.0  # of rod left in the hand or the clamp after the last cut: common practice, no source
# How dowel and hole may differ; common practice, no source: it slides under a firm thumb and stays when shaken.
TIGHT_MM, EASY_MM, LOOSE_MM, OVAL_MM = 0.03, 0.25, 0.5, 0.3
SAME_BIT_MM: Final = 0.8  # 1/32 in: a bit further off is meant for another bore
DRY_PERCENT, DAMP_PERCENT = 8.0, 12.0  # moisture of wood indoors, heated and not


class Fit(StrEnum):
    """How the dowel as measured goes into the hole."""

    UNKNOWN = "unknown"
    TOO_THICK = "too_thick"
    TIGHT = "tight"
    GOOD = "good"
    LOOSE = "loose"  # tape or paper for trials
    TOO_LOOSE = "too_loose"


@dataclass(frozen=True)
class DowelFit:
    """The dowel in one size of hole."""

    bore_mm: float  # as planned
    hole_mm: float  # as the bit makes it
    verdict: Fit
    clearance_mm: float | None  # hole less the dowel's thicker way
    oval_mm: float | None  # thicker way less thinner


@dataclass(frozen=True)
class Piece:
    """One line of the cut list; width and height are the same for round stock."""

    name: str
    n_pieces: int
    length_mm: float | None  # None: as the maker draws it
    width_mm: float | None
    height_mm: float | None
    is_round: bool


@dataclass(frozen=True)
class Rod:
    """Round stock of one size, for plugs, fipples and a spare of each."""

    diameter_mm: float
    letters: str
    plugs_mm: tuple[float, ...]  # rough lengths, the spare last
    fipples_mm: tuple[float, ...]  # rough lengths, the spare last
    length_mm: float  # with every saw cut and what stays in the hand


@dataclass(frozen=True)
class Bit:
    """One drill, and how deep it goes."""

    purpose: str
    diameter_mm: float
    depth_mm: float | None


@dataclass(frozen=True)
class DowelMovement:
    """How much the dowel grows across from dry to damp, by the Wood Handbook."""

    wood: str  # as its table calls it
    dry_percent: float
    damp_percent: float
    radial_mm: float
    tangential_mm: float


@dataclass(frozen=True)
class CutList:
    pieces: tuple[Piece, ...]
    rods: tuple[Rod, ...]
    bits: tuple[Bit, ...]
    fits: tuple[DowelFit, ...]  # one for each size of bore
    movement: DowelMovement | None
    kerf_mm: float
    held_mm: float


def cut_list(
    whistle: Whistle, body: BodyPlan, windows: Sequence[WindowPlan], plugs: Sequence[PlugPlan]
) -> CutList:
    """Everything to lay ready."""
    kerf_mm = whistle.stock.kerf_mm or KERF_MM
    sizes_mm = sorted({chamber.bore_mm for chamber in whistle.chambers}, reverse=True)
    rods = tuple(_rod(whistle.chambers, size_mm, windows, plugs, kerf_mm) for size_mm in sizes_mm)
    return CutList(
        pieces=_pieces(whistle, body, rods, plugs), rods=rods, bits=_bits(whistle, body, sizes_mm),
        fits=tuple(_fit(whistle, size_mm) for size_mm in sizes_mm), movement=_movement(whistle),
        kerf_mm=kerf_mm, held_mm=HELD_MM,
    )


def hole_mm_of(whistle: Whistle, bore_mm: float) -> float:
    """What the measured bit makes of a bore, when it is the bit for it."""
    bit_mm = whistle.stock.bit_diameter_mm
    return bit_mm if bit_mm is not None and abs(bit_mm - bore_mm) <= SAME_BIT_MM else bore_mm


def table_wood(name: str) -> str | None:
    """The wood of the handbook's table that is meant, when only one can be."""
    words = " ".join(name.lower().split())
    found = [wood for wood in MOVEMENT if words and (wood.lower() == words or wood.lower().endswith(f" {words}"))]
    return found[0] if len(found) == 1 else None


def _rod(
    chambers: Sequence[Chamber], size_mm: float, windows: Sequence[WindowPlan], plugs: Sequence[PlugPlan],
    kerf_mm: float,
) -> Rod:
    letters = "".join(chamber.letter for chamber in chambers if chamber.bore_mm == size_mm)
    plugs_mm = [plug.rough_mm for plug in plugs if plug.letter in letters and plug.rough_mm is not None]
    fipples_mm = [one.fipple_length_mm + FIPPLE_LONGER_MM for one in windows if one.letter in letters]
    plugs_mm += [max(plugs_mm)] if plugs_mm else []
    fipples_mm.append(max(fipples_mm))
    n_cuts = len(plugs_mm) + len(fipples_mm)
    length_mm = math.fsum([*plugs_mm, *fipples_mm, n_cuts * kerf_mm, HELD_MM])
    return Rod(size_mm, letters, tuple(plugs_mm), tuple(fipples_mm), length_mm)


def _pieces(
    whistle: Whistle, body: BodyPlan, rods: Sequence[Rod], plugs: Sequence[PlugPlan]
) -> tuple[Piece, ...]:
    side_mm = body.diameter_mm + TRUING_AMPLE_MM
    drawn = whistle.body
    pieces = [
        Piece("body, square", 1, body.blank_length_needed_mm, side_mm, side_mm, False),
        Piece("mouthpiece", 1, drawn.mouthpiece_length_mm, side_mm, side_mm, False),
        Piece("plug-end cap", 1, drawn.cap_length_mm, side_mm, side_mm, False),
    ]
    for rod in rods:
        lengths = [(f"plug {plug.letter}, rough", plug.rough_mm) for plug in plugs if plug.letter in rod.letters]
        lengths += [("spare plug, rough", rod.plugs_mm[-1])] if rod.plugs_mm else []
        pieces += [Piece(name, 1, length_mm, rod.diameter_mm, rod.diameter_mm, True) for name, length_mm in lengths]
        for length_mm in sorted(set(rod.fipples_mm)):
            count = rod.fipples_mm.count(length_mm)
            pieces.append(Piece("fipples, rough, one spare", count, length_mm, rod.diameter_mm, rod.diameter_mm, True))
    return tuple(pieces)


def _bits(whistle: Whistle, body: BodyPlan, sizes_mm: Sequence[float]) -> tuple[Bit, ...]:
    drawn = whistle.body
    bits = [Bit("bores", size_mm, body.drill_depth_mm) for size_mm in sizes_mm]
    if drawn.mouthpiece_chamber_diameter_mm is not None:
        bits.append(
            Bit("mouthpiece hollow", drawn.mouthpiece_chamber_diameter_mm, drawn.mouthpiece_chamber_depth_mm)
        )
    if drawn.tenon_diameter_mm is not None:
        bits.append(Bit("mortises", drawn.tenon_diameter_mm, drawn.mortise_depth_mm))
    return tuple(bits)


def _fit(whistle: Whistle, bore_mm: float) -> DowelFit:
    stock, hole_mm = whistle.stock, hole_mm_of(whistle, bore_mm)
    one_way_mm, other_way_mm = stock.dowel_diameter_mm, stock.dowel_across_mm
    if one_way_mm is None:
        return DowelFit(bore_mm, hole_mm, Fit.UNKNOWN, None, None)
    other_way_mm = one_way_mm if other_way_mm is None else other_way_mm
    thick_mm = max(one_way_mm, other_way_mm)
    clearance_mm = hole_mm - thick_mm
    oval_mm = thick_mm - min(one_way_mm, other_way_mm)
    return DowelFit(bore_mm, hole_mm, _verdict(clearance_mm), clearance_mm, oval_mm)


def _verdict(clearance_mm: float) -> Fit:
    if clearance_mm < 0.0:
        return Fit.TOO_THICK
    for limit_mm, verdict in ((TIGHT_MM, Fit.TIGHT), (EASY_MM, Fit.GOOD), (LOOSE_MM, Fit.LOOSE)):
        if clearance_mm <= limit_mm:
            return verdict
    return Fit.TOO_LOOSE


def _movement(whistle: Whistle) -> DowelMovement | None:
    wood = table_wood(whistle.stock.dowel_wood)
    if wood is None:
        return None
    size_mm = whistle.stock.dowel_diameter_mm or max(chamber.bore_mm for chamber in whistle.chambers)
    try:
        radial_mm, tangential_mm = growth_mm(size_mm, wood, DRY_PERCENT, DAMP_PERCENT)
    except OutOfRangeError:
        return None
    return DowelMovement(wood, DRY_PERCENT, DAMP_PERCENT, radial_mm, tangential_mm)
