"""Sound files as a source: what is read of good ones, and one plain sentence for each bad one."""
import builtins
import os
from pathlib import Path

import numpy as np
import pytest
import soundfile

from acoustics.synthesis import BlowRecipe, render_blow, room_noise
from app.errors import WorldError
from app.recording import Recording, hear_file
from app.source import Block, Hearing, Notice

RATE_HZ = 48000


def sine(frequency_hz=600.0, duration_s=0.5, rate_hz=RATE_HZ, peak=0.5):
    return peak * np.sin(2.0 * np.pi * frequency_hz * np.arange(round(duration_s * rate_hz)) / rate_hz)


def two_blows(rate_hz, frequencies_hz=(587.33, 880.0)):
    """Two invented blows of known pitch in a quiet room."""
    rng = np.random.default_rng(11)
    gap = np.zeros(round(0.8 * rate_hz), np.float32)
    pieces = [gap]
    for frequency_hz in frequencies_hz:
        pieces += [render_blow(BlowRecipe(frequency_hz, wander_cents=0.0), rate_hz, rng), gap]
    sound = np.concatenate(pieces)
    return sound + room_noise(len(sound), rate_hz, -65.0, rng)


def everything(path):
    """All items of a recording up to its end, and the sound put together."""
    recording = Recording(path)
    items = []
    while (item := recording.read(0.0)) is not None:
        items.append(item)
    blocks = [item for item in items if isinstance(item, Block)]
    return items, np.concatenate([block.samples for block in blocks])


def trouble_with(path):
    with pytest.raises(WorldError) as raised:
        everything(path)
    sentence = str(raised.value)
    assert sentence.endswith((".", "?"))
    assert ". " not in sentence.replace(str(path), ""), "one sentence"
    assert "\n" not in sentence
    return sentence


@pytest.mark.parametrize(("name", "subtype", "tolerance"), [
    ("a.wav", "PCM_U8", 2 / 256), ("a.wav", "PCM_16", 2 / 65536), ("a.wav", "PCM_24", 1e-6), ("a.wav", "FLOAT", 1e-7),
    ("a.wav", "DOUBLE", 1e-7), ("a.flac", "PCM_16", 2 / 65536), ("a.flac", "PCM_24", 1e-6),
])
def test_every_sample_of_a_lossless_file_comes_through(tmp_path, name, subtype, tolerance):
    """The tolerances are one step of the format (derived by hand)."""
    soundfile.write(tmp_path / name, sine(), RATE_HZ, subtype=subtype)
    items, sound = everything(tmp_path / name)
    assert isinstance(items[0], Notice)
    assert (items[0].hearing, items[0].sample_rate_hz) == (Hearing.HEARING, RATE_HZ)
    assert items[-1].hearing is Hearing.ENDED
    assert sound.dtype == np.float32
    assert np.abs(sound - sine()).max() <= tolerance


@pytest.mark.parametrize("name", ["a.ogg", "a.mp3"])
def test_lossy_files_come_through_as_when_read_at_once(tmp_path, name):
    """Against one read of the whole file, and the level of a sine by hand (peak over root two)."""
    soundfile.write(tmp_path / name, sine(duration_s=2.0), RATE_HZ)
    _, sound = everything(tmp_path / name)
    at_once, _ = soundfile.read(tmp_path / name, dtype="float32")
    assert np.array_equal(sound, at_once)
    assert len(sound) == pytest.approx(2.0 * RATE_HZ, rel=0.05)
    assert np.sqrt(np.mean(sound**2)) == pytest.approx(0.5 / np.sqrt(2.0), rel=0.01)


def test_blocks_follow_one_another_without_a_gap(tmp_path):
    soundfile.write(tmp_path / "a.wav", sine(), RATE_HZ)
    items, _ = everything(tmp_path / "a.wav")
    blocks = [item for item in items if isinstance(item, Block)]
    ends_s = [block.start_s + len(block.samples) / RATE_HZ for block in blocks]
    assert len(blocks) > 1
    assert [block.start_s for block in blocks[1:]] == pytest.approx(ends_s[:-1])


