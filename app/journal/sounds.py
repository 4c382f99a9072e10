"""The sounds beside a journal: where one lies, and bringing over those of another laptop's journal."""
from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath, PureWindowsPath

from app.errors import WorldError
from app.records import BlowTaken, ChordTaken, Record
from app.whole_file import reason_of, write_whole


@dataclass(frozen=True)
class SoundsBrought:
    """How many sounds were copied, and how many that are named lie on neither side."""

    n_sounds_copied: int = 0
    n_sounds_missing: int = 0


def named_sounds(records: Iterable[Record]) -> tuple[str, ...]:
    """What the records call their sounds, each once."""
    named = (record.sound_file for record in records if isinstance(record, BlowTaken | ChordTaken))
    return tuple(dict.fromkeys(name for name in named if name))


def sound_path(folder: Path, name: str) -> Path | None:
    """Where this sound lies or would lie; None for a name that leads out of the journal's folder."""
    for parts in (PurePosixPath(name), PureWindowsPath(name)):
        if parts.is_absolute() or parts.drive or ".." in parts.parts or not parts.parts:
            return None
    return folder / name


def missing_sounds(folder: Path, records: Iterable[Record]) -> tuple[str, ...]:
    return tuple(name for name in named_sounds(records) if not _is_there(folder, name))


def bring_sounds(records: Iterable[Record], theirs: Path | None, ours: Path) -> SoundsBrought:
    """Copy what is named and not here yet; a sound that is here is never written over. `theirs` None: none to copy."""
    n_sounds_copied = n_sounds_missing = 0
    for name in missing_sounds(ours, records):
        source, target = (None if folder is None else sound_path(folder, name) for folder in (theirs, ours))
        if source is None or target is None or not source.is_file():
            n_sounds_missing += 1
            continue
        try:
            data = source.read_bytes()
        except OSError as error:
            raise WorldError(
                f"The records are in the journal, but {source} could not be read: {reason_of(error)}; import once more"
                " to bring the sounds."
            ) from error
        write_whole(target, data, replace=False, what="a sound")
        n_sounds_copied += 1
    return SoundsBrought(n_sounds_copied, n_sounds_missing)


def _is_there(folder: Path, name: str) -> bool:
    path = sound_path(folder, name)
    return path is not None and path.is_file()
