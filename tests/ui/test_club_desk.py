"""A club evening on the desk: whose turn it is, whose blow is booked, what the room is shown, what is kept."""
from __future__ import annotations

import json

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from app.club import Waits
from app.club_book import latest_evening
from app.club_names import FILE_NAME
from app.club_words import CALLED
from app.context import Context
from app.events import Key, Pressed
from app.home import journal_path
from app.journal import Journal
from app.records import BlowTaken, PlugSet, StepTaken
from app.settings import Settings
from app.ui.club_sheet import ClubSheet
from app.ui.desk import Desk
from app.ui.sheets import Sheets
from app.whistle import dump_whistle
from tests.number_maker import WHISTLE, Bench, NumberMaker, steady
from tests.ui.bench_parts import words_on
from tests.ui.club_cases import evening_in
from tests.ui.played_source import PlayedMicrophone
from tests.ui.quiet_source import SilentMicrophone

pytestmark = pytest.mark.qt_log_ignore("propagateSizeHints")


@pytest.fixture
def microphones(monkeypatch, request):
    """Every microphone that the desk opened, the last one last: silent, or played into where a test asks for that."""
    opened, kind = [], getattr(request, "param", SilentMicrophone)
    monkeypatch.setattr("app.microphone.Microphone", lambda name: opened.append(kind(name)) or opened[-1])
    return opened


@pytest.fixture
def club(qtbot, tmp_path, microphones):
    """A desk with four whistles: 1 to be cut, 2 just begun, 3 and 4 not begun; the first lies on the bench."""
    evening = evening_in(journal_path(tmp_path), 4, [n_to_the_first_cut(), 4])
    settings = Settings(theme="light", units="mm", last_whistle=evening.whistles[0].id, keep_sound=False)
    desk = Desk(Context(tmp_path, settings, journal_path(tmp_path)))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    desk.window.show()
    desk.begin()
    yield sheets
    desk.clear()


def n_to_the_first_cut() -> int:
    """So many answers of the first whistle's maker."""
    from app.events import Route, RouteChosen, Task

    bench, maker = Bench.open(), NumberMaker(1)
    bench.post(RouteChosen(Route.TRIM))
    for n_answers in range(60):
        if bench.state.request.task is Task.CUT:
            return n_answers
        bench.answer(maker)
    raise AssertionError("no cut was asked for")


def kept(sheets: Sheets):
    with Journal(sheets.desk.context.journal_path) as journal:
        return journal.records()


def on_bench(sheets: Sheets) -> int:
    return sheets.desk.whistle.number


def turn_of(sheets: Sheets):
    return sheets.desk.window.bench.room._turn


def test_while_the_first_is_at_the_saw_the_next_is_called_and_c_brings_it(club):
    assert club.club.on_bench().waits is Waits.BENCH
    turn = turn_of(club)
    assert turn.sentence == CALLED
    assert turn.foot[0].startswith("1: cut A to ")
    assert f"C: call {turn.number}" in club.desk.window.view.keys
    club.desk.window.press_named("c")
    assert on_bench(club) == turn.number
    assert turn_of(club).number == turn.number


@pytest.mark.parametrize("microphones", [PlayedMicrophone], indirect=True)
def test_between_the_call_and_the_key_no_sound_is_booked_to_anybody(club, qtbot, microphones):
    called, before = turn_of(club), kept(club)
    assert called.calls
    assert called.sentence == CALLED
    note_hz = WHISTLE.chamber("A").target_hz
    for play in (microphones[-1].toot, microphones[-1].blow):
        until_s = play(note_hz)
        qtbot.waitUntil(lambda: microphones[-1].heard_until_s > until_s, timeout=20_000)  # noqa: B023
        qtbot.wait(50)
    assert kept(club) == before
    assert club.desk.window.view.hearing == f"heard for nobody until C calls {called.number}"

    club.desk.window.press_named("c")
    assert on_bench(club) == called.number
    assert not turn_of(club).calls
    microphones[-1].blow(note_hz)
    qtbot.waitUntil(lambda: len(blows_since(club, before)) == 1, timeout=20_000)
    assert blows_since(club, before)[0].whistle_id == club.desk.whistle.id