@pytest.mark.parametrize("loudest", [0, 1, 4])
def test_of_many_channels_the_loudest_is_heard(tmp_path, loudest):
    channels = np.full((RATE_HZ // 2, 5), 0.001)
    channels[100, (loudest + 1) % 5] = 1.0  # a single click is not loudness
    channels[:, loudest] = sine()
    soundfile.write(tmp_path / "a.wav", channels, RATE_HZ, subtype="PCM_24")
    _, sound = everything(tmp_path / "a.wav")
    assert np.abs(sound - sine()).max() < 1e-6


@pytest.mark.parametrize("rate_hz", [8000, 11025, 44100, 96000, 192000])
def test_blows_in_a_file_are_heard_at_any_rate(tmp_path, rate_hz):
    """The truth is the invented blow's own pitch; that the reader is right is proven elsewhere, with recorded pipes."""
    soundfile.write(tmp_path / "a.wav", two_blows(rate_hz), rate_hz, subtype="PCM_16")
    heard_rate_hz, blows = hear_file(tmp_path / "a.wav")
    blows = [blow for blow in blows if blow.usable]
    assert heard_rate_hz == rate_hz
    assert [blow.frequency_hz for blow in blows] == pytest.approx([587.33, 880.0], rel=2e-4)
    assert blows[0].start_s == pytest.approx(0.8, abs=0.08)


def test_progress_rises_to_one(tmp_path):
    soundfile.write(tmp_path / "a.wav", two_blows(RATE_HZ), RATE_HZ)
    shares = []
    hear_file(tmp_path / "a.wav", progress=shares.append)
    assert shares == sorted(shares)
    assert shares[-1] == 1.0
    assert len(shares) > 10


def test_name_of_the_file_decides_nothing(tmp_path):
    soundfile.write(tmp_path / "a.flac", sine(), RATE_HZ)
    (tmp_path / "a.flac").rename(tmp_path / "a.wav")
    assert len(everything(tmp_path / "a.wav")[1]) == RATE_HZ // 2


def test_closed_recording_gives_nothing_more(tmp_path):
    soundfile.write(tmp_path / "a.wav", sine(), RATE_HZ)
    recording = Recording(tmp_path / "a.wav")
    recording.read(0.0)
    recording.close()
    assert recording.read(0.0) is None


def test_missing_file_is_told(tmp_path):
    assert "There is no file" in trouble_with(tmp_path / "none.wav")


def test_folder_is_told(tmp_path):
    assert "is a folder" in trouble_with(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
def test_pipe_is_told_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "a.wav")
    assert "pipe" in trouble_with(tmp_path / "a.wav")


def test_unreadable_file_is_told(tmp_path, monkeypatch):
    """The refusal is put in by hand: a test run as root may read everything."""
    soundfile.write(tmp_path / "a.wav", sine(), RATE_HZ)

    def refuse(self, *args, **kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    assert "permissions" in trouble_with(tmp_path / "a.wav")


def test_name_with_a_null_is_told(tmp_path):
    assert "cannot be read" in trouble_with(tmp_path / "a\0.wav")


def test_empty_file_is_told(tmp_path):
    (tmp_path / "a.wav").touch()
    assert "is empty" in trouble_with(tmp_path / "a.wav")


@pytest.mark.parametrize("name", ["a.wav", "a.flac", "a.ogg", "a.mp3", "a.raw", "a.txt"])
def test_text_is_no_sound_whatever_its_name(tmp_path, name, capfd):
    (tmp_path / name).write_text("Plug B came out 57.3 mm long. " * 300)
    assert "no sound file" in trouble_with(tmp_path / name)
    assert capfd.readouterr().err == "", "the library's own chatter reaches nobody"


def test_file_without_sound_in_it_is_told(tmp_path):
    soundfile.write(tmp_path / "a.wav", sine()[:0], RATE_HZ)
    assert "no sound at all" in trouble_with(tmp_path / "a.wav")


@pytest.mark.parametrize("name", ["a.wav", "a.flac", "a.ogg", "a.mp3"])
def test_file_cut_in_two_is_told(tmp_path, name, capfd):
    soundfile.write(tmp_path / "whole", sine(duration_s=3.0), RATE_HZ, format=name[2:].upper())
    content = (tmp_path / "whole").read_bytes()
    (tmp_path / name).write_bytes(content[: len(content) // 2])
    assert any(word in trouble_with(tmp_path / name) for word in ("cut short", "damaged"))
    assert capfd.readouterr().err == ""


def test_wav_whose_recorder_was_stopped_hard_is_read_to_its_end(tmp_path):
    """Such a recorder leaves the largest number, or zero, where the length belongs."""
    soundfile.write(tmp_path / "a.wav", sine(), RATE_HZ, subtype="PCM_16")
    content = bytearray((tmp_path / "a.wav").read_bytes())
    place = content.index(b"data") + 4
    content[place : place + 4] = content[4:8] = b"\xff\xff\xff\xff"
    (tmp_path / "a.wav").write_bytes(content)
    assert len(everything(tmp_path / "a.wav")[1]) == RATE_HZ // 2


def test_flac_of_unknown_length_is_read_to_its_end(tmp_path):
    """Zero as the number of samples means "unknown" (RFC 9639, section 8.2: 36 bits from byte 21 and a half)."""
    soundfile.write(tmp_path / "a.flac", sine(), RATE_HZ)
    content = bytearray((tmp_path / "a.flac").read_bytes())
    content[21] &= 0xF0
    content[22:26] = bytes(4)
    (tmp_path / "a.flac").write_bytes(content)
    assert len(everything(tmp_path / "a.flac")[1]) == RATE_HZ // 2


def test_damage_in_the_middle_of_a_file_is_told(tmp_path):
    soundfile.write(tmp_path / "a.flac", sine(duration_s=3.0) + 0.01 * np.random.default_rng(1).standard_normal(144000),
                    RATE_HZ)
    content = bytearray((tmp_path / "a.flac").read_bytes())
    middle = len(content) // 2
    content[middle : middle + 4000] = bytes(4000)
    (tmp_path / "a.flac").write_bytes(content)
    assert any(word in trouble_with(tmp_path / "a.flac") for word in ("damaged", "cut short"))


@pytest.mark.parametrize("bad", [np.nan, np.inf, -np.inf])
@pytest.mark.parametrize("channels", [1, 2])
def test_samples_that_are_no_numbers_are_told_with_their_place(tmp_path, bad, channels):
    sound = np.tile(sine(duration_s=2.0)[:, None], channels)
    sound[RATE_HZ, channels - 1] = bad
    soundfile.write(tmp_path / "a.wav", sound, RATE_HZ, subtype="FLOAT")
    assert "no numbers near 0.9" in trouble_with(tmp_path / "a.wav")  # by hand: the block that holds second 1.0


@pytest.mark.parametrize("rate_hz", [4000, 7999, 192001, 384000])
def test_rate_out_of_range_is_told_with_value_and_limits(tmp_path, rate_hz):
    soundfile.write(tmp_path / "a.wav", sine(), rate_hz)
    sentence = trouble_with(tmp_path / "a.wav")
    assert str(rate_hz) in sentence
    assert "8000 to 192000" in sentence


def test_missing_library_is_told(tmp_path, monkeypatch):
    (tmp_path / "a.wav").write_bytes(b"RIFF")
    imports = builtins.__import__

    def without_soundfile(name, *args, **kwargs):
        if name == "soundfile":
            raise OSError("sndfile library not found")
        return imports(name, *args, **kwargs)

    monkeypatch.setattr(builtins, "__import__", without_soundfile)
    assert "cannot be loaded" in trouble_with(tmp_path / "a.wav")
