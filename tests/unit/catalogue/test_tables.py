"""A table of the catalogue that several threads ask at once, as the pictures of a first page do."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.catalogue import tables
from app.catalogue.rows import Row
from app.catalogue.tables import CatalogueTable, rows_of


def test_a_row_is_itself_though_another_thread_had_it_first(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """While one thread reads the file another reads it too and makes the row; then the first goes on."""
    file = tmp_path / "rows.toml"
    file.write_text('[[row]]\nid = "a"\n\n[[row]]\nid = "b"\n', encoding="utf-8")
    table: CatalogueTable[object] = CatalogueTable(
        (file,), "row", lambda row, place: Row(row, place).id(), {"more": "in no file"}
    )
    others: list[object] = []

    def overtaken(path: Path, name: str) -> list[tuple[object, str]]:
        found = rows_of(path, name)
        monkeypatch.setattr(tables, "rows_of", rows_of)
        others.append(table["a"])
        return found

    monkeypatch.setattr(tables, "rows_of", overtaken)
    assert table["a"] == "a" == others[0]
    assert dict(table) == {"a": "a", "b": "b", "more": "in no file"}
