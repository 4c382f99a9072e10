"""The words of the journal's whistles: what each waits for, whose glue is due, what a damaged journal still holds."""
from __future__ import annotations

from collections.abc import Sequence

from app.club import Standing
from app.club_words import on_note_text, waits_text
from app.whistle import Whistle

HERE = "on the bench"
KEPT_ASIDE = "The damaged file keeps every byte under another name."


def title(whistle: Whistle) -> str:
    """The name, and the number when it has one: Harbour (3 of 12)."""
    if whistle.number is None:
        return whistle.name
    return f"{whistle.name} ({whistle.number}{f' of {whistle.of}' if whistle.of else ''})"


def whistle_row(standing: Standing, *, here: bool) -> str:
    """One whistle as one line of the list."""
    parts = (title(standing.whistle), standing.stage.value, on_note_text(standing),
             HERE if here else f"waits for {waits_text(standing)}")
    return " · ".join(parts)


def unlisted_line(unread: Sequence[str]) -> str:
    """Above the list, which documents are not in it; empty where all are."""
    if not unread:
        return ""
    more = f" and {len(unread) - 1} more" if len(unread) > 1 else ""
    is_are = "are" if more else "is"
    return f"The journal's whistle {unread[0]}{more} could not be read and {is_are} not among these."


def due_line(titles: Sequence[str]) -> str:
    """That glue on other whistles had its time, the longest due first; empty where none did."""
    if not titles:
        return ""
    first, *others = titles
    more = f", and {len(others)} more" if others else ""
    return f"The glue of {first}{more} has had its time: ctrl+O lays it on the bench."


def damage_lines(fault: str, n_records: int) -> tuple[str, str]:
    """What is wrong with the journal, and what setting it aside would leave."""
    left = f"{n_records} record{'' if n_records == 1 else 's'} can be read, and would stand in a new journal."
    return f"{fault[:1].upper()}{fault[1:]}.", f"{left if n_records else 'Nothing can be read.'} {KEPT_ASIDE}"


def set_aside_key(n_records: int) -> str:
    return "&Set it aside and go on" if n_records else "&Set it aside and begin anew"


def set_aside_line(name: str, n_records: int) -> str:
    """After it was done; `name` is that of the file that was set aside, `n_records` are in the new one."""
    holds = "this one holds what could be read" if n_records else "nothing could be read, and this one is empty"
    return f"The damaged journal was set aside as {name}; {holds}."
