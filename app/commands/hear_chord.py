"""`hear-chord`: every chamber of a whistle from one blow of the whole whistle."""
from __future__ import annotations

import argparse
from collections.abc import Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path
from typing import Any

from acoustics.blow import BlowEnded, BlowFinder, Found, Verdict
from acoustics.chord import Beat, ChordReading, ExpectedVoice, Heard, VoiceReading, read_chord
from acoustics.units import cents_between
from app.aimed import aimed
from app.commands.answering import Answer
from app.commands.arguments import add_home, add_json, add_whistle, open_home
from app.commands.whistles import find_whistle, title
from app.errors import WorldError
from app.evidence import standing
from app.journal import Journal
from app.recording import Recording
from app.source import Block
from app.voices import expected_voices
from app.whistle import Whistle

NO_WHISTLE = (Verdict.HUM, Verdict.NOT_A_WHISTLE)
FASTEST_BEAT_HZ = 20.0  # faster ones are heard as roughness, not counted; --json has them all
WORDS = {
    Heard.HEARD: "", Heard.WEAK: "weak", Heard.MISSING: "not heard",
    Heard.TOO_NEAR: "too near another chamber to be told apart",
}


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "hear-chord", help="every chamber from one blow of the whole whistle",
        description="Reads the longest blow of a sound file as a chord: each chamber's pitch against its target"
        " (deviation_cents) and against the lowest chamber heard (interval_deviation_cents), and the beats of chambers"
        " near a ratio of small numbers. Chambers of one mouthpiece may pull each other: what each speaks alone,"
        " single blows tell.",
    )
    parser.add_argument("file", metavar="FILE", help="WAV, FLAC, OGG or MP3 with one blow of all chambers")
    add_whistle(parser, required=True)
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        home = open_home(arguments)
        with Journal(home.journal_path) as journal:
            whistle = find_whistle(arguments.whistle, journal)
            records = journal.records(whistle.id)
            voices = expected_voices(whistle, records)
            whistle, _ = aimed(whistle, standing(records))
        reading = read_file(Path(arguments.file), voices)
        chambers = _rows(whistle, reading)
        if arguments.json:
            beats = [_beat_json(beat) for beat in reading.beats]
            answer.json({"chambers": chambers, "beats": beats, "worst": _worst(chambers),
                         "start_s": reading.start_s, "end_s": reading.end_s})
        else:
            answer.line(f"{title(whistle)}, {Path(arguments.file).name}, {reading.end_s - reading.start_s:.2f} s read")
            slow = [beat for beat in reading.beats if beat.beat_hz <= FASTEST_BEAT_HZ]
            for line in (*map(_chamber_text, chambers), *map(_beat_text, slow)):
                answer.line(line)
    return 0


def read_file(path: Path, voices: Sequence[ExpectedVoice]) -> ChordReading:
    """The longest blow of a file as a chord; the stretch that was read in seconds of the file."""
    blow, sample_rate_hz = longest_blow(path)
    reading = read_chord(blow.samples, sample_rate_hz, voices)
    begin_s = blow.samples_start_s
    return replace(reading, start_s=begin_s + reading.start_s, end_s=begin_s + reading.end_s)


def longest_blow(path: Path) -> tuple[BlowEnded, int]:
    with closing(Recording(path)) as recording:
        recording.open()
        finder = BlowFinder(recording.sample_rate_hz)
        found: list[Found] = []
        while (item := recording.read(0.0)) is not None:
            if isinstance(item, Block):
                found += finder.feed(item.samples)
        found += finder.finish()
    blows = [each for each in found if isinstance(each, BlowEnded) and each.blow.verdict not in NO_WHISTLE]
    if not blows:
        raise WorldError(f"No blow was found in {path.name}; does it hold one steady blow of a second or more?")
    longest = max(blows, key=lambda each: each.blow.end_s - each.blow.start_s)
    if longest.blow.verdict is Verdict.CLIPPED:
        raise WorldError(f"The blow in {path.name} is clipped: move the microphone away and record it again.")
    return longest, recording.sample_rate_hz


def _rows(whistle: Whistle, reading: ChordReading) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = []
    home_cents: float | None = None
    for voice in reading.voices:
        deviation_cents = _deviation_cents(whistle, voice)
        home_cents = deviation_cents if home_cents is None else home_cents
        interval_cents = None if deviation_cents is None or home_cents is None else deviation_cents - home_cents
        rows.append({
            "name": voice.letter, "frequency_hz": voice.frequency_hz, "deviation_cents": deviation_cents,
            "interval_deviation_cents": interval_cents, "standard_error_cents": voice.standard_error_cents,
            "level_db": voice.level_db, "heard": voice.heard.value,
        })
    return rows


def _deviation_cents(whistle: Whistle, voice: VoiceReading) -> float | None:
    if voice.frequency_hz is None:
        return None
    return cents_between(voice.frequency_hz, whistle.chamber(voice.letter).target_hz)


def _worst(rows: list[dict[str, Any]]) -> str | None:
    """The chamber whose interval to the lowest one heard is farthest off; None with fewer than two heard."""
    heard = [row for row in rows if row["interval_deviation_cents"] is not None][1:]
    return max(heard, key=lambda row: abs(row["interval_deviation_cents"]))["name"] if heard else None


def _beat_json(beat: Beat) -> dict[str, Any]:
    return {"lower": beat.lower, "upper": beat.upper, "ratio": f"{beat.n}:{beat.m}", "beat_hz": beat.beat_hz,
            "error_cents": beat.error_cents}


def _chamber_text(row: dict[str, Any]) -> str:
    word = WORDS[Heard(row["heard"])]
    if row["frequency_hz"] is None:
        return f"{row['name']}  {word}"
    text = (f"{row['name']}  {row['frequency_hz']:8.1f} Hz  {row['deviation_cents']:+6.1f} cents, as an interval"
            f" {row['interval_deviation_cents']:+6.1f}, ± {max(row['standard_error_cents'], 0.1):.1f}")
    return f"{text}; {word}" if word else text


def _beat_text(beat: Beat) -> str:
    return (f"{beat.lower} and {beat.upper} beat {beat.beat_hz:.1f} times a second: {beat.error_cents:+.1f} cents from"
            f" {beat.n}:{beat.m}")
