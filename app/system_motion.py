"""Whether the system was told to move little: each desktop keeps that wish in a place of its own."""
from __future__ import annotations

import shutil
import subprocess
import sys
from collections.abc import Sequence

ASK_LIMIT_S = 1.0
# The command that prints the wish, and what it prints when little is to move.
GNOME = ("gsettings", "get", "org.gnome.desktop.interface", "enable-animations"), "false"
MACOS = ("defaults", "read", "com.apple.universalaccess", "reduceMotion"), "1"
CLIENT_AREA_ANIMATION = 0x1042  # Windows: SPI_GETCLIENTAREAANIMATION of SystemParametersInfo


def system_wants_stillness(platform: str = sys.platform) -> bool:
    """True where the system says so; where it cannot be asked, nothing was wished."""
    if platform == "win32":
        return _windows_wants_stillness()
    command, answer = MACOS if platform == "darwin" else GNOME
    return _printed(command) == answer


def _printed(command: Sequence[str]) -> str:
    program = shutil.which(command[0])
    if program is None:
        return ""
    try:
        done = subprocess.run(
            [program, *command[1:]], stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=ASK_LIMIT_S,
            check=False,
        )
    except (OSError, subprocess.SubprocessError):
        return ""
    return done.stdout.strip()


def _windows_wants_stillness() -> bool:
    import ctypes

    animated = ctypes.c_int(1)
    told = ctypes.windll.user32.SystemParametersInfoW(  # type: ignore[attr-defined,unused-ignore]
        CLIENT_AREA_ANIMATION, 0, ctypes.byref(animated), 0)
    return bool(told) and not animated.value
