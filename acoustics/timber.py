"""How wood grows and shrinks across the grain with the dampness of the air: a plug must slide, and seal."""
from __future__ import annotations

from typing import Final, NamedTuple

from acoustics.errors import OutOfRangeError, require_between


class Movement(NamedTuple):
    """Change per unit of length and per percent of moisture content, across the grain."""

    radial_per_percent: float
    tangential_per_percent: float


MOVEMENT: Final[dict[str, Movement]] = {
    "black walnut": Movement(0.00190, 0.00274),
    "black cherry": Movement(0.00126, 0.00248),
    "sugar maple": Movement(0.00165, 0.00353),
    "red alder": Movement(0.00151, 0.00256),
    "American beech": Movement(0.00190, 0.00431),
    "white ash": Movement(0.00169, 0.00274),
    "apple": Movement(0.00205, 0.00376),
    "yellow birch": Movement(0.00256, 0.00338),
}
"""USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), table 13-5; good from 6 to 14 % moisture.

The birch is from memory, and agrees with what follows from its shrinkage in table 4-3."""


def growth_mm(size_mm: float, wood: str, from_percent: float, to_percent: float) -> tuple[float, float]:
    """How much a piece `size_mm` across grows, radially and tangentially; negative when it dries.

    Parameters
    ----------
    size_mm : float
        Across the grain, 1 to 300.
    wood : str
        A name in `MOVEMENT`.
    from_percent, to_percent : float
        Moisture content, 6 to 14.

    Raises
    ------
    OutOfRangeError
        If the wood is not in the table, or a value outside its range.

    Notes
    -----
    ``dD = D C (M2 - M1)``. Along the grain wood moves a hundredth of that: a plug's length, and so its pitch, stays.

    References
    ----------
    Wood Handbook, FPL-GTR-190 (2010), chapter 13, equation (13-2) and table 13-5.
    """
    if wood not in MOVEMENT:
        raise OutOfRangeError(f"wood is “{wood}”; the table has {', '.join(MOVEMENT)}.")
    require_between("size in mm", size_mm, 1.0, 300.0)
    for percent in (from_percent, to_percent):
        require_between("moisture content in percent", percent, 6.0, 14.0, "Indoor wood has 6 to 12.")
    of_wood, change = MOVEMENT[wood], to_percent - from_percent
    return size_mm * of_wood.radial_per_percent * change, size_mm * of_wood.tangential_per_percent * change
