"""Every sheet by its name."""
from __future__ import annotations

from collections.abc import Callable
from typing import Final

from app.paper.card import card
from app.paper.cuts import cuts
from app.paper.depths import depths
from app.paper.job import Job
from app.paper.model import Sheet
from app.paper.record import record
from app.paper.steps import steps
from app.paper.template import template

SHEETS: Final[dict[str, Callable[[Job], Sheet]]] = {
    "template": template, "cuts": cuts, "steps": steps, "record": record, "card": card, "depths": depths,
}
