"""Standard output, kept for the answer alone: whatever a library prints meanwhile goes to standard error."""
from __future__ import annotations

import json
import os
import sys
from contextlib import redirect_stdout
from types import TracebackType
from typing import Any, Self

from app.errors import WorldError
from app.whole_file import reason_of


class Answer:
    """Collects a command's answer and writes it at the end, whole, and only when nothing went wrong."""

    def __init__(self) -> None:
        self._parts: list[bytes] = []
        self._stdout_fd = -1

    def __enter__(self) -> Self:
        if sys.stdout is not None:
            sys.stdout.flush()
        try:
            self._stdout_fd = os.dup(1)
            os.dup2(2, 1)  # for what C libraries print
        except OSError as error:
            raise WorldError("Standard output or standard error is closed: there is nowhere to answer.") from error
        self._prints = redirect_stdout(sys.stderr)
        self._prints.__enter__()
        return self

    def json(self, document: dict[str, Any]) -> None:
        """One JSON document; not-a-number has no place in it and is a fault of ours."""
        self.data((json.dumps(document, allow_nan=False, ensure_ascii=False, indent=1) + "\n").encode("utf-8"))

    def line(self, text: str = "") -> None:
        self.data((text + "\n").encode("utf-8", "replace"))

    def data(self, data: bytes) -> None:
        self._parts.append(data)

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, _: TracebackType | None) -> None:
        self._prints.__exit__(kind, error, None)
        os.dup2(self._stdout_fd, 1)
        try:
            if error is None:
                self._write(b"".join(self._parts))
        finally:
            os.close(self._stdout_fd)

    def _write(self, data: bytes) -> None:
        try:
            while data:
                data = data[os.write(self._stdout_fd, data):]
        except BrokenPipeError:
            raise
        except OSError as failure:
            reason = reason_of(failure)
            raise WorldError(f"The answer could not be written: {reason}.") from failure
