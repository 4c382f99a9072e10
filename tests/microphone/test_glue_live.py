"""What the glue moved, through sound server, PortAudio, listener and session: from the dry chord to the next day.

One plug creeps in by 0.3 mm and another leaks while they set; both are invented, and told to nobody.
"""
from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import soundfile

from app.events import GlueKind, Key, Pressed
from app.glue_compare import Why
from app.glue_stage import NEXT_DAY, Word
from app.microphone import Microphone
from app.practice import Performer
from app.records import ChordTaken
from app.session import Session
from app.source import Hearing
from tests.app.glue_shop import glue_all, lie, named, tuned_shop
from tests.microphone.listening import PATIENCE_S
from tests.microphone.virtual_sound import RATE_HZ, VirtualSound


class LiveBench:
    """A session that hears the invented maker through the virtual microphone."""

    def __init__(self, session: Session, performer: Performer, sound: VirtualSound, folder: Path) -> None:
        self.session, self._performer, self._sound, self._path = session, performer, sound, folder / "blow.wav"

    def __enter__(self) -> LiveBench:
        self.session.start()
        self._pump_until(self._hears)
        return self

    def __exit__(self, *_: object) -> None:
        self.session.stop()

    def work_until(self, done: Callable[[], bool]) -> None:
        """Do what is asked, each time until a record came of it."""
        while not done():
            request, n_records = self.session.request(), len(self.session.state.records)
            made = self._performer.sound_of(request)
            assert made is not None, request
            soundfile.write(self._path, np.concatenate([self._performer.before(request), made]), RATE_HZ, "PCM_16")
            self._sound.play(self._path).wait(PATIENCE_S)
            self._pump_until(lambda n=n_records: len(self.session.state.records) > n)

    def _hears(self) -> bool:
        notice = self.session.state.notice
        return notice is not None and notice.hearing is Hearing.HEARING

    def _pump_until(self, done: Callable[[], bool]) -> None:
        end_s = time.monotonic() + PATIENCE_S
        while not done():
            assert time.monotonic() < end_s, "nothing came of it"
            self.session.pump(0.2)


def test_a_creep_of_three_tenths_and_a_leak_are_named_through_the_real_capture_path(virtual_sound, tmp_path):
    shop = tuned_shop(31)
    performer = Performer(shop.maker, RATE_HZ)
    with LiveBench(shop.session(Microphone()), performer, virtual_sound, tmp_path) as bench:
        bench.work_until(bench.session.done)
        bench.session.post(Pressed(Key.NEXT))
        glue_all(bench.session, shop, GlueKind.INSTANT)
    lie(shop, creep_mm={"B": 0.3}, leak_cents={"D": 14.0})
    with LiveBench(shop.session(Microphone()), performer, virtual_sound, tmp_path) as bench:
        assert bench.session.state.place.glue.word is Word.CURED
        bench.session.post(Pressed(Key.DONE))
        bench.work_until(bench.session.glued)
        glue, lost_frames = bench.session.state.place.glue, bench.session.lost_frames
    chords = [record for record in shop.records.kept if isinstance(record, ChordTaken)]
    shifts = ", ".join(f"{moved.letter} {moved.shift_cents:+.1f} ± {moved.sd_cents:.1f} c" for moved in glue.moved)
    print(f"{len(chords)} chords heard live, {glue.columns[-1].n_blows} counted next day; {shifts}")
    assert lost_frames == 0
    assert glue.columns[-1].name == NEXT_DAY
    assert named(glue) == {"B": Why.PUSHED_IN, "D": Why.LEAKS}
