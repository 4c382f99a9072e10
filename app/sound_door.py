"""What is wrong with a sound file before it is decoded: the library says it worse, or not at all."""
from __future__ import annotations

from pathlib import Path
from struct import unpack

from app.errors import WorldError


def refuse_what_is_no_file(path: Path) -> None:
    """Raise WorldError unless there is a file here that may be read and has something in it."""
    try:
        if path.is_dir():
            raise WorldError(f"{path} is a folder; name the sound file in it.")
        if path.exists() and not path.is_file():
            raise WorldError(f"{path} is a device or a pipe, not a sound file.")
        with path.open("rb") as file:
            first = file.read(1)
    except FileNotFoundError as trouble:
        raise WorldError(f"There is no file {path}.") from trouble
    except PermissionError as trouble:
        raise WorldError(f"{path} may not be read: its permissions forbid it.") from trouble
    except (OSError, ValueError) as trouble:  # ValueError: a null character in the name
        raise WorldError(f"{path} cannot be read: {getattr(trouble, 'strerror', None) or trouble}.") from trouble
    if not first:
        raise WorldError(f"{path.name} is empty; was the recording ever saved?")


def refuse_cut_file(path: Path, file_format: str) -> None:
    """Raise WorldError for a WAV or OGG that ends too early: libsndfile shortens those without a word."""
    if file_format in ("WAV", "WAVEX"):
        _refuse_cut_wav(path)
    elif file_format == "OGG" and not _ends_as_ogg(path):
        raise WorldError(f"{path.name} is cut short: its last page is missing; was it copied whole?")


def tells_its_length(path: Path, file_format: str) -> bool:
    """Whether the announced length is exact: an MP3 has it only in a tag of its first frame, else it is guessed."""
    if file_format != "MP3":
        return True
    with path.open("rb") as file:
        head = file.read(8192)
    return b"Xing" in head or b"Info" in head


def _refuse_cut_wav(path: Path) -> None:
    size_bytes = path.stat().st_size
    with path.open("rb") as file:
        order = "<" if file.read(4) == b"RIFF" else ">"
        file.seek(12)
        while len(head := file.read(8)) == 8:
            chunk, length_bytes = unpack(f"{order}4sI", head)
            left_bytes = size_bytes - file.tell()
            # The largest numbers stand for "not known": the recorder was stopped hard, and what is there is good.
            if chunk == b"data" and left_bytes < length_bytes < 0xFFFFFF00:
                raise WorldError(
                    f"{path.name} is cut short: {length_bytes} bytes of sound announced, {left_bytes} there; "
                    "was it copied whole?"
                )
            if chunk == b"data":
                return
            file.seek(length_bytes + length_bytes % 2, 1)


def _ends_as_ogg(path: Path) -> bool:
    """Whether the last page bears the flag "end of stream" (RFC 3533, section 6: header type, 0x04)."""
    with path.open("rb") as file:
        file.seek(max(0, path.stat().st_size - 65_307))  # the longest page there can be
        tail = file.read()
    last = tail.rfind(b"OggS")
    return last >= 0 and last + 5 < len(tail) and bool(tail[last + 5] & 0x04)
