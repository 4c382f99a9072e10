"""Glue that was left alone: what the records alone say agrees with what the walk would ask, hour by hour."""
from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from app.closeness import policy_of
from app.club import Waits, standing_of
from app.events import GlueKind, Key, Pressed
from app.evidence import standing
from app.glue_clock import is_past
from app.glue_due import glue_due_utc
from app.settings import Settings
from tests.app.chord_cases import LETTERS, off
from tests.app.glue_cases import at_glue, chords, dry_records, glued, later, next_day
from tests.number_maker import WHISTLE, Bench

HOURS = (0.5, 9.0, 11.0, 23.0, 25.0, 72.0)


@pytest.fixture
def dry() -> tuple:
    return dry_records()


def due(bench: Bench, now_utc: str) -> bool:
    due_utc = glue_due_utc(LETTERS, standing(bench.journal))
    return bool(due_utc) and is_past(due_utc, now_utc)


def hours_after(bench: Bench, hours: float) -> str:
    return (datetime.fromisoformat(bench.now_utc) + timedelta(hours=hours)).isoformat()


@pytest.mark.parametrize("kind", GlueKind)
@pytest.mark.parametrize("hours", HOURS)
def test_it_is_due_just_when_the_walk_would_ask_for_something_else(dry, kind, hours):  # noqa: F811
    bench = glued(dry, kind)
    if kind is GlueKind.WATER:
        bench = chords(bench, off(), off(), off(), off())
    now_utc = hours_after(bench, hours)
    asked = standing_of(WHISTLE, bench.journal, policy_of(Settings()), "mm", now_utc)
    assert due(bench, now_utc) is (asked.waits is not Waits.GLUE)


@pytest.mark.parametrize("kind", GlueKind)
def test_it_is_due_no_more_once_the_chord_of_the_next_day_was_blown(dry, kind):  # noqa: F811
    bench = later(dry, off(), off(), kind=kind)
    assert glue_due_utc(LETTERS, standing(bench.journal)) == ""


def test_nor_when_the_maker_goes_without_it(dry):  # noqa: F811
    bench = next_day(chords(glued(dry), off(), off(), off(), off()), 30.0)
    assert due(bench, bench.now_utc)
    bench.post(Pressed(Key.NEXT))
    assert not due(bench, bench.now_utc)


def test_a_whistle_with_a_plug_not_glued_yet_is_not_waiting_for_glue(dry):  # noqa: F811
    bench = at_glue(dry, GlueKind.WATER)
    assert glue_due_utc(LETTERS, standing(bench.journal)) == ""
    bench.post(Pressed(Key.DONE))
    assert glue_due_utc(LETTERS, standing(bench.journal)) == ""


def test_said_to_have_cured_and_left_its_chord_is_still_due(dry):  # noqa: F811
    bench = next_day(glued(dry, GlueKind.EPOXY), 30.0)
    bench.post(Pressed(Key.DONE))
    assert due(bench, bench.now_utc)
