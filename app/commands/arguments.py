"""What the commands share on the way in: the parser, the home, and how a number, a stop and a whistle are written."""
from __future__ import annotations

import argparse
import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any, NoReturn

import app
from acoustics.tuning import Stop
from app.errors import WorldError
from app.home import home_folder, journal_path, start_log
from app.lengths import parse_length_mm
from app.settings import FILE_NAME, Settings, load_settings

STOP_HELP = "finger, flat (a faced scrap), cap, slug:48 (its depth), plug:57.3 (its length) or plug (the one in it)"


class Parser(argparse.ArgumentParser):
    """An argument parser that says what is wrong in one sentence."""

    def __init__(self, **options: Any) -> None:
        super().__init__(allow_abbrev=False, **options)

    def error(self, message: str) -> NoReturn:
        what = f"{message[:1].upper()}{message[1:].rstrip('.')}"
        raise WorldError(f"{what}; “{self.prog} --help” lists what is understood.")


@dataclass(frozen=True)
class StopAt:
    """What closed the bore; without a depth, what the journal says is in it."""

    stop: Stop
    depth_mm: float | None


def whole_parser(commands: Iterable[ModuleType], without_command: Callable[[argparse.Namespace], int]) -> Parser:
    whole = Parser(
        prog="whistlewright",
        description="Listens while a chambered wooden whistle is blown and says what to do to each plug."
        " Without a command it opens the window.",
    )
    version = f"Whistlewright {app.__version__}"
    whole.add_argument("--version", action="version", version=version, help="print the version")
    add_home(whole, default=None)
    whole.set_defaults(run=without_command)
    choices = whole.add_subparsers(title="commands", metavar="COMMAND")
    for command in commands:
        command.add(choices)
    return whole


def add_home(parser: argparse.ArgumentParser, default: Any = argparse.SUPPRESS) -> None:
    """`--home` is understood before and after the command; absent after it, what stood before holds."""
    parser.add_argument("--home", metavar="DIR", default=default, help="folder for everything the program writes")


def add_json(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")


def add_whistle(parser: argparse.ArgumentParser, *, required: bool) -> None:
    parser.add_argument(
        "--whistle", metavar="W", required=required,
        help="a whistle document (a file), or the name, number or id of a whistle in the journal",
    )


@dataclass(frozen=True)
class Home:
    """The home of one run, opened."""

    folder: Path
    settings: Settings
    trouble: str  # one sentence about settings that could not be used; empty when all was well

    @property
    def journal_path(self) -> Path:
        return journal_path(self.folder)


def open_home(arguments: argparse.Namespace) -> Home:
    folder = home_folder(arguments.home)
    start_log(folder)
    return Home(folder, *load_settings(folder / FILE_NAME))


# ---- how values are written ----------------------------------------------------------------------------------------
def length_mm(text: str) -> float:
    """A length above zero, as people write it; a bare number is millimetres."""
    value = parse_length_mm(text)
    if value == 0.0:
        raise WorldError(f"“{text}” is no length: it must be above zero.")
    return value


def offset_mm(text: str) -> float:
    """A length that may be nothing at all."""
    return parse_length_mm(text)


def number_between(what: str, low: float, high: float, hint: str) -> Callable[[str], float]:
    """A reader of plain numbers within limits; `what` is how a sentence calls the number."""

    def read(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            value = math.nan
        if not low <= value <= high:
            end = "" if hint.endswith("?") else "."
            raise WorldError(f"{what} is “{text[:24]}”; it must be a number from {low:g} to {high:g}: {hint}{end}")
        return value

    return read


frequency_hz = number_between("The frequency in Hz", 50.0, 8000.0, "is it in cents, or the name of a note?")
error_cents = number_between("The standard error in cents", 0.0, 100.0, "is it in Hz?")
lowered_cents = number_between(
    "How far the whole chord is taken down, in cents,", 0.0, 600.0, "0 puts it back on its notes"
)
temperature_c = number_between("The temperature in °C", 0.0, 40.0, "was it typed in degrees Fahrenheit?")


def stop_at(text: str) -> StopAt:
    """`finger`, `flat`, `cap`, `slug:DEPTH`, `plug:LENGTH`; a bare `slug` or `plug` means the one in the journal."""
    name, colon, depth = text.partition(":")
    try:
        stop = Stop(name.strip().lower())
    except ValueError:
        raise WorldError(f"“{text[:24]}” does not say what closed the bore: {STOP_HELP}.") from None
    moved = stop in (Stop.SLUG, Stop.PLUG)
    if colon and not moved:
        raise WorldError(f"“{text[:24]}” gives a {stop} a depth; only slug and plug have one.")
    if colon:
        return StopAt(stop, length_mm(depth))
    return StopAt(stop, None if moved else 0.0)


def add_circumstances(parser: argparse.ArgumentParser) -> None:
    """Options for what a reading was taken under."""
    parser.add_argument("--temperature", type=temperature_c, metavar="C", help="of the room, in °C")
    parser.add_argument("--blower", metavar="NAME", help="who blew (the name in the settings)")
    parser.add_argument("--neighbours-open", action="store_true", help="the other bores were not stopped and taped")
    parser.add_argument("--mouthpiece-off", action="store_true", help="blown with the lips on the windway")
    parser.add_argument("--covered", action="store_true",
                        help="with --stop plug: a finger was pressed over the plug from outside, to tell a leak")
