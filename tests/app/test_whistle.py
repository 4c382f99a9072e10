"""The whistle document: the same bytes for the same whistle, and a plain word for every value no whistle can have."""
import hashlib
import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.body import Body, Stock
from app.errors import WorldError
from app.whistle import Chamber, Whistle, checked, decode_whistle, dump_whistle, load_whistle, revision, to_plan
from app.whistle_limits import (
    AIR_LIMITS,
    BODY_LIMITS,
    CHAMBER_LIMITS,
    STOCK_LIMITS,
    UNSAID_CHAMBER_LIMITS,
    WHISTLE_LIMITS,
)

HARBOUR = Whistle(
    id="6e09eb5e-f97a-4d0e-b32e-9abe96dc02ff", name="Harbour", number=3, of=12, wood="beech",
    chambers=(
        Chamber("A", 12.7, 130.0, 10.0, 6.0, 698.456, "F5"), Chamber("B", 12.7, 130.0, 10.0, 6.0, 880.0, "A5"),
        Chamber("C", 12.7, 130.0, 10.0, 6.0, 1046.502, "C6"),
    ),
)


def changed(**keys):
    """Harbour's document with some keys changed, as bytes."""
    return json.dumps(json.loads(dump_whistle(HARBOUR)) | keys).encode()


def with_chamber(**keys):
    document = json.loads(dump_whistle(HARBOUR))
    document["chambers"][1] |= keys
    return json.dumps(document).encode()


def test_a_document_read_back_is_an_equal_whistle():
    assert decode_whistle(dump_whistle(HARBOUR), "here") == HARBOUR


def test_the_document_says_what_it_is_in_plain_json():
    document = json.loads(dump_whistle(HARBOUR))
    assert (document["format"], document["version"]) == ("whistlewright-whistle", 1)
    assert document["air"] == {"temperature_c": 20.0, "relative_humidity": 0.5, "pressure_pa": 101325.0}
    assert document["chambers"][0]["bore_mm"] == 12.7


def test_a_whole_number_and_the_same_length_with_a_point_are_one_revision():
    in_whole_mm = replace(HARBOUR, wall_mm=4, chambers=tuple(replace(c, bore_length_mm=130) for c in HARBOUR.chambers))
    assert dump_whistle(in_whole_mm) == dump_whistle(HARBOUR)
    reordered = dict(reversed(json.loads(dump_whistle(HARBOUR)).items()))
    assert revision(decode_whistle(json.dumps(reordered), "here")) == revision(HARBOUR)


def test_the_revision_is_the_sha_256_of_the_bytes_and_changes_with_the_plan():
    assert revision(HARBOUR) == hashlib.sha256(dump_whistle(HARBOUR)).hexdigest()
    assert revision(replace(HARBOUR, wood="maple")) != revision(HARBOUR)


def test_the_plan_holds_every_chamber_and_the_air():
    plan = to_plan(HARBOUR)
    assert [(c.letter, c.target_hz, c.window_height_mm) for c in plan.chambers] == [
        ("A", 698.456, 6.0), ("B", 880.0, 6.0), ("C", 1046.502, 6.0),
    ]
    assert (plan.temperature_c, plan.relative_humidity, plan.pressure_pa) == (20.0, 0.5, 101_325.0)


def test_a_chamber_is_found_by_its_letter_and_a_strange_one_is_told():
    assert HARBOUR.chamber("b").target_hz == 880.0
    with pytest.raises(WorldError, match="no chamber F: its chambers are A, B, C"):
        HARBOUR.chamber("F")


def test_every_sample_document_can_be_read_and_is_written_as_we_would(root):
    paths = sorted((root / "sample_audio").glob("*.whistle.json"))
    assert paths, "no sample documents: the test would pass on nothing"
    for path in paths:
        assert dump_whistle(load_whistle(path)) == path.read_bytes()


@pytest.mark.parametrize("key", CHAMBER_LIMITS)
@pytest.mark.parametrize("side", ["low", "high"])
def test_each_chamber_limit_is_held_on_both_sides_and_says_value_and_limit(key, side):
    limit = CHAMBER_LIMITS[key]
    beyond = limit.low * 0.99 if side == "low" else limit.high * 1.01
    with pytest.raises(WorldError) as refusal:
        decode_whistle(with_chamber(**{key: beyond}), "here")
    assert f"chamber B's {key} is {beyond:g}: from {limit.low:g} to {limit.high:g}; " in str(refusal.value)


