"""The virtual sound server of these tests: one for all of them, brought back to life after each that kills it."""
import pytest

from app.microphone import Microphone
from tests.microphone.virtual_sound import VirtualSound, missing_tools


@pytest.fixture(scope="session")
def server(tmp_path_factory):
    missing = missing_tools()
    if missing:
        pytest.skip(f"no virtual sound server: {', '.join(missing)} missing (Debian: pulseaudio pulseaudio-utils)")
    pytest.importorskip("sounddevice", reason="PortAudio is not installed (Debian: libportaudio2)", exc_type=OSError)
    sound = VirtualSound(tmp_path_factory.mktemp("sound"))
    sound.start()
    yield sound
    sound.stop()


@pytest.fixture
def virtual_sound(server, monkeypatch):
    """The server, running and plugged in, found by this process and no other."""
    for name, value in server.client_environment.items():
        monkeypatch.setenv(name, value)
    return server


@pytest.fixture
def live_microphone(virtual_sound):
    source = Microphone()
    yield source
    source.close()