def blows_since(sheets: Sheets, before):
    return [record for record in kept(sheets)[len(before):] if isinstance(record, BlowTaken)]


@pytest.mark.parametrize("microphones", [PlayedMicrophone], indirect=True)
def test_while_nobody_else_waits_two_toots_at_the_saw_still_say_done(club, qtbot, microphones, monkeypatch):
    monkeypatch.setattr(club.club, "_waiting", tuple)
    club.club.adorn(club.desk.bridge.session.view())
    before = kept(club)
    assert not turn_of(club).calls
    microphones[-1].toot(WHISTLE.chamber("A").target_hz)
    qtbot.waitUntil(lambda: any(isinstance(each, PlugSet) for each in kept(club)[len(before):]), timeout=20_000)


def test_the_one_who_was_not_through_waits_behind_the_others_and_stands_where_it_stood(club):
    order = []
    for _ in range(3):
        club.desk.window.press_named("c")
        order.append(on_bench(club))
    assert sorted(order) == [2, 3, 4]
    was = club.desk.bridge.session.request()
    first = order[-1]
    club.desk.window.press_named("c")
    assert on_bench(club) == order[0]
    club.club.call(first)
    now = club.desk.bridge.session.request()
    assert (now.task, now.letter, now.depth_mm) == (was.task, was.letter, was.depth_mm)


def test_a_number_typed_in_the_list_is_laid_on_the_bench_and_the_list_closes(club):
    club.club.show_list()
    sheet = club.open_sheet
    QTest.keyClicks(sheet, "4")
    QTest.keyClick(sheet.number, Qt.Key.Key_Return)
    assert on_bench(club) == 4
    assert club.open_sheet is None


def test_an_unknown_number_is_said_and_nothing_moves(club):
    club.club.show_list()
    club.open_sheet.called.emit(9)
    assert "the last is 4" in club.open_sheet.trouble.text()
    assert on_bench(club) == 1


def test_one_who_is_back_from_the_saw_waits_for_the_microphone_again(club):
    club.desk.window.press_named("c")
    club.club.show_list()
    club.open_sheet.back_told.emit(1)
    rows = [club.open_sheet.list.item(n).text() for n in range(4)]
    assert "the microphone: back, plug A to be cut" in rows[0]
    assert [r.step for r in kept(club) if isinstance(r, StepTaken)].count("here") == 1
    club.open_sheet.back_told.emit(1)
    assert "already" in club.open_sheet.trouble.text()


def test_where_nobody_waits_that_is_said_and_the_whistle_stays(club, monkeypatch):
    monkeypatch.setattr(club.club, "_waiting", tuple)
    club.desk.window.press_named("c")
    assert "Nobody else waits" in club.desk.window.view.trouble
    assert on_bench(club) == 1


def test_blows_are_tagged_by_number_so_that_no_two_breaths_are_pooled(club):
    club.club.call(3)
    session = club.desk.bridge.session
    session.post(heard(session))
    (blow,) = [r for r in kept(club) if isinstance(r, BlowTaken) and r.whistle_id == club.desk.whistle.id]
    assert blow.blower.startswith("no. 3, ")
    assert club.desk.settings.blower == ""


def heard(session):
    from app.events import Heard

    return Heard(steady(600.0, 3.0), session.request().id, 3.0)


def test_what_a_blow_said_is_in_the_journal_before_the_next_is_called(club):
    club.club.call(3)
    session = club.desk.bridge.session
    session.post(heard(session))
    before = len(kept(club))
    club.desk.window.press_named("c")
    assert len(kept(club)) > before  # the turn that passed; a change of whistle writes, and takes nothing away


