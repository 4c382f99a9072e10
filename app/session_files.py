"""A whistle's session as a file: PDF, CSV or JSON, the same for window and command."""
from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from app.errors import WorldError
from app.story_readings import Story
from app.story_words import as_csv, as_json
from app.whistle import Whistle

if TYPE_CHECKING:
    from app.paper.job import Job

KINDS: Final = ("pdf", "csv", "json")
MOST_STEM = 60


def session_file(kind: str, story: Story, whistle: Whistle, job: Job | None = None) -> bytes:
    """The bytes of the file; a PDF needs the job that its page is drawn for, and Qt to draw it."""
    if kind == "csv":
        return as_csv(story)
    if kind == "json":
        return as_json(story, whistle)
    if job is None:
        raise ValueError("a PDF needs a job")
    try:
        from app.paper import painter
        from app.paper.session import session
    except ImportError as error:
        raise WorldError(
            f"A PDF is drawn by Qt, which cannot be loaded here ({error}): CSV and JSON need none."
        ) from error
    painter.ready_without_window()
    return painter.pdf_of(session(job, story))


def name_stem(whistle: Whistle) -> str:
    """The whistle's name as every file system takes it."""
    return re.sub(r"[\W_]+", "-", whistle.name.casefold()).strip("-")[:MOST_STEM].strip("-") or "whistle"


def file_stem(whistle: Whistle) -> str:
    """How its session is called."""
    return f"{name_stem(whistle)}-session"
