"""A club evening's queue, out of records: whose turn it is, who joins, and that no failure is told to the room."""
from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from app.club import (
    HERE,
    JOINED,
    PASSED,
    Standing,
    Waits,
    blower_of,
    comes_due,
    evening_of,
    numbered,
    queue,
    standing_of,
)
from app.club_book import (
    add_whistles,
    join,
    latest_evening,
    standings,
    tell_here,
    tell_passed,
)
from app.club_names import FILE_NAME, MOST_CHARACTERS, load_names, save_names
from app.club_words import CALLED, nobody_text, row_text, turn, waits_text
from app.errors import WorldError
from app.events import GlueChosen, GlueKind, Key, Pressed, Request, Route, RouteChosen, Task
from app.journal import Journal
from app.records import StepTaken
from app.room_words import turn_sentence
from app.settings import Settings
from app.view import Stage
from tests.number_maker import WHISTLE, Bench, NumberMaker

SETTINGS = Settings(units="mm")
PUT_DOWN = (
    "flat", "short", "leak", "seal", "mend", "wrong", "silent", "breath", "disc", "overbl", "hiss", "ruin", "bad",
)


@pytest.fixture
def journal(tmp_path):
    with Journal(tmp_path / "journal.sqlite") as journal:
        yield journal


def waiting(number: int, waits: Waits = Waits.MICROPHONE, minute: int = 0, **said: object) -> Standing:
    whistle = replace(WHISTLE, id=f"whistle {number}", number=number)
    request = Request(1, Task.BLOW, "A") if waits is Waits.MICROPHONE else Request(1, Task.TRIM, "B")
    since_utc = f"2026-05-01T19:{minute:02}:00+00:00"
    return Standing(whistle, Stage.TRIM, request, waits, since_utc, 0, **said)


def numbers(found) -> list[int]:
    return [each.number for each in found]


# ---- the queue -----------------------------------------------------------------------------------------------------
def test_who_waited_longest_is_next_and_the_lower_number_of_two_alike():
    found = [waiting(3, minute=2), waiting(2, minute=1), waiting(1, minute=2), waiting(9, minute=0)]
    for order in itertools.permutations(found):
        assert numbers(queue(order)) == [9, 2, 1, 3]


def test_who_saws_or_waits_for_glue_or_is_done_is_not_called():
    found = [waiting(1, Waits.BENCH), waiting(2, Waits.GLUE), waiting(3, Waits.NOTHING), waiting(4)]
    assert numbers(queue(found)) == [4]


def test_who_is_back_from_the_bench_waits_with_the_others():
    assert numbers(queue([waiting(1, minute=1), waiting(2, Waits.BENCH, minute=0, here=True)])) == [2, 1]


def test_open_glue_comes_before_everybody():
    assert numbers(queue([waiting(1, minute=0), waiting(2, minute=5, glue_open=True)])) == [2, 1]


def test_the_whistle_on_the_bench_is_not_called_to_it():
    assert numbers(queue([waiting(1), waiting(2)], at_bench_id="whistle 1")) == [2]


def test_times_of_unlike_precision_and_zone_are_compared_as_times():
    early, late = waiting(2, minute=1), waiting(1, minute=1)
    early = replace(early, since_utc="2026-05-01T20:00:59.999+01:00")
    assert numbers(queue([late, early])) == [2, 1]


def test_glue_is_looked_at_again_once_when_its_time_has_come():
    found = [waiting(1), waiting(2, Waits.GLUE, due_utc="2026-05-01T19:30:00+00:00")]
    for since, now, due in (("19:00", "19:29", False), ("19:29", "19:30", True), ("19:30", "19:31", False)):
        assert comes_due(found, f"2026-05-01T{since}:00+00:00", f"2026-05-01T{now}:00+00:00") is due


def test_a_glued_whistle_waits_for_its_glue_and_comes_back_to_the_microphone_when_it_has_set():
    bench, maker = Bench.open(), NumberMaker(4)
    for _ in range(200):
        if bench.state.place.stage is Stage.GLUE:
            break
        if bench.state.place.done:
            bench.post(Pressed(Key.DONE))
        else:
            bench.answer(maker)
    bench.post(GlueChosen(GlueKind.EPOXY))
    for _ in WHISTLE.letters:
        assert standing_now(bench).waits is Waits.BENCH
        bench.post(Pressed(Key.DONE))
    curing = standing_now(bench)
    assert (curing.waits, curing.tuned, curing.ready) == (Waits.GLUE, True, False)
    later = standing_of(WHISTLE, bench.journal, bench.state.policy, "mm", curing.due_utc)
    assert waits_text(later) == "its bench: has its glue set?"


# ---- where a whistle stands ----------------------------------------------------------------------------------------
def standing_now(bench: Bench) -> Standing:
    return standing_of(WHISTLE, bench.journal, bench.state.policy, "mm", "")


def test_every_whistle_stands_just_where_the_walk_would_go_on_at_every_step():
    bench, maker = Bench.open(), NumberMaker(3)
    for _ in range(60):
        standing = standing_now(bench)
        assert (standing.stage, replace(standing.request, id=0)) == (
            bench.state.place.stage, replace(bench.state.request, id=0))
        bench.answer(maker)


