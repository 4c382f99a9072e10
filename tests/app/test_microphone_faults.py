"""Everything that can go wrong with a microphone, on a stand-in for PortAudio; the real one is in tests/microphone."""
import builtins
import sys

import numpy as np
import pytest

from app import microphone
from app.errors import WorldError
from app.microphone import Microphone, fault_hearing, list_devices
from app.source import Block, Hearing, Notice
from tests.app.fake_portaudio import FakePortAudio, PortAudioError

BUSY = PortAudioError("Error opening InputStream: Device unavailable", -9985)
REFUSED = PortAudioError("Error opening", -9999, (0, -13, "Permission denied"))
BAD_RATE = PortAudioError("Error opening InputStream: Invalid sample rate", -9997)
BAD_CHANNELS = PortAudioError("Error opening InputStream: Invalid number of channels", -9998)


@pytest.fixture(autouse=True)
def impatient(monkeypatch):
    """Every wait is over at once, so that no test waits for a clock; single tests put a limit back."""
    for name in ("RETRY_S", "LIBRARY_RETRY_S", "RETURN_S"):
        monkeypatch.setattr(microphone, name, 0.0)
    for name in ("WATCHDOG_S", "FIRST_SOUND_S"):
        monkeypatch.setattr(microphone, name, 1e9)


@pytest.fixture
def portaudio(monkeypatch):
    fake = FakePortAudio("bench mic", "webcam mic")
    monkeypatch.setitem(sys.modules, "sounddevice", fake)
    return fake


@pytest.fixture
def mic():
    made = []

    def make(*arguments, **options):
        made.append(Microphone(*arguments, **options))
        return made[-1]

    yield make
    for each in made:
        each.close()


def opened(source, portaudio):
    """Open it and let one block come: the notices until then, and the stream."""
    said = read_all(source)
    portaudio.streams[-1].sound()
    return [*said, *read_all(source)], portaudio.streams[-1]


def read_all(source, at_most=2000):
    """Everything there is to read now: two empty reads in a row are the end of it."""
    items, empty = [], 0
    while empty < 2 and len(items) < at_most:
        item = source.read(0.0)
        empty = empty + 1 if item is None else 0
        if item is not None:
            items.append(item)
    return items


def states(items):
    return [item.hearing for item in items if isinstance(item, Notice)]


def blocks(items):
    return [item for item in items if isinstance(item, Block)]


def test_first_read_opens_and_the_first_block_is_announced(portaudio, mic):
    source = mic()
    assert portaudio.streams == []
    items, stream = opened(source, portaudio)
    assert states(items) == [Hearing.OPENING, Hearing.HEARING]
    assert isinstance(items[-1], Block)
    assert items[1] == Notice(Hearing.HEARING, "bench mic", 48000)
    assert (stream.rate_hz, stream.block_frames, stream.channels) == (48000, 480, 1)


def test_samples_are_copied_out_of_the_librarys_buffer(portaudio, mic):
    items, _ = opened(mic(), portaudio)
    assert np.unique(blocks(items)[0].samples) == pytest.approx([0.1])


