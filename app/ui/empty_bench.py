"""What the bench shows while no whistle lies on it."""
from __future__ import annotations

from app.view import Breath, RoomLines, Stage, View


def empty_view(trouble: str = "") -> View:
    """Nothing but the way to begin."""
    return View(
        title="No whistle on the bench", subtitle="", hearing="", hearing_ok=True, conditions="", stage=Stage.LAY_OUT,
        stages_done=(), ends=(), rows=(), section=None, closer=None,
        sentence=("Describe your whistle", "or practise on an invented one"),
        held_back="Ctrl+N describes a new whistle, Ctrl+O opens an earlier one or a document.",
        why="Practice needs no microphone: whistle and maker are invented, and nothing of it enters your journal.",
        blows=Breath("", (), "", ""), caution=None, asides=(), level="",
        keys="ctrl+N: describe a whistle · ctrl+O: open one · P: practise · ?: all keys",
        figures=(), trouble=trouble, may_type=False, room=RoomLines("", ("No whistle is", "on the bench")),
    )
