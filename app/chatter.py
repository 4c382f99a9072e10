"""C libraries of sound write warnings straight to file descriptor 2; the maker is told in words instead."""
from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager

# Two threads that each saved and restored the descriptor could leave it pointing nowhere.
_one_at_a_time = threading.RLock()


@contextmanager
def hushed() -> Iterator[None]:
    """Send descriptor 2 nowhere for the length of a short call into such a library."""
    with _one_at_a_time:
        try:
            kept = os.dup(2)
        except OSError:  # no standard error at all: nothing to hush
            yield
            return
        try:
            nowhere = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nowhere, 2)
            os.close(nowhere)
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)
