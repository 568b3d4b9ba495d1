"""Columns of the builder's own on the parts list: one more, another name, what stands in them, one less."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from app.arrange.change import Edit, words
from app.document.list_schema import CellEntry, ColumnEntry
from app.document.schema import Design
from app.document.slug import slug
from app.errors import EditError, NotFoundError
from app.model.limits import COLUMN_NAME, COLUMNS, OWN_CELL, OWN_CELLS

HEADS: Final = ("what", "name", "at", "size", "needed", "spare", "buy", "first")
"""What the list's own columns are called, in small letters: a spreadsheet with two of a name is read wrong."""


def add_column(design: Design, name: str) -> Edit:
    """Add an empty column.

    Raises:
        EditError: a name that cannot be, or as many columns as there may be.
    """
    columns = design.columns or ()
    if len(columns) >= COLUMNS.most:
        raise EditError(COLUMNS.said(len(columns) + 1), "name")
    called = _name(design, name)
    start, taken = slug(called, longest=40, empty="column"), {column.id for column in columns}
    ident = next(i for i in (start, *(f"{start}-{k}" for k in range(2, len(taken) + 3))) if i not in taken)
    return Edit(_with(design, (*columns, ColumnEntry(id=ident, name=called))), f"Added the column “{called}”")


def rename_column(design: Design, column: str, name: str) -> Edit:
    """Give a column another name; what stands in it stays.

    Raises:
        NotFoundError: there is no such column.
        EditError: a name that cannot be.
    """
    old = find_column(design, column)
    called = _name(design, name, but=old.id)
    return Edit(_put(design, old.model_copy(update={"name": called})), f"Renamed the column “{old.name}” to “{called}”")


def remove_column(design: Design, column: str) -> Edit:
    """Delete a column with all that stands in it.

    Raises:
        NotFoundError: there is no such column.
    """
    old = find_column(design, column)
    rest = tuple(c for c in design.columns or () if c.id != old.id)
    return Edit(_with(design, rest), f"Deleted the column “{old.name}”")


def set_cells(design: Design, column: str, texts: Mapping[str, str]) -> Edit:
    """Write into a column, beside the lines that are named by their key; an empty text clears. Others stay.

    Raises:
        NotFoundError: there is no such column.
        EditError: a text that is too long or not one line, or more of them than there may be.
    """
    old = find_column(design, column)
    cells, changed = {cell.line: cell.text for cell in old.cells}, 0
    for line, text in texts.items():
        plain = words(text, f"What stands in “{old.name}”", f"cell-{line}", OWN_CELL.most)
        changed += plain != cells.get(line, "")
        if plain:
            cells[line] = plain
        else:
            cells.pop(line, None)
    if len(cells) > OWN_CELLS.most:
        raise EditError(OWN_CELLS.said(len(cells)), f"cell-{next(iter(texts))}")
    entries = tuple(CellEntry(line=line, text=text) for line, text in cells.items())
    many = "1 entry" if changed == 1 else f"{changed} entries"
    said = f"Changed {many} of “{old.name}”" if changed else f"Left “{old.name}” as it was"
    return Edit(_put(design, old.model_copy(update={"cells": entries})), said)


def find_column(design: Design, column: str) -> ColumnEntry:
    """The column with that id.

    Raises:
        NotFoundError: there is none.
    """
    found = next((c for c in design.columns or () if c.id == column), None)
    if found is None:
        raise NotFoundError(f"There is no column “{column[:40]}” any more. Load the page again.")
    return found


def _name(design: Design, name: str, but: str = "") -> str:
    called = words(name, "The name of a column", "name", COLUMN_NAME.most, 1)
    taken = {c.name.casefold() for c in design.columns or () if c.id != but}
    if called.casefold() in taken or called.casefold() in HEADS:
        raise EditError(f"The list has a column “{called}” already. Give this one another name.", "name")
    return called


def _put(design: Design, column: ColumnEntry) -> Design:
    return _with(design, tuple(column if c.id == column.id else c for c in design.columns or ()))


def _with(design: Design, columns: tuple[ColumnEntry, ...]) -> Design:
    return design.model_copy(update={"columns": columns or None})
