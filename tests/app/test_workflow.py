"""The walk by table: what each event leads to. Expected values are derived by hand from the rules of the walk."""
import pytest

from acoustics.blow import Verdict
from acoustics.tuning import Action, Stop
from app.chamber import Status
from app.events import (
    AirTold,
    ChamberChosen,
    Key,
    Pressed,
    Route,
    RouteChosen,
    StageChosen,
    StopChosen,
    Task,
    Tooted,
    Typed,
)
from app.records import BlowTaken, PlugSet, StepTaken, VoiceChanged
from app.showing import view
from app.view import Face, Stage
from tests.number_maker import WHISTLE, Bench, NumberMaker


@pytest.fixture
def bench() -> Bench:
    return Bench.open()


def warmed_up(bench: Bench) -> Bench:
    for _ in range(2):
        bench.blow(560.0)
    return bench


def first_blows_of_all(bench: Bench, maker: NumberMaker) -> None:
    while bench.state.place.stage is Stage.FIRST_BLOW:
        bench.answer(maker)


def test_a_new_whistle_starts_with_the_first_blow_of_its_lowest_chamber(bench):
    request = bench.state.request
    assert (request.task, request.letter, request.stop) == (Task.BLOW, "A", Stop.FINGER)


def test_two_warm_up_blows_are_heard_but_not_counted(bench):
    warmed_up(bench)
    assert [b.warm_up for b in bench.journal if isinstance(b, BlowTaken)] == [True, True]
    assert bench.state.place.chamber.first == ()


def test_after_two_blows_on_one_seating_the_finger_is_to_be_lifted(bench):
    warmed_up(bench)
    for _ in range(2):
        bench.blow(560.0)
    assert bench.state.request.task is Task.RESEAT
    bench.blow(561.0)
    seatings = [b.seating for b in bench.journal if isinstance(b, BlowTaken) and not b.warm_up]
    assert seatings == [1, 1, 2]


def test_three_agreeing_blows_on_two_seatings_lead_to_the_next_chamber_by_themselves(bench):
    warmed_up(bench)
    for hz in (560.0, 560.5, 559.5):
        bench.blow(hz)
    assert bench.state.place.letter == "B"


def test_an_overblown_blow_is_kept_in_the_journal_and_teaches_nothing(bench):
    warmed_up(bench)
    bench.blow(1700.0, Verdict.OVERBLOWN)
    assert bench.journal[-1].verdict == "overblown"
    assert bench.state.place.chamber.first == ()
    assert "blow softer" in view(bench.state).why


def test_a_hum_is_told_and_not_kept(bench):
    before = len(bench.journal)
    bench.blow(300.0, Verdict.HUM)
    assert len(bench.journal) == before
    assert "dust collector" in view(bench.state).why


@pytest.mark.parametrize("route", list(Route))
def test_lowest_plug_is_finished_before_any_other_is_cut(bench, route):
    maker = NumberMaker(1)
    bench.post(RouteChosen(route))
    bench.walk(maker)
    plugs = [r for r in bench.journal if isinstance(r, PlugSet) and r.stop == Stop.PLUG]
    accepted_a = next(r for r in bench.journal if isinstance(r, StepTaken) and r.step == "accepted")
    assert accepted_a.letter == "A"
    first_other = next(p for p in plugs if p.letter != "A")
    assert bench.journal.index(accepted_a) < bench.journal.index(first_other)


def test_the_other_plugs_are_cut_in_one_saw_session(bench):
    bench.post(RouteChosen(Route.TRIM))
    maker = NumberMaker(2)
    bench.walk(maker)
    plugs = [r for r in bench.journal if isinstance(r, PlugSet) and r.stop == Stop.PLUG]
    others = [(r.how, r.letter) for r in plugs if r.letter != "A"]
    assert others[:3] == [("cut", "B"), ("cut", "C"), ("cut", "D")]


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("route", list(Route))
def test_every_walk_ends_with_all_plugs_near_their_intervals(bench, route, seed):
    import math

    bench.post(RouteChosen(route))
    maker = NumberMaker(seed)
    bench.walk(maker)
    cents = {c.letter: 1200 * math.log2(maker.true_hz(c.letter) / c.target_hz) for c in WHISTLE.chambers}
    for letter in "BCD":  # blow scatter of 3 cents, some 14 blows: 10 cents is far outside what chance leaves
        assert abs(cents[letter] - cents["A"]) < 10.0


def test_a_sharp_plug_is_told_to_trim_and_the_depth_shown_is_the_depth_kept(bench):
    maker = NumberMaker(3)
    bench.post(RouteChosen(Route.TRIM))
    while bench.state.request.task is not Task.TRIM:
        bench.answer(maker)
    shown = bench.state.request
    assert bench.state.place.advice[shown.letter].action is Action.TRIM
    assert shown.depth_mm == pytest.approx(round(shown.depth_mm, 1))  # calipers read tenths
    bench.post(Pressed(Key.DONE))
    kept = bench.journal[-1]
    assert (kept.how, kept.depth_mm, kept.depth_measured) == ("trim", shown.depth_mm, False)


def test_typed_length_counts_as_measured_and_depth_is_length_less_proud_plus_recess(bench):
    bench.post(StageChosen(Stage.CUT))
    bench.post(Typed(30.0, proud_mm=1.0, recess_mm=0.0))
    assert bench.journal[-1].depth_mm == 29.0
    bench.post(Typed(30.0, recess_mm=0.4))
    assert bench.journal[-1].depth_mm == 30.4
    assert bench.journal[-1].depth_measured
    assert bench.journal[-1].depth_sd_mm == 0.05


