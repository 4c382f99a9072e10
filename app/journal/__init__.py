"""The journal: the only record of what happened, append-only. The one place that knows the database library."""
from app.journal.store import Journal

__all__ = ["Journal"]
