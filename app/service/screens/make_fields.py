"""Measures of a maker, and where it stands on a board, as fields: what is shown, and what was typed into them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final

from msgspec import Struct

from app.arrange.maker.checked import checked
from app.arrange.maker.made import Maker
from app.arrange.maker.make import pose_at
from app.drafting.words import exact
from app.errors import EditError, LengthError
from app.model.maker.measure import Asked, Measure, Value, answered
from app.numbers import typed as typed_number
from app.service.edits.makers import measures_typed
from app.service.screens.choices import Choice
from app.units import Unit, format_exact, parse_length

MEASURE: Final = "m-"
"""What the name of a field begins with that holds a measure: a page has fields of its own besides."""

_PLACE: Final = {"x": "Its middle, from the left", "y": "Its middle, from the front", "angle": "Turned, degrees"}

FIELDS: Final = frozenset({*_PLACE, *(f"{name}.was" for name in _PLACE), "on", "reset"})
"""The other fields of a page of a maker."""


class FieldSeen(Struct, frozen=True):
    """One field.

    Args:
        name: of the field.
        label: in a builder's words.
        hint: where to take it; empty for none.
        value: as it is typed.
        was: as it was shown before anybody typed.
        choices: where one is chosen; none where it is typed.
        shown: whether it counts beside the others as they are; one that does not keeps what stands in it.
    """

    name: str
    label: str
    hint: str
    value: str
    was: str
    choices: tuple[Choice, ...] = ()
    shown: bool = True


def measure_fields(
    measures: Iterable[Measure], typed: Mapping[str, str], known: Asked, asked: Asked, unit: Unit
) -> tuple[FieldSeen, ...]:
    """Measures as fields.

    Args:
        measures: which.
        typed: text by field.
        known: their values before anybody typed.
        asked: their values now.
        unit: of lengths.
    """
    found = []
    for measure in measures:
        name, was = MEASURE + measure.name, _text(measure, known[measure.name], unit)
        value = typed.get(name, "").strip() or was
        options = (("yes", "yes"), ("no", "no")) if measure.kind == "yes-no" else measure.choices
        choices = tuple(Choice(key, words, key == value) for key, words in options)
        label = f"{measure.label}, %" if measure.kind == "share" else measure.label
        found.append(FieldSeen(name, label, measure.hint, value, was, choices, asked.counts(measure)))
    return tuple(found)


def measures_changed(
    maker: Maker, typed: Mapping[str, str], known: Asked, unit: Unit
) -> tuple[dict[str, Value], dict[str, str]]:
    """What was typed other than it was shown, by measure, and a sentence by field for all that is not allowed.

    The screen rounds, the design does not: a field that still shows what was shown is left exactly as it is. What is
    wrong with a measure that does not count beside the others is not told, as nobody sees its field.
    """
    given, problems = dict[str, Value](), dict[str, str]()
    for measure in maker.measures:
        text = typed.get(MEASURE + measure.name, "").strip()
        if not text or text == _text(measure, known[measure.name], unit):
            continue
        try:
            read = measures_typed(maker.name, {measure.name: text}, unit)
            checked(maker, read, unit.value)
            given |= read
        except EditError as error:
            problems[measure.name] = str(error)
    asked = answered(maker.measures, {**dict(known.values), **given})
    seen = {m.name for m in maker.measures if asked.counts(m)}
    return given, {MEASURE + name: said for name, said in problems.items() if name in seen}


def in_unit(maker: Maker, typed: Mapping[str, str], known: Asked, unit: Unit) -> Mapping[str, str]:
    """What was typed while another unit was shown: a length without a unit gets the one that was meant.

    What only stood there is left out, so that no hole moves by the rounding of the screen.

    Args:
        maker: whose fields.
        typed: text by field, and under ``unit`` that of the screen it was typed on.
        known: the measures before anybody typed.
        unit: that is shown now.
    """
    meant = next((u for u in Unit if u.value == typed.get("unit")), unit)
    if meant == unit:
        return typed
    lengths = {MEASURE + m.name: _text(m, known[m.name], meant) for m in maker.measures if m.kind == "length"}
    lengths |= {name: typed.get(f"{name}.was", "") for name in ("x", "y")}
    suffix = {Unit.MM: " mm", Unit.INCH: '"'}[meant]
    found = {name: text for name, text in typed.items() if text != lengths.get(name)}
    return found | {n: text + suffix for n, text in found.items() if n in lengths and _is_bare(text)}


def _is_bare(text: str) -> bool:
    """Whether a length means another one in the other unit."""
    try:
        return parse_length(text, Unit.MM) != parse_length(text, Unit.INCH)
    except LengthError:
        return False


def field_of(maker: Maker, name: str) -> str:
    """The field that a refusal is about; the form, where it is about none."""
    return MEASURE + name if any(m.name == name for m in maker.measures) else name if name in _PLACE else "form"


def place_texts(x: float, y: float, angle: float, unit: Unit) -> dict[str, str]:
    """Where a maker stands on its board [mm, degrees], as it is typed."""
    return {"x": exact(x, unit), "y": exact(y, unit), "angle": format_exact(round(angle, 3) + 0.0)}


def place_fields(typed: Mapping[str, str], place: Mapping[str, str]) -> tuple[FieldSeen, ...]:
    """The same as fields."""
    return tuple(FieldSeen(n, _PLACE[n], "", _own(typed, n) or text, text) for n, text in place.items())


def place_typed(
    typed: Mapping[str, str], place: Mapping[str, str], unit: Unit
) -> tuple[dict[str, float], dict[str, str]]:
    """What of a place was typed other than it was shown [mm, degrees], and a sentence by field for what is not allowed.

    Args:
        typed: text by field, and under ``x.was`` what ``x`` was shown with: what is typed stays on another board.
        place: text by field, as it stands.
        unit: of lengths.
    """
    found, problems = dict[str, float](), dict[str, str]()
    for name, was in place.items():
        text = _own(typed, name)
        if not text or text == was:
            continue
        try:
            value = _degrees(text) if name == "angle" else _length(text, name, unit)
            pose_at(**{"x": 0.0, "y": 0.0, "angle": 0.0, name: value})
            found[name] = value
        except EditError as error:
            problems[name] = str(error)
    return found, problems


def _own(typed: Mapping[str, str], name: str) -> str:
    """What somebody typed into a field of a place; empty where it holds what it was shown with."""
    text = typed.get(name, "").strip()
    return "" if text == typed.get(f"{name}.was", "") else text


def _length(text: str, name: str, unit: Unit) -> float:
    try:
        return parse_length(text, unit, what=_PLACE[name])
    except LengthError as error:
        raise EditError(str(error), name) from None


def _degrees(text: str) -> float:
    number = typed_number(text.rstrip("°").strip().replace(",", ".").replace("−", "-"))
    if number is None:
        raise EditError(f"“{text[:40]}” is not a number of degrees. Write it like 90 or 22.5.", "angle")
    return number


def _text(measure: Measure, value: Value, unit: Unit) -> str:
    if measure.kind == "length":
        return exact(float(value), unit)
    if measure.kind == "yes-no":
        return "yes" if value else "no"
    return str(value) if measure.kind == "choice" else format_exact(float(value))
