"""The words of a session: steps, cells of its table, its one sentence; and the same as CSV and JSON."""
from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import asdict
from datetime import datetime
from typing import Any, Final

from app.aimed import whole_chord_text
from app.story_readings import AFTER_GLUE, NEXT_DAY, Logged, Phase, Reading, Step, Story
from app.whistle import Whistle

FORMAT: Final = "whistlewright-session"
HOW_WORDS = {
    "finger": "finger", "flat": "scrap", "slug": "slug", "cap": "cap", "plug": "plug", "cut": "cut", "set": "cut",
    "trim": "trim", "push_in": "push in", "draw_out": "draw out", "reseat": "reseat", "add_disc": "disc",
}
ANY_MOVE = "move"
FINE_CENTS = 100.0  # nearer than this a tenth of a cent is written
HEADINGS = ("chamber", "step", "off its note, cents", "interval to {home}, cents", "air, °C", "blows, counted")
COLUMNS = (
    "letter", "step", "how", "depth_mm", "n_counted", "target_hz", "frequency_hz", "deviation_cents", "sd_cents",
    "interval_cents", "temperature_c", "first_at_utc", "last_at_utc", "sound_files",
)


def step_words(step: Step, hows: Sequence[str]) -> str:
    """What a column is called; `hows` are those of the chambers in it."""
    if step.round in (AFTER_GLUE, NEXT_DAY):
        return ("after glue" if step.round == AFTER_GLUE else "next day") + (", chord" if step.is_chord else "")
    if step.phase is Phase.CHORD:
        return "chord" if step.number == 1 else f"chord {step.number}"
    words = list(dict.fromkeys(HOW_WORDS.get(how, how) for how in hows))
    if step.phase is Phase.MOVE:
        name = f"{words[0] if len(words) == 1 else ANY_MOVE} {step.number}"
    else:
        name = " or ".join(words) + (f" {step.number}" if step.number > 1 else "")
    return name if not step.voice else f"{name}, voice {step.voice + 1}"


def column_words(story: Story) -> dict[Step, str]:
    """Every column with its name, in order."""
    return {
        step: step_words(step, [r.how for r in story.readings if r.step == step and r.deviation_cents is not None])
        for step in story.steps
    }


def reading_step(reading: Reading) -> str:
    """What this step is called for its own chamber."""
    return step_words(reading.step, [reading.how])


def cents_words(cents: float | None, sd_cents: float | None = None) -> str:
    """ "2.3 sharp ± 0.8", "412 flat", "even"; empty when nobody knows."""
    if cents is None:
        return ""
    figure = f"{abs(cents):.1f}" if abs(cents) < FINE_CENTS else f"{abs(cents):.0f}"
    words = "even" if figure == "0.0" else f"{figure} {'sharp' if cents > 0 else 'flat'}"
    return words if sd_cents is None else f"{words} ± {max(sd_cents, 0.1):.1f}"


def air_words(temperature_c: float | None) -> str:
    return "" if temperature_c is None else f"{temperature_c:.1f}"


def blows_words(reading: Reading) -> str:
    """How many counted, and of how many where some did not."""
    n_counted, n_all = len(reading.counted), len(reading.blows)
    return f"{n_counted}" if n_counted == n_all else f"{n_counted} of {n_all}"


def cells(reading: Reading, lowest: str) -> tuple[str, ...]:
    """A row of the table, under `HEADINGS`."""
    interval = "home" if reading.letter == lowest else cents_words(reading.interval_cents)
    return (reading.letter, reading_step(reading), cents_words(reading.deviation_cents, reading.sd_cents), interval,
            air_words(reading.temperature_c), blows_words(reading))


def blow_words(number: int, blow: Logged) -> str:
    """One blow in the list of those that can be heard again."""
    at = datetime.fromisoformat(blow.at_utc).astimezone()
    pitch = "" if blow.frequency_hz is None else f", {blow.frequency_hz:.1f} Hz"
    kept = "" if blow.sound_file else ", no sound kept"
    told = blow.verdict.replace("_", " ") + (", finger on" if blow.covered else "" if blow.counted else ", not counted")
    return f"{number}: {at:%H:%M}{pitch}, {told}{kept}"


def spoken(reading: Reading, lowest: str) -> str:
    """One reading in a sentence, for whoever cannot see the plot."""
    _, step, off, interval, air, blows = cells(reading, lowest)
    parts = [f"{off.replace('±', 'give or take')} of its note" if off[:4] != "even" else f"{off} with its note"]
    if interval and reading.letter != lowest:
        parts.append(f"interval to {lowest} {interval}")
    parts += [f"air {air} °C"] if air else []
    return f"{reading.letter}, {step}: {', '.join(parts)}, {blows} blow{'' if blows == '1' else 's'}"


def story_sentence(story: Story) -> str:
    """Before and after in one sentence."""
    told = [story.of(letter) for letter in story.letters if story.of(letter)]
    if not told:
        return "Nothing that counts has been blown on this whistle yet."
    before = max(abs(readings[0].deviation_cents or 0.0) for readings in told)
    after = max(abs(readings[-1].deviation_cents or 0.0) for readings in told)
    sentence = f"At first up to {before:.0f} cents off their notes, at last up to {after:.0f}"
    last = [next((r for r in reversed(readings) if r.interval_cents is not None), None) for readings in told]
    intervals = [abs(r.interval_cents) for r in last if r is not None and r.interval_cents is not None]
    if intervals:
        sentence += f", and up to {max(intervals):.0f} off their intervals to {story.letters[0]}"
    n_silent = len(story.letters) - len(told)
    sentence += f"; {n_silent} not blown yet." if n_silent else "."
    down = whole_chord_text(story.lowered_cents)
    return f"{sentence} Counted from the {down}." if down else sentence


# ---- files ---------------------------------------------------------------------------------------------------------
def rows(story: Story) -> list[dict[str, Any]]:
    """Every reading as plain values under `COLUMNS`; None where nobody knows."""
    return [_row(reading) for reading in story.readings]


def _row(reading: Reading) -> dict[str, Any]:
    plain = {key: getattr(reading, key) for key in COLUMNS if hasattr(reading, key)}
    sounds = " ".join(blow.sound_file for blow in reading.blows if blow.sound_file)
    return {key: (plain | {
        "step": reading_step(reading), "n_counted": len(reading.counted), "first_at_utc": reading.blows[0].at_utc,
        "last_at_utc": reading.blows[-1].at_utc, "sound_files": sounds,
    })[key] for key in COLUMNS}


def as_csv(story: Story) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, COLUMNS, restval="")
    writer.writeheader()
    writer.writerows({key: "" if value is None else value for key, value in row.items()} for row in rows(story))
    return text.getvalue().encode("utf-8")


def as_json(story: Story, whistle: Whistle) -> bytes:
    document = {
        "format": FORMAT, "version": 1, "whistle_id": whistle.id, "name": whistle.name,
        "summary": story_sentence(story), "scatter_cents": story.scatter_cents,
        "lowered_cents": story.lowered_cents,
        "readings": [
            _row(reading) | {"blows": [asdict(blow) for blow in reading.blows]} for reading in story.readings
        ],
    }
    return (json.dumps(document, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode("utf-8")
