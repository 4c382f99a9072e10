"""The maker's settings survive other versions, bad values, bad files and a write that is cut off."""
import json
import os
from dataclasses import asdict

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from app.errors import WorldError
from app.settings import Settings, load_settings, save_settings


@pytest.fixture
def path(tmp_path):
    return tmp_path / "home" / "settings.json"


def written(path, text):
    path.parent.mkdir(exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_what_is_saved_is_loaded(path):
    mine = Settings(device_name="Desk", units="inch", text_scale=1.5, temperature_c=19.5, speech=True, blower="Wren")
    save_settings(path, mine)
    assert load_settings(path) == (mine, "")


def test_without_a_file_the_defaults_hold_and_nothing_is_said(path):
    assert load_settings(path) == (Settings(), "")


def test_a_key_of_another_version_is_kept(path):
    written(path, '{"units": "mm", "shelf": {"row": 3}}')
    save_settings(path, Settings(units="inch"))
    document = json.loads(path.read_text())
    assert (document["units"], document["shelf"]) == ("inch", {"row": 3})


@pytest.mark.parametrize(("key", "value"), [
    ("units", "furlong"), ("units", None), ("theme", "pink"), ("text_scale", 0.1), ("text_scale", "large"),
    ("temperature_c", 68), ("tolerance_cents", -5), ("keep_sound", "yes"), ("blower", 3), ("first_start_done", 1),
])
def test_one_bad_value_costs_only_itself_and_is_told(path, key, value):
    written(path, json.dumps({"blower": "Wren", "text_scale": 2.0} | {key: value}))
    loaded, trouble = load_settings(path)
    assert getattr(loaded, key) == getattr(Settings(), key)
    assert key in trouble
    assert trouble.count("\n") == 0
    others = {"blower": "Wren", "text_scale": 2.0}
    assert all(getattr(loaded, other) == others[other] for other in others if other != key)


@pytest.mark.parametrize("text", ["", "{", "[]", "null", '"mm"', "\x00\x01", '{"shelf": NaN}', "[" * 50_000])
def test_a_file_that_is_no_settings_gives_defaults_and_one_sentence(path, text):
    written(path, text)
    loaded, trouble = load_settings(path)
    assert loaded == Settings()
    assert str(path) in trouble
    assert "\n" not in trouble


def test_a_file_that_is_no_settings_is_set_aside_before_it_is_written_over(path):
    written(path, "{ my notes")
    save_settings(path, Settings())
    assert path.with_name("settings.json.unreadable").read_text() == "{ my notes"
    assert load_settings(path) == (Settings(), "")


def test_bytes_that_are_no_text_give_defaults(path):
    path.parent.mkdir()
    path.write_bytes(b"\xff\xfe\xfd")
    assert load_settings(path)[0] == Settings()


def test_a_write_that_fails_leaves_the_old_settings_whole(path, monkeypatch):
    save_settings(path, Settings(blower="Wren"))

    def no_room(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", no_room)
    with pytest.raises(WorldError, match="no space left on device"):
        save_settings(path, Settings(blower="Teal"))
    assert load_settings(path) == (Settings(blower="Wren"), "")
    assert [child.name for child in path.parent.iterdir()] == ["settings.json"]


def test_a_file_in_place_of_the_folder_is_told(tmp_path):
    (tmp_path / "home").write_text("")
    with pytest.raises(WorldError, match="settings could not be written"):
        save_settings(tmp_path / "home" / "settings.json", Settings())


@given(st.dictionaries(st.sampled_from(sorted(asdict(Settings()))), st.none() | st.booleans() | st.integers()
                       | st.floats() | st.text(max_size=5) | st.lists(st.integers(), max_size=2)))
@hypothesis_settings(max_examples=80, deadline=None)
def test_whatever_the_file_holds_usable_settings_come_out(tmp_path_factory, document):
    path = tmp_path_factory.mktemp("any") / "settings.json"
    path.write_text(json.dumps(document))
    loaded, _ = load_settings(path)
    save_settings(path, loaded)
    assert load_settings(path) == (loaded, "")
