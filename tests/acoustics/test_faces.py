"""The forward model on arrays against the one of `acoustics.bore`, which is checked against published values."""
import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from acoustics.bore import resonance_hz, slopes_cents_per_mm
from acoustics.faces import faces_of, tones_of
from acoustics.tuning import ChamberPlan, Closure, Plan, Priors, Stop
from acoustics.units import cents_between

BORES_MM = st.floats(6.0, 20.0)


@settings(max_examples=60, deadline=None)
@given(BORES_MM, st.floats(30.0, 300.0), st.floats(-0.6, 0.6), st.floats(-1.0, 1.0), st.floats(-0.8, 0.8),
       st.sampled_from([10.0, 20.0, 30.0]))
def test_every_face_sounds_as_the_bore_says(bore_mm, length_mm, window_log, depth_mm, finger_log, temperature_c):
    chamber, priors = ChamberPlan("A", bore_mm, length_mm, 8.0, 5.0, 700.0), Priors()
    whole = Plan((chamber,))
    closures = [Closure("f", Stop.FINGER, 0.0, 0.0), Closure("p", Stop.PLUG, 0.2 * length_mm, 0.05)]
    faces = faces_of(whole, [(chamber, closure, temperature_c) for closure in closures], priors)
    tones = tones_of(faces, priors, np.full(2, window_log), np.full(2, depth_mm), finger_log)
    finger_mm = math.exp(priors.finger_log + finger_log)
    for at, taken_mm in enumerate((finger_mm, 0.2 * length_mm)):
        window_mm = 2.3 * (bore_mm / 2.0) ** 2 / math.sqrt(40.0) * math.exp(priors.window_log + window_log)
        air, free_mm = whole.air(temperature_c), length_mm - taken_mm - depth_mm
        note_hz = resonance_hz(free_mm, window_mm, bore_mm, air, priors.wall_loss)
        per_length, per_window = slopes_cents_per_mm(note_hz, free_mm, window_mm, bore_mm, air, priors.wall_loss)
        off_cents = cents_between(note_hz, 700.0) + priors.air_cents
        assert tones.deviation_cents[at] == pytest.approx(off_cents, abs=1e-6)
        assert tones.per_depth_cents_per_mm[at] == pytest.approx(-per_length, rel=1e-5)
        assert tones.per_window_log_cents[at] == pytest.approx(per_window * window_mm, rel=1e-5)
    assert tones.per_finger_log_cents[1] == 0.0
    assert tones.per_finger_log_cents[0] == pytest.approx(tones.per_depth_cents_per_mm[0] * finger_mm)
