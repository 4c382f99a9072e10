"""`demo`: the same program on an invented whistle and maker; no microphone is needed, and no display."""
from __future__ import annotations

import argparse
import sys
from typing import Any

from app.commands import window
from app.commands.arguments import add_home, number_between, open_home
from app.context import Context
from app.display import DisplayProbe
from app.errors import WorldError
from app.home import HomeLock, journal_path

seed = number_between("The seed", 0, 999_999, "any whole number will do")


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "demo", help="the same program on an invented whistle, no microphone needed",
        description="The whole walk on an invented whistle and an invented maker. Without a display, or with --text,"
        " it runs on the terminal. It has a journal of its own, so that practice never mixes with real whistles.",
    )
    parser.add_argument("--text", action="store_true", help="on the terminal, even when there is a display")
    parser.add_argument("--seed", type=seed, metavar="N", help="invent the same whistle again; without it, another one")
    parser.add_argument("--fast", action="store_true", help="with --text: do not wait for blows to pass in real time")
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """In the window, or on the terminal when that was asked for or there is no display."""
    if arguments.fast and not arguments.text:
        raise WorldError("--fast goes with --text: a window shows the blows as they pass.")
    probe = None if arguments.text else DisplayProbe()
    home = open_home(arguments)
    context = Context(
        home.folder, home.settings, journal_path(home.folder, practice=True), practice=True,
        seed=None if arguments.seed is None else int(arguments.seed), fast=arguments.fast, trouble=home.trouble,
    )
    if probe is not None:
        trouble = window.show(context, probe)
        if not trouble:
            return 0
        print(f"{trouble}: the demo runs on the terminal.", file=sys.stderr)
    from app.headless import run_text

    context.journal_path.parent.mkdir(parents=True, exist_ok=True)
    with HomeLock(context.journal_path.parent):
        run_text(context)
    return 0
