"""Tables as JSON: for scripts, every length in mm."""

from __future__ import annotations

import json
from collections.abc import Iterable

from app.scene.table import Table, Value


def write(tables: Iterable[Table]) -> bytes:
    """An object with a list of rows for each table, by its name; a row is an object by names of columns."""
    found = {
        table.name: [{c.name: _plain(value) for c, value in zip(table.columns, row, strict=True)} for row in table.rows]
        for table in tables
    }
    return (json.dumps(found, indent=2, ensure_ascii=False) + "\n").encode("utf-8")


def _plain(value: Value) -> Value:
    return round(value, 6) + 0.0 if isinstance(value, float) else value