def test_an_unsquare_face_is_to_be_squared_before_anything_is_booked(bench):
    before = len(bench.journal)
    bench.post(Typed(30.4, shortest_mm=30.0))
    assert len(bench.journal) == before
    assert "square the face" in view(bench.state).trouble


def test_a_plug_longer_than_its_bore_is_refused_in_one_sentence(bench):
    before = len(bench.journal)
    bench.post(Typed(139.0))
    assert len(bench.journal) == before
    assert "no room for air" in view(bench.state).trouble


def test_a_blow_begun_before_the_key_is_booked_to_its_own_bore(bench):
    warmed_up(bench)
    for hz in (560.0, 560.5, 559.5):
        bench.blow(hz)
    asked_for_b = bench.state.request.id
    bench.post(Pressed(Key.NEXT))  # B is left: C is asked for now
    assert bench.state.place.letter == "C"
    bench.blow(561.0, expecting_id=asked_for_b)
    assert bench.journal[-1].letter == "B"


def test_a_blow_bearing_an_unknown_request_is_not_booked(bench):
    before = len(bench.journal)
    bench.blow(560.0, expecting_id=9999)
    assert len(bench.journal) == before


def test_two_toots_say_done_only_where_something_was_to_be_done(bench):
    before = len(bench.journal)
    bench.toot()
    assert len(bench.journal) == before
    maker = NumberMaker(4)
    while bench.state.request.task is not Task.CUT:
        bench.answer(maker)
    bench.toot()
    assert bench.journal[-1].said_by == "toots"


def test_toots_begun_before_the_request_changed_are_not_taken_for_done(bench):
    maker = NumberMaker(4)
    while bench.state.request.task is not Task.CUT:
        bench.answer(maker)
    before = len(bench.journal)
    bench.post(Tooted(1, 100.0))
    assert len(bench.journal) == before


def test_a_blow_far_below_the_others_while_a_trim_is_asked_for_is_put_in_doubt(bench):
    maker = NumberMaker(3)
    bench.post(RouteChosen(Route.TRIM))
    while bench.state.request.task is not Task.TRIM:
        bench.answer(maker)
    advice = bench.state.place.advice["A"]
    bench.blow(advice.heard_hz * 2 ** (-40 / 1200))
    assert bench.journal[-1].closure_id == ""
    assert "have you done it" in view(bench.state).trouble
    assert bench.state.request.task is Task.TRIM


def test_backspace_forgets_the_last_blow_and_the_acceptance_that_came_of_it(bench):
    maker = NumberMaker(5)
    while not any(isinstance(r, StepTaken) and r.step == "accepted" for r in bench.journal):
        bench.answer(maker)
    bench.post(Pressed(Key.FORGET))
    assert bench.state.place.chambers["A"].status is Status.TO_TRIM


def test_backspace_with_nothing_to_forget_says_so(bench):
    bench.post(Pressed(Key.FORGET))
    assert view(bench.state).trouble == "There is nothing left to forget."


def test_changing_the_voice_sets_aside_that_chambers_readings_only(bench):
    maker = NumberMaker(6)
    first_blows_of_all(bench, maker)
    bench.post(ChamberChosen("C"))
    assert bench.state.place.letter == "C"
    bench.post(Pressed(Key.VOICE))
    assert isinstance(bench.journal[-1], VoiceChanged)
    assert bench.state.place.chambers["C"].first == ()
    assert bench.state.place.chambers["B"].first != ()


def test_refused_by_the_journal_nothing_is_shown_as_done(bench):
    warmed_up(bench)
    before = view(bench.state).blows
    bench.refuse = "The disk is full: 0 bytes are left; free some room and blow again."
    bench.blow(560.0)
    assert view(bench.state).trouble == bench.refuse
    assert view(bench.state).blows == before


def test_a_walk_cut_off_anywhere_resumes_at_the_same_request(bench):
    maker = NumberMaker(7)
    bench.post(RouteChosen(Route.TRIM))
    for _ in range(60):
        if bench.state.place.finished:
            break
        bench.answer(maker)
        again = Bench.open(bench.journal, sitting="s2").state
        assert (again.request.task, again.request.letter, again.request.depth_mm) == (
            bench.state.request.task, bench.state.request.letter, bench.state.request.depth_mm)


def test_home_moves_the_other_targets_by_what_the_lowest_ended_off(bench):
    maker = NumberMaker(8)
    while bench.state.place.home_cents is None:
        bench.answer(maker)
    home_cents = bench.state.place.home_cents
    planned, moved = WHISTLE.chambers[1].target_hz, bench.state.place.plan.chambers[1].target_hz
    assert moved / planned == pytest.approx(2 ** (home_cents / 1200))


def test_chamber_that_would_overblow_full_length_is_read_by_slug(bench):
    short = WHISTLE.chambers[3]
    assert short.target_hz > 1.6 * 560  # D lies far above the full-length note
    maker = NumberMaker(9)
    while bench.state.place.letter != "D":
        bench.answer(maker)
    assert bench.state.request.task is Task.SET_STOP


def test_first_stop_can_be_chosen(bench):
    bench.post(StopChosen(Stop.FLAT))
    assert bench.state.request.stop is Stop.FLAT
    bench.post(StopChosen(Stop.SLUG))
    assert bench.state.request.task is Task.SET_STOP


def test_told_air_reaches_the_model(bench):
    bench.post(AirTold(12.5))
    assert bench.state.place.plan.temperature_c == 12.5


def test_plug_end_shows_open_stopped_and_plugged_bores(bench):
    maker = NumberMaker(10)
    while not any(e.face is Face.PLUGGED for e in view(bench.state).ends):
        bench.answer(maker)
    ends = {e.letter: e for e in view(bench.state).ends}
    assert ends["A"].face is Face.PLUGGED
    assert ends["A"].meant
    assert ends["D"].face is Face.OPEN
