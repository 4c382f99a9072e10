"""`devices`: the microphones found, and which one would be used."""
from __future__ import annotations

import argparse
from dataclasses import asdict
from typing import Any

from app.commands.answering import Answer
from app.commands.arguments import add_home, add_json, open_home
from app.microphone import list_devices

NONE_FOUND = "No microphone was found: plug one in, or try “whistlewright demo”, which needs none."


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "devices", help="microphones found, and which one would be used",
        description="Lists the microphones, says which one would be used, and what to install when none can be.",
    )
    add_json(parser)
    add_home(parser)
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    with Answer() as answer:
        wanted = open_home(arguments).settings.device_name
        found = list_devices()
        used = next((one for one in found if one.name == wanted), None)
        used = used or next((one for one in found if one.is_default), found[0] if found else None)
        if arguments.json:
            answer.json({
                "devices": [asdict(one) for one in found],
                "used": used.name if used else None,
                "advice": None if found else NONE_FOUND,
            })
        elif not found:
            answer.line(NONE_FOUND)
        else:
            for one in found:
                mark = "→" if one is used else " "
                answer.line(f"{mark} {one.name} ({one.host_api}, {one.channels} ch, {one.default_sample_rate_hz} Hz)")
    return 0
