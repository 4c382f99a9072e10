"""A leak is suspected far oftener on leaking plugs than on sound ones, in a world with acoustics of its own.

The bounds are wide of what `python -m tests.bench.voicing` prints, so that chance does not decide.
"""
from tests.bench.voicing.leaks import judged


def test_leaks_are_suspected_on_leaking_plugs_and_hardly_on_sound_ones():
    plugs = list(judged(n_whistles=30, seed=5, n_blows=4, leaking_share=0.4))
    leaking, sound = ([plug.suspected[-1] for plug in plugs if plug.leaks is leaks] for leaks in (True, False))
    assert len(leaking) > 25
    assert len(sound) > 40
    assert sum(leaking) > 0.3 * len(leaking)
    assert sum(sound) < 0.08 * len(sound)
