"""Whistlewright: the machinery around `acoustics` (microphone, journal, walk, window, command line)."""

__version__ = "0.1.0"
