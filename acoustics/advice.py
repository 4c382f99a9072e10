"""From belief to the next thing to do: one action for every chamber, whatever the blows were.

Conventions
-----------
Amounts are never negative; the action says which way. Full amounts lead to the target itself; what is held back waits
for the next blow. Advice is decided on the posterior: the last reading is only one part of it.
"""
from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

from acoustics.answer import Action, Advice, Policy, Why
from acoustics.belief import Belief, ChamberBelief, ClosureReading, Prediction
from acoustics.constants import CENTS_PER_LOG
from acoustics.evidence import ChamberPlan, Closure, Priors, Stop
from acoustics.outlook import Outlook, Stakes, outlook
from acoustics.stories import (
    COVERED_BLOWS,
    SINCE,
    UNEXPLAINED,
    Story,
    Suspicion,
    suspicion_of,
    suspicion_of_first,
    was_surprising_here_before,
)

_FIRST_BLOWS = 3
_LEAST_BLOWS = 2
_PLAIN_SD = 2.0  # a slid plug may go on after one blow that is no more of a surprise than this
_BLOW_MARGIN = 0.02  # in cuts: what one more blow must promise beyond its own cost; found on the bench
_MOST_PLACES = 2  # of three
_MOST_COVERED_BLOWS = 4
_UNCHECKED_BLOWS = 8  # a check that nobody makes is not asked for any longer
_CHECKED_BLOWS = 4  # over two seatings: a surprise without a story is then taken as it is
_CHECKED_BLOWS_ON_ONE_SEATING = 6
_MOST_BLOWS = 12  # on one closure; after these a decision is made with what there is
_DEEPEST_PUSH_MM = 3.0  # a plug further in than this is better lengthened by a disc
_SLIDE_START_SD = 0.5
# A second cut costs one, every one after it grows dear: a plug that lands loosely is not hunted for ever. A slide does
# so only after many.
_CUT_GROWTH, _PATIENT_CUTS = 2.0, 1
_SLIDE_GROWTH, _PATIENT_SLIDES = 1.5, 4
_SLIDE_BLOW_COST = 0.12  # in cuts: a slid plug loses no seat between its blows, so fewer do; found on the bench
_DEAREST_MOVE = 4.0  # in cuts; below a miss, so that a plug that is plainly off is still moved
_SHARPEST_AIM_CENTS = 40.0
_LONG_CENTS = 1.0  # a first plug starts at least so sharp: pushing it in again is more trouble than a trim
_WHOLE_CENTS = 0.5  # a cut that aims no further than this from the note is called whole


@dataclass(frozen=True)
class _Case:
    """One chamber as it stands."""

    chamber: ChamberPlan
    belief: ChamberBelief
    policy: Policy
    priors: Priors
    blow_sd_cents: float
    closure: Closure | None = None
    reading: ClosureReading | None = None
    now: Prediction | None = None
    doubt: Suspicion | None = None
    n_plugs: int = 0  # faces of plugs in this chamber that were blown so far
    unchecked: bool = False  # the maker goes on without a finger over this plug


def advise(
    belief: Belief, policy: Policy, closures: Mapping[str, Closure], unchecked: Collection[str] = ()
) -> tuple[Advice, ...]:
    """Advice for every chamber, in the plan's order.

    Parameters
    ----------
    belief : Belief
    policy : Policy
    closures : mapping of letter to Closure
        Only plugs and slugs that are in a bore now.
    unchecked : collection of str
        Ids of closures for which a finger over the plug is not to be asked for.
    """
    return tuple(
        _advise_one(_case(belief, policy, chamber, about, closures, unchecked))
        for chamber, about in zip(belief.plan.chambers, belief.chambers, strict=True)
    )


def _case(
    belief: Belief, policy: Policy, chamber: ChamberPlan, about: ChamberBelief, closures: Mapping[str, Closure],
    unchecked: Collection[str],
) -> _Case:
    closure = closures.get(chamber.letter)
    if chamber is belief.plan.chambers[0]:  # its note becomes home: what it held back, all others would hold twice
        policy = replace(policy, held_back_cents=0.0)
    if closure is None:
        first, doubt = suspicion_of_first(belief, chamber) or (None, None)
        return _Case(chamber, about, policy, belief.priors, belief.blow_sd_cents, reading=first, doubt=doubt)
    now, reading = belief.predict(chamber, closure, policy.sliding), belief.readings.get(closure.id)
    doubt = suspicion_of(belief, chamber, closure, closures) if reading else None
    if doubt and was_surprising_here_before(belief, chamber, closure):
        doubt = None
    n_plugs = sum(other.letter == chamber.letter and other.stop is Stop.PLUG for other in belief.readings.values())
    return _Case(chamber, about, policy, belief.priors, belief.blow_sd_cents, closure, reading, now, doubt, n_plugs,
                 closure.id in unchecked)


