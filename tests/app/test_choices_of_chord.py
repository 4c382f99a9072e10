"""What a wood can play: roots by how surely, other names of the same notes, inversions."""
from __future__ import annotations

from dataclasses import replace

import librosa
import pytest

from acoustics.notes import CHORDS, Chord, chord_hz, chord_named, note_hz
from acoustics.tuning import Priors
from acoustics.units import cents_between
from app.body import Body, Stock
from app.choices_of_chord import Sureness, choices, compass, longest_bore_mm, most_chambers, sureness
from app.chord_kin import (
    also_called,
    chord_called,
    intervals_of,
    inverted,
    kin_of,
    n_turns,
    turned_from,
)
from app.errors import WorldError
from app.whistle import Whistle, checked, whistle_of

MAJOR_SIXTH = chord_named("major sixth")


def wood(n_chambers: int = 4, **changes: object) -> Whistle:
    targets_hz = [880.0 * 2.0 ** (i / 12.0) for i in range(n_chambers)]
    whistle = whistle_of("wood", targets_hz, [""] * n_chambers, bore_mm=12.7, bore_length_mm=132.0,
                         window_width_mm=10.0, window_height_mm=6.0)
    return checked(replace(whistle, **changes))


# ---- kin and inversions ------------------------------------------------------------------------------------------
def test_a_major_sixth_is_the_minor_seventh_a_major_sixth_above_its_lowest_note() -> None:
    """Published: every book of harmony (C E G A is A C E G); from memory."""
    assert {kin.chord.name: kin.steps_up for kin in kin_of(MAJOR_SIXTH)}["minor seventh"] == 9
    half_diminished = {kin.chord.name: kin.steps_up for kin in kin_of(chord_named("minor sixth"))}
    assert half_diminished == {"half-diminished seventh": 9}


@pytest.mark.parametrize("chord", CHORDS, ids=lambda chord: chord.name)
def test_kin_hold_the_same_notes_by_name_as_a_general_library_names_them(chord) -> None:
    def names(steps: tuple[int, ...], root: int) -> set[str]:
        return {librosa.midi_to_note(root + step, octave=False) for step in steps}

    for kin in kin_of(chord):
        assert names(kin.chord.equal_steps, 60 + kin.steps_up) == names(chord.equal_steps, 60)


def test_every_pair_of_kin_is_found_from_both_sides() -> None:
    for chord in CHORDS:
        for kin in kin_of(chord):
            # Names come unturned and without doubling: the way back leads to some chord of the first one's notes.
            backs = {frozenset((step + back.steps_up + kin.steps_up) % 12 for step in back.chord.equal_steps)
                     for back in kin_of(kin.chord)}
            assert frozenset(step % 12 for step in chord.equal_steps) in backs


@pytest.mark.parametrize(("name", "others"), [
    # derived by hand: F A C D and D F A C; F Ab C D and D F Ab C; F G C, C F G and G C F; F G A C D, D F G A C
    ("major sixth", ("minor seventh on D",)), ("major sixth with octave", ("minor seventh on D",)),
    ("major sixth, first inversion", ("minor seventh on A\u266f",)), ("minor sixth", ("half-diminished seventh on D",)),
    ("suspended second", ("suspended fourth on C", "stacked fourths on G")),
    ("major pentatonic", ("minor pentatonic on D", "major sixth with ninth on F")),
    # Turned over or doubled only: no other name
    ("major triad, first inversion", ()), ("minor triad", ()), ("diminished seventh with octave", ()),
    ("perfect fourth", ()), ("minor third", ()), ("octave", ()),
])
def test_both_names_of_one_set_of_notes_are_given_and_a_mere_turn_is_none(name: str, others: tuple[str, ...]) -> None:
    assert also_called(chord_named(name), note_hz("F5"), 440.0) == others


def test_a_chord_turned_over_has_the_other_name_that_it_has_unturned() -> None:
    # derived by hand: Ab C D F, the minor sixth on F with F an octave up, is D F Ab C too
    turned = inverted(chord_named("minor sixth"), 1)
    assert also_called(turned, note_hz("G#5"), 440.0) == ("half-diminished seventh on D",)