@pytest.mark.parametrize(("key", "limit"), WHISTLE_LIMITS.items())
def test_each_limit_of_the_body_is_held_on_both_sides(key, limit):
    for beyond in (limit.low - 0.5, limit.high + 0.5):
        with pytest.raises(WorldError, match=key):
            decode_whistle(changed(**{key: beyond}), "here")


@pytest.mark.parametrize(("key", "limit"), AIR_LIMITS.items())
def test_each_limit_of_the_air_is_held_on_both_sides(key, limit):
    for beyond in (limit.low - 0.01, limit.high + 0.01):
        with pytest.raises(WorldError, match=f"air.{key}"):
            decode_whistle(changed(air={key: beyond}), "here")


@pytest.mark.parametrize(("part", "key", "limit"), [
    (part, key, limit) for part, limits in (("body", BODY_LIMITS), ("stock", STOCK_LIMITS))
    for key, limit in limits.items()
])
def test_each_limit_of_body_and_stock_is_held_on_both_sides(part, key, limit):
    for beyond in (limit.low - 0.1, limit.high * 1.01):
        with pytest.raises(WorldError) as refusal:
            decode_whistle(changed(**{part: {key: beyond}}), "here")
        assert f"{part}.{key} is {beyond:g}: from {limit.low:g} to {limit.high:g}; " in str(refusal.value)


@pytest.mark.parametrize(("key", "limit"), UNSAID_CHAMBER_LIMITS.items())
def test_each_limit_of_what_a_chamber_may_leave_unsaid_is_held(key, limit):
    for beyond in (limit.low - 0.1, limit.high + 0.1):
        with pytest.raises(WorldError, match=f"chamber B's {key}"):
            decode_whistle(with_chamber(**{key: beyond}), "here")


def test_what_is_said_of_body_stock_and_drift_is_kept_and_nothing_else_is_written():
    said = replace(
        HARBOUR, body=Body(diameter_mm=46), stock=Stock(chucking_mm=0, dowel_wood="birch"),
        chambers=(replace(HARBOUR.chambers[0], drift_outward_mm=0.0), *HARBOUR.chambers[1:]),
    )
    document = json.loads(dump_whistle(said))
    assert document["body"] == {"diameter_mm": 46.0}
    assert document["stock"] == {"dowel_wood": "birch", "chucking_mm": 0.0}
    assert document["chambers"][0]["drift_outward_mm"] == 0.0  # measured, and nothing found
    assert "drift_outward_mm" not in document["chambers"][1]
    assert decode_whistle(dump_whistle(said), "here") == said


def test_a_document_of_before_keeps_its_revision_when_unsaid_parts_are_spelled_out():
    spelled = changed(body={}, stock={"chucking_mm": 25.4}, plan={"made": "by plan --json"})
    assert revision(decode_whistle(spelled, "here")) == revision(HARBOUR)
    # frozen: the revision of this whistle before a document could say more
    assert revision(HARBOUR) == "3cfe8ad5d1084edb9b58e831042a830381d7756f1066161699bdac885508f46e"


