"""The maker's settings: one small JSON file, written whole or not at all.

A key this version does not know is kept; a value it cannot use falls back to the default and is told in one sentence.
"""
from __future__ import annotations

import json
import os
from dataclasses import asdict, dataclass, fields
from pathlib import Path
from typing import Any, Literal, get_type_hints

from app.whole_file import reason_of, write_whole

FILE_NAME = "settings.json"
LIMITS: dict[str, tuple[float, float]] = {
    "text_scale": (0.5, 3.0),
    "temperature_c": (0.0, 40.0),
    "tolerance_cents": (1.0, 50.0),
}


@dataclass(frozen=True)
class Settings:
    """What the maker chose once; `None` means never told."""

    device_name: str | None = None
    units: Literal["mm", "inch", "both"] = "both"
    theme: Literal["light", "dark", "system"] = "system"
    contrast: Literal["usual", "high", "system"] = "system"
    motion: Literal["usual", "reduced", "system"] = "system"
    text_scale: float = 1.0
    temperature_c: float | None = None  # of the room
    keep_sound: bool = True
    tones: bool = True
    speech: bool = False
    pedal_key: str = ""  # what a foot pedal sends, as Qt writes keys: "PgDown", "Ctrl+B"; it says "I have done it"
    blower: str = ""
    tolerance_cents: float = 5.0
    boldness: Literal["careful", "even", "bold"] = "even"  # app.closeness.Boldness
    page_size: Literal["A4", "Letter"] = "A4"  # of all papers; app.paper.model.PAGE_SIZES
    memory: bool = True  # begin a whistle with what earlier ones taught
    first_start_done: bool = False
    last_whistle: str | None = None


def load_settings(path: Path) -> tuple[Settings, str]:
    """The settings, and one sentence about what could not be used (empty when all was well)."""
    try:
        raw = _read_object(path)
    except FileNotFoundError:
        return Settings(), ""
    except (OSError, ValueError) as error:
        return Settings(), f"The settings file {path} could not be read ({reason_of(error)}), so the defaults are used."
    known: dict[str, Any] = {}
    refused: list[str] = []
    hints = get_type_hints(Settings)
    for field in fields(Settings):
        if field.name in raw:
            try:
                known[field.name] = _usable(field.name, raw[field.name], hints[field.name])
            except ValueError:
                refused.append(f"{field.name} {json.dumps(raw[field.name])[:40]}")
    if not refused:
        return Settings(**known), ""
    trouble = f"The settings file {path} has {', '.join(refused)}, which cannot be used: the default is used instead."
    return Settings(**known), trouble


def save_settings(path: Path, settings: Settings) -> None:
    """Write all settings at once, keeping keys of other versions; a file that was no JSON is set aside first."""
    whole = json.dumps(_others(path) | asdict(settings), indent=2, ensure_ascii=False, allow_nan=False) + "\n"
    write_whole(path, whole.encode("utf-8"), replace=True, what="the settings")


def _others(path: Path) -> dict[str, Any]:
    """Keys in the file that this version does not know."""
    known = {field.name for field in fields(Settings)}
    try:
        return {key: value for key, value in _read_object(path).items() if key not in known}
    except OSError:
        return {}  # nothing to keep; if the folder is at fault the writing will say so
    except ValueError:
        os.replace(path, path.with_name(path.name + ".unreadable"))
        return {}


def _read_object(path: Path) -> dict[str, Any]:
    try:
        raw = json.loads(path.read_text(encoding="utf-8"), parse_constant=_refuse_constant)
    except RecursionError:
        raise ValueError("it is nested too deeply") from None
    if isinstance(raw, dict):
        return raw
    raise ValueError("it is not a JSON object")


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is not JSON")


def _usable(name: str, value: Any, hint: Any) -> Any:
    """The value in its proper type and range, or ValueError."""
    import msgspec

    usable = msgspec.convert(value, type=hint)  # its ValidationError is a ValueError
    if name in LIMITS and usable is not None:
        low, high = LIMITS[name]
        if not low <= usable <= high:
            raise ValueError(f"{name} is {usable:g}; it must be from {low:g} to {high:g}")
    return usable
