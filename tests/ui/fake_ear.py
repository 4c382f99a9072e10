"""A microphone that hears what the test says."""
from __future__ import annotations

from dataclasses import dataclass

from app.ui.ear import Ear


@dataclass(frozen=True)
class Device:
    name: str
    is_default: bool = False


BUILT_IN, BENCH = Device("Built-in microphone", is_default=True), Device("Bench microphone, USB")


class FakeEar(Ear):
    """Lists the devices it was given and notes which one was opened."""

    def __init__(self, devices: tuple[Device, ...] = (BUILT_IN, BENCH)) -> None:
        super().__init__()
        self.there = devices
        self.opened: list[str | None] = []
        self.is_open = False

    def devices(self) -> tuple[Device, ...]:
        self.close()
        return self.there

    def open(self, device_name: str | None) -> None:
        self.opened.append(device_name)
        self.is_open = True

    def close(self) -> None:
        self.is_open = False