@pytest.mark.parametrize(("document", "complaint"), [
    (with_chamber(bore_mm=0.5), "was it typed in inches?"),
    (changed(air={"temperature_c": 68}), "degrees Fahrenheit?"),
    (changed(air={"relative_humidity": 50}), "50 % is 0.5"),
    (with_chamber(bore_mm="12.7"),
     "chamber B's bore_mm is \"12.7\": it must be a number from 6 to 20, without quotation marks."),
    (with_chamber(bor_mm=12.7), "chamber B's bor_mm is not a key"),
    (with_chamber(note=5), "chamber B's note is 5: it must be text in quotation marks, of at most 200 characters."),
    (changed(air=20), "air is 20: it must be keys with their values in braces"),
    (changed(air={"temperature_c": [20]}), "air.temperature_c is [20]: it must be a number from 0 to 40"),
    (changed(body={"length_mm": True}), "body.length_mm is true: it must be a number from 50 to 400"),
    (changed(chambers="F5 A5"), "chambers is \"F5 A5\": it must be a list of 2 to 6 chambers in brackets"),
    (changed(chambers=["F5", "A5"]), "chamber A is \"F5\": it must be keys with their values in braces"),
    (changed(number=2.5), "number is 2.5: it must be a whole number from 1 to 9999"),
    (changed(name="x" * 20, wood=["beech", "n" * 60]), "wood is [\"beech\", \"nnnnnnnnnnnnnnnnnnn…: it must be text"),
    (b'{"format": "whistlewright-whistle", "version": 1}', "id is missing: it must be text in quotation marks"),
    (changed(chambers=[{"letter": "A"}]), "chamber A's bore_mm is missing: it must be a number from 6 to 20"),
    (with_chamber(bor_mm=12.7), "bor_mm is not a key of a whistle document: did you mean bore_mm?"),
    (changed(air={"temprature_c": 20}), "air.temprature_c is not a key"),
    (with_chamber(letter="D"), "where B belongs"),
    (with_chamber(target_hz=600.0), "not above chamber A's"),
    (with_chamber(window_width_mm=14), "wider than its bore"),
    (changed(chambers=[]), "chambers are 0: from 2 to 6"),
    (changed(chambers=json.loads(dump_whistle(HARBOUR))["chambers"] * 3), "chambers are 9: from 2 to 6"),
    (changed(name="  "), "name is empty"),
    (changed(name="n" * 201), "name has 201 characters"),
    (changed(id="three"), "it must be a UUID"),
    (changed(number=13), "13 of 12"),
    (changed(number=None), "None of 12"),
    (changed(number=0, of=None), "number is 0"),
    (changed(version=2), "of version 2"),
    (changed(version="1"), 'version is "1": it must be the number 1.'),
    (changed(format="recipe"), '"format"'),
    (changed(body={"least_wall_mm": 6}), "more than the wanted wall_mm of 4: were the two swapped?"),
    (changed(body={"windway_flat_mm": 7}), "more than half a bore"),
    (changed(body={"diametr_mm": 44}), "body.diametr_mm is not a key of a whistle document: did you mean diameter_mm?"),
    (changed(body=[]), "body is []: it must be keys with their values in braces"),
    (changed(stock={"dowel_across_mm": 12.4}), "measure both ways"),
    (changed(stock={"blank_height_mm": 50}), "measure both sides"),
    (changed(stock={"dowel_wood": "m" * 201}), "dowel_wood has 201 characters"),
    (with_chamber(windway_flat_mm=7), "more than half its bore"),
    (b"[]", '"format"'),
    (b"", "not JSON"),
    (b"\xff\xfe", "not JSON"),
    (dump_whistle(HARBOUR)[:200], "not JSON"),
    (dump_whistle(HARBOUR).replace(b"20.0", b"NaN"), "not JSON"),
    (dump_whistle(HARBOUR).replace(b"20.0", b"1e999"), ""),
    (b"[" * 100_000, "not JSON"),
])
def test_a_document_that_cannot_be_is_refused_in_one_sentence(document, complaint):
    with pytest.raises(WorldError) as refusal:
        decode_whistle(document, "here")
    assert complaint in str(refusal.value)
    assert str(refusal.value).startswith("here")
    assert "\n" not in str(refusal.value)


def test_not_a_number_is_refused_where_it_cannot_come_from_json():
    with pytest.raises(WorldError, match="wall_mm is nan"):
        checked(replace(HARBOUR, wall_mm=float("nan")))


@given(st.binary(max_size=200))
@settings(max_examples=80, deadline=None)
def test_any_bytes_are_a_whistle_or_a_world_error(data):
    with pytest.raises(WorldError):
        decode_whistle(data, "here")


any_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3), max_leaves=8,
)


@given(key=st.sampled_from(sorted(json.loads(dump_whistle(HARBOUR)))), value=any_json)
@settings(max_examples=150, deadline=None)
def test_any_value_under_any_key_is_a_whistle_or_a_world_error(key, value):
    try:
        whistle = decode_whistle(changed(**{key: value}), "here")
    except WorldError:
        return
    assert decode_whistle(dump_whistle(whistle), "here") == whistle


@given(key=st.sampled_from([*CHAMBER_LIMITS, "letter", "note"]), value=any_json)
@settings(max_examples=100, deadline=None)
def test_any_value_in_a_chamber_is_a_whistle_or_a_world_error(key, value):
    try:
        decode_whistle(with_chamber(**{key: value}), "here")
    except WorldError:
        return


def test_a_missing_file_and_a_folder_are_told(tmp_path):
    for path in (tmp_path / "none.json", tmp_path):
        with pytest.raises(WorldError, match="could not be read"):
            load_whistle(path)


def test_a_file_too_large_to_be_a_whistle_is_not_read(tmp_path):
    path = tmp_path / "large.json"
    path.write_bytes(b" " * 1_000_001)
    with pytest.raises(WorldError, match="too large"):
        load_whistle(path)
