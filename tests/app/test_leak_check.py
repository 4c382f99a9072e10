"""A finger over the plug, end to end: asked for, booked, answered, gone on without; in words, journal and sound."""
from dataclasses import replace

import numpy as np
import pytest

from acoustics.tuning import Action, Stop
from app.asking import asks_finger
from app.cautions import SEALING
from app.chamber import Status
from app.events import Key, Pressed, Request, Route, RouteChosen, Task
from app.evidence import observations
from app.invented import invent_whistle
from app.invented_maker import Habits, Maker
from app.paper.past import past_of
from app.practice import Performer, told_whistle
from app.records import BlowTaken, PlugSet, StepTaken
from app.rehearsal import drive
from app.session import Session
from app.settings import Settings
from app.showing import view
from app.spoken import spoken
from app.story import story_of
from app.view import Face
from app.wording import sentence
from tests.app.command_line import HARBOUR, CommandLine
from tests.number_maker import WHISTLE, Bench, NumberMaker
from tests.simulation.walks import ListJournal


def asked_on_b(route: Route = Route.TRIM) -> tuple[Bench, NumberMaker]:
    """To where the finger is asked for on B."""
    bench, maker = Bench.open(), NumberMaker(11, scatter_cents=1.5, leaks_cents={"B": 22.0})
    bench.post(RouteChosen(route))
    for _ in range(200):
        if bench.state.request.covered:
            assert bench.state.request.letter == "B"
            return bench, maker
        bench.answer(maker)
    raise AssertionError("the check is never asked for")


def blows_on_b(bench: Bench) -> list[BlowTaken]:
    return [r for r in bench.journal if isinstance(r, BlowTaken) and r.letter == "B" and r.stop == "plug"]


@pytest.mark.parametrize("route", list(Route))
def test_a_leaking_plug_is_asked_about_covered_named_sealed_and_brought_to_its_note(route):
    bench, maker = asked_on_b(route)
    before = blows_on_b(bench)
    assert not any(blow.covered for blow in before)
    for n_left in (2, 1):
        assert bench.state.place.advice["B"].more_blows == n_left
        bench.answer(maker)
    covered = blows_on_b(bench)[len(before):]
    assert [blow.covered for blow in covered] == [True, True]
    assert {(blow.set_id, blow.seating) for blow in covered} == {(before[-1].set_id, before[-1].seating)}

    seal = bench.state.request
    assert (seal.task, seal.text, seal.letter, seal.covered) == (Task.REPAIR, "seal", "B", False)
    leaking_face = bench.state.place.chambers["B"].face
    bench.answer(maker)
    sealed = bench.state.place.chambers["B"].face
    assert (sealed.how, sealed.depth_mm) == ("reseat", leaking_face.depth_mm)
    assert sealed.id != leaking_face.id
    assert (sealed.depth_measured, sealed.depth_sd_mm) == (leaking_face.depth_measured, leaking_face.depth_sd_mm)

    bench.answer(maker)
    assert blows_on_b(bench)[-1].covered is False
    bench.walk(maker)
    off_cents = {
        c.letter: 1200 * np.log2(maker.true_hz(c.letter) / c.target_hz) for c in WHISTLE.chambers if c.letter in "AB"
    }
    assert abs(off_cents["B"] - off_cents["A"]) < 8.0


def test_a_sound_plug_is_found_sound_by_the_check_and_the_walk_goes_on():
    bench, _ = asked_on_b()
    sound = NumberMaker(11, scatter_cents=0.5)
    heard_hz = [blow.frequency_hz for blow in blows_on_b(bench)]
    for _ in range(4):
        if not bench.state.request.covered:
            break
        bench.blow(float(np.median(heard_hz)) * 2 ** (sound.rng.normal(0, 0.5) / 1200))
    assert not bench.state.request.covered
    assert bench.state.place.advice["B"].action is not Action.SEAL_LEAK


def test_the_check_is_gone_on_without_and_never_asked_again_on_this_plug():
    bench, maker = asked_on_b()
    n_blows, face_id = len(blows_on_b(bench)), bench.state.place.chambers["B"].face.id
    bench.post(Pressed(Key.NEXT))
    assert bench.journal[-1].step == "unchecked"
    assert bench.journal[-1].text == face_id
    assert not bench.state.request.covered
    for _ in range(40):
        if bench.state.place.chambers["B"].face.id != face_id or bench.state.place.letter != "B":
            break
        assert not bench.state.request.covered
        bench.answer(maker)
    else:
        raise AssertionError("the walk stands still")
    assert not any(blow.covered for blow in blows_on_b(bench)[n_blows:])


