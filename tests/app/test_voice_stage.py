"""The Voice stage by table: what each blow and key leads to. Expected values derived by hand from the walk's rules."""
from dataclasses import replace

import numpy as np
import pytest

from acoustics.blow import Blow, Finding, Verdict
from acoustics.remedies import REMEDIES, Remedy, Symptom
from acoustics.tuning import Stop
from app.chamber import Status
from app.events import (
    ChamberChosen,
    Condition,
    ConditionTold,
    Confirmed,
    Heard,
    Key,
    Pressed,
    Speak,
    StageChosen,
    Task,
)
from app.headless import TextBench
from app.invented import invent_whistle
from app.invented_maker import Habits, Maker
from app.practice import Performer, told_whistle
from app.records import BlowTaken, StepTaken
from app.rehearsal import drive
from app.session import Session
from app.settings import Settings
from app.showing import view
from app.view import Stage
from app.voice_words import HOW, LOOK_AT, SAYS, remedy_line
from app.workflow import step
from tests.number_maker import WHISTLE, Bench, NumberMaker, steady

# All four notes within five semitones of the full bore: none needs a slug to speak.
NEAR = replace(WHISTLE, chambers=tuple(
    replace(c, target_hz=hz) for c, hz in zip(WHISTLE.chambers, (560.0, 600.0, 640.0, 680.0), strict=True)
))


@pytest.fixture
def bench() -> Bench:
    bench = Bench.open(whistle=NEAR)
    bench.post(StageChosen(Stage.VOICE))
    return bench


def blow(bench: Bench, n: int = 1, **traits) -> None:
    for _ in range(n):
        bench.at_s += 3.0
        bench.post(Heard(replace(steady(560.0, bench.at_s), **traits), bench.state.request.id, bench.at_s))


def slow(bench: Bench, n: int = 1) -> None:
    blow(bench, n, findings=(Finding.SLOW_TO_SPEAK,), attack_ms=220.0)


def steps(bench: Bench, name: str) -> list[tuple[str | None, str]]:
    return [(r.letter, r.text) for r in bench.state.standing if isinstance(r, StepTaken) and r.step == name]


def figures_of(bench: Bench) -> dict[str, str]:
    return {row.letter: row.figure for row in view(bench.state).rows}


def test_a_new_whistle_starts_with_its_first_blow_unless_the_maker_chose_to_voice():
    assert Bench.open(whistle=NEAR).state.place.stage is Stage.FIRST_BLOW


def test_every_chamber_is_to_voice_once_the_maker_went_there(bench):
    assert {c.status for c in bench.state.place.chambers.values()} == {Status.TO_VOICE}
    assert view(bench.state).sentence == ("Blow chamber A", "three times, a second each")


def test_three_good_blows_speak_well_and_lead_to_the_next_chamber_by_themselves(bench):
    blow(bench, 3)
    assert steps(bench, "voiced") == [("A", "heard")]
    assert (bench.state.place.stage, bench.state.place.letter) == (Stage.VOICE, "B")
    assert figures_of(bench)["A"] == "speaks well"


def test_blows_of_the_voice_stage_teach_the_model_nothing(bench):
    blow(bench, 3)
    assert all(r.warm_up for r in bench.journal if isinstance(r, BlowTaken))
    assert bench.state.place.chambers["A"].first == ()


def test_after_the_last_chamber_the_walk_goes_on_to_the_first_blows(bench):
    for _ in "ABCD":
        blow(bench, 3)
    assert (bench.state.place.stage, bench.state.place.letter) == (Stage.FIRST_BLOW, "A")
    assert Stage.VOICE in view(bench.state).stages_done


def test_one_slow_blow_says_nothing_and_two_say_what_to_look_at(bench):
    slow(bench)
    assert view(bench.state).sentence == ("Blow chamber A", "three times, a second each")
    slow(bench)
    shown = view(bench.state)
    assert shown.sentence == ("A is slow to speak", "dry its windway")
    assert shown.held_back.startswith("Reversible first.")
    assert "2 of 2 blows" in shown.why
    assert figures_of(bench)["A"] == "slow"


