"""The invented world: that it stands on its own feet and that its physics has the right sign and size."""
import ast
from pathlib import Path

import numpy as np
import pytest

from tests.simulation.world import SPEED_20_C_M_PER_S, Customs, Maker, Pattern, Seat, Whistle, cents, wall_wavenumber


def whistle(seed: int, customs: Customs | None = None) -> Whistle:
    rng = np.random.default_rng(seed)
    return Whistle.draw(rng, Pattern.draw(rng), Maker.draw(rng), customs or Customs())


def test_world_imports_nothing_of_the_program():
    tree = ast.parse((Path(__file__).parent / "world.py").read_text(encoding="utf-8"))
    modules = [node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    modules += [alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names]
    assert modules
    assert not [name for name in modules if name.partition(".")[0] in ("acoustics", "app")]


def test_wall_flattens_a_half_inch_bore_by_eighteen_cents_at_600_hz():
    # Zwikker & Kosten (1949) with the constants of dry air at 20 degC gives 17.94 cents; moist air differs by 0.05.
    lossless = 2.0 * np.pi * 600.0 / SPEED_20_C_M_PER_S
    assert cents(lossless, wall_wavenumber(600.0, 6.35e-3)) == pytest.approx(-17.94, abs=0.05)


@pytest.mark.parametrize("seed", range(5))
def test_deeper_is_sharper_and_warmer_is_sharper_by_three_cents_a_degree(seed):
    here = whistle(seed)
    for chamber in here.chambers.values():
        note_hz = here.note_hz(chamber, 20.0, 20.0)
        assert here.note_hz(chamber, 21.0, 20.0) > note_hz
        # Derived by hand: 865.6 / 293.15 = 2.953 cents a degree.
        assert cents(here.note_hz(chamber, 20.0, 21.0), note_hz) == pytest.approx(2.95, abs=0.01)


def test_finger_sharpens_and_a_leak_sharpens_what_is_blown_but_not_what_is_true():
    here = whistle(3)
    finger = here.finger()
    here.reseat("A", finger)
    assert finger.offset_cents > 0.0
    tight, leaking = Seat(20.0, "plug", seated=True), Seat(20.0, "plug", leak_cents=20.0, seated=True)
    blown = [np.mean([cents(here.blow_hz("A", seat, 20.0), 600.0) for _ in range(200)]) for seat in (tight, leaking)]
    assert blown[1] - blown[0] == pytest.approx(20.0, abs=2.0)  # 200 blows of 5 to 7.5 cents: 0.6 cents, three times
    assert here.true_cents("A", tight) == here.true_cents("A", leaking)


def test_cuts_and_seats_land_as_loosely_as_the_customs_say():
    here = whistle(4)
    landed_mm = [here.cut_plug(30.0).depth_mm for _ in range(2000)]
    assert np.std(landed_mm) == pytest.approx(Customs().cut_sd_mm, rel=0.08)  # five times 1 / sqrt(2 * 2000)
    assert np.mean(landed_mm) == pytest.approx(30.0, abs=0.02)