def test_backspace_takes_going_on_without_back():
    bench, _ = asked_on_b()
    bench.post(Pressed(Key.NEXT))
    bench.post(Pressed(Key.FORGET))
    assert bench.state.request.covered


@pytest.mark.parametrize("n_blown", [0, 1])
def test_space_out_of_habit_does_not_give_the_check_away(n_blown):
    bench, maker = asked_on_b()
    for _ in range(n_blown):
        bench.answer(maker)
    n_records = len(bench.journal)
    bench.post(Pressed(Key.DONE))
    assert len(bench.journal) == n_records
    assert bench.state.request.covered
    assert view(bench.state).trouble == "Blow with the finger on the plug first, or go on without it by N."


def test_n_pressed_again_leaves_the_plug_as_it_is():
    bench, _ = asked_on_b()
    bench.post(Pressed(Key.NEXT))
    assert bench.state.place.chambers["B"].status is Status.TO_TRIM
    bench.post(Pressed(Key.NEXT))
    assert bench.state.place.chambers["B"].status is Status.ON_NOTE
    assert not bench.state.request.covered or bench.state.request.letter != "B"


def test_a_blow_that_began_before_the_finger_was_asked_for_is_not_booked_as_covered():
    bench, _ = asked_on_b()
    earlier = bench.state.asked[-2]
    assert not earlier.request.covered
    hz = blows_on_b(bench)[-1].frequency_hz
    bench.blow(hz, expecting_id=earlier.expecting.id)
    assert bench.journal[-1].covered is False


def test_walk_and_place_are_the_same_after_a_power_cut_in_the_middle_of_the_check():
    bench, maker = asked_on_b()
    bench.answer(maker)
    again = Bench.open(bench.journal)
    assert again.state.request == replace(bench.state.request, id=again.state.request.id)
    assert again.state.request.covered


# ---- what is seen --------------------------------------------------------------------------------------------------
def test_two_lines_ask_for_it_and_the_reason_stands_below():
    bench, maker = asked_on_b()
    shown = view(bench.state)
    assert shown.sentence == ("Press a finger over plug B", "then blow chamber B")
    assert spoken(shown.sentence) == "Press a finger over plug B, then blow chamber B."
    assert shown.why.startswith("Sharper than the others foretell: if it leaks, the finger lowers its note. B speaks")
    assert "N: go on without the finger" in shown.keys
    assert shown.keys.startswith("backspace:")
    assert [end.face for end in shown.ends if end.letter == "B"] == [Face.STOPPED]
    assert shown.blows.wish == "2 more wanted"
    bench.answer(maker)
    shown = view(bench.state)
    assert shown.blows.lines[-1].endswith("finger on")
    assert shown.blows.wish == "1 more wanted"
    bench.answer(maker)
    assert view(bench.state).sentence == ("Seal plug B before any cut", "grease or wax, then blow")
    assert view(bench.state).caution is SEALING
    assert view(bench.state).why.startswith(
        "It may well leak: sealing it costs little, and a cut cannot be put back. B speaks sharp of")


def test_only_a_blow_is_ever_asked_with_a_finger():
    request = Request(1, Task.BLOW, "D", Stop.PLUG, 31.4, covered=True)
    for units in ("mm", "inch", "both"):
        assert sentence(request, units, sliding=True) == ("Press a finger over plug D", "then blow chamber D")


# ---- what else reads blows -----------------------------------------------------------------------------------------
def test_covered_blows_are_in_the_journal_and_with_the_model_and_nowhere_else():
    bench, maker = asked_on_b()
    before_voice = bench.state.place.speaking["B"]
    before = [r for r in bench.journal]
    while bench.state.request.covered:
        bench.answer(maker)
    n_covered = sum(blow.covered for blow in blows_on_b(bench))
    assert n_covered == 2
    assert sum(seen.covered for seen in observations(bench.journal)) == n_covered
    assert len(bench.state.place.chambers["B"].here) == len([b for b in blows_on_b(bench) if not b.covered])
    assert bench.state.place.speaking["B"].voice.n_blows == before_voice.voice.n_blows
    on_plug = [reading for reading in story_of(WHISTLE, bench.journal).of("B") if reading.how == "cut"][0]
    earlier = [reading for reading in story_of(WHISTLE, before).of("B") if reading.how == "cut"][0]
    assert on_plug.deviation_cents == earlier.deviation_cents
    assert len(on_plug.blows) == len(earlier.blows) + n_covered  # shown, not counted
    assert [blow.covered for blow in on_plug.blows[-2:]] == [True, True]
    assert not any(blow.counted for blow in on_plug.blows if blow.covered)
    assert past_of(WHISTLE, bench.journal).chamber("B").plug == past_of(WHISTLE, before).chamber("B").plug


