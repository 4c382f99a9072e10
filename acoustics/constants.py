"""Fixed numbers used by more than one file, each with its unit and source."""
import math
from typing import Final

ABSOLUTE_ZERO_C: Final[float] = -273.15
"""Degrees Celsius; exact by definition of the Celsius scale (ISO 80000-5)."""

GAS_CONSTANT_J_PER_MOL_K: Final[float] = 8.314462618
"""Molar gas constant, exact since the 2019 revision of the SI (CODATA 2018), here to ten digits."""

STANDARD_PRESSURE_PA: Final[float] = 101_325.0
"""The standard atmosphere, exact."""

CENTS_PER_OCTAVE: Final[float] = 1200.0
"""Cents; exact by definition."""

CENTS_PER_LOG: Final[float] = CENTS_PER_OCTAVE / math.log(2.0)
"""Cents per unit of the natural logarithm of a ratio, 1731.234: a small relative change times this is in cents."""

REFERENCE_PITCH_HZ: Final[float] = 440.0
"""The A above middle C (A4), ISO 16:1975."""

MM_PER_INCH: Final[float] = 25.4
"""Millimetres; exact by definition of the international inch."""

MOLAR_MASS_G_PER_MOL: Final[dict[str, float]] = {
    "N2": 28.0134, "O2": 31.9988, "Ar": 39.948, "CO2": 44.0095, "H2O": 18.0153,
}
"""Grams per mole, from the IUPAC standard atomic weights."""

DRY_AIR_MOLAR_MASS_G_PER_MOL: Final[float] = 28.9655
"""Grams per mole, for 400 ppm of carbon dioxide (CIPM-2007: Picard et al., Metrologia 45, 149-155, 2008)."""
