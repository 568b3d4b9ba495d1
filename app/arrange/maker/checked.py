"""Measures of a maker as they were asked for, every one that is wrong said at once beside its field."""

from __future__ import annotations

from collections.abc import Mapping

from app.arrange.change import shown
from app.arrange.maker.made import Maker
from app.errors import EditError
from app.model.maker.measure import Asked, Measure, Value, answered


def checked(maker: Maker, given: Mapping[str, Value], units: str = "mm") -> Asked:
    """Every measure with its value; what is not given has its default.

    Args:
        maker: whose.
        given: values by name of the measure: lengths [mm], shares [%].
        units: display units, for messages.

    Raises:
        EditError: a measure it does not have, or a value that is not allowed: every problem, by field.
    """
    known = {m.name: m for m in maker.measures}
    problems = {name: _unknown(maker, name) for name in given if name not in known}
    problems |= {name: _wrong(known[name], value, units) for name, value in given.items() if _bad(known, name, value)}
    if problems:
        raise EditError.of(problems)
    return answered(maker.measures, given, units)


def _bad(known: Mapping[str, Measure], name: str, value: Value) -> bool:
    return name in known and not known[name].takes(value)


def _unknown(maker: Maker, name: str) -> str:
    names = ", ".join(m.name for m in maker.measures)
    return f"The {maker.title.lower()} has no measure “{name[:40]}”. Use one of: {names}."


def _wrong(measure: Measure, value: Value, units: str) -> str:
    got = (
        f"“{value[:40]}”" if isinstance(value, str) else _yes_no(value) if isinstance(value, bool) else f"{value:,.6g}"
    )
    if measure.kind == "choice":
        return f"{measure.label} is one of {', '.join(name for name, _ in measure.choices)}; got {got}. Choose one."
    if measure.kind == "yes-no":
        return f"{measure.label} is yes or no; got {got}. Choose one."
    if measure.kind == "length":
        if isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < float("inf"):
            got = shown(value, units)
        least, most = shown(measure.least, units), shown(measure.most, units)
        return f"{measure.label} is from {least} to {most}; got {got}. Measure it again."
    whole, unit = ("a whole number ", "") if measure.kind == "count" else ("", " %")
    return f"{measure.label} is {whole}from {measure.least:g} to {measure.most:g}{unit}; got {got}. Enter it again."


def _yes_no(value: bool) -> str:
    return "yes" if value else "no"