@pytest.mark.parametrize("just", [False, True])
@pytest.mark.parametrize("chord", CHORDS, ids=lambda chord: chord.name)
def test_every_chord_and_turn_is_known_again_by_its_notes(chord: Chord, just: bool) -> None:
    for number in range(n_turns(chord)):
        turned = inverted(chord, number)
        if just and turned.just_ratio is None:
            continue
        called = chord_called(chord_hz(turned, 611.0, just), 0.05)
        assert called is not None
        assert called.chord.equal_steps == turned.equal_steps
        assert chord_hz(called.chord, 611.0, called.just) == pytest.approx(chord_hz(turned, 611.0, just))
        assert inverted(*turned_from(turned)) == turned


def test_what_is_further_off_than_asked_is_not_called_by_the_chord() -> None:
    off_hz = list(chord_hz(MAJOR_SIXTH, 600.0))
    off_hz[2] *= 2.0 ** (12.0 / 1200.0)
    assert chord_called(off_hz, 11.9) is None
    assert chord_called(off_hz, 12.1).chord == MAJOR_SIXTH
    with pytest.raises(WorldError, match="lost chord is not among"):
        turned_from(Chord("lost chord", (0, 1)))


@pytest.mark.parametrize(("name", "number", "steps"), [
    # derived by hand: the lowest notes an octave up, counted from the new lowest
    ("major triad", 1, (0, 3, 8)), ("major triad", 2, (0, 5, 9)), ("major sixth", 3, (0, 3, 7, 10)),
    ("minor sixth", 1, (0, 4, 6, 9)), ("major sixth with octave", 1, (0, 3, 5, 8, 12)),
    ("major triad with ninth", 1, (0, 3, 8, 10)), ("major sixth", 0, (0, 4, 7, 9)),
    # the octave is there already: C E G A C D is E G A C D E, then G A C D E G
    ("major sixth with octave and ninth", 1, (0, 3, 5, 8, 10, 12)),
    ("major sixth with octave and ninth", 2, (0, 2, 5, 7, 9, 12)),
    ("perfect fifth", 1, (0, 5)), ("diminished triad", 2, (0, 6, 9)),
])
def test_an_inversion_raises_the_lowest_notes_by_an_octave(name: str, number: int, steps: tuple[int, ...]) -> None:
    assert inverted(chord_named(name), number).equal_steps == steps


def test_an_inversion_that_has_a_name_bears_it_and_its_just_form_holds_the_same_ratios() -> None:
    assert inverted(chord_named("major triad"), 1) == chord_named("major triad, first inversion")
    turned = inverted(chord_named("minor sixth"), 1)
    assert turned.name == "minor sixth, first inversion"
    twice = inverted(inverted(chord_named("dominant seventh with octave"), 1), 1)
    assert twice.name == "dominant seventh with octave, second inversion"
    # derived by hand: 30:36:45:50 with the lowest doubled is 36:45:50:60
    assert turned.just_ratio == (36, 45, 50, 60)
    for just_hz, equal_hz in zip(chord_hz(turned, 600.0, True), chord_hz(turned, 600.0), strict=True):
        assert abs(cents_between(just_hz, equal_hz)) < 35.0


@pytest.mark.parametrize("number", [-1, 4, 99])
def test_an_inversion_that_a_chord_does_not_have_is_refused_with_its_limit(number: int) -> None:
    with pytest.raises(WorldError, match=f"The inversion is {number}; major sixth has from 0 .* to 3"):
        inverted(MAJOR_SIXTH, number)


def test_intervals_are_named_above_the_lowest_note() -> None:
    assert intervals_of(MAJOR_SIXTH) == "major third, fifth, major sixth"
    assert intervals_of(chord_named("major triad with ninth")) == "major third, fifth, major ninth"


# ---- compass -----------------------------------------------------------------------------------------------------
def test_sure_lies_within_likely_on_both_sides() -> None:
    room = compass(wood())
    assert room.lowest_likely_hz < room.lowest_sure_hz < room.highest_sure_hz < room.highest_likely_hz


def test_the_lowest_likely_note_is_the_bore_less_one_width_of_plug() -> None:
    """Derived by hand: 132 - 12.7 + 11.97 = 131.3 mm of c / 4f at 343.4 m/s, less 1 % for the wall: 647 Hz."""
    assert compass(wood()).lowest_likely_hz == pytest.approx(647.0, rel=0.01)


