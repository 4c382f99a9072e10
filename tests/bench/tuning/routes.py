"""The routes of the walk, played on the invented bench: the program's advice, followed to the letter."""
from __future__ import annotations

from dataclasses import dataclass

from acoustics.tuning import Action, Advice, Belief, Policy, Priors, Why, advise, fit
from tests.bench.tuning.bench_hand import Hand

MOST_STEPS = 60  # on one chamber: more is a dead end and is counted as one
REST_EVERY = 4  # steps of advice, then a rest and a new set


@dataclass(frozen=True)
class Ended:
    """How one chamber was left."""

    letter: str
    belief_cents: float
    belief_sd_cents: float
    dead_end: bool


def tune(hand: Hand, priors: Priors, policy: Policy, by: str) -> tuple[list[Ended], Belief]:
    """Tune a whole whistle by "finger", "slug" or "slide"."""
    letters = [chamber.letter for chamber in hand.plan.chambers]
    hand.slid = policy.sliding
    for letter in letters:
        _first_blows(hand, priors, letter, "finger" if by == "finger" else "slug")
    ended = [_finish(hand, priors, policy, letter) for letter in letters]
    return ended, fit(hand.plan, hand.observations, priors)


def _first_blows(hand: Hand, priors: Priors, letter: str, by: str) -> None:
    chamber = hand.whistle.chambers[letter]
    hand.begin_set()
    if by == "finger" and not chamber.overblows_bare:
        hand.put(letter, hand.whistle.finger(), 0.0, 0.0)
        hand.blow(letter, 2)
        hand.blow(letter, 1, reseat=True)
    else:
        _slug_blows(hand, priors, letter)
    del hand.closures[letter]
    del hand.seats[letter]


def _slug_blows(hand: Hand, priors: Priors, letter: str) -> None:
    """Blow at a safe depth, then twice near where the face belongs."""
    at = [chamber.letter for chamber in hand.plan.chambers].index(letter)
    for shift_mm, n in ((-3.0, 1), (-0.6, 2), (0.6, 2)):
        goal_mm = fit(hand.plan, hand.observations, priors).chambers[at].target_depth_mm
        hand.put_slug(letter, max((goal_mm or 0.0) + shift_mm, 0.0))
        hand.blow(letter, n)


def _finish(hand: Hand, priors: Priors, policy: Policy, letter: str) -> Ended:
    """Do as told until the advice is to leave the chamber as it is."""
    at = [chamber.letter for chamber in hand.plan.chambers].index(letter)
    hand.begin_set()
    for step in range(MOST_STEPS):
        belief = fit(hand.plan, hand.observations, priors)
        told = advise(belief, policy, hand.closures)[at]
        if told.action in (Action.LEAVE, Action.BORE_TOO_SHORT):
            break
        _follow(hand, policy, letter, told, step)
    sd_cents = told.deviation_sd_cents or 1.0
    return Ended(letter, told.deviation_cents or 0.0, sd_cents, told.action is not Action.LEAVE)


def _follow(hand: Hand, policy: Policy, letter: str, told: Advice, step: int) -> None:
    if told.action is Action.BLOW_AGAIN:
        if letter not in hand.closures:
            hand.put(letter, hand.whistle.finger(), 0.0, 0.0)
            hand.blow(letter, max(told.more_blows, 1))
            del hand.closures[letter], hand.seats[letter]
            return
        if step % REST_EVERY == REST_EVERY - 1:
            hand.begin_set()
        hand.blow(letter, max(told.more_blows, 1), reseat=told.why is Why.RESEAT_FIRST)
    elif told.action is Action.SEAL_LEAK:
        hand.seats[letter].leak_cents = 0.0
        hand.put(letter, hand.seats[letter], hand.closures[letter].depth_mm, hand.closures[letter].depth_sd_mm)
        hand.blow(letter, 2, reseat=True)
    else:
        assert told.stop_at_depth_mm is not None
        # A slid plug is sawn once, whatever becomes of it; from then on it is only pushed and drawn.
        cut = told.action is Action.CUT or not policy.sliding
        hand.put_plug(letter, told.stop_at_depth_mm, cut)
        hand.blow(letter, 2)