def _advise_one(case: _Case) -> Advice:
    if case.closure is None or case.now is None:
        return _first_plug(case)
    if case.reading is None:
        return _present(case, Action.BLOW_AGAIN, Why.NO_READING, more_blows=_LEAST_BLOWS)
    may_ask = len(case.reading.deviations_cents) < _MOST_BLOWS
    # What was touched or moved since is asked about however often the face was blown before.
    asks = case.doubt is not None and (may_ask or case.doubt.story in SINCE)
    check = _check(case, case.reading, case.doubt) if case.doubt and asks else None
    if check and case.unchecked and check.action is Action.BLOW_AGAIN and check.story == Story.LEAK:
        check = None
    return check or _least_loss(case, case.reading, case.now, may_ask)


def _check(case: _Case, reading: ClosureReading, doubt: Suspicion) -> Advice | None:
    """Before a surprise is acted on, the one check that would tell: a finger over the plug, or seat it again."""
    n_blows, checked = len(reading.deviations_cents), _checked(reading)
    if doubt.story is Story.LEAK:
        if doubt.sure and (checked or reading.n_covered >= COVERED_BLOWS):
            return _present(case, Action.SEAL_LEAK, Why.SUSPECT)
        # A plug that was trimmed since its first blows leaks as before: by the note alone only those could tell.
        late = n_blows >= _UNCHECKED_BLOWS or case.n_plugs > 1 and not doubt.sure
        if reading.n_covered >= _MOST_COVERED_BLOWS or reading.n_covered == 0 and late:
            return None
    if doubt.story in SINCE:  # only the blows that read otherwise can have been made to look into it
        checked = reading.n_latest >= _CHECKED_BLOWS
    if checked and doubt.story in UNEXPLAINED | SINCE:
        return None
    n_more = COVERED_BLOWS - reading.n_covered if doubt.story is Story.LEAK else _LEAST_BLOWS
    return _present(case, Action.BLOW_AGAIN, Why.SUSPECT, more_blows=max(n_more, 1))


def _checked(reading: ClosureReading) -> bool:
    """Whether it was seated and blown so often that it is taken as it is."""
    return len(reading.deviations_cents) >= (
        _CHECKED_BLOWS if reading.n_seatings >= 2 else _CHECKED_BLOWS_ON_ONE_SEATING
    )


def _first_plug(case: _Case) -> Advice:
    about, policy = case.belief, case.policy
    if about.n_blows < _LEAST_BLOWS:
        why = Why.TOO_LOOSE if about.n_blows else Why.NO_READING
        return _absent(case, Action.BLOW_AGAIN, why, None, more_blows=_FIRST_BLOWS - about.n_blows)
    if case.doubt and case.reading and not _checked(case.reading):
        asked = _absent(case, Action.BLOW_AGAIN, Why.SUSPECT, None, more_blows=_LEAST_BLOWS)
        return replace(asked, story=case.doubt.story.value)
    if about.target_depth_mm is None:
        return _absent(case, Action.BORE_TOO_SHORT, Why.TARGET_OUT_OF_REACH, None)
    if policy.sliding:
        sd_mm = math.hypot(about.target_depth_sd_mm, policy.cut_sd_mm)
        return _absent(case, Action.CUT, Why.FIRST_PLUG_LONG, about.target_depth_mm - _SLIDE_START_SD * sd_mm)
    slope = _cents_per_mm(case)
    sd_cents = about.target_depth_sd_mm * slope
    ahead = outlook(_stakes(case, slope, policy.cut_sd_mm))
    aim_cents, _ = ahead.best_aim(sd_cents, ahead.lowest_aim_cents(sd_cents), _SHARPEST_AIM_CENTS)
    long_mm = (max(aim_cents, _LONG_CENTS) + policy.held_back_cents) / slope
    return _absent(case, Action.CUT, Why.FIRST_PLUG_LONG, about.target_depth_mm + long_mm)


