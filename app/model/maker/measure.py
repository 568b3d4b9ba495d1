"""A measure that a maker asks, and a set of them as they were answered."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from msgspec import Struct

Value = bool | float | str
"""A number [mm, or as its measure says], a choice, or yes or no."""

MeasureKind = Literal["length", "count", "share", "choice", "yes-no"]


class Measure(Struct, frozen=True, kw_only=True):
    """One measure of a maker.

    Args:
        name: as the design file and forms call it.
        label: in a builder's words.
        kind: a length [mm], a count, a share [%], a choice, or yes or no.
        default: what it is where nobody says.
        least, most: of a number.
        choices: name and words of each choice.
        hint: where to take it, or what it is for.
        board: whether it is asked only where a board is made.
        only: another measure and its values with which this one counts; None if it always does.
    """

    name: str
    label: str
    kind: MeasureKind
    default: Value
    least: float = 0.0
    most: float = 0.0
    choices: tuple[tuple[str, str], ...] = ()
    hint: str = ""
    board: bool = False
    only: tuple[str, tuple[Value, ...]] | None = None

    def takes(self, value: Value) -> bool:
        """Whether it is of the sort that is asked, and allowed."""
        if self.kind == "choice":
            return isinstance(value, str) and value in dict(self.choices)
        if self.kind == "yes-no":
            return isinstance(value, bool)
        if isinstance(value, bool) or not isinstance(value, int | float):
            return False
        whole = self.kind != "count" or float(value).is_integer()
        return whole and self.least <= value <= self.most


class Asked(Struct, frozen=True):
    """Every measure of a maker with its value, in their order; and the display units, for messages."""

    values: tuple[tuple[str, Value], ...]
    units: str = "mm"

    def __getitem__(self, name: str) -> Value:
        return next(value for known, value in self.values if known == name)

    def number(self, name: str) -> float:
        """A length [mm], a count or a share [%]."""
        return float(self[name])

    def text(self, name: str) -> str:
        """A choice."""
        return str(self[name])

    def flag(self, name: str) -> bool:
        """Yes or no."""
        return bool(self[name])

    def changed(self, changes: Mapping[str, Value]) -> Asked:
        """The same with some other values, by name."""
        return Asked(tuple((name, changes.get(name, value)) for name, value in self.values), self.units)

    def counts(self, measure: Measure) -> bool:
        """Whether a measure is asked, beside the others as they are."""
        return measure.only is None or self[measure.only[0]] in measure.only[1]


def answered(measures: Iterable[Measure], given: Mapping[str, Value], units: str = "mm") -> Asked:
    """What was given, and the default of each measure that was not, or was given as what it cannot be."""
    found = ((m.name, given[m.name] if m.name in given and m.takes(given[m.name]) else m.default) for m in measures)
    return Asked(tuple(found), units)
