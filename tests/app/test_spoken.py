"""The sentence in words that any voice says right. Expected words are written by hand, as a rule is read aloud."""
import itertools
import re

import pytest

from acoustics.tuning import Stop
from app import wording
from app.events import Request, Task
from app.spoken import number_words, spoken


@pytest.mark.parametrize(("lines", "words"), [
    (("Trim 0.7 mm off plug B", "stop at 57.6 mm"),
     "Trim zero point seven millimetres off plug B, stop at fifty-seven point six millimetres."),
    (("Trim 1/64 in off plug B", "stop at 2 17/64 in"),
     "Trim one sixty-fourth of an inch off plug B, stop at two and seventeen sixty-fourths inches."),
    (("Push tailed plug C in", "until its face is 1/2 in deep"),
     "Push tailed plug C in, until its face is one half of an inch deep."),
    (("Move plug D in 1/32 in", "its face 2 in deep"),
     "Move plug D in one thirty-second of an inch, its face two inches deep."),
    (("Cut plug A 1 1/4 in long", "long on purpose: push it in flush"),
     "Cut plug A, one and one quarter inches long, long on purpose, push it in flush."),
    (("Push the slug into bore B", "to its 58 mm mark"),
     "Push the slug into bore B, to its fifty-eight millimetre mark."),
    (("Push the slug into bore B", "to its 2 17/64 in mark"),
     "Push the slug into bore B, to its two and seventeen sixty-fourths inch mark."),
    (("Move plug B out 1.0 mm", "its face 105.0 mm deep"),
     "Move plug B out one point zero millimetres, its face one hundred and five point zero millimetres deep."),
    (("Blow chamber A", "the slug in"), "Blow chamber A, the slug in."),
    (("Plug A is right: mark it here", "knife a line at the bore's mouth"),
     "Plug A, is right, mark it here, knife a line at the bore's mouth."),
    (("Is this your whistle?", "go on when it is"), "Is this your whistle? go on when it is."),
    (("", ""), ""),
])
def test_sentence_is_said_in_plain_words(lines, words):
    assert spoken(lines) == words


@pytest.mark.parametrize(("number", "words"), [
    (0, "zero"), (13, "thirteen"), (20, "twenty"), (57, "fifty-seven"), (100, "one hundred"),
    (140, "one hundred and forty"), (999, "nine hundred and ninety-nine"),
])
def test_number_is_said_in_words(number, words):
    assert number_words(number) == words


DEPTHS_MM = (0.0, 0.4, 12.7, 25.4, 57.6, 58.0, 101.2)


@pytest.mark.parametrize("units", ["mm", "inch", "both"])
@pytest.mark.parametrize("task", list(Task))
def test_no_digit_and_no_abbreviation_is_left_in_any_sentence(task, units):
    said = 0
    for stop, depth_mm, amount_mm in itertools.product(Stop, DEPTHS_MM, (-1.6, 0.1, 0.7, 25.4)):
        for sliding, text in itertools.product((True, False), ("", "disc", "bore_too_short")):
            request = Request(1, task, "A", stop, depth_mm, amount_mm, text)
            words = spoken(wording.sentence(request, units, sliding))
            assert not re.search(r"\d|\bmm\b|/|:", words), words
            assert words.endswith(".") or not words
            said += bool(words)
    assert said > 100
