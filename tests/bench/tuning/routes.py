"""The routes of the walk, played on the invented bench: the program's advice, followed to the letter."""
from __future__ import annotations

import math
from dataclasses import dataclass

from acoustics.stories import UNEXPLAINED
from acoustics.tuning import Action, Advice, Belief, Policy, Priors, Stop, Story, Why, advise, fit
from tests.bench.tuning.bench_hand import Hand

MOST_STEPS = 120  # on one chamber: more is a dead end and is counted as one
SLUG_SHIFTS_MM = (-3.0, -1.0, 1.0, 0.0)
REST_AFTER_BLOWS = 5  # then a new set


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
    """Blow at a shallow mark, then at marks about where the face belongs, as the walk asks."""
    at = [chamber.letter for chamber in hand.plan.chambers].index(letter)
    for shift_mm in SLUG_SHIFTS_MM:
        goal_mm = fit(hand.plan, hand.observations, priors).chambers[at].target_depth_mm
        hand.put_slug(letter, max(round(goal_mm or 0.0) + shift_mm, 1.0))
        hand.blow(letter, 1)


def _finish(hand: Hand, priors: Priors, policy: Policy, letter: str) -> Ended:
    """Do as told until the advice is to leave the chamber as it is."""
    at = [chamber.letter for chamber in hand.plan.chambers].index(letter)
    hand.begin_set()
    for _ in range(MOST_STEPS):
        belief = fit(hand.plan, hand.observations, priors)
        told = advise(belief, policy, hand.closures)[at]
        _account(hand, belief, letter, told)
        if told.action in (Action.LEAVE, Action.BORE_TOO_SHORT):
            break
        _follow(hand, policy, letter, told)
    sd_cents = told.deviation_sd_cents or 1.0
    return Ended(letter, told.deviation_cents or 0.0, sd_cents, told.action is not Action.LEAVE)


def _follow(hand: Hand, policy: Policy, letter: str, told: Advice) -> None:
    """One step: a blow, or a move of the face. After every blow the advice is asked for again, as in the walk."""
    if told.action is Action.BLOW_AGAIN:
        if letter not in hand.closures:
            _first_blow_again(hand, letter)
            return
        suspect = Story(told.story) if told.why is Why.SUSPECT and told.story else None
        if suspect is Story.WRONG_BORE and hand.set_number == hand.wrong_set:
            hand.look_again(letter)
        if hand.blows_in_set >= REST_AFTER_BLOWS:
            hand.begin_set()
        hand.blow(letter, 1, told.why is Why.RESEAT_FIRST or suspect in UNEXPLAINED, covered=suspect is Story.LEAK)
    elif told.action is Action.SEAL_LEAK:
        hand.begin_set()
        hand.seats[letter].leak_cents = 0.0
        hand.seats[letter].seated = False
        hand.put(letter, hand.seats[letter], hand.closures[letter].depth_mm, hand.closures[letter].depth_sd_mm)
    else:
        assert told.stop_at_depth_mm is not None
        # A slid plug is sawn once, whatever becomes of it; from then on it is only pushed and drawn.
        cut = told.action is Action.CUT or not policy.sliding
        if cut:  # minutes at the bench: the chamber cools and is warmed anew
            hand.begin_set()
        hand.put_plug(letter, told.stop_at_depth_mm, cut)


def _account(hand: Hand, belief: Belief, letter: str, told: Advice) -> None:
    """What was said against what is true, which the program cannot know."""
    tally = hand.tallies[letter]
    if told.action is Action.TRIM:
        tally.trims += 1
        tally.trims_when_flat += hand.whistle.true_cents(letter, hand.seats[letter]) < 0.0
    if not tally.fates:
        return
    fate = tally.fates[-1]
    if fate.wrong_blows and not fate.apart_sd:
        fate.apart_sd = _apart_sd(hand, belief, letter)
    if told.action is Action.SEAL_LEAK:
        fate.accused = True
    elif told.action is Action.TRIM and not fate.accused:
        fate.trims += 1
    if told.why is Why.SUSPECT:
        fate.checked |= told.story == Story.LEAK
        fate.named_wrong |= told.story == Story.WRONG_BORE and hand.set_number == hand.wrong_set


def _apart_sd(hand: Hand, belief: Belief, letter: str) -> float:
    """How far the note expected of this plug lies from that of the bore that was blown, in combined deviations."""
    other = next(name for name in hand.seats if name != letter)
    chambers = {chamber.letter: chamber for chamber in belief.plan.chambers}
    reading, there = belief.readings[hand.closures[letter].id], belief.predict(chambers[other], hand.closures[other])
    here_hz = reading.heard_hz * 2.0 ** (-reading.surprise_cents / 1200.0)
    there_hz = chambers[other].target_hz * 2.0 ** (there.deviation_cents / 1200.0)
    return abs(1200.0 * math.log2(here_hz / there_hz)) / math.hypot(reading.surprise_cents_sd, there.sd_cents)


def _first_blow_again(hand: Hand, letter: str) -> None:
    """The first reading is still too loose to cut by: the same stop is put there once more."""
    hand.begin_set()
    chamber = hand.whistle.chambers[letter]
    last = [blow.closure for blow in hand.observations if blow.letter == letter][-1]
    if last.stop is Stop.SLUG or chamber.overblows_bare:
        hand.put_slug(letter, last.depth_mm)
    else:
        hand.put(letter, hand.whistle.finger(), 0.0, 0.0)
    hand.blow(letter, 1)
    del hand.closures[letter], hand.seats[letter]
