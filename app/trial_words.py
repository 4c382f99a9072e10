"""One trial blow in words: what was heard, and what to do about it."""
from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from acoustics.trial import TrialFinding

SWITCH_OFF: Final = (
    "The system treats a whistle as noise. In its sound settings, for this microphone, switch off noise suppression, "
    "voice isolation, automatic gain and other “enhancements”; a conference headset may do the same by itself. Then "
    "blow again."
)
WORDS: Final[dict[str, tuple[str, str]]] = {
    "good": ("Heard well: one steady note.", "This microphone will do."),
    "no_note": ("No steady note was heard.", "Close one bore with a finger, and blow as if to cool soup."),
    "too_short": (
        "That was short.",
        "Blow one steady note for about four seconds. If you did, the system cut it off: switch off noise suppression "
        "and automatic gain in its sound settings.",
    ),
    "too_quiet": ("Heard, but faintly.", "Bring the microphone nearer, or turn its level up in the sound settings."),
    "clipped": ("Too loud: the tops are cut off.", "Move the microphone away, or turn its level down."),
    "turned_down": ("Your note stayed steady, but the system turned it down.", SWITCH_OFF),
    "turned_up": ("Your note stayed steady, but the system turned it up.", SWITCH_OFF),
    "gated": ("The system switches the sound off and on.", SWITCH_OFF),
    "narrow": (
        "Heard, but without the high part of the sound.",
        "A headset or a voice filter does this: notes can still be read, how clean they speak less well. Take another "
        "microphone if there is one.",
    ),
    "unsteady": ("Your breath wavered, that is all.", "Blow again, as evenly as you can."),
}
SHORT_BUT_GOOD: Final = (
    "A steady note, and nothing wrong with it so far.",
    "A system that works on the sound may take three seconds to begin: blow longer, if your breath allows.",
)
JUDGED_FROM_S: Final = 0.8  # a shorter note tells nothing


def trial_words(samples: Any, sample_rate_hz: int) -> tuple[str, str]:
    """What was heard of the blow, and the remedy; further findings are added to the remedy."""
    from acoustics.errors import OutOfRangeError
    from acoustics.trial import judge_trial

    try:
        return words_for(judge_trial(samples, sample_rate_hz))
    except OutOfRangeError:
        return WORDS["too_short"]


def words_for(finding: TrialFinding) -> tuple[str, str]:
    """The words for a finding that was made."""
    short_but_good = finding.verdict == "too_short" and finding.note_s >= JUDGED_FROM_S
    heard, remedy = SHORT_BUT_GOOD if short_but_good else WORDS[finding.verdict]
    further = [WORDS[other] for other in finding.others if other != "too_short"]
    also = [f"Also: {also_heard[:1].lower()}{also_heard[1:]}" for also_heard, _ in further]
    remedies = dict.fromkeys([remedy, *(also_remedy for _, also_remedy in further)])
    return heard, " ".join([*also, *remedies])
