"""A microphone without hardware: a private PulseAudio whose null sink is heard as a source.

Everything it writes lies in one private folder, and it ends only the processes that it started.
"""
from __future__ import annotations

import os
import shutil
import subprocess
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import IO

RATE_HZ = 48000
SINK, SOURCE = "tidewick_feed", "tidewick_mic"
NEEDED = ("pulseaudio", "pactl", "pacat", "paplay", "parec")


def missing_tools() -> list[str]:
    return [tool for tool in NEEDED if shutil.which(tool) is None]


class VirtualSound:
    """Start with `start`, end with `stop`; between them the source can be unplugged, suspended or crashed."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.server = f"unix:{folder}/native"
        self._environment = {
            **{key: value for key, value in os.environ.items() if key not in ("DISPLAY", "DBUS_SESSION_BUS_ADDRESS")},
            "HOME": str(folder),
            "XDG_RUNTIME_DIR": str(folder),
            "PULSE_RUNTIME_PATH": str(folder / "pulse"),
            "PULSE_STATE_PATH": str(folder / "state"),
            "PULSE_COOKIE": str(folder / "cookie"),
            "PULSE_SERVER": self.server,
        }
        self._daemon: subprocess.Popen[bytes] | None = None
        self._beat: subprocess.Popen[bytes] | None = None
        self._modules: list[str] = []
        self._players: list[subprocess.Popen[bytes]] = []

    @property
    def client_environment(self) -> dict[str, str]:
        """What a program needs to find this server and no other."""
        return {key: self._environment[key] for key in ("PULSE_SERVER", "PULSE_COOKIE", "PULSE_RUNTIME_PATH")}

    def start(self) -> None:
        for name in ("pulse", "state"):
            (self._folder / name).mkdir(mode=0o700, exist_ok=True)
        (self._folder / "native").unlink(missing_ok=True)
        self._daemon = self._begin(
            ["pulseaudio", "-n", "--daemonize=no", "--use-pid-file=no", "--exit-idle-time=-1", "--disallow-exit=no",
             "--realtime=no", "--high-priority=no", f"--log-target=file:{self._folder}/log",
             "-L", f"module-native-protocol-unix socket={self._folder}/native auth-anonymous=1"]
        )
        self._wait_for_server()
        self.plug()

    def stop(self) -> None:
        for process in (*self._players, self._beat, self._daemon):
            end(process)
        self._players, self._beat, self._daemon = [], None, None

    def crash(self) -> None:
        """The sound server dies at once, as it may at any time."""
        assert self._daemon is not None
        self._daemon.kill()
        self._daemon.wait()
        end(self._beat)
        self._modules = []

    def plug(self) -> None:
        self._modules = [
            self._ask("load-module", "module-null-sink", f"sink_name={SINK}", f"rate={RATE_HZ}", "channels=1"),
            self._ask("load-module", "module-remap-source", f"source_name={SOURCE}", f"master={SINK}.monitor"),
        ]
        self._ask("set-default-sink", SINK)
        self._ask("set-default-source", SOURCE)
        # A null sink nobody plays to sleeps two seconds at a time; a silent player keeps it at 10 ms.
        self._beat = self._begin(
            ["pacat", f"--device={SINK}", f"--rate={RATE_HZ}", "--channels=1", "--format=s16le", "--latency-msec=10",
             "--raw", "/dev/zero"]
        )
        self._wait_for_sound()

    def unplug(self) -> None:
        end(self._beat)
        self._beat = None
        for module in reversed(self._modules):
            self._ask("unload-module", module)
        self._modules = []

    def suspend(self) -> None:
        self._ask("suspend-source", SOURCE, "1")

    def resume(self) -> None:
        self._ask("suspend-source", SOURCE, "0")

    @contextmanager
    def suppressed(self, method: str, arguments: str) -> Iterator[None]:
        """For a while, the default microphone is the same one behind the server's own voice processing."""
        modules = [self._ask("load-module", "module-null-sink", "sink_name=tidewick_speaker")]
        try:
            modules.append(self._ask(
                "load-module", "module-echo-cancel", f"aec_method={method}", "source_name=tidewick_voice",
                f"source_master={SOURCE}", "sink_master=tidewick_speaker", f'aec_args="{arguments}"',
            ))
            self._ask("set-default-source", "tidewick_voice")
            yield
        finally:
            self._ask("set-default-source", SOURCE)
            for module in reversed(modules):
                self._ask("unload-module", module)

    def play(self, path: Path) -> subprocess.Popen[bytes]:
        """Play a sound file into the microphone; the process ends with the sound."""
        player = self._begin(["paplay", f"--device={SINK}", str(path)])
        self._players.append(player)
        return player

    def pipe(self) -> subprocess.Popen[bytes]:
        """A player of 16-bit samples written to its standard input, with as little delay as the server allows."""
        player = self._begin(
            ["pacat", f"--device={SINK}", f"--rate={RATE_HZ}", "--channels=1", "--format=s16le", "--latency-msec=10",
             "--raw"],
            stdin=subprocess.PIPE,
        )
        self._players.append(player)
        return player

    @contextmanager
    def recorder(self, file: IO[bytes]) -> Iterator[None]:
        """For a while, another program records the same microphone; it is at work when this begins."""
        taker = self._begin(
            ["parec", f"--device={SOURCE}", f"--rate={RATE_HZ}", "--channels=1", "--format=s16le", "--raw",
             "--latency-msec=10"],
            stdout=file.fileno(),
        )
        try:
            pause = threading.Event()
            while os.fstat(file.fileno()).st_size == 0:
                pause.wait(0.02)
            yield
        finally:
            end(taker)

    def silence(self, player: subprocess.Popen[bytes]) -> None:
        """End one `play`, if it has not ended by itself."""
        end(player)
        self._players.remove(player)

    def _wait_for_server(self) -> None:
        pause = threading.Event()
        for _ in range(200):
            if subprocess.run(["pactl", "info"], env=self._environment, capture_output=True).returncode == 0:
                return
            pause.wait(0.05)
        raise RuntimeError("the private sound server did not answer")

    def _wait_for_sound(self) -> None:
        """Return once samples really flow out of the source."""
        taker = self._begin(
            ["parec", f"--device={SOURCE}", f"--rate={RATE_HZ}", "--channels=1", "--raw", "--latency-msec=10"],
            stdout=subprocess.PIPE,
        )
        assert taker.stdout is not None
        taker.stdout.read(960)
        end(taker)
        taker.stdout.close()

    def _ask(self, *words: str) -> str:
        return subprocess.run(
            ["pactl", *words], env=self._environment, check=True, capture_output=True, text=True
        ).stdout.strip()

    def _begin(
        self, words: Sequence[str], stdin: int = subprocess.DEVNULL, stdout: int = subprocess.DEVNULL
    ) -> subprocess.Popen[bytes]:
        return subprocess.Popen(
            list(words), env=self._environment, stdin=stdin, stdout=stdout, stderr=subprocess.DEVNULL
        )


def end(process: subprocess.Popen[bytes] | None) -> None:
    """End one process that was started here, and wait for it."""
    if process is None:
        return
    if process.poll() is None:
        process.terminate()
        try:
            process.wait(5)
        except subprocess.TimeoutExpired:
            process.kill()
    process.wait()
