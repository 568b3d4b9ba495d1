"""What stands in the cells of a table, as a builder reads it."""

from __future__ import annotations

from app.drafting.outline_words import marked_words, off_words
from app.drafting.words import bare
from app.scene.table import UNITS, Column, Table, Value
from app.units import Unit, format_exact


def cell_words(value: Value, column: Column, unit: Unit) -> str:
    """A value in words: a length without its unit, which stands in the head: ``38.5``, ``1 17/32"``."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value
    if column.kind == "length":
        if column.reading:
            return marked_words(value, column.reading, unit)
        return bare(value, unit)
    if column.kind == "off":
        return off_words(value)
    return f"{value:,}" if isinstance(value, int) else format_exact(round(value, 1))


def head_words(column: Column, unit: Unit) -> str:
    """The head of a column, with the unit where its cells bear none."""
    named = "mm" if column.kind == "length" and unit is Unit.MM else UNITS.get(column.kind)
    return f"{column.head}, {named}" if named else column.head


def row_words(table: Table, most: int | None = None) -> tuple[tuple[str, ...], ...]:
    """Every row in words, or the first ``most``."""
    return tuple(
        tuple(cell_words(value, column, table.unit) for value, column in zip(row, table.columns, strict=True))
        for row in table.rows[:most]
    )
