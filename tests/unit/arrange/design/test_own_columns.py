"""Columns of the builder's own, rates and spares: set, renamed, filled, deleted, limited, kept and read again."""

from __future__ import annotations

from functools import partial

import pytest

from app.arrange.design.own_columns import HEADS, add_column, remove_column, rename_column, set_cells
from app.arrange.design.work import set_rates, set_spares
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.keep import kept
from app.document.load import loads, recalled
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import DocumentError, EditError, NotFoundError
from app.model.limits import COLUMN_NAME, COLUMNS, OWN_CELL, OWN_CELLS
from app.paper.lists.buying import items_of, parts_table
from app.service.drawings.sheet_jobs import own_columns
from app.service.edits.bench_lists import seconds_typed
from app.shop.rates import rates_of, spares_of
from tests.unit.document.designs import small_design


def priced(design: Design | None = None) -> Design:
    return add_column(design or small_design(), "Price").design


def test_a_column_is_named_filled_renamed_and_deleted_and_travels_in_the_file() -> None:
    design = set_cells(priced(), "price", {"part.a": "3.20", "nut.37.6": " 0.40 "}).design
    design = rename_column(design, "price", "Cost").design
    again = loads(dumps(design))
    assert again == design and recalled(kept(design)) == design
    assert [(c.id, c.name) for c in again.columns or ()] == [("price", "Cost")]
    assert own_columns(again)[0].cells == {"part.a": "3.20", "nut.37.6": "0.40"}
    cleared = set_cells(design, "price", {"part.a": ""}).design
    assert own_columns(cleared)[0].cells == {"nut.37.6": "0.40"}
    gone = remove_column(cleared, "price").design
    assert gone.columns is None
    assert dumps(gone) == dumps(small_design()), "a design without columns is written as before there were any"


def test_what_each_step_did_is_said_for_undo() -> None:
    design = priced()
    assert add_column(design, "Shelf").summary == "Added the column “Shelf”"
    assert rename_column(design, "price", "Cost").summary == "Renamed the column “Price” to “Cost”"
    assert set_cells(design, "price", {"part.a": "1"}).summary == "Changed 1 entry of “Price”"
    assert set_cells(design, "price", {"part.a": ""}).summary == "Left “Price” as it was"
    assert remove_column(design, "price").summary == "Deleted the column “Price”"


@pytest.mark.parametrize("name", ["", "  ", "two\nlines", "x" * (COLUMN_NAME.most + 1), "PRICE", *HEADS])
def test_a_name_that_cannot_be_is_refused_beside_its_field(name: str) -> None:
    two = add_column(priced(), "B").design
    for change in (partial(add_column, two, name), partial(rename_column, two, "b", name)):
        with pytest.raises(EditError) as caught:
            change()
        assert caught.value.field == "name"


def test_a_few_columns_with_so_many_entries_and_no_more() -> None:
    design = small_design()
    for number in range(COLUMNS.most):
        design = add_column(design, f"Column {number}").design
    with pytest.raises(EditError, match=COLUMNS.remedy):
        add_column(design, "One more")
    full = {f"part.p{k}": "1" for k in range(OWN_CELLS.most)}
    design = set_cells(design, "column-0", full).design
    assert recalled(kept(design)) == design
    with pytest.raises(EditError, match=OWN_CELLS.remedy):
        set_cells(design, "column-0", {"part.more": "1"})
    assert set_cells(design, "column-0", {"part.p0": "", "part.more": "1"}).design != design, "as the remedy says"
    with pytest.raises(EditError) as caught:
        set_cells(priced(), "price", {"part.a": "x" * (OWN_CELL.most + 1)})
    assert caught.value.field == "cell-part.a"
    with pytest.raises(NotFoundError, match="There is no column"):
        set_cells(design, "nothing", {})


def test_columns_with_one_name_or_id_and_lines_named_twice_are_no_design() -> None:
    text = dumps(set_cells(priced(), "price", {"part.a": "1"}).design)
    for old, new in (
        ('"columns": [', '"columns": [{"id": "price", "name": "Other"}, '),
        ('"columns": [', '"columns": [{"id": "other", "name": "PRICE"}, '),
        ('"cells": [', '"cells": [{"line": "part.a", "text": "2"}, '),
    ):
        assert old in text
        with pytest.raises(DocumentError, match="there twice"):
            loads(text.replace(old, new))


def test_a_column_of_two_names_alike_in_latin_letters_gets_an_id_of_its_own() -> None:
    design = add_column(add_column(small_design(), "Préis").design, "Preis!").design
    assert [c.id for c in design.columns or ()] == ["preis", "preis-2"]
    assert add_column(small_design(), "価格").design.columns[0].id == "column"  # type: ignore[index]


def test_an_entry_stands_beside_its_line_whatever_else_changes() -> None:
    board = resolve(small_design(), None, None, catalogue())
    items = items_of([board])
    line = next(item.key for item in items if item.sort == "hardware")
    design = set_cells(priced(), "price", {line: "3.20"}).design
    table = parts_table(board, items, own_columns(design))
    assert table.columns[-1].head == "Price"
    assert [row[-1] for row, item in zip(table.rows, items, strict=True) if item.key == line] == ["3.20"]
    assert all(row[-1] == "" for row, item in zip(table.rows, items, strict=True) if item.key.startswith("board"))


def test_rates_and_spares_are_as_usual_until_they_are_set_and_again_when_they_are_cleared() -> None:
    design = small_design()
    usual = resolve(design, None, None, catalogue()).tooling
    assert (usual.rates, usual.spares) == (None, None)
    edit = set_spares(set_rates(design, {"hole": 20.0, "turning": None}).design, 0.0)
    assert edit.summary == "Set the spares to 0 %"
    tooling = resolve(loads(dumps(edit.design)), None, None, catalogue()).tooling
    assert rates_of(tooling).hole == 20.0
    assert rates_of(tooling).turning == rates_of(usual).turning == catalogue().rule("turning-seconds")
    assert spares_of(tooling) == 0.0 and spares_of(usual) == catalogue().rule("spares")
    back = set_spares(set_rates(edit.design, {"hole": None}).design, None).design
    assert dumps(back) == dumps(design)
    for wrong in (-1.0, 36_000.1, float("nan")):
        with pytest.raises(EditError, match="0 to 600 minutes"):
            set_rates(design, {"hole": wrong})
    for wrong in (-1.0, 100.1):
        with pytest.raises(EditError, match="from 0 to 100"):
            set_spares(design, wrong)


@pytest.mark.parametrize(
    ("text", "seconds"),
    [("20 s", 20), ("20s", 20), ("1.5 min", 90), ("1,5", 90), ("2", 120), ("0", 0), ("2 minutes", 120), ("1 h", 3600)],
)
def test_a_time_is_typed_as_it_is_said(text: str, seconds: float) -> None:
    assert seconds_typed(text, "hole") == seconds


def test_no_time_is_the_usual_time_and_what_is_none_is_refused() -> None:
    assert seconds_typed("  ", "hole") is None
    for text in ("soon", "-1 s", "5 m", "1e9", "601", "nan", "1 2"):
        with pytest.raises(EditError, match="is no time") as caught:
            seconds_typed(text, "hole")
        assert caught.value.field == "hole"
