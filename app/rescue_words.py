"""Ways out in the maker's words, and as keys for other programs; no figure closer than it is known."""
from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from acoustics.rescue import FlatPlug
from app.asking import INCH_STEP_MM
from app.rescues import CanPlay, FlatWays, Lowering, ShortWays, WaysOut, Wood
from app.wording import amount_text, length_text, within_text

KEY = "O: other ways out"  # on the line of keys
TOO_SHORT = "Key O: what this wood can still play."
LAY_OUT_ANEW = "To take one, lay this whistle out anew with those notes: its blows stay, its plugs may want new wood."
NO_WAYS = "No wood has run out on this chamber: trim it, move it or blow it as the bench says."
TAKE_DOWN_HERE = "Type l to take the whole chord down; f takes that back."
NOT_DOWN = "Here the whole chord cannot be taken down."


def heading(ways: WaysOut) -> str:
    if isinstance(ways, FlatWays):
        return f"Ways out for plug {ways.letter}"
    return "What this wood can still play"


def bench_text(ways: FlatWays, asks_disc: bool) -> str:
    """One sentence behind the bench's own, which may have named the disc; the rest is one key away."""
    others = ["a disc"] if ways.has_disc and not asks_disc else []
    others += ["a new plug"] if ways.flat is not None else []
    others += [f"the whole chord {_cents_down(ways.lowering)} down"] if ways.lowering is not None else []
    return f"Or {', or '.join(filter(None, (', '.join(others[:-1]), others[-1])))}: key O." if others else ""


def ways_lines(ways: WaysOut, units: str) -> tuple[str, ...]:
    """Every way out, a line each; the first says what is amiss."""
    return tuple(_short_lines(ways) if isinstance(ways, ShortWays) else _flat_lines(ways, units))


def ways_json(ways: WaysOut | None) -> dict[str, Any] | None:
    """The same for other programs; a way that is not there is null."""
    if ways is None:
        return None
    if isinstance(ways, ShortWays):
        return {"bore_lowest_hz": ways.lowest_hz, "can_play": [_can_play_json(each) for each in ways.chords]}
    flat = ways.flat
    return {
        "push_in_mm": flat and flat.push_in_mm, "disc_mm": flat.disc_mm if flat and ways.has_disc else None,
        "new_plug_length_mm": flat and flat.new_plug_mm, "uncertainty_mm": flat and flat.sd_mm,
        "lower_chord": _lowering_json(ways.lowering),
    }


# ---- a flat plug ---------------------------------------------------------------------------------------------------
def _flat_lines(ways: FlatWays, units: str) -> Iterator[str]:
    flat, letter = ways.flat, ways.letter
    if flat is None:
        yield f"Plug {letter} is too short, and its bore has no room to bring it in."
    else:
        yield f"Plug {letter} is {_known(flat.push_in_mm, flat, units)} short, two times in three within " \
              f"{within_text(flat.sd_mm, units)}. Trimming cannot mend it; one of these can:"
        yield f"Push it in by {_known(flat.push_in_mm, flat, units)}, and fill behind it so that it stays."
        if ways.has_disc:
            yield f"Glue a disc of the same dowel on its inner face, {_known(flat.disc_mm, flat, units)} thick."
        yield f"Cut a new plug, {length_text(flat.new_plug_mm, units)} long and flush; a little longer can be trimmed."
    if ways.lowering is not None:
        yield _lowering_text(letter, ways.lowering, units)


def _lowering_text(letter: str, lowering: Lowering, units: str) -> str:
    within = max(1, math.ceil(lowering.sd_cents - 1e-9))
    parts = [f"Take the whole chord {_cents_down(lowering)} down, within {within}: the intervals stay."]
    stays = "" if any(each.letter == letter for each in lowering.wood) else f"Plug {letter} stays as it is. "
    loses = "; ".join(_wood_text(each, units) for each in lowering.wood)
    parts.append(f"{stays}{'Off the others: ' if stays and loses else 'Off the plugs: ' if loses else ''}{loses}"
                 f"{'.' if loses else ''}".strip())
    if lowering.uncut:
        parts.append(f"What is not cut yet ({', '.join(lowering.uncut)}) is cut to the lower note.")
    return " ".join(filter(None, parts))


def _wood_text(wood: Wood, units: str) -> str:
    return f"{wood.letter} {_rounded(wood.take_off_mm, wood.sd_mm, units)}, within {within_text(wood.sd_mm, units)}"


def down_text(lowered_cents: float) -> str:
    """Among the conditions, once it was taken down: "chord 12 cents down"."""
    return f"chord {_cents(abs(lowered_cents))} {'down' if lowered_cents < 0.0 else 'up'}"


def _cents_down(lowering: Lowering) -> str:
    return _cents(-lowering.shift_cents)


def _cents(cents: float) -> str:
    n_cents = max(1, round(cents))
    return f"{n_cents} cent{'s' if n_cents != 1 else ''}"


def _known(amount_mm: float, flat: FlatPlug, units: str) -> str:
    return _rounded(amount_mm, flat.sd_mm, units)


def _rounded(amount_mm: float, sd_mm: float, units: str) -> str:
    """No finer than it is known: tenths, halves or whole millimetres, as its spread is rounded."""
    step_mm = 0.1 if sd_mm < 0.5 else 0.5 if sd_mm < 2.0 else 1.0
    shown_step_mm = INCH_STEP_MM if units == "inch" else step_mm
    shown_mm = max(1, round(amount_mm / shown_step_mm)) * shown_step_mm
    return f"{'' if step_mm == 0.1 else 'about '}{amount_text(shown_mm + 1e-6, units)}"


def _lowering_json(lowering: Lowering | None) -> dict[str, Any] | None:
    return lowering and {
        "shift_cents": lowering.shift_cents, "shift_sd_cents": lowering.sd_cents,
        "trims": [
            {"name": each.letter, "take_off_mm": each.take_off_mm, "uncertainty_mm": each.sd_mm}
            for each in lowering.wood
        ],
    }


# ---- a bore too short ----------------------------------------------------------------------------------------------
def _short_lines(ways: ShortWays) -> Iterator[str]:
    yield f"Bore {ways.letter} is too short for its note: it reaches down to " \
          f"{_note_text(ways.lowest_note, ways.lowest_off_cents)}, with plug to spare."
    if not ways.chords:
        yield "No chord of so many notes can be played on these bores as they are: a new body, with longer ones."
        return
    yield "These it can still play with plug to spare, nearest first:"
    for each in ways.chords:
        yield f"{_chord_text(each)}."
    yield LAY_OUT_ANEW


def _chord_text(chord: CanPlay) -> str:
    name = f"the {chord.name}" if chord.name else "the same intervals"
    again = " again" if chord.as_wished and chord.name else ""
    intervals = f" ({chord.intervals})" if chord.intervals else ""
    return f"{name[:1].upper()}{name[1:]}{again}, on {chord.notes[0]}: {' '.join(chord.notes)}{intervals}"


def _note_text(note: str, off_cents: float) -> str:
    """Upwards to the next 10 cents: a bore is never said to reach lower than it does."""
    up = math.ceil(off_cents / 10.0 - 1e-9) * 10
    return note if not up else f"{note} {'+' if up > 0 else '−'}{abs(up)} cents"


def _can_play_json(chord: CanPlay) -> dict[str, Any]:
    return {
        "chord": chord.name or None, "as_wished": chord.as_wished, "intervals": chord.intervals or None,
        "notes": list(chord.notes), "target_hz": list(chord.target_hz), "margin_mm": chord.margin_mm,
    }
