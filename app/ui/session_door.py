"""The session page of the whistle on the bench: from its journal to the page, its files and its sounds."""
from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from app.errors import WorldError
from app.home import journal_path
from app.logged_sound import logged_sound
from app.paper.job import Job, job_of
from app.paper.model import PAGE_SIZES
from app.records import Record
from app.session_files import file_stem, session_file
from app.settings import Settings
from app.story import story_of
from app.story_readings import Story
from app.ui.desk import Desk
from app.ui.session_page import SessionPage
from app.whistle import Whistle


def session_page(desk: Desk, whistle: Whistle, standing: Sequence[Record]) -> SessionPage:
    """As the journal stands now; what is blown while it is open is shown when it is opened again."""
    page = page_of(whistle, standing, desk.settings, desk.window)
    folder = journal_path(desk.context.home, practice=True) if desk.maker is not None else desk.context.journal_path
    desk.sound_unheard.connect(page.say_trouble)
    page.sound_asked.connect(lambda name: _let_hear(desk, page, folder.parent, name))
    return page


def page_of(whistle: Whistle, standing: Sequence[Record], settings: Settings, parent: object = None) -> SessionPage:
    """The page by itself, its sounds unheard."""
    story = story_of(whistle, standing)

    def written(what: str) -> bytes:
        if what not in PAGE_SIZES:
            return session_file(what, story, whistle)
        return session_file("pdf", story, whistle, job_of(
            whistle, standing, units=settings.units, size=PAGE_SIZES[what]))

    page = SessionPage(story, written, file_stem(whistle), settings, parent)  # type: ignore[arg-type]
    size = PAGE_SIZES[settings.page_size]
    page.print_asked.connect(
        lambda: _print(page, story, job_of(whistle, standing, units=settings.units, size=size)))
    return page


def _print(page: SessionPage, story: Story, job: Job) -> None:
    from app.paper.session import session
    from app.ui.paper_out import ask_to_print

    ask_to_print(page, session(job, story), page.say_trouble)


def _let_hear(desk: Desk, page: SessionPage, folder: Path, name: str) -> None:
    try:
        desk.let_hear(logged_sound(folder, name))
    except WorldError as trouble:
        page.say_trouble(str(trouble))
