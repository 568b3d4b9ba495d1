"""Tables as CSV (RFC 4180): numbers as numbers in the unit that is shown, words that no spreadsheet reckons with."""

from __future__ import annotations

import csv
import io
from typing import Final

from app.scene.table import UNITS, Column, Table, Value
from app.units import INCH, Unit

_RECKONED: Final = ("=", "+", "-", "@", "\t", "\r")
"""What words begin with that a spreadsheet would work out as a formula (CWE-1236)."""


def write(table: Table) -> bytes:
    """The table with a line of heads, UTF-8 with a byte order mark, by which spreadsheets know it.

    A length in inches is a decimal number: a fraction such as 3/8 would be read as a day in August.
    """
    text = io.StringIO()
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow([head_of(column, table.unit) for column in table.columns])
    for row in table.rows:
        lines.writerow([_cell(value, column, table.unit) for value, column in zip(row, table.columns, strict=True)])
    return text.getvalue().encode("utf-8-sig")


def head_of(column: Column, unit: Unit) -> str:
    """The head of a column with its unit, as ``From the left [mm]``."""
    named = ("in" if unit is Unit.INCH else "mm") if column.kind == "length" else UNITS.get(column.kind, "")
    return _plain(f"{column.head} [{named}]" if named else column.head)


def _cell(value: Value, column: Column, unit: Unit) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return _plain(value)
    if column.kind == "length":
        value = round(value / INCH, 6) if unit is Unit.INCH else round(value, 3)
    elif isinstance(value, float):
        value = round(value, 3)
    return f"{value + 0.0:.6f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def _plain(words: str) -> str:
    """Words that a spreadsheet leaves alone."""
    return f"'{words}" if words.startswith(_RECKONED) else words
