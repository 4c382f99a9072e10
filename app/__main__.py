"""The command line: reads the arguments, runs one command, turns what went wrong into a sentence and an exit code."""
from __future__ import annotations

import logging
import os
import sys
from collections.abc import Sequence

from acoustics.errors import NoSolutionError, OutOfRangeError
from app.commands import advise, club, demo, devices, hear, hear_chord, journal, paper, plan, window
from app.commands.arguments import Parser, whole_parser
from app.errors import WorldError
from app.home import log_path

EXIT_FINE, EXIT_OURS, EXIT_WORLD, EXIT_INTERRUPTED = 0, 1, 2, 130
COMMANDS = (demo, hear, hear_chord, advise, plan, paper, club, journal, devices)


def parser() -> Parser:
    """Every command and option, each with its help."""
    return whole_parser(COMMANDS, window.run)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; the exit code is 0, 2 for the world's fault, 1 for ours, 130 when interrupted."""
    try:
        arguments = parser().parse_args(argv)
        return arguments.run(arguments) or EXIT_FINE
    except (WorldError, OutOfRangeError, NoSolutionError) as error:
        _say(str(error))
        return EXIT_WORLD
    except KeyboardInterrupt:
        return EXIT_INTERRUPTED
    except BrokenPipeError:
        _forget_stdout()  # whoever read the answer has seen enough
        return EXIT_FINE
    except SystemExit as leaving:  # --help and --version
        return int(leaving.code or EXIT_FINE)
    except Exception as error:
        logging.getLogger(__name__).critical("unexpected", exc_info=True)
        details = f"; the details are in {log_path()}" if log_path() else ""
        _say(f"A fault of the program itself, not yours: {type(error).__name__} {error}{details}.")
        return EXIT_OURS


def _say(sentence: str) -> None:
    print(" ".join(sentence.split()), file=sys.stderr)


def _forget_stdout() -> None:
    """Keep the interpreter from complaining once more when it closes a pipe that nobody reads."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)


if __name__ == "__main__":
    sys.exit(main())
