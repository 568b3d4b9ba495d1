"""Tables as CSV and JSON: read back by Python's own readers, with the same values, and nothing a spreadsheet reckons.

RFC 4180 for CSV (CRLF, quotes doubled), RFC 8259 for JSON; CWE-1236 for what begins a formula.
"""

from __future__ import annotations

import csv
import io
import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import WriterError
from app.scene.table import Column, Table
from app.units import INCH, Unit
from app.writers import table_csv, table_json

COLUMNS = (
    Column("part", "Part"),
    Column("count", "How many", "count"),
    Column("left", "From the left", "length", 0.5),
    Column("off", "Off", "off"),
)


def table(*rows: tuple[str, int, float | None, float], unit: Unit = Unit.MM) -> Table:
    return Table("holes", "Holes", COLUMNS, rows, unit)


def read(data: bytes) -> list[list[str]]:
    text = data.decode("utf-8-sig")
    assert "\n" not in text.replace("\r\n", "")
    return list(csv.reader(io.StringIO(text, newline=""), strict=True))


@pytest.mark.parametrize(("unit", "head", "want"), [(Unit.MM, "mm", "38.1"), (Unit.INCH, "in", "1.5")])
def test_lengths_are_plain_numbers_of_the_unit_shown(unit: Unit, head: str, want: str) -> None:
    """38.1 mm is 1.5 in: never 1 1/2, which a spreadsheet takes for a day, nor a comma."""
    data = table(('A, "left"', 1200, 38.1, -0.0), ("B", 2, None, 0.25), unit=unit)
    assert read(table_csv.write(data)) == [
        ["Part", "How many", f"From the left [{head}]", "Off [mm]"],
        ['A, "left"', "1200", want, "0"],
        ["B", "2", "", "0.25"],
    ]


@pytest.mark.parametrize("word", ["=1+1", "+A1", "-2", "@x", "\tx", "\rx"])
def test_no_word_is_reckoned_by_a_spreadsheet(word: str) -> None:
    assert read(table_csv.write(table((word, 1, 1.0, 0.0))))[1][0] == f"'{word}"


@given(st.lists(st.tuples(st.text(max_size=20), st.integers(0, 10**6), st.floats(-5000, 5000), st.floats(-1, 1))))
def test_csv_and_json_say_the_same(rows: list[tuple[str, int, float, float]]) -> None:
    data = table(*rows, unit=Unit.INCH)
    objects = json.loads(table_json.write([data]))["holes"]
    lines = list(csv.reader(io.StringIO(table_csv.write(data).decode("utf-8-sig"), newline="")))[1:]
    assert len(objects) == len(lines) == len(rows)
    for row, one, line in zip(rows, objects, lines, strict=True):
        assert one["part"] == row[0] == line[0].removeprefix("'") or row[0].startswith("'")
        assert one["count"] == row[1] == int(line[1])
        assert one["left"] == pytest.approx(row[2], abs=1e-6) == pytest.approx(float(line[2]) * INCH, abs=2e-5)
        assert float(line[3]) == pytest.approx(one["off"], abs=6e-4)


def test_a_row_that_does_not_fit_is_refused() -> None:
    with pytest.raises(WriterError, match="holes"):
        Table("holes", "Holes", COLUMNS, (("A", 1),), Unit.MM)