# ---- by sound ------------------------------------------------------------------------------------------------------
def invented_maker(seed: int, **habits: float) -> Maker:
    rng = np.random.default_rng(seed)
    return Maker(invent_whistle(rng), Habits(**habits), rng)


def test_the_invented_makers_finger_shuts_a_leak():
    maker = invented_maker(1, leak_share=1.0, blow_sd_cents=0.0, seat_sd_mm=0.0)
    maker.cut("A", 30.0)
    leak_cents = maker.ends["A"].leak_cents
    assert 10.0 <= leak_cents <= 25.0
    open_hz, shut_hz = (
        np.median([maker.blow("A", "plug", 30.0, covered=covered).frequency_hz for _ in range(9)])
        for covered in (False, True)
    )
    assert 1200 * np.log2(open_hz / shut_hz) == pytest.approx(leak_cents, abs=3.0)  # the air drifts meanwhile


def test_a_trim_leaves_a_leak_and_a_seal_shuts_it():
    maker = invented_maker(2, leak_share=1.0)
    maker.cut("A", 30.0)
    leak_cents = maker.ends["A"].leak_cents
    maker.trim("A", 29.0)
    assert maker.ends["A"].leak_cents == leak_cents > 0.0
    maker.repair("A", None)
    assert maker.ends["A"].leak_cents == 0.0
    maker.trim("A", 28.0)
    assert maker.ends["A"].leak_cents == 0.0


@pytest.mark.parametrize("route", list(Route))
def test_leaking_plugs_are_walked_by_sound_through_check_and_seal_to_their_notes(route):
    maker = invented_maker(21, leak_share=1.0, blow_sd_cents=2.0)
    settings = Settings(temperature_c=maker.whistle.room_c, units="mm", keep_sound=False)
    journal = ListJournal()
    session = Session(journal, told_whistle(maker.whistle), settings, None, route=route, first_stop=Stop.SLUG)
    outcome = drive(session, Performer(maker))
    assert outcome.finished
    covered = {r.letter for r in journal.kept if isinstance(r, BlowTaken) and r.covered}
    sealed = {r.letter for r in journal.kept if isinstance(r, PlugSet) and r.how == "reseat"}
    assert covered
    assert sealed
    assert all(maker.ends[letter].leak_cents == 0.0 for letter in sealed)
    ended = {chamber.letter: chamber.deviation_cents for chamber in maker.truth()}
    assert all(abs(ended[letter]) < 12.0 for letter in sealed)


# ---- by command ----------------------------------------------------------------------------------------------------
@pytest.fixture
def command(tmp_path, capfd):
    return CommandLine(tmp_path / "home", capfd)


def add(command, *words):
    command.fine("journal", "add", "--whistle", HARBOUR, "--temperature", "20", *words)


def test_covered_readings_are_booked_by_command_and_tell_the_leak(command):
    for hz in ("612", "613", "612.5"):
        add(command, "--chamber", "A", "--stop", "finger", "--hz", hz)
    command.fine("journal", "add", "--whistle", HARBOUR, "--chamber", "A", "--length", "20")
    first, *_ = command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"]
    assert first["covered"] is False
    foretold_hz = 730.0
    for n in range(4):
        add(command, "--chamber", "A", "--stop", "plug", "--hz", str(foretold_hz + 0.3 * n))
        first, *_ = command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"]
        if first["covered"]:
            break
    assert (first["action"], first["covered"]) == ("blow_again", True)
    assert "A  blow again with a finger over the plug" in command.fine("advise", "--whistle", HARBOUR).out
    for hz in ("717", "717.4"):
        add(command, "--chamber", "A", "--stop", "plug", "--hz", hz, "--covered")
    first, *_ = command.fine("advise", "--whistle", HARBOUR, "--json").json["chambers"]
    assert (first["action"], first["covered"]) == ("seal_leak", False)
    assert [r.covered for r in command.records() if isinstance(r, BlowTaken)][-2:] == [True, True]


