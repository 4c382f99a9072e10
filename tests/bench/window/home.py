"""A fresh home with one invented whistle in its journal, as a maker who has been through the first start has it."""
from __future__ import annotations

import uuid
from datetime import UTC, datetime
from pathlib import Path

from app.home import journal_path
from app.invented_maker import Maker
from app.journal import Journal
from app.practice import invent_practice
from app.records import WhistleFiled
from app.settings import FILE_NAME, Settings, save_settings
from app.whistle import dump_whistle, revision


def laid_out_home(home: Path, seed: int) -> Maker:
    """The maker whose whistle lies there."""
    maker, whistle = invent_practice(seed)
    filed = WhistleFiled(
        str(uuid.uuid4()), datetime.now(UTC).isoformat(), whistle.id, revision(whistle), dump_whistle(whistle).decode()
    )
    with Journal(journal_path(home)) as journal:
        journal.append(filed)
    settings = Settings(first_start_done=True, last_whistle=whistle.id, temperature_c=maker.whistle.room_c)
    save_settings(home / FILE_NAME, settings)
    return maker
