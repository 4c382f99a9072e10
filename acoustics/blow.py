"""From sound to one reading a blow: `read` for a whole blow, `BlowFinder` for a stream.

`acoustics.heard` holds the types, `reading` the one pure `read`, `finder` the stream; this module gives out their
names. Numpy only: this is the live path.
"""
from acoustics.finder import BlowFinder
from acoustics.heard import (
    Blow,
    BlowBegan,
    BlowEnded,
    Context,
    Finding,
    Found,
    Glimpse,
    Samples,
    TwoToots,
    Verdict,
)
from acoustics.reading import read

__all__ = [
    "Blow",
    "BlowBegan",
    "BlowEnded",
    "BlowFinder",
    "Context",
    "Finding",
    "Found",
    "Glimpse",
    "Samples",
    "TwoToots",
    "Verdict",
    "read",
]