def test_a_plug_to_be_cut_or_trimmed_frees_the_microphone_and_one_to_be_pushed_in_keeps_it():
    seen: dict[Task, set[Waits]] = {}
    for route in Route:
        bench, maker = Bench.open(), NumberMaker(5)
        bench.post(RouteChosen(route))
        for _ in range(60):
            seen.setdefault(bench.state.request.task, set()).add(standing_now(bench).waits)
            bench.answer(maker)
    assert seen[Task.CUT] == seen[Task.TRIM] == {Waits.BENCH}
    assert seen[Task.BLOW] == seen[Task.RESEAT] == seen[Task.SLIDE] == {Waits.MICROPHONE}


def test_a_whistle_is_back_until_anything_else_is_written_of_it():
    bench, maker = Bench.open(), NumberMaker(4)
    while bench.state.request.task is not Task.CUT:
        bench.answer(maker)
    assert not standing_now(bench).ready
    bench.journal.append(StepTaken("x", "2026-05-01T19:00:00+00:00", WHISTLE.id, HERE, None, "", None))
    assert standing_now(bench).here
    assert standing_now(bench).ready
    bench.journal.append(StepTaken("y", "2026-05-01T19:01:00+00:00", WHISTLE.id, PASSED, None, "", None))
    assert not standing_now(bench).ready


# ---- the journal of an evening -------------------------------------------------------------------------------------
def test_a_dozen_of_one_pattern_is_added_in_one_go_and_numbered(journal):
    added = add_whistles(journal, WHISTLE, 12)
    assert [(one.number, one.of) for one in added] == [(n, None) for n in range(1, 13)]
    assert len({one.id for one in added} | {WHISTLE.id}) == 13
    assert {replace(one, id=WHISTLE.id, number=WHISTLE.number, of=WHISTLE.of) for one in added} == {WHISTLE}
    assert latest_evening(journal).whistles == added
    found = standings(journal, latest_evening(journal), SETTINGS)
    assert numbers(queue(found)) == list(range(1, 13))


def test_more_of_another_pattern_are_numbered_on_and_a_new_evening_begins_with_one(journal):
    add_whistles(journal, WHISTLE, 2)
    add_whistles(journal, replace(WHISTLE, name="Ferry"), 1)
    assert [one.number for one in latest_evening(journal).whistles] == [1, 2, 3]
    assert evening_of(journal.records()) == latest_evening(journal).name


def test_a_new_evening_leaves_the_old_ones_whistles_out(journal, monkeypatch):
    add_whistles(journal, WHISTLE, 2)
    monkeypatch.setattr("app.club_book.utc_now", lambda timespec="auto": "2099-01-01T19:00:00+00:00")
    added = add_whistles(journal, WHISTLE, 3, anew=True)
    assert latest_evening(journal).whistles == added
    assert added[0].number == 1


@pytest.mark.parametrize("count", [0, -1, 100])
def test_no_whistle_or_too_many_are_refused_and_nothing_is_added(journal, count):
    with pytest.raises(WorldError, match="99"):
        add_whistles(journal, WHISTLE, count)
    assert journal.records() == ()


def test_a_whistle_that_is_begun_joins_with_its_readings_and_stands_where_it_stood(journal):
    bench, maker = Bench.open(), NumberMaker(6)
    for _ in range(25):
        bench.answer(maker)
    journal.append_all(bench.journal)
    add_whistles(journal, WHISTLE, 2)
    joined = join(journal, WHISTLE)
    assert (joined.id, joined.number) == (WHISTLE.id, 3)
    (standing,) = [one for one in standings(journal, latest_evening(journal), SETTINGS) if one.number == 3]
    assert (standing.stage, replace(standing.request, id=0)) == (
        bench.state.place.stage, replace(bench.state.request, id=0))
    with pytest.raises(WorldError, match="already"):
        join(journal, joined)


def test_whose_turn_passed_waits_behind_the_others(journal):
    first, *_ = add_whistles(journal, WHISTLE, 3)
    tell_passed(journal, first)
    assert numbers(queue(standings(journal, latest_evening(journal), SETTINGS))) == [2, 3, 1]


def test_saying_back_of_one_who_waits_already_costs_no_place(journal):
    add_whistles(journal, WHISTLE, 3)
    found = standings(journal, latest_evening(journal), SETTINGS)
    with pytest.raises(WorldError, match="already"):
        tell_here(journal, found[0])
    with pytest.raises(WorldError, match="glue"):
        tell_here(journal, waiting(5, Waits.GLUE))


def test_only_the_whistle_that_changed_is_worked_out_again(journal, monkeypatch):
    first, *_ = add_whistles(journal, WHISTLE, 3)
    known = standings(journal, latest_evening(journal), SETTINGS)
    tell_passed(journal, first)
    seen = []
    monkeypatch.setattr("app.club_book.standing_of", lambda whistle, *_: seen.append(whistle.number) or known[0])
    standings(journal, latest_evening(journal), SETTINGS, known)
    assert seen == [1]