def _least_loss(case: _Case, reading: ClosureReading, now: Prediction, may_ask: bool) -> Advice:
    """Leave, move or blow again, whichever promises the least loss."""
    assert case.closure is not None
    slope = now.per_depth_cents_per_mm
    ahead = outlook(_stakes(case, slope, case.closure.depth_sd_mm))
    # Wood is kept where there is some: a plug that came out right is not pushed in to keep it.
    off_cents = now.deviation_cents - min(max(now.deviation_cents, 0.0), case.policy.held_back_cents)
    aim_cents, move_loss = _best_move(case, ahead, off_cents, now.sd_cents)
    leave_loss = ahead.leave_loss(off_cents, now.sd_cents)
    blow_loss = ahead.blow_loss(off_cents, now.sd_cents) if may_ask else math.inf
    least = min(leave_loss, move_loss, blow_loss + _BLOW_MARGIN)
    n_blows = len(reading.deviations_cents)
    slid_on = case.policy.sliding and least == move_loss and abs(reading.surprise_sd) < _PLAIN_SD
    if n_blows < _LEAST_BLOWS and not slid_on:
        n_more = max(_LEAST_BLOWS - n_blows, _blows_likely(case, ahead, off_cents, now.sd_cents, n_blows))
        return _present(case, Action.BLOW_AGAIN, _next_blow(case), more_blows=n_more)
    if least == leave_loss:
        if may_ask and reading.n_seatings < 2 and not case.policy.sliding:
            return _present(case, Action.BLOW_AGAIN, Why.RESEAT_FIRST, more_blows=1)
        why = Why.ON_ITS_NOTE if abs(off_cents) <= now.sd_cents else Why.BELOW_BREATH
        return _present(case, Action.LEAVE, why)
    if least == blow_loss + _BLOW_MARGIN:
        n_more = _blows_likely(case, ahead, off_cents, now.sd_cents, n_blows)
        return _present(case, Action.BLOW_AGAIN, _next_blow(case), more_blows=n_more)
    return _move(case, now, off_cents, aim_cents)


def _blows_likely(case: _Case, ahead: Outlook, off_cents: float, sd_cents: float, n_blows: int) -> int:
    """How many more blows are likely to do: until the next would promise too little at two of three places.

    The places are where the note is believed and one spread to either side, by what those blows may tell. It is asked
    again after each blow; only the first of them is what the decision is about.
    """
    most = max(_MOST_BLOWS - n_blows, 1)
    for n_more in range(1, most):
        after_sd = 1.0 / math.sqrt(1.0 / sd_cents**2 + n_more / ahead.stakes.round_sd_cents**2)
        told_cents = math.sqrt(max(sd_cents**2 - after_sd**2, 0.0))
        done = [_blown_enough(case, ahead, off_cents + side * told_cents, after_sd) for side in (-1.0, 0.0, 1.0)]
        if sum(done) >= _MOST_PLACES:
            return n_more
    return most


def _blown_enough(case: _Case, ahead: Outlook, off_cents: float, sd_cents: float) -> bool:
    act_loss = min(ahead.leave_loss(off_cents, sd_cents), _best_move(case, ahead, off_cents, sd_cents)[1])
    return act_loss <= ahead.blow_loss(off_cents, sd_cents) + _BLOW_MARGIN


def _next_blow(case: _Case) -> Why:
    """Another blow on the same seating would tell little of a flush plug: its seat is as loose as the breath."""
    return Why.TOO_LOOSE if case.policy.sliding else Why.RESEAT_FIRST


def _best_move(case: _Case, ahead: Outlook, off_cents: float, sd_cents: float) -> tuple[float, float]:
    """Where to put the note, and the expected loss of that plan; infinite when no move is allowed."""
    stakes = ahead.stakes
    if stakes.sliding:
        aim_cents, loss = ahead.best_aim(sd_cents, -_SHARPEST_AIM_CENTS, _SHARPEST_AIM_CENTS)
        return aim_cents, loss + stakes.slide_cost
    plans = [(off_cents, math.inf)]
    lowest_cents = ahead.lowest_aim_cents(sd_cents)
    if off_cents > lowest_cents:
        aim_cents, loss = ahead.best_aim(sd_cents, lowest_cents, min(off_cents, _SHARPEST_AIM_CENTS))
        plans.append((aim_cents, loss + stakes.cut_cost))
    if off_cents < 0.0:
        aim_cents, loss = ahead.best_aim(sd_cents, max(off_cents, -_SHARPEST_AIM_CENTS), _SHARPEST_AIM_CENTS)
        plans.append((aim_cents, loss + stakes.push_cost))
    return min(plans, key=lambda plan: plan[1])


def _move(case: _Case, now: Prediction, off_cents: float, aim_cents: float) -> Advice:
    assert case.closure is not None
    move_cents = aim_cents - off_cents
    if move_cents < 0.0:
        whole = off_cents + move_cents <= _WHOLE_CENTS
        action = Action.DRAW_OUT if _slides(case) else Action.TRIM
        why = Why.FULL_AMOUNT if whole else Why.HALF_ON_PURPOSE
        return _present(case, action, why, -move_cents, more_blows=0 if whole else _LEAST_BLOWS)
    deep = move_cents / now.per_depth_cents_per_mm > _DEEPEST_PUSH_MM
    action = Action.ADD_DISC if deep and not _slides(case) else Action.PUSH_IN
    return _present(case, action, Why.FLAT, move_cents)


