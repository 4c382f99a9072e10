"""What the blows say about the plugs: the one door to the tuning model.

`fit` is a pure function of plan, observations and priors; `advise` of the belief, the policy and the plugs as they
are now. Nothing is remembered between calls, so undo and any order of events come free.
"""
from acoustics.advice import advise
from acoustics.answer import Action, Advice, Policy, Why
from acoustics.belief import Belief, ChamberBelief
from acoustics.evidence import ChamberPlan, Closure, Observation, Plan, Priors, Stop
from acoustics.memory import remember
from acoustics.model import fit
from acoustics.stories import Story

__all__ = [
    "Action", "Advice", "Belief", "ChamberBelief", "ChamberPlan", "Closure", "Observation", "Plan", "Policy", "Priors",
    "Stop", "Story", "Why", "advise", "fit", "remember",
]
