"""The parts list as a table, what has to be measured first on top."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.words import exact, unit_of
from app.model.resolved import ResolvedBoard
from app.scene.table import Column, Table, Value
from app.shop.parts_list import Item, parts_list
from app.units import INCH, Unit, format_exact

_SQUARE_METRE = 1e6
_SQUARE_FOOT = (12 * INCH) ** 2


def parts_table(board: ResolvedBoard) -> Table:
    """Everything to buy for one arrangement of a board, with the usual spares."""
    unit = unit_of(board)
    items = parts_list(board, catalogue().rule("spares"))
    typical = sum(not item.measured for item in items)
    columns = (
        Column("sort", "What"),
        Column("name", "Name"),
        Column("letters", "At"),
        Column("size", "Size"),
        Column("count", "Needed", "count"),
        Column("spare", "Spare", "count"),
        Column("buy", "Buy", "count"),
        Column("first", "First"),
    )
    notes = (
        f"{typical} of these have typical sizes: measure yours before you drill." if typical
        else "All sizes were measured, or come from a data sheet.",
    )  # fmt: skip
    return Table("parts", "Parts list", columns, tuple(_row(item, unit) for item in items), unit, notes)


def _row(item: Item, unit: Unit) -> tuple[Value, ...]:
    first = "" if item.measured else "choose its length" if item.sort == "screw" else "measure it"
    sort = "part" if item.sort == "hardware" else item.sort
    letters, size = ", ".join(item.letters), _size(item, unit)
    return (sort, item.name, letters, size, item.count, item.spare, item.total, first)


def _size(item: Item, unit: Unit) -> str:
    if item.sort == "board" and item.size is not None and item.area is not None:
        area = item.area / (_SQUARE_FOOT if unit is Unit.INCH else _SQUARE_METRE)
        return (
            f"{exact(item.size, unit)} thick, {format_exact(round(area, 3))} {'sq ft' if unit is Unit.INCH else 'm²'}"
        )
    if item.sort == "moulding" and item.size is not None:
        metres = item.size / (12 * INCH if unit is Unit.INCH else 1000.0)
        return f"{format_exact(round(metres, 2))} {'ft' if unit is Unit.INCH else 'm'}"
    return f"{exact(item.size, unit)} long" if item.size is not None else ""