def test_what_is_amiss_holds_the_chamber_until_it_is_better(bench):
    slow(bench, 3)
    assert bench.state.place.letter == "A"
    blow(bench, 3)  # three of six are no longer most
    assert bench.state.place.letter == "B"


def test_a_changed_voice_sets_its_blows_aside_and_leads_on_to_the_next_remedy(bench):
    slow(bench, 3)
    bench.post(Pressed(Key.VOICE))
    assert view(bench.state).sentence == ("Blow chamber A", "three times, a second each")
    slow(bench, 2)
    assert view(bench.state).sentence[1] == LOOK_AT[REMEDIES[Symptom.SLOW][1]]


def test_however_often_it_was_changed_two_blows_never_lead_to_wood(bench):
    for _ in range(9):
        slow(bench, 2)
        assert not bench.state.place.speaking["A"].look_at.takes_wood
        bench.post(Pressed(Key.VOICE))


def test_space_takes_it_as_voiced_and_n_leaves_it(bench):
    bench.post(Pressed(Key.DONE))
    bench.post(Pressed(Key.NEXT))
    assert steps(bench, "voiced") == [("A", "taken"), ("B", "left")]
    assert bench.state.place.letter == "C"
    assert figures_of(bench)["A"] == "as it is"


def test_backspace_takes_back_the_last_blow_and_what_was_concluded_from_it(bench):
    blow(bench, 3)
    bench.post(Pressed(Key.FORGET))
    assert bench.state.place.letter == "A"
    assert bench.state.place.speaking["A"].voice.n_good == 2


def test_a_chosen_chamber_is_voiced_where_the_maker_is(bench):
    bench.post(ChamberChosen("C"))
    assert (bench.state.place.stage, bench.state.place.letter) == (Stage.VOICE, "C")


def test_a_voiced_chamber_is_listened_to_again_when_chosen(bench):
    blow(bench, 3)
    bench.post(ChamberChosen("A"))
    assert bench.state.place.letter == "A"
    blow(bench)
    assert bench.state.place.letter == "B"


def test_another_stage_ends_the_voicing(bench):
    bench.post(StageChosen(Stage.FIRST_BLOW))
    assert {c.status for c in bench.state.place.chambers.values()} == {Status.TO_BLOW}
    assert bench.state.request.task is Task.BLOW


def test_changed_again_at_the_first_blows_the_chamber_is_voiced_again(bench):
    for _ in "ABCD":
        blow(bench, 3)
    bench.post(Pressed(Key.VOICE))
    assert (bench.state.place.stage, bench.state.place.letter) == (Stage.VOICE, "A")


def test_laid_out_the_way_leads_through_voicing(bench):
    bench.post(StageChosen(Stage.LAY_OUT))
    bench.post(Pressed(Key.DONE))
    assert bench.state.place.stage is Stage.VOICE


def test_a_plug_in_its_bore_is_what_a_late_voicing_blows():
    bench, maker = Bench.open(), NumberMaker(1)
    for _ in range(60):
        if bench.state.place.chambers["A"].plug:
            break
        bench.answer(maker)
    bench.post(ChamberChosen("A"))
    bench.post(StageChosen(Stage.VOICE))
    assert (bench.state.request.task, bench.state.request.stop) == (Task.BLOW, Stop.PLUG)


def test_a_chamber_that_would_jump_full_length_is_voiced_on_the_slug():
    bench = Bench.open()
    bench.post(StageChosen(Stage.VOICE))
    bench.post(ChamberChosen("D"))
    assert bench.state.request.task is Task.SET_STOP
    assert view(bench.state).sentence[0] == "Push the slug into bore D"


def test_the_one_slug_leaves_its_bore_for_another():
    bench = Bench.open()
    bench.post(StageChosen(Stage.VOICE))
    for letter in "CD":
        bench.post(ChamberChosen(letter))
        bench.toot()
    assert [bench.state.place.chambers[letter].slug is not None for letter in "CD"] == [False, True]


