"""Every finding of the trial blow has its words, and a suppressor's say what to switch off."""
from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from acoustics.trial import TrialFinding, TrialVerdict
from app.trial_words import trial_words, words_for


@pytest.mark.parametrize("verdict", TrialVerdict)
def test_every_finding_has_words_and_a_remedy(verdict: TrialVerdict) -> None:
    heard, remedy = words_for(TrialFinding(verdict))
    assert heard.endswith(".")
    assert remedy.endswith(".")


@pytest.mark.parametrize("verdict", [TrialVerdict.TURNED_DOWN, TrialVerdict.TURNED_UP, TrialVerdict.GATED])
def test_a_system_that_works_on_the_sound_is_told_to_be_switched_off(verdict: TrialVerdict) -> None:
    assert "switch off noise suppression" in words_for(TrialFinding(verdict))[1]


def test_a_further_finding_is_said_too_and_no_remedy_twice() -> None:
    gated = TrialFinding(TrialVerdict.GATED)
    _, remedy = words_for(replace(gated, others=(TrialVerdict.TURNED_DOWN, TrialVerdict.TOO_QUIET)))
    assert remedy.count("switch off noise suppression") == 1
    assert "Also: heard, but faintly." in remedy


def test_a_note_that_was_only_short_is_not_called_bad() -> None:
    heard, _ = words_for(TrialFinding(TrialVerdict.TOO_SHORT, note_s=1.5))
    assert "nothing wrong" in heard
    assert "short" in words_for(TrialFinding(TrialVerdict.TOO_SHORT, note_s=0.3))[0]


def test_a_sound_too_short_to_judge_asks_for_a_longer_one() -> None:
    assert "four seconds" in trial_words(np.zeros(100, np.float32), 48_000)[1]