def test_names_stand_in_the_room_view_alone(club):
    club.club.show_names()
    sheet = club.open_sheet
    for field in sheet.fields.values():
        field.setText("Tamsin")
    sheet.ready.click()
    assert turn_of(club).name == "Tamsin"
    assert "Tamsin" not in words_on(club.desk.window)  # the bench's own page, the room view being put away
    rows = " ".join(club.open_sheet.list.item(n).text() for n in range(4))
    assert "Tamsin" not in rows
    assert "Tamsin" not in repr(kept(club))
    assert set(json.loads((club.desk.context.home / FILE_NAME).read_text("utf-8")).values()) == {"Tamsin"}


def test_with_a_failure_on_the_bench_the_room_is_told_nothing_of_it_beside_a_name(club, monkeypatch):
    """Flat, ruined or leaking: the bench's page says it, without a name; the room view has the name, without it."""
    from dataclasses import replace

    from app.events import Request, Task

    club.club._name({each.id: "Tamsin" for each in club.club.evening.whistles})
    session = club.desk.bridge.session
    for text in ("disc", "seal"):
        failing = replace(session.state, request=Request(99, Task.REPAIR, "A", None, 40.0, 1.5, text))
        monkeypatch.setattr(session, "_state", failing)
        for others in (True, False):
            if not others:
                monkeypatch.setattr(club.club, "_waiting", tuple)
            club.club.adorn(session.view())
            said = " ".join((turn_of(club).name, *turn_of(club).sentence, *turn_of(club).foot)).lower()
            assert "tamsin" in said
            assert not [word for word in ("short", "disc", "seal", "leak", "flat", "mend") if word in said]


def test_all_names_are_deleted_at_once(club):
    club.club._name({club.club.evening.whistles[0].id: "Tamsin"})
    club.club.show_names()
    club.open_sheet.forget.click()
    assert not (club.desk.context.home / FILE_NAME).exists()
    assert turn_of(club).name == ""


def test_a_dozen_is_added_in_one_action_and_the_first_lies_on_the_bench(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr("app.microphone.Microphone", SilentMicrophone)
    document = tmp_path / "harbour.whistle.json"
    document.write_bytes(dump_whistle(WHISTLE))
    desk = Desk(Context(tmp_path, Settings(keep_sound=False), journal_path(tmp_path)))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    sheets.club.show_add()
    sheets.open_sheet.open_document(document)
    sheets.open_sheet.ready.click()
    assert isinstance(sheets.open_sheet, ClubSheet)
    assert sheets.open_sheet.list.count() == 12
    assert (desk.whistle.number, desk.whistle.of) == (1, None)
    desk.clear()


def test_a_whistle_that_is_begun_joins_as_it_lies_on_the_bench(qtbot, tmp_path, monkeypatch):
    monkeypatch.setattr("app.microphone.Microphone", SilentMicrophone)
    desk = Desk(Context(tmp_path, Settings(keep_sound=False), journal_path(tmp_path)))
    qtbot.addWidget(desk.window)
    sheets = Sheets(desk)
    desk.lay(WHISTLE)
    desk.post(Pressed(Key.NEXT))
    was = desk.bridge.session.request()
    sheets.club.show_add()
    sheets.open_sheet.join.click()
    assert desk.whistle.number == 1
    assert desk.whistle.id == WHISTLE.id
    now = desk.bridge.session.request()
    assert (now.task, now.letter) == (was.task, was.letter)
    with Journal(desk.context.journal_path) as journal:
        assert [each.id for each in latest_evening(journal).whistles] == [WHISTLE.id]
    desk.clear()


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_all_sheets_go_into_one_file_on_the_makers_own_paper(club, monkeypatch, size):
    from dataclasses import replace

    papers = []
    monkeypatch.setattr("app.ui.paper_out.ask_for_pdf", lambda *asked: papers.append(asked[1]))
    club.desk.keep_settings(replace(club.desk.settings, page_size=size))
    club.club.show_list()
    club.open_sheet.papers_asked.emit("pdf")
    (paper,) = papers
    assert len(paper.pages) == 1 + 4 + 1  # table, a record sheet each, four cards to a page
    assert {page.size.name for page in paper.pages} == {size}
