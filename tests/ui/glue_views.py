"""Views of the glue, one of each kind, from a real walk; ``python -m tests.ui.glue_views OUTDIR`` draws them."""
from __future__ import annotations

import os
import sys
from datetime import datetime, timedelta
from pathlib import Path

from app.events import AirTold, GlueChosen, GlueKind, Key, LevelHeard, Noticed, Pressed, Route
from app.glue_stage import Word
from app.showing import view
from app.source import Hearing, Notice
from app.view import View
from app.workflow import Sitting, begin
from tests.number_maker import WHISTLE, Bench
from tests.ui.chord_views import SIZES, off, tuned


def dry(units: str, route: Route = Route.SLIDE) -> Bench:
    bench = tuned(route, units)
    for _ in range(2):
        bench.chord(off())
    bench.post(Pressed(Key.NEXT))
    return bench


def next_day(bench: Bench, units: str, hours: float = 22.0) -> Bench:
    """The same journal, laid on the bench again in a colder shop."""
    now_utc = (datetime.fromisoformat(bench.now_utc) + timedelta(hours=hours)).isoformat()
    state, effects = begin(WHISTLE, bench.journal, Sitting("s2", units, began_utc=now_utc))
    again = Bench(state, list(bench.journal), now_utc=now_utc, ids=bench.ids)
    again.carry_out(effects)
    for event in (AirTold(14.5), Noticed(Notice(Hearing.HEARING)), LevelHeard("right")):
        again.post(event)
    return again


def glued(bench: Bench, off_cents: float = 0.0) -> Bench:
    while (glue := bench.state.place.glue).word in (Word.SET, Word.OPEN_BLOW):
        if glue.word is Word.SET:
            bench.post(Pressed(Key.DONE))
        else:
            face = bench.state.place.chambers[glue.letter].face
            bench.blow(bench.state.place.belief.readings[face.id].heard_hz)
    return bench


def colder(**cents: float) -> dict[str, float]:
    return {letter: hz * 2 ** (-15.0 / 1200) for letter, hz in off(**cents).items() if hz is not None}


def glue_views(units: str = "mm") -> dict[str, View]:
    """By kind: "glue-which", "glue-set", "glue-open-blow", "glue-put-back", "glue-curing", "glue-told"..."""
    water = dry(units)
    views = {"glue-which": view(water.state)}
    instant = Bench(water.state, list(water.journal), ids=water.ids)
    water.post(GlueChosen(GlueKind.WATER))
    views["glue-set"] = view(water.state)
    water.post(Pressed(Key.DONE))
    water.post(Pressed(Key.DONE))
    views["glue-open-blow"] = view(water.state)
    face = water.state.place.chambers["A"].face
    water.blow(water.state.place.belief.readings[face.id].heard_hz * 2 ** (14 / 1200))
    views["glue-put-back"] = view(water.state)
    water.post(Pressed(Key.DONE))
    glued(water)
    views["glue-chord"] = view(water.state)
    for _ in range(2):
        water.chord(off(C=3.0))
    views["glue-resting"] = view(water.state)
    again = next_day(water, units)
    views["glue-next-day"] = view(again.state)
    for _ in range(4):
        again.chord(colder(C=7.0))
    views["glue-alone"] = view(again.state)
    face = again.state.place.chambers["C"].face
    again.blow(again.state.place.belief.readings[face.id].heard_hz)
    views["glue-moved"] = view(again.state)
    sound = next_day(water, units)
    for _ in range(4):
        sound.chord(colder())
    views["glue-told"] = view(sound.state)
    instant.post(GlueChosen(GlueKind.INSTANT))
    views["glue-instant"] = view(instant.state)
    glued(instant)
    views["glue-curing"] = view(instant.state)
    views["glue-cured"] = view(next_day(instant, units, 40.0).state)
    return views


def main(out: Path) -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from app.settings import Settings
    from app.ui.window import BenchWindow
    from tests.ui.shots import LOOKS, invented_breath, report

    app = QApplication.instance() or QApplication([])
    out.mkdir(parents=True, exist_ok=True)
    window = BenchWindow(lambda event: None, Settings())
    window.show()
    window.show_breath(invented_breath())
    for width_px, height_px in SIZES:
        window.resize(width_px, height_px)
        for theme, look in LOOKS.items():
            window.apply_settings(Settings(**look))
            for name, each in glue_views().items():
                window.show_view(each)
                app.processEvents()
                window.grab().save(str(out / f"{name}-{theme}-{width_px}.png"))
                if each.table:
                    report(f"{name}-{width_px}", window.bench.page.table.cap_height_px(), width_px)


if __name__ == "__main__":
    main(Path(sys.argv[1]))
