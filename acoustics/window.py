"""The window's share of the length: what geometry alone can say before the first blow."""
from __future__ import annotations

import math

from acoustics.errors import require_between

_NOT_INCHES = "Was it typed in inches?"


def window_prior_mm(bore_mm: float, window_width_mm: float, window_height_mm: float) -> float:
    """Length of bore that the air in the window stands for, good to about 20 %.

    Parameters
    ----------
    bore_mm : float
        Diameter, 4 to 40.
    window_width_mm : float
        Across the bore, 1 to 40.
    window_height_mm : float
        Cut-up: along the bore, from the fipple's face to the lip, 1 to 40.

    Raises
    ------
    OutOfRangeError
        If a value lies outside its range.

    Notes
    -----
    ``2.3 a^2 / sqrt(W H)``, which scales as bore area over the root of the window's area, like every law for a hole in
    a thin wall. Measured on organ pipes; over those who know width and height the answers spread by 20 %: Rayleigh's
    thin-wall aperture gives 1.21 times this, a potential-flow solution of a 12.7 mm bore with a 10 x 6 mm window 1.04
    times. Slope of the lip, wall thickness, ears and the hand are left to the maker's own blows.

    References
    ----------
    Ingerslev and Frobenius (1947), Trans. Danish Acad. Tech. Sci. 1 (formula quoted from memory);
    Rayleigh (1896), The Theory of Sound, vol. 2, art. 306.
    """
    require_between("bore diameter in mm", bore_mm, 4.0, 40.0, _NOT_INCHES)
    require_between("window width in mm", window_width_mm, 1.0, 40.0, _NOT_INCHES)
    require_between("window height in mm", window_height_mm, 1.0, 40.0, _NOT_INCHES)
    return 2.3 * (0.5 * bore_mm) ** 2 / math.sqrt(window_width_mm * window_height_mm)
