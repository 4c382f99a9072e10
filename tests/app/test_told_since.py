"""Next day at the bench: what reads otherwise is named by what else was blown, and the walk goes on."""
import pytest

from acoustics.tuning import Action, Why
from app.events import ChamberChosen, Route, RouteChosen, StageChosen
from app.showing import view
from app.view import Stage
from tests.number_maker import Bench, NumberMaker


@pytest.fixture(scope="module")
def tuned():
    bench, maker = Bench.open(), NumberMaker(3, scatter_cents=1.5)
    bench.post(RouteChosen(Route.TRIM))
    bench.walk(maker)
    return bench, maker


def next_day(tuned, moved_cents, n_blows=2):
    """The same plugs blown again, off by so much."""
    yesterday, maker = tuned
    bench = Bench.open(list(yesterday.journal), sitting="s2")
    bench.post(StageChosen(Stage.TRIM))
    for letter, cents in moved_cents.items():
        for number in range(2 + n_blows if letter == next(iter(moved_cents)) else n_blows):  # the first two warm up
            if bench.state.request.letter != letter:
                bench.post(ChamberChosen(letter))
            bench.blow(maker.true_hz(letter) * 2 ** ((cents + (-1) ** number) / 1200))
        bench.post(ChamberChosen(letter))
    return bench


def told(bench):
    letter = bench.state.place.letter
    return bench.state.place.advice[letter], view(bench.state).why


def test_all_plugs_sharp_in_a_warmer_room_are_put_to_the_air(tuned):
    advice, why = told(next_day(tuned, {"A": 25.0, "B": 25.0, "C": 25.0}))
    assert (advice.action, advice.why, advice.story) == (Action.BLOW_AGAIN, Why.SUSPECT, "air")
    assert "is the room warmer or colder?" in why


def test_one_plug_alone_cannot_be_told_before_another_was_blown(tuned):
    advice, why = told(next_day(tuned, {"B": -25.0}))
    assert advice.story == "changed"
    assert "blow another chamber" in why


def test_one_plug_among_others_that_read_as_before_was_touched(tuned):
    advice, why = told(next_day(tuned, {"A": 0.0, "C": 0.0, "B": -25.0}))
    assert advice.story == "voice"
    assert "window or fipple touched?" in why


def test_plugs_that_read_as_yesterday_have_no_story(tuned):
    bench = next_day(tuned, {"A": 0.0, "B": 0.0, "C": 0.0})
    assert {advice.story for advice in bench.state.place.advice.values()} == {None}


def test_what_nobody_answers_is_not_asked_for_ever(tuned):
    advice, _ = told(next_day(tuned, {"B": -25.0}, n_blows=6))
    assert advice.why is not Why.SUSPECT
