"""The program itself, unchanged, in a process that also tells what it does and when: one JSON document a line.

``python -m tests.bench.window.watched {stay|leave} ARGUMENT...``: the arguments are the command line's own; with
`leave` the program ends once its first sentence is painted. Times are of the monotonic clock, one for all processes.

`painted` is told when the window system has been handed the pixels that show the view, not when the view is made.
"""
from __future__ import annotations

import dataclasses
import json
import os
import sys
import time
from typing import Any

_told_to = os.dup(1)
_painted_once = False
_waiting_for_paint = False
_block_s = 0.0  # when the listener was handed its latest block
_blocks = _frames = _lost_frames = 0


def tell(what: str, **facts: Any) -> None:
    line = json.dumps({"what": what, "t_s": time.monotonic(), **facts}, default=str) + "\n"
    os.write(_told_to, line.encode())


def watch_sound() -> None:
    """What comes from the microphone, and what is asked of the maker."""
    from app.listener import Listener
    from app.microphone import Microphone
    from app.session import Session
    from app.source import Block

    read, say_blow, take = Microphone.read, Listener._say_blow, Session.take_listener_event

    def watched_read(self: Microphone, timeout_s: float) -> Any:
        global _block_s, _blocks, _frames, _lost_frames
        item = read(self, timeout_s)
        if isinstance(item, Block):
            _block_s = time.monotonic()
            _blocks, _frames, _lost_frames = _blocks + 1, _frames + len(item.samples), _lost_frames + item.lost_frames
            if _blocks % 100 == 1:
                tell("sound", blocks=_blocks, frames=_frames, lost_frames=_lost_frames)
        return item

    def watched_say_blow(self: Listener, ended: Any) -> None:
        tell("read", block_s=_block_s, verdict=ended.blow.verdict, usable=ended.blow.usable)
        say_blow(self, ended)

    def watched_take(self: Session, event: Any) -> None:
        take(self, event)
        if type(event).__name__ in ("BlowHeard", "TootsHeard"):
            tell("taken", blow=type(event).__name__ == "BlowHeard", records=len(self.state.records))

    Microphone.read, Listener._say_blow = watched_read, watched_say_blow  # type: ignore[method-assign]
    Session.take_listener_event = watched_take  # type: ignore[method-assign]
    Microphone.ask = lambda self, request: tell("asked", **dataclasses.asdict(request))  # type: ignore[attr-defined]


def watch_window(leaves: bool) -> None:
    """Views and when they are painted."""
    from PySide6.QtCore import QEvent
    from PySide6.QtWidgets import QApplication

    from app.ui.window import BenchWindow

    show_view, handle = BenchWindow.show_view, BenchWindow.event

    def watched_view(self: BenchWindow, view: Any) -> None:
        global _waiting_for_paint
        changed = view != self.view
        show_view(self, view)
        if changed:
            _waiting_for_paint = True
            tell("view", sentence=view.sentence, hearing=view.hearing, hearing_ok=view.hearing_ok, trouble=view.trouble)

    def watched_event(self: BenchWindow, event: QEvent) -> bool:
        global _waiting_for_paint, _painted_once
        done = handle(self, event)
        if event.type() is QEvent.Type.UpdateRequest:  # has painted what was out of date, and handed it on
            if not _painted_once:
                _painted_once = True
                tell("window", cpu_s=time.process_time())
            if _waiting_for_paint:
                _waiting_for_paint = False
                tell("painted", cpu_s=time.process_time())
                if leaves:
                    QApplication.quit()
        return bool(done)

    BenchWindow.show_view, BenchWindow.event = watched_view, watched_event  # type: ignore[method-assign]


def main() -> int:
    leaves, arguments = sys.argv[1] == "leave", sys.argv[2:]
    from app.__main__ import main as program
    from app.display import DisplayProbe

    trouble = DisplayProbe.trouble

    def watched_trouble(self: DisplayProbe) -> str:
        # Asked just before the window's modules are imported: earlier would change the order that is measured.
        answer = trouble(self)
        if not answer:
            watch_sound()
            watch_window(leaves)
        return answer

    DisplayProbe.trouble = watched_trouble  # type: ignore[method-assign]
    return program(arguments)


if __name__ == "__main__":
    sys.exit(main())
