"""Tables: columns and rows of plain values, which pages, sheets and files of other programs show alike."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal

from msgspec import Struct

from app.errors import WriterError
from app.units import Unit

Kind = Literal["text", "count", "length", "off", "share", "minutes", "milliamps", "tick"]
"""What a column holds: words; a number of things; a length [mm]; what rounding adds to one [mm]; a share [%];
… a ``tick`` is a box on paper, and nothing elsewhere."""

UNITS: Final[Mapping[Kind, str]] = MappingProxyType({"off": "mm", "share": "%", "minutes": "min", "milliamps": "mA"})
"""What numbers are given in whose unit is always the same."""

Value = str | int | float | None
"""What a cell holds; None where there is nothing to say."""


class Column(Struct, frozen=True):
    """A column of a table.

    Args:
        name: in files for other programs, as ``left``.
        head: at its head, as ``From the left``.
        kind: what it holds.
        reading: what a rule is divided in, of which every length is a whole number [mm]; 0 for lengths as they are.
    """

    name: str
    head: str
    kind: Kind = "text"
    reading: float = 0.0

    @property
    def is_number(self) -> bool:
        """Whether its cells are set to the right, under one another."""
        return self.kind not in ("text", "tick")


class Table(Struct, frozen=True):
    """A table.

    Args:
        name: in files for other programs, as ``holes``.
        title: what stands above it.
        columns: its columns.
        rows: a value for each column; lengths in mm whatever unit is shown.
        unit: which lengths are shown in.
        notes: sentences below its title.

    Raises:
        WriterError: a row is not as long as there are columns, or two columns bear one name.
    """

    name: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    unit: Unit
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        names = [column.name for column in self.columns]
        if len(set(names)) < len(names) or any(len(row) != len(names) for row in self.rows):
            raise WriterError(f"The table “{self.name}” has a row that does not fit its columns. Please report it.")