def test_with_a_neighbour_open_no_hiss_is_told_and_it_is_said_why(bench):
    bench.post(ConditionTold(Condition.NEIGHBOURS_SHUT, False))
    blow(bench, 2, breath_db=-8.0)
    assert bench.state.place.speaking["A"].main is None
    assert "neighbour" in view(bench.state).why


def test_the_sentence_is_spoken_again_when_something_else_is_to_be_looked_at(bench):
    slow(bench)
    bench.at_s += 3.0
    heard = Heard(replace(steady(560.0, bench.at_s), findings=(Finding.SLOW_TO_SPEAK,)), bench.state.request.id, 9.0)
    state, (keep,) = step(bench.state, heard)
    _, effects = step(state, Confirmed(replace(keep.record, id="x")))
    assert Speak("") in effects


def test_at_a_first_blow_one_line_says_how_it_speaks_and_what_to_look_at():
    bench = Bench.open(whistle=NEAR)
    slow(bench, 3)
    shown = view(bench.state)
    assert shown.stage is Stage.FIRST_BLOW
    assert shown.why == shown.speaks == "A is slow to speak: dry its windway."
    assert Bench.open(whistle=NEAR).state.place.speaking["A"].main is None


def test_figures_are_one_key_away(bench):
    slow(bench, 2)
    assert "0 good of 2 blows" in view(bench.state).figures
    assert "speaks in 220 ms" in view(bench.state).figures
    assert not any(character.isdigit() for character in "".join(view(bench.state).sentence))


def test_every_symptom_and_remedy_has_its_words():
    assert set(SAYS) == set(Symptom)
    assert set(LOOK_AT) == set(HOW) == set(Remedy)


BLOW = Blow(0.0, 1.0, Verdict.STEADY, True, 560.0, 560.0, 0.1, 2.0, -20.0, -30.0, 40.0)


@pytest.mark.parametrize(("changed", "words"), [
    ({}, ""),
    ({"findings": (Finding.HISSY,)}, "look for fuzz in its windway"),
    ({"verdict": Verdict.OVERBLOWN}, "blow it softer"),
    ({"verdict": Verdict.BREATHY, "usable": False}, "is its far end quite closed?"),
    ({"verdict": Verdict.NOT_A_WHISTLE, "findings": (Finding.HISSY,)}, ""),
])
def test_one_blow_of_a_recording_says_what_to_look_at_if_more_show_it(changed, words):
    assert words in remedy_line(replace(BLOW, **changed))
    assert bool(words) == bool(remedy_line(replace(BLOW, **changed)))


class ListJournal:
    def __init__(self):
        self.kept = []

    def append(self, record):
        self.kept.append(record)

    def records(self, whistle_id):
        return tuple(self.kept)


def test_an_invented_whistle_is_voiced_by_sound_and_the_walk_goes_on_to_its_end():
    rng = np.random.default_rng(21)
    hidden = invent_whistle(rng, lowest_hz=600.0, steps=(0, 4))
    maker = Maker(hidden, Habits(blow_sd_cents=2.5), rng)
    settings = Settings(temperature_c=hidden.room_c, keep_sound=False)
    session = Session(ListJournal(), told_whistle(hidden), settings, None)
    session.post(StageChosen(Stage.VOICE))
    outcome = drive(session, Performer(maker, 16_000))
    assert outcome.finished
    voiced = [r for r in session.state.standing if isinstance(r, StepTaken) and r.step == "voiced"]
    assert [(r.letter, r.text) for r in voiced] == [("A", "heard"), ("B", "heard")]


def test_the_terminal_says_the_same_words():
    said = []
    session = Session(ListJournal(), NEAR, Settings(), None)
    TextBench(session, said.append).follow()
    session.post(StageChosen(Stage.VOICE))
    for at_s in (3.0, 6.0):
        slow_blow = replace(steady(560.0, at_s), findings=(Finding.SLOW_TO_SPEAK,))
        session.post(Heard(slow_blow, session.request().id, at_s))
    assert "[Voice] A is slow to speak, dry its windway" in said
    assert any(line.startswith("Reversible first.") for line in said)
    session.post(StageChosen(Stage.FIRST_BLOW))
    assert "  A is slow to speak: dry its windway." in said
