"""The whole chord through listener, queue, walk and journal: as from a file, and near the invented truth."""
from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import soundfile

from app.chord_stage import Word
from app.commands.hear_chord import longest_blow, read_file
from app.events import Key, Pressed, Route, RouteChosen
from app.journal import Journal
from app.records import ChordTaken
from app.session import Session
from app.settings import Settings
from app.source import Block
from app.view import Stage
from app.voices import voices_of
from tests.app.scripted_sound import HEARING, ScriptedSource
from tests.bench.chord.invented import Case, Chord, blown
from tests.number_maker import WHISTLE, Bench, NumberMaker

OFF_CENTS = (2.0, -6.0, 9.0, 0.0)
BLOCK_FRAMES = 480


def cents(measured_hz: float, true_hz: float) -> float:
    return 1200.0 * float(np.log2(measured_hz / true_hz))


def invented(seed: int, silent: frozenset[int] = frozenset()) -> Case:
    """One blow of the harbour whistle, in steps of 16 bits, as a file has them."""
    targets_hz = tuple(chamber.target_hz for chamber in WHISTLE.chambers)
    case = blown(Chord(targets_hz, OFF_CENTS, noise_db=22.0, silent=silent), np.random.default_rng([11, seed]))
    return Case(**{**vars(case), "samples": (np.round(case.samples * 32768.0) / 32768.0).astype(np.float32)})


def as_blocks(case: Case, begin_s: float) -> list[Block]:
    return [
        Block(case.samples[at:at + BLOCK_FRAMES], begin_s + at / case.rate_hz, case.rate_hz)
        for at in range(0, len(case.samples), BLOCK_FRAMES)
    ]


@pytest.fixture(scope="module")
def tuned() -> tuple:
    bench = Bench.open()
    bench.post(RouteChosen(Route.SLIDE))
    bench.walk(NumberMaker(5))
    return tuple(bench.journal)


class Records:
    def __init__(self, records: tuple) -> None:
        self.kept = list(records)

    def append(self, record: object) -> None:
        self.kept.append(record)

    def records(self, _whistle_id: str) -> tuple:
        return tuple(self.kept)


def heard_live(records: tuple, *cases: Case) -> Session:
    """A session that was given these blows, one after the other, through the listening thread and its queue."""
    blocks, at_s = [], 0.0
    for case in cases:
        blocks += as_blocks(case, at_s)
        at_s = blocks[-1].start_s + BLOCK_FRAMES / case.rate_hz
    session = Session(Records(records), WHISTLE, Settings(), ScriptedSource([HEARING, *blocks]))
    before = chords_of(session)
    session.start()
    try:
        while len(chords_of(session)) < len(before) + len(cases):
            assert session.pump(30.0), "nothing more was heard"
    finally:
        session.stop()
    return session


def chords_of(session: Session) -> list[ChordTaken]:
    return [record for record in session.state.records if isinstance(record, ChordTaken)]


def test_one_blow_gives_every_chambers_note_within_half_a_cent_of_the_truth(tuned):
    case = invented(1)
    chord, = chords_of(heard_live(tuned, case))
    for at, letter in enumerate("ABCD"):
        assert abs(cents(chord.voice(letter).frequency_hz, case.true_hz(at))) < 0.5


def test_live_and_file_give_the_same_reading_of_every_chamber(tuned, tmp_path: Path):
    case = invented(2)
    soundfile.write(tmp_path / "chord.wav", case.samples, case.rate_hz, subtype="PCM_16")
    session = heard_live(tuned, case)
    from_file = read_file(tmp_path / "chord.wav", voices_of(Bench.open(list(tuned)).state.place))
    for voice in from_file.voices:
        live = chords_of(session)[0].voice(voice.letter)
        assert abs(cents(live.frequency_hz, voice.frequency_hz)) < 0.1
        assert live.heard is voice.heard
        assert live.level_db == pytest.approx(voice.level_db, abs=0.05)


def test_a_silent_chamber_is_missing_in_the_journal_and_named_on_the_bench(tuned):
    warm = heard_live(tuned, *(invented(seed, frozenset({1})) for seed in range(3, 7)))
    assert [chord.b_heard for chord in chords_of(warm)] == ["missing"] * 4
    assert [chord.warm_up for chord in chords_of(warm)] == [True, True, False, False]
    place = warm.state.place
    assert (place.stage, place.chord.word, place.chord.letters) == (Stage.CHORD, Word.MISSING, ("B",))


def test_the_journals_file_gives_the_same_verdict_when_it_is_opened_again(tuned, tmp_path: Path):
    session = heard_live(tuned, *(invented(seed) for seed in range(7, 11)))
    said = session.state.place.chord
    assert said.word is Word.MOVE
    assert said.letters == ("B",), "8 cents flat of A; C is 7 sharp of it"
    ids = {record.id: _uuid(number) for number, record in enumerate(session.state.records)}
    with Journal(tmp_path / "journal.sqlite") as journal:
        journal.append_all(_renamed(record, ids) for record in session.state.records)
    with Journal(tmp_path / "journal.sqlite") as journal:
        again = Bench.open(list(journal.records(WHISTLE.id)), sitting="another day").state.place.chord
    assert (again.word, again.letters, again.move) == (said.word, said.letters, said.move)
    assert again.chambers == said.chambers


def test_a_chord_is_forgotten_like_any_blow(tuned):
    session = heard_live(tuned, invented(12))
    session.post(Pressed(Key.FORGET))
    assert session.state.place.chord.blows == ()
    assert not [record for record in session.state.standing if isinstance(record, ChordTaken)]


def test_a_file_with_several_blows_is_read_at_its_longest(tmp_path: Path):
    long, short = invented(13), invented(14)
    short_part = short.samples[: round(0.75 * short.rate_hz) + round(0.5 * short.rate_hz)]
    rate_hz = long.rate_hz
    soundfile.write(tmp_path / "two.wav", np.concatenate([short_part, long.samples]), rate_hz, subtype="PCM_16")
    blow, _ = longest_blow(tmp_path / "two.wav")
    assert blow.blow.start_s > len(short_part) / rate_hz


def _uuid(number: int) -> str:
    return f"00000000-0000-4000-8000-{number:012d}"


def _renamed(record: object, ids: dict[str, str]) -> object:
    """The records of a bench made of numbers, with identities that a journal takes."""
    facts = {name: ids.get(vars(record)[name], vars(record)[name]) for name in ("id", "voids_id", "closure_id")
             if name in vars(record)}
    if isinstance(record, ChordTaken):
        faces = [face.split(":") for face in record.faces.split(",")]
        facts["faces"] = ",".join(f"{ids[plug]}:{epoch}" for plug, epoch in faces)
    return replace(record, **facts)