def test_blocks_follow_one_another(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    stream.sound(3)
    assert [block.start_s for block in blocks(read_all(source))] == pytest.approx([0.01, 0.02, 0.03])


def test_missing_library_is_told_and_found_once_installed(monkeypatch, mic, portaudio):
    monkeypatch.delitem(sys.modules, "sounddevice")
    imports = builtins.__import__

    def without_library(name, *arguments, **options):
        if name == "sounddevice":
            raise OSError("PortAudio library not found")
        return imports(name, *arguments, **options)

    source = mic()
    with monkeypatch.context() as patch:
        patch.setattr(builtins, "__import__", without_library)
        assert states(read_all(source)) == [Hearing.OPENING, Hearing.NO_LIBRARY]
        with pytest.raises(WorldError, match="libportaudio2"):
            list_devices()
    monkeypatch.setitem(sys.modules, "sounddevice", portaudio)
    assert states(opened(source, portaudio)[0]) == [Hearing.HEARING]


def test_no_microphone_is_told_once_and_heard_when_plugged_in(portaudio, mic):
    portaudio.names = []
    source = mic()
    items = read_all(source) + read_all(source)
    assert states(items) == [Hearing.OPENING, Hearing.NO_DEVICE]
    portaudio.names = ["bench mic"]
    assert states(opened(source, portaudio)[0]) == [Hearing.HEARING]


@pytest.mark.parametrize(("fault", "hearing"), [(BUSY, Hearing.BUSY), (REFUSED, Hearing.REFUSED)])
@pytest.mark.parametrize("at_start", [False, True])
def test_refusal_is_told_and_listening_begins_when_it_is_over(portaudio, mic, fault, hearing, at_start):
    portaudio.refuses, portaudio.refuses_at_start = {"all": fault}, at_start
    source = mic()
    assert states(read_all(source)) == [Hearing.OPENING, hearing]
    portaudio.refuses = {}
    assert states(opened(source, portaudio)[0]) == [Hearing.HEARING]


def test_stream_that_will_not_start_is_closed(portaudio, mic):
    portaudio.refuses, portaudio.refuses_at_start = {"all": BUSY}, True
    source = mic()
    read_all(source)
    assert portaudio.closed_streams > 0
    assert portaudio.streams == []


@pytest.mark.parametrize(("code", "host_code", "text", "hearing"), [
    (-9985, None, "Device unavailable", Hearing.BUSY),  # published: portaudio.h, paDeviceUnavailable
    (-9999, -16, "Device or resource busy", Hearing.BUSY),  # published: errno.h, EBUSY
    (-9999, -13, "Permission denied", Hearing.REFUSED),  # published: errno.h, EACCES
    (-9999, -2147024891, "Access is denied", Hearing.REFUSED),  # 0x80070005 as a signed number, from memory
    (-9999, -2004287478, "", Hearing.BUSY),  # 0x8889000A as a signed number, from memory
    (-9996, None, "Invalid device", Hearing.NO_DEVICE),  # published: portaudio.h, paInvalidDevice
    (-9999, -5, "Input/output error", Hearing.NO_DEVICE),
])
def test_refusals_by_table(code, host_code, text, hearing):
    assert fault_hearing(code, host_code, text) is hearing


def test_error_that_is_not_of_the_device_is_not_hidden(portaudio, mic):
    portaudio.refuses = {"all": ZeroDivisionError("a fault of ours")}
    with pytest.raises(ZeroDivisionError):
        read_all(mic())


def test_device_that_has_only_its_own_rate_is_opened_at_that_and_says_so(portaudio, mic):
    portaudio.refuses = {48000: BAD_RATE}
    items, stream = opened(mic(), portaudio)
    assert stream.rate_hz == 44100
    assert items[1] == Notice(Hearing.HEARING, "bench mic", 44100)
    assert blocks(items)[0].sample_rate_hz == 44100


def test_device_that_opens_only_in_stereo_is_heard_by_its_first_channel(portaudio, mic):
    portaudio.refuses = {(48000, 1): BAD_CHANNELS, (44100, 1): BAD_CHANNELS}
    items, stream = opened(mic(), portaudio)
    assert (stream.channels, stream.rate_hz) == (2, 48000)
    assert blocks(items)[0].samples.shape == (480,)


def test_named_device_is_opened_by_its_name(portaudio, mic):
    items, stream = opened(mic("webcam mic"), portaudio)
    assert stream.device == 1
    assert items[1].detail == "webcam mic"


def test_absent_named_device_is_replaced_by_the_default_and_both_are_named(portaudio, mic):
    items, stream = opened(mic("club mic"), portaudio)
    assert stream.device == 0
    assert items[1].detail == "bench mic (club mic is not there)"


def test_lost_named_device_is_waited_for_before_another_is_heard(portaudio, mic, monkeypatch):
    source = mic("webcam mic")
    _, stream = opened(source, portaudio)
    monkeypatch.setattr(microphone, "RETURN_S", 1e9)
    portaudio.names = ["bench mic"]
    stream.vanish()
    assert states(read_all(source) + read_all(source)) == [Hearing.LOST]
    assert len(portaudio.streams) == 1
    portaudio.names = ["bench mic", "webcam mic"]
    assert opened(source, portaudio)[1].device == 1


def test_vanished_device_is_told_after_its_last_block_and_heard_again(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    portaudio.names = []
    stream.sound(2)
    stream.vanish()
    items = read_all(source)
    assert [type(item) for item in items] == [Block, Block, Notice]
    assert states(items) == [Hearing.LOST]
    assert stream.closed
    assert read_all(source) == [], "a device that was heard stays lost: it is not said again"
    portaudio.names = ["bench mic"]
    items, _ = opened(source, portaudio)
    assert states(items) == [Hearing.HEARING]


def test_time_away_is_counted_as_lost_and_kept_in_the_times(portaudio, mic):
    source = mic()
    items, stream = opened(source, portaudio)
    end_s = blocks(items)[-1].start_s + 0.01
    stream.vanish()
    read_all(source)
    block = blocks(opened(source, portaudio)[0])[0]
    assert block.start_s >= end_s
    assert block.lost_frames == pytest.approx((block.start_s - end_s) * 48000, abs=1.0)


def test_silent_stream_that_nobody_announces_is_caught_by_the_watchdog(portaudio, mic, monkeypatch):
    source = mic()
    _, stream = opened(source, portaudio)
    monkeypatch.setattr(microphone, "WATCHDOG_S", 0.0)
    monkeypatch.setattr(microphone, "RETRY_S", 1e9)
    assert states(read_all(source)) == [Hearing.LOST]
    assert stream.closed


def test_device_that_opens_and_never_sounds_is_silent_until_it_does(portaudio, mic, monkeypatch):
    monkeypatch.setattr(microphone, "FIRST_SOUND_S", 0.0)
    source = mic()
    assert states([source.read(0.0) for _ in range(20)]) == [Hearing.OPENING, Hearing.SILENT]
    monkeypatch.setattr(microphone, "FIRST_SOUND_S", 1e9)
    assert states(opened(source, portaudio)[0]) == [Hearing.HEARING]


def test_exact_zeros_are_told_as_silence_until_sound_comes(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    stream.sound(250, value=0.0)  # by hand: 2.5 s, more than the two that are allowed
    assert states(read_all(source)) == [Hearing.SILENT]
    stream.sound(3)
    items = read_all(source)
    assert states(items) == [Hearing.HEARING]
    assert len(blocks(items)) == 3


def test_overflow_is_counted_and_its_gap_stays_in_the_times(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    stream.sound(overflow=True, gap_s=0.03)  # by hand: 0.03 s at 48000 are 1440 frames
    stream.sound()
    late, after = blocks(read_all(source))
    assert (late.lost_frames, late.start_s) == (1440, pytest.approx(0.01 + 0.03))
    assert (after.lost_frames, after.start_s) == (0, pytest.approx(0.05))


def test_overflow_of_unknown_length_counts_as_one_frame_at_least(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    stream.sound(overflow=True)
    assert blocks(read_all(source))[0].lost_frames == 1


def test_full_queue_loses_sound_by_count_and_not_by_time(portaudio, mic, monkeypatch):
    monkeypatch.setattr(microphone, "QUEUE_S", 0.1)  # by hand: ten blocks of 10 ms
    source = mic()
    _, stream = opened(source, portaudio)
    stream.sound(25)
    assert len(blocks(read_all(source))) == 10
    stream.sound()
    block = blocks(read_all(source))[0]
    assert (block.lost_frames, block.start_s) == (15 * 480, pytest.approx(0.01 * 26))


def test_every_call_is_made_by_the_thread_that_reads(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    stream.vanish()
    read_all(source)
    assert len(portaudio.threads) == 1


def test_librarys_chatter_reaches_nobody(portaudio, mic, capfd):
    opened(mic(), portaudio)
    assert capfd.readouterr().err == ""


def test_devices_are_listed_with_what_a_chooser_needs(portaudio):
    portaudio.rates_hz["webcam mic"] = 16000.0
    assert [(d.name, d.host_api, d.channels, d.default_sample_rate_hz, d.is_default) for d in list_devices()] == [
        ("bench mic", "Fake", 2, 44100, True), ("webcam mic", "Fake", 2, 16000, False)
    ]


def test_sound_system_that_does_not_answer_is_told(portaudio):
    portaudio.deaf = PortAudioError("Internal error", -9986)
    with pytest.raises(WorldError, match="does not say which microphones it has"):
        list_devices()


def test_list_is_fresh_but_never_at_the_cost_of_an_open_stream(portaudio, mic):
    list_devices()
    portaudio.names.append("club mic")
    assert [device.name for device in list_devices()] == ["bench mic", "webcam mic", "club mic"]
    opened(mic(), portaudio)
    restarts = portaudio.restarts
    list_devices()
    assert portaudio.restarts == restarts


def test_second_microphone_does_not_end_the_first(portaudio, mic):
    opened(mic(), portaudio)
    restarts = portaudio.restarts
    opened(mic("webcam mic"), portaudio)
    assert portaudio.restarts == restarts


def test_closed_microphone_lets_the_device_go_and_opens_again_when_read(portaudio, mic):
    source = mic()
    _, stream = opened(source, portaudio)
    source.close()
    assert stream.closed
    assert blocks(opened(source, portaudio)[0])
