"""Two kinds of error: the world's fault is told in one plain sentence; ours is logged with a traceback."""


class WorldError(Exception):
    """Bad input, a full disk, a missing library: the message is one sentence fit for the maker (exit code 2)."""


class OurError(Exception):
    """A fault of the program itself (exit code 1)."""
