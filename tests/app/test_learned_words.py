"""What memory says in words: a sentence for each sign, and no figure closer than it is known. All derived by hand."""
from __future__ import annotations

import math
from dataclasses import replace

import pytest

from acoustics.tuning import Priors
from app.learned import Learned, Teacher
from app.learned_words import (
    ASIDE,
    NOTHING,
    SWITCHED_OFF,
    finger_text,
    learned_lines,
    learned_sentence,
    source_text,
    unread_text,
    window_text,
)

TEACHER = Teacher("1", "Harbour no. 1", same_pattern=True, n_blows=40, by_finger=True)
STRANGER = replace(TEACHER, name="Ferry", same_pattern=False)


@pytest.mark.parametrize(("window_log", "words"), [
    (math.log(1.08), "windows run 8 % long of the table, give or take 7"),
    (math.log(0.92), "windows run 8 % short of the table, give or take 7"),
    (0.002, "windows run as the table has them, give or take 7 %"),
])
def test_each_sign_of_the_window_has_its_words(window_log, words):
    assert window_text(Priors(window_log=window_log, window_log_sd=0.063)) == words


@pytest.mark.parametrize(("finger_mm", "sd", "units", "words"), [
    (0.62, 0.1, "mm", "0.6 mm"), (0.62, 0.1, "both", "0.6 mm"), (0.9, 0.29, "mm", "about 1.0 mm"),
    (0.62, 0.1, "inch", "about 1/32 in"), (0.2, 0.1, "inch", "about 1/64 in"),
])
def test_no_digit_is_said_of_the_finger_that_is_not_known(finger_mm, sd, units, words):
    assert finger_text(Priors(finger_log=math.log(finger_mm), finger_log_sd=sd), units) == words


def test_the_sentence_names_windows_finger_scatter_and_where_they_come_from():
    priors = Priors(0.077, 0.06, finger_log=math.log(0.6), finger_log_sd=0.1, blow_sd_cents=3.2)
    told = Learned(priors, (TEACHER,) * 4)
    assert learned_sentence(told, "mm") == (
        "Your windows run 8 % long of the table, give or take 6; your finger counts for 0.6 mm; your blows scatter by "
        "3 cents; from 4 whistles of this pattern."
    )
    assert ASIDE in learned_lines(told, aside=True, units="mm")
    assert ASIDE not in learned_lines(told, aside=False, units="mm")


def test_a_finger_that_never_blew_is_not_spoken_of():
    told = Learned(Priors(finger_log_sd=0.1), (replace(TEACHER, by_finger=False),))
    assert "finger" not in learned_sentence(told, "mm")


@pytest.mark.parametrize(("teachers", "words"), [
    ([TEACHER], "from 1 whistle of this pattern"), ([TEACHER] * 4, "from 4 whistles of this pattern"),
    ([STRANGER, TEACHER], "from 1 whistle of this pattern and 1 other"),
    ([STRANGER] * 2, "from 2 whistles of other patterns"),
])
def test_where_it_comes_from_is_counted(teachers, words):
    assert source_text(teachers).startswith(words)


def test_nothing_learned_says_so_and_shows_nothing_on_the_bench():
    assert learned_lines(Learned(), aside=False, units="mm") == (NOTHING,)
    assert learned_lines(Learned(switched_off=True), aside=False, units="mm") == (SWITCHED_OFF,)
    assert learned_sentence(Learned(), "mm") == ""


def test_other_patterns_leave_the_window_unknown_in_words():
    lines = learned_lines(Learned(Priors(finger_log_sd=0.1), (STRANGER,)), aside=False, units="mm")
    assert not any("windows run" in line for line in lines)
    assert any("nothing is known yet" in line for line in lines)


@pytest.mark.parametrize(("unread", "words"), [
    (("Ferry",), "An earlier whistle could not be read and teaches nothing: Ferry;"),
    (("Ferry", "Bell"), "2 earlier whistles could not be read and teach nothing: Ferry, Bell;"),
])
def test_whistles_that_could_not_be_read_are_one_sentence(unread, words):
    assert unread_text(unread).startswith(words)
    assert unread_text(unread).count(".") == 1
    assert unread_text(()) == ""


def test_the_newest_whistles_are_named_first_and_a_name_once():
    teachers = (STRANGER, TEACHER, replace(TEACHER, name="Harbour no. 2"), TEACHER)
    (line,) = [line for line in learned_lines(Learned(Priors(), teachers), aside=False, units="mm") if "comes" in line]
    assert line.endswith(": Harbour no. 1, Harbour no. 2, Ferry.")
