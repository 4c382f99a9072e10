"""Killed at random moments, the program has lost nothing that it confirmed. The long run: tests/bench/journal."""
import random

import pytest

from app.journal import Journal
from tests.app.journal_cases import step
from tests.bench.journal.kills import WHISTLE_ID, Tally, _cut_log, _read_again, kill_and_cut

SEED = 20260304


@pytest.fixture(scope="module")
def tally(tmp_path_factory):
    return kill_and_cut(tmp_path_factory.mktemp("kills"), n_kills=20, n_cuts=20, seed=SEED)


def test_nothing_confirmed_is_lost_over_twenty_kills(tally):
    assert tally.n_kills == 20
    assert tally.n_confirmed > 20, "too few records were confirmed for the kills to mean anything"
    assert (tally.n_not_opened, tally.n_lost) == (0, 0)


def test_a_log_cut_anywhere_leaves_a_sound_beginning(tally):
    assert tally.n_cuts > 5, "too few logs were there to cut"
    assert (tally.n_cut_not_opened, tally.n_cut_out_of_order) == (0, 0)


def test_the_tally_itself_notices_a_lost_record_and_a_file_that_does_not_open(tmp_path):
    path = tmp_path / "journal.sqlite"
    with Journal(path) as journal:
        journal.append(step("Trim", whistle_id=WHISTLE_ID))
    tally = Tally(confirmed=["never written"])
    _read_again(path, tally)
    assert tally.n_lost == 1
    path.write_bytes(b"not a journal")
    _read_again(path, tally)
    assert tally.n_not_opened == 1


def test_the_tally_itself_notices_a_gap_after_a_cut(tmp_path):
    path = tmp_path / "journal.sqlite"
    with Journal(path) as journal:
        for _ in range(2):
            journal.append(step("Trim", whistle_id=WHISTLE_ID))
        second = journal.records()[1]
        tally = Tally(confirmed=["lost in between", second.id])
        path.with_name("journal.sqlite-wal").touch()
        whole_log = random.Random()
        whole_log.randrange = lambda n: n - 1
        _cut_log(path, tmp_path / "cut", whole_log, tally)
    assert (tally.n_cuts, tally.n_cut_out_of_order) == (1, 1)
