"""Views of the Voice stage: the harbour whistle of Tidewick, its chambers given traits by hand, heard by the walk."""
from __future__ import annotations

from dataclasses import replace

from acoustics.blow import Finding, Verdict
from app.events import AirTold, Heard, Key, LevelHeard, Noticed, Pressed, StageChosen
from app.showing import view
from app.source import Hearing, Notice
from app.view import Stage, View
from tests.number_maker import WHISTLE, Bench, steady

# Notes near those of the full bores, so that no chamber wants the slug.
NEAR = replace(WHISTLE, chambers=tuple(
    replace(c, target_hz=hz, note="") for c, hz in zip(WHISTLE.chambers, (560.0, 600.0, 640.0, 680.0), strict=True)
))
CHIRPS = {"findings": (Finding.CHIRPS_FIRST, Finding.SLOW_TO_SPEAK), "attack_ms": 190.0}
HISSY = {"findings": (Finding.HISSY,), "breath_db": -9.0}
JUMPS = {"verdict": Verdict.OVERBLOWN, "usable": False, "frequency_hz": None, "heard_hz": 1700.0, "level_dbfs": -15.0}


def begun() -> Bench:
    bench = Bench.open(whistle=NEAR)
    for event in (AirTold(19.5), Noticed(Notice(Hearing.HEARING)), LevelHeard("right"), StageChosen(Stage.VOICE)):
        bench.post(event)
    return bench


def blow(bench: Bench, n: int, **traits: object) -> None:
    for _ in range(n):
        bench.at_s += 20.0
        bench.post(Heard(replace(steady(560.0, bench.at_s), **traits), bench.state.request.id, bench.at_s))


def voiced() -> dict[str, View]:
    """By name: before the first blow, what may be amiss, and one short line at a later stage."""
    bench = begun()
    views = {"voice-begin": view(bench.state)}
    blow(bench, 3)
    blow(bench, 4, **HISSY)
    views["voice-hissy"] = view(bench.state)
    bench.post(Pressed(Key.VOICE))
    blow(bench, 3)
    blow(bench, 4, **CHIRPS)
    views["voice-chirps"] = view(bench.state)
    bench.post(Pressed(Key.NEXT))
    blow(bench, 1)
    blow(bench, 4, **JUMPS)
    views["voice-jumps"] = view(bench.state)
    bench.post(StageChosen(Stage.FIRST_BLOW))
    blow(bench, 2, **JUMPS)
    views["first-blow-speaks-badly"] = view(bench.state)
    return views
