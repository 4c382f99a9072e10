"""Movement of wood: USDA Forest Products Laboratory, Wood Handbook, FPL-GTR-190 (2010), chapters 4 and 13.

The dimensional change coefficients of table 13-5 are derived there from the total shrinkages of table 4-3; here the
two tables are checked against each other with the handbook's own rule, green wood shrinking below 30 % moisture.
"""
import pytest

from acoustics.errors import OutOfRangeError
from acoustics.timber import MOVEMENT, growth_mm

# Table 4-3: shrinkage from green to ovendry, percent, radial and tangential.
SHRINKAGE_PERCENT = {"black walnut": (5.5, 7.8), "black cherry": (3.7, 7.1), "red alder": (4.4, 7.3),
                     "yellow birch": (7.3, 9.5)}


@pytest.mark.parametrize("wood", SHRINKAGE_PERCENT)
def test_coefficients_agree_with_total_shrinkage(wood):
    """Linear from 30 % to 0 %, related to the size at about 10 %: C = (S / 30) / (1 - 20 S / 30) in fractions."""
    for coefficient, percent in zip(MOVEMENT[wood], SHRINKAGE_PERCENT[wood], strict=True):
        share = percent / 100.0
        assert coefficient == pytest.approx(share / 30.0 / (1.0 - share * 20.0 / 30.0), rel=0.03)


def test_a_maple_plug_from_8_to_12_percent():
    """Worked by hand from table 13-5: 12.7 x 0.00165 x 4 and 12.7 x 0.00353 x 4."""
    assert growth_mm(12.7, "sugar maple", 8.0, 12.0) == pytest.approx((0.0838, 0.1793), abs=1e-4)


def test_drying_shrinks_by_as_much():
    grown = growth_mm(12.7, "apple", 7.0, 11.0)
    assert growth_mm(12.7, "apple", 11.0, 7.0) == pytest.approx([-g for g in grown])


def test_a_wood_that_is_not_in_the_table_is_refused():
    with pytest.raises(OutOfRangeError, match="the table has"):
        growth_mm(12.7, "driftwood", 8.0, 12.0)