def test_sure_and_likely_are_two_standard_deviations_apart_as_the_windows_share_says() -> None:
    """Derived by hand: 20 % of 11.97 mm is 2.4 mm; at 1731 / 131 = 13.2 cents a mm that is 32 cents, and 5 of air."""
    room = compass(wood())
    assert cents_between(room.lowest_sure_hz, room.lowest_likely_hz) == pytest.approx(2.0 * 32.0, abs=3.0)


def test_what_earlier_whistles_taught_narrows_what_is_only_likely() -> None:
    taught = Priors(window_log_sd=0.05, window_own_sd=0.03, air_sd_cents=2.0)
    first, later = compass(wood()), compass(wood(), taught)
    assert later.lowest_sure_hz < first.lowest_sure_hz
    assert later.sd_cents < 0.4 * first.sd_cents
    # 31 cents below the sure root of a first whistle, above that of a later one
    between_hz = 0.5 * (first.lowest_sure_hz + later.lowest_sure_hz)
    assert sureness(MAJOR_SIXTH, between_hz, first) is Sureness.LIKELY
    assert sureness(MAJOR_SIXTH, between_hz, compass(wood(), taught)) is Sureness.SURE


def test_a_window_that_read_long_before_lets_the_same_bore_play_lower() -> None:
    assert compass(wood(), Priors(window_log=0.2)).lowest_likely_hz < compass(wood()).lowest_likely_hz


def test_a_longer_bore_plays_lower_and_a_short_bit_makes_it_shorter() -> None:
    longer = wood(chambers=tuple(replace(c, bore_length_mm=160.0) for c in wood().chambers))
    assert compass(longer).lowest_sure_hz < compass(wood()).lowest_sure_hz
    short_bit = replace(longer, stock=Stock(bit_reach_mm=60.0))
    assert longest_bore_mm(short_bit) == pytest.approx(2 * 60.0 - 5.0 - 12.7)
    assert compass(short_bit).lowest_sure_hz > compass(longer).lowest_sure_hz


def test_a_bore_with_no_room_for_plug_and_air_offers_nothing() -> None:
    stubby = wood(chambers=tuple(replace(c, bore_length_mm=45.0) for c in wood().chambers))
    assert compass(stubby).lowest_likely_hz is None
    assert choices(compass(stubby), 6) == ()


@pytest.mark.parametrize(("body_mm", "most"), [(29.0, 0), (38.0, 2), (41.0, 3), (44.4, 4), (49.2, 5), (54.2, 6)])
def test_a_body_holds_as_many_half_inch_bores_as_the_trade_table_says(body_mm: float, most: int) -> None:
    """Worked by hand from the circle: 4 mm walls want 37.4, 40, 44.3, 49.1 and 54.1 mm for 2 to 6 bores."""
    assert most_chambers(wood(body=Body(diameter_mm=body_mm))) == most
    assert most_chambers(wood(stock=Stock(blank_width_mm=body_mm + 3.175))) == most


def test_chords_are_offered_with_most_chambers_first_and_none_with_more_than_fit() -> None:
    found = choices(compass(wood()), 4)
    sizes = [len(choice.chord.equal_steps) for choice in found]
    assert sizes == sorted(sizes, reverse=True)
    assert max(sizes) == 4
    assert {2, 3, 4} == set(sizes)
    everything = choices(compass(wood()), 6)
    assert {len(choice.chord.equal_steps) for choice in everything} == {2, 3, 4, 5, 6}


def test_every_number_of_chambers_has_several_chords_that_this_wood_surely_plays() -> None:
    """And some of each lie within the octave that one window for all serves."""
    sure = [choice.chord.equal_steps for choice in choices(compass(wood()), 6) if choice.lowest_sure]
    for n_chambers in range(2, 7):
        assert sum(len(steps) == n_chambers and steps[-1] <= 12 for steps in sure) >= 5


def test_a_choice_names_its_notes_and_their_other_name() -> None:
    choice = choices(compass(wood()), 4, 440.0, (MAJOR_SIXTH,))[0]
    assert choice.notes == ("F5", "A5", "C6", "D6")
    assert "minor seventh on D" in choice.same_notes
    assert (choice.lowest_likely, choice.lowest_sure) == ("E5", "F5")


def test_another_concert_pitch_moves_the_roots() -> None:
    low = choices(compass(wood(a4_hz=415.0)), 4, 415.0, (MAJOR_SIXTH,))[0]
    assert low.lowest_sure == "F♯5"  # derived by hand: 415 is a semitone lower
