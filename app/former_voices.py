"""The fit of a whistle from its records: what a change of voice spoiled is forgotten, and nothing else."""
from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from acoustics.tuning import Belief, Plan, Priors, fit
from app.evidence import former_observations, observations
from app.records import Record


def believe(plan: Plan, records: Sequence[Record], priors: Priors) -> Belief:
    """What is believed of the whistle's chambers as they are voiced now.

    A chamber with another window is another chamber on the same bore: its former voice is fitted beside the present
    one with a window of its own, so that its blows go on teaching finger, pattern and breath.
    """
    former = former_observations(records)
    whose = {chamber.letter: chamber for chamber in plan.chambers}
    blows = [blow for letter, blown in former.items() if letter in whose for blow in blown]
    voices = tuple(
        replace(whose[letter], letter=voice)
        for letter, blown in former.items() if letter in whose for voice in dict.fromkeys(b.letter for b in blown)
    )
    if not voices:
        return fit(plan, observations(records), priors)
    belief = fit(replace(plan, chambers=(*plan.chambers, *voices)), (*observations(records), *blows), priors)
    return replace(belief, plan=plan, chambers=belief.chambers[: len(plan.chambers)])
