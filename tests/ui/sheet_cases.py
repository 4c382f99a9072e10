"""The whistle the sheets are tried on."""
from __future__ import annotations

from dataclasses import replace

from app.whistle import Whistle, whistle_of


def harbour() -> Whistle:
    """The harbour whistle of Tidewick, a major sixth on F5."""
    whistle = whistle_of(
        "Tidewick harbour whistle", (698.456, 880.0, 1046.502, 1174.659), ("F5", "A5", "C6", "D6"), bore_mm=12.7,
        bore_length_mm=140.0, window_width_mm=9.5, window_height_mm=6.4,
    )  # fmt: skip
    return replace(whistle, number=4, of=12, wood="cherry", caps="ash", mouthpiece="maple")