def test_breath_is_pooled_with_nobody_elses_whatever_the_settings_say():
    joined = [StepTaken("x", "", WHISTLE.id, JOINED, None, "2026-05-01T19:00:00+00:00", None)]
    one, other = numbered(WHISTLE, 2)
    assert blower_of(one, joined, "me") != blower_of(other, joined, "me")
    assert blower_of(one, [], "me") == "me"


# ---- names ---------------------------------------------------------------------------------------------------------
def test_names_lie_in_a_file_of_their_own_and_are_deleted_whole(tmp_path):
    path = tmp_path / FILE_NAME
    assert load_names(path) == {}
    save_names(path, {"one": " Tamsin ", "two": " "})
    assert load_names(path) == {"one": "Tamsin"}
    save_names(path, {"one": ""})
    assert not path.exists()


def test_a_name_too_long_for_the_room_and_a_file_that_is_none_are_told(tmp_path):
    path = tmp_path / FILE_NAME
    with pytest.raises(WorldError, match=str(MOST_CHARACTERS)):
        save_names(path, {"one": "x" * (MOST_CHARACTERS + 1)})
    path.write_text("[", encoding="utf-8")
    with pytest.raises(WorldError, match="could not be read"):
        load_names(path)


# ---- words ---------------------------------------------------------------------------------------------------------
def failing(task: Task, text: str = "") -> Request:
    return Request(9, task, "B", None, 40.0, 1.5, text)


def states_that_failed():
    """Every request that comes of something that went wrong, as the walk would hold it."""
    state = Bench.open().state
    for stage, request in (
        (Stage.TRIM, failing(Task.REPAIR, "disc")), (Stage.TRIM, failing(Task.REPAIR, "seal")),
        (Stage.CUT, failing(Task.NOTHING, "bore_too_short")), (Stage.CHORD, failing(Task.NOTHING, "silent")),
        (Stage.GLUE, failing(Task.GLUE, "put_back")), (Stage.GLUE, failing(Task.BLOW, "alone")),
        (Stage.VOICE, failing(Task.BLOW, "breathy")),
    ):
        yield replace(state, place=replace(state.place, stage=stage), request=request)


def test_nothing_that_failed_is_ever_told_to_the_room_with_or_without_a_name():
    names = {"whistle 4": "Tamsin", "whistle 7": "Corin"}
    for state in states_that_failed():
        for others in ([], [waiting(7)]):
            for waits in Waits:
                told = turn(state, waiting(4, waits), others, names)
                words = " ".join((told.name, *told.sentence, *told.foot)).lower()
                assert not [word for word in PUT_DOWN if word in words], words


def test_that_check_would_find_a_failure_in_the_benchs_own_words():
    from app.wording import sentence

    words = " ".join(sentence(failing(Task.REPAIR, "disc"), "mm", sliding=False)).lower()
    assert [word for word in PUT_DOWN if word in words] == ["short", "disc"]


def test_every_sentence_of_whole_walks_for_the_room_tells_no_failure():
    n_seen = 0
    for seed, route in itertools.product(range(2), Route):
        bench, maker = Bench.open(), NumberMaker(seed, scatter_cents=6.0, cut_sd_mm=0.4)
        bench.post(RouteChosen(route))
        for _ in range(90):
            words = " ".join(turn_sentence(bench.state)).lower()
            assert not [word for word in PUT_DOWN if word in words], words
            n_seen += 1
            bench.answer(maker)
    assert n_seen == 2 * 2 * 90


def test_while_one_saws_the_next_is_called_and_the_saw_cut_stays_to_be_read():
    bench, maker = Bench.open(), NumberMaker(4)
    bench.post(RouteChosen(Route.TRIM))
    while bench.state.request.task is not Task.CUT:
        bench.answer(maker)
    told = turn(bench.state, waiting(4, Waits.BENCH), [waiting(7), waiting(2)], {"whistle 7": "Tamsin"})
    assert (told.number, told.name, told.sentence) == (7, "Tamsin", CALLED)
    assert told.calls
    assert told.foot[0].startswith("4: cut A to ")
    assert told.foot[1] == "then 2"


def test_one_at_a_time_the_whistle_at_the_microphone_and_who_comes_after_it():
    state = Bench.open().state
    told = turn(state, waiting(4), [waiting(7), waiting(2), waiting(5), waiting(6)], {})
    assert (told.number, told.sentence) == (4, ("Blow A", "finger on"))
    assert not told.calls
    assert told.foot == ("then 7, 2, 5…",)
    assert turn(state, waiting(4), [], {}).foot == ()


def test_a_row_of_the_list_says_stage_and_what_it_waits_for():
    assert row_text(waiting(4), 0).endswith("Trim · 0 of 4 on their note · waits for the microphone: chamber A · next")
    assert row_text(waiting(4), 2).endswith("after 2 others")
    assert waits_text(waiting(4, Waits.BENCH)) == "its bench: plug B to be trimmed"
    assert waits_text(waiting(4, Waits.BENCH, here=True)) == "the microphone: back, plug B to be trimmed"
    assert "1 is at its bench" in nobody_text([waiting(1, Waits.BENCH)])
