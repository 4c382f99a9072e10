"""Views of the whole chord, one of each kind, from real walks; ``python -m tests.ui.chord_views OUTDIR`` draws them."""
from __future__ import annotations

import os
import sys
from dataclasses import replace
from pathlib import Path

from app.events import AirTold, Condition, ConditionTold, Key, LevelHeard, Noticed, Pressed, Route, RouteChosen
from app.showing import view
from app.source import Hearing, Notice
from app.view import View
from tests.number_maker import WHISTLE, Bench, NumberMaker

SEED = 5
TARGETS_HZ = {chamber.letter: chamber.target_hz for chamber in WHISTLE.chambers}
SIZES = ((1280, 800), (3840, 2160))


def tuned(route: Route, units: str) -> Bench:
    bench = Bench.open()
    bench.state = replace(bench.state, sitting=replace(bench.state.sitting, units=units))
    for event in (RouteChosen(route), AirTold(19.5), Noticed(Notice(Hearing.HEARING)), LevelHeard("right")):
        bench.post(event)
    bench.walk(NumberMaker(SEED))
    bench.post(ConditionTold(Condition.CAP_ON, True))
    return bench


def off(**cents: float | None) -> dict[str, float | None]:
    """All chambers 12 cents over their plan and in tune with one another, but these."""
    return {
        letter: None if cents.get(letter, 0.0) is None else hz * 2 ** ((12.0 + cents.get(letter, 0.0)) / 1200)
        for letter, hz in TARGETS_HZ.items()
    }


def chord_views(units: str = "mm") -> dict[str, View]:
    """By kind: "chord-ask", "chord-again", "chord-slide", "chord-trim", "chord-missing", "chord-good", ..."""
    slid, trimmed = tuned(Route.SLIDE, units), tuned(Route.TRIM, units)
    views = {"chord-ask": view(slid.state)}
    slid.chord(off(C=4.0))
    views["chord-again"] = view(slid.state)
    for name, bench, chords in (
        ("chord-slide", slid, [off(C=10.5)]), ("chord-trim", trimmed, 2 * [off(C=10.5)]),
    ):
        for chord in chords:
            bench.chord(chord)
        while bench.state.place.chord.n_wanted:
            bench.chord(chords[-1])
        views[name] = view(bench.state)
    for bench, name, chord in ((slid, "chord-good", off(D=2.5)), (trimmed, "chord-leave", off(B=-7.0))):
        bench.toot()
        while bench.state.place.chord.n_wanted:
            bench.chord(chord)
        bench.toot()
        views[name] = view(bench.state)
    for _ in range(2):
        slid.post(Pressed(Key.FORGET))
    for name, chord in (("chord-missing", off(B=None)),):
        while bench_wants(slid):
            slid.chord(chord)
        views[name] = view(slid.state)
    return views


def bench_wants(bench: Bench) -> bool:
    """A chord is still wanted."""
    return bool(bench.state.place.chord.n_wanted)


def main(out: Path) -> None:
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from app.settings import Settings
    from app.ui.window import BenchWindow
    from tests.ui.shots import LOOKS

    app = QApplication.instance() or QApplication([])
    out.mkdir(parents=True, exist_ok=True)
    window = BenchWindow(lambda event: None, Settings(theme="light"))
    window.show()
    for theme, look in LOOKS.items():
        window.apply_settings(Settings(**look))
        for width_px, height_px in SIZES:
            window.resize(width_px, height_px)
            for name, each in chord_views().items():
                window.show_view(each)
                app.processEvents()
                window.grab().save(str(out / f"{name}-{theme}-{width_px}.png"))
        window.press_named("d")
        app.processEvents()
        window.grab().save(str(out / f"chord-figures-{theme}.png"))
        window.press_named("d")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