def _slides(case: _Case) -> bool:
    return case.policy.sliding or (case.closure is not None and case.closure.stop is Stop.SLUG)


def _stakes(case: _Case, slope_cents_per_mm: float, depth_sd_mm: float) -> Stakes:
    """What is at stake, rounded a little so that like chambers share one outlook."""
    policy, priors = case.policy, case.priors
    slope = math.exp(round(math.log(slope_cents_per_mm) * 8.0) / 8.0)
    blow_sd_cents = round(2.0 * case.blow_sd_cents) / 2.0
    seat_cents = 0.0 if policy.sliding else math.hypot(priors.seating_sd_cents, priors.seat_sd_mm * slope)
    landing_cents = max(policy.cut_sd_mm * slope, 0.1)
    return Stakes(
        tolerance_cents=max(policy.tolerance_cents, 0.5),
        flat_risk=policy.flat_risk,
        landing_cents=landing_cents,
        depth_error_cents=min(round(max(depth_sd_mm, 0.0), 2) * slope, landing_cents),
        round_sd_cents=math.hypot(math.hypot(blow_sd_cents, seat_cents), priors.set_sd_cents),
        sliding=_slides(case),
        blow_cost=_SLIDE_BLOW_COST if policy.sliding else Stakes.blow_cost,
        cut_cost=_grown(Stakes.cut_cost, _CUT_GROWTH, case.n_plugs - _PATIENT_CUTS),
        push_cost=_grown(Stakes.push_cost, _CUT_GROWTH, case.n_plugs - _PATIENT_CUTS),
        slide_cost=_grown(Stakes.slide_cost, _SLIDE_GROWTH, case.n_plugs - _PATIENT_SLIDES),
    )


def _grown(move_cost: float, growth: float, n_beyond: int) -> float:
    return min(move_cost * growth ** max(n_beyond, 0), _DEAREST_MOVE)


def _cents_per_mm(case: _Case) -> float:
    """Near enough for margins: a quarter wave as long as length and window together."""
    about = case.belief
    length_mm = case.chamber.bore_length_mm - (about.target_depth_mm or 0.0)
    return CENTS_PER_LOG / max(length_mm + about.window_mm, 10.0)


def _absent(
    case: _Case, action: Action, why: Why, stop_at_depth_mm: float | None, more_blows: int = 0
) -> Advice:
    """Advice for a bore without a plug."""
    about = case.belief
    if stop_at_depth_mm is None:
        return Advice(case.chamber.letter, action, why, case.chamber.target_hz, None, None, None, None, None, None,
                      about.target_depth_sd_mm, None, None, about.target_depth_mm, more_blows)
    stop_at_depth_mm = max(stop_at_depth_mm, 0.0)
    held_back_mm = stop_at_depth_mm - (about.target_depth_mm or 0.0)
    return Advice(
        case.chamber.letter, action, why, case.chamber.target_hz, None, None, None,
        full_amount_mm=about.target_depth_mm, held_back_mm=held_back_mm, amount_mm=stop_at_depth_mm,
        uncertainty_mm=about.target_depth_sd_mm, depth_mm=None, stop_at_depth_mm=stop_at_depth_mm,
        target_depth_mm=about.target_depth_mm, more_blows=more_blows,
    )


def _present(
    case: _Case, action: Action, why: Why, move_cents: float = 0.0, more_blows: int = 0
) -> Advice:
    """Advice for the plug that is in the bore; `move_cents` is how far this action takes it, never negative."""
    assert case.now is not None
    assert case.closure is not None
    now, closure = case.now, case.closure
    slope = now.per_depth_cents_per_mm
    full_mm = abs(now.deviation_cents) / slope
    amount_mm = move_cents / slope
    deeper = action in (Action.PUSH_IN, Action.ADD_DISC)
    moves = deeper or action in (Action.TRIM, Action.DRAW_OUT)
    stop_mm = closure.depth_mm + (amount_mm if deeper else -amount_mm) if moves else None
    ticks = tuple(closure.depth_mm - cents / slope for cents in (case.reading.deviations_cents if case.reading else ()))
    return Advice(
        case.chamber.letter, action, why, case.chamber.target_hz,
        heard_hz=case.reading.heard_hz if case.reading else None,
        deviation_cents=now.deviation_cents, deviation_sd_cents=now.sd_cents,
        full_amount_mm=full_mm, held_back_mm=full_mm - amount_mm if moves else None,
        amount_mm=amount_mm if moves else None, uncertainty_mm=now.sd_cents / slope, depth_mm=closure.depth_mm,
        stop_at_depth_mm=stop_mm, target_depth_mm=case.belief.target_depth_mm, more_blows=max(more_blows, 0),
        ticks_depth_mm=ticks, story=case.doubt.story.value if case.doubt else None,
    )