@pytest.mark.parametrize(("words", "told"), [
    (("--hz", "700", "--stop", "finger", "--covered"), "finger over a plug"),
    (("--length", "30", "--covered"), "goes with a reading"),
])
def test_covered_without_a_plug_is_refused_in_one_sentence(command, words, told):
    run = command("journal", "add", "--whistle", HARBOUR, "--chamber", "A", *words)
    assert run.code == 2
    assert told in run.err
    assert command.records() == ()


def test_hear_books_covered_blows_from_a_file(command, monkeypatch):
    from acoustics.blow import Blow, Verdict
    from app.commands import hear

    blow = Blow(0.5, 1.6, Verdict.STEADY, True, 612.3, 612.3, 0.6, 3.0, -20.0, -32.0, 45.0, ())
    monkeypatch.setattr(hear, "hear_file", lambda path, range_hz=None, progress=None: (48_000, [blow]))
    told = ("hear", "one.wav", "--whistle", HARBOUR, "--chamber", "A", "--log", "--covered")
    command(*told, "--stop", "plug:57.3")
    assert [r.covered for r in command.records() if isinstance(r, BlowTaken)] == [True]
    refused = command(*told, "--stop", "flat")
    assert refused.code == 2
    assert command("hear", "one.wav", "--covered").code == 2
    assert len(command.records()) == 3


# ---- two blowers ---------------------------------------------------------------------------------------------------
def test_who_blew_is_the_name_in_the_settings_unless_another_is_told(command):
    from app.settings import FILE_NAME, save_settings

    command.home.mkdir()
    save_settings(command.home / FILE_NAME, Settings(blower="Wren"))
    add(command, "--chamber", "A", "--stop", "finger", "--hz", "612")
    add(command, "--chamber", "A", "--stop", "finger", "--hz", "618", "--blower", "Teal")
    blows = [r for r in command.records() if isinstance(r, BlowTaken)]
    assert [blow.blower for blow in blows] == ["Wren", "Teal"]
    assert [seen.own_breath for seen in observations(blows)] == [True, False]


def test_two_peoples_blows_are_not_put_together_on_a_sheet_or_in_the_story():
    bench, maker = Bench.open(), NumberMaker(3, scatter_cents=1.0)
    while bench.state.request.task is not Task.CUT:
        bench.answer(maker)
    guests = [
        replace(r, id=f"guest{n}", blower="Teal", set_id="s2/1", frequency_hz=r.frequency_hz * 2 ** (15 / 1200))
        for n, r in enumerate(r for r in bench.journal if isinstance(r, BlowTaken) and r.letter == "A")
    ]
    mine, both = (
        story_of(WHISTLE, records).of("A")[0] for records in (bench.journal, [*bench.journal, *guests])
    )
    assert both.deviation_cents == mine.deviation_cents
    assert len(both.blows) == len(mine.blows) + len(guests)
    sheet = past_of(WHISTLE, [*bench.journal, *guests]).chamber("A").first
    alone = past_of(WHISTLE, guests).chamber("A").first
    assert sheet == alone, "of whoever blew it last"


def test_another_blowers_sharp_breath_does_not_shorten_the_owners_plug():
    """Teal blows 15 cents sharp of the owner: told apart, the owner's target stays where the owner's blows put it."""
    bench, maker = Bench.open(), NumberMaker(3, scatter_cents=1.0)
    while bench.state.request.task is not Task.CUT:
        bench.answer(maker)
    own_mm = bench.state.place.advice["A"].target_depth_mm
    guests = [
        replace(r, id=f"guest{n}", blower=tag, set_id="s2/1", frequency_hz=r.frequency_hz * 2 ** (15 / 1200))
        for tag in ("Teal", "")
        for n, r in enumerate(r for r in bench.journal if isinstance(r, BlowTaken) and r.letter == "A")
    ]
    half = len(guests) // 2
    apart, mixed = (
        Bench.open([*bench.journal, *those]).state.place.advice["A"].target_depth_mm
        for those in (guests[:half], guests[half:])
    )
    assert abs(apart - own_mm) < 0.4 * abs(mixed - own_mm)
    assert asks_finger(bench.state.place.advice["A"]) is False
    assert not any(isinstance(r, StepTaken) and r.step == "unchecked" for r in bench.journal)
