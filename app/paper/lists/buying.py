"""The parts list as a table, what has to be measured first on top, with the builder's own columns."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from app.drafting.words import exact, thickness, unit_of
from app.model.printing import Counted
from app.model.resolved import ResolvedBoard
from app.scene.table import Column, Table, Value
from app.shop.own_columns import OwnColumn
from app.shop.parts_list import Item, parts_list
from app.shop.rates import spares_of
from app.units import INCH, Unit, format_exact

_SQUARE_METRE: Final = 1e6
_SQUARE_FOOT: Final = (12 * INCH) ** 2
_SLIGHT: Final = 1e-9

COUNTED: Final[dict[Counted, str]] = {
    "one": "Counted for one arrangement of this board.",
    "arrangements": "Counted for all arrangements of this board together: what stands in several of them once.",
    "boards": "Counted for every board of the design, each with one arrangement.",
}
"""What a list is counted for, in words."""


def parts_table(
    board: ResolvedBoard, items: Sequence[Item], columns: Sequence[OwnColumn] = (), counted: Counted = "one"
) -> Table:
    """Everything to buy, as it was counted.

    Args:
        board: the board in view, for the unit and the shares bought in case.
        items: the lines.
        columns: the builder's own.
        counted: what they were counted for.
    """
    unit = unit_of(board)
    first = sum(not item.measured for item in items)
    heads = (
        Column("sort", "What"),
        Column("name", "Name"),
        Column("letters", "At"),
        Column("size", "Size"),
        Column("count", "Needed", "count"),
        Column("spare", "Spare", "count"),
        Column("buy", "Buy", "count"),
        Column("first", "First"),
        *(Column(f"own.{column.id}", column.name) for column in columns),
    )
    spares = format_exact(round(spares_of(board.tooling), 2))
    typical = f"{first} of these are to be measured or chosen first: they stand on top. Measure yours before you drill."
    notes = (
        COUNTED[counted],
        typical if first else "All sizes were measured, or come from a data sheet.",
        f"Spare: {spares} % of screws, nuts, washers and buttons.",
    )
    rows = tuple(
        (*_row(item, unit), *(column.cells.get(item.key, "") for column in columns)) for item in items
    )  # fmt: skip
    return Table("parts", "Parts list", heads, rows, unit, notes)


def items_of(boards: Sequence[ResolvedBoard]) -> tuple[Item, ...]:
    """What is bought for boards, with the shares of the first of them."""
    return parts_list(boards, spares_of(boards[0].tooling))


def _row(item: Item, unit: Unit) -> tuple[Value, ...]:
    sort = "part" if item.sort == "hardware" else item.sort
    letters, size = ("; " if ": " in "".join(item.letters) else ", ").join(item.letters), _size(item, unit)
    return (sort, item.name, letters, size, item.count, item.spare, item.total, item.first)


def _size(item: Item, unit: Unit) -> str:
    if item.sort == "board" and item.size is not None and item.area is not None:
        area = _up(item.area / (_SQUARE_FOOT if unit is Unit.INCH else _SQUARE_METRE), 3)
        return f"{thickness(item.size, unit)} thick, {format_exact(area)} {'sq ft' if unit is Unit.INCH else 'm²'}"
    if item.sort == "moulding" and item.size is not None:
        metres = _up(item.size / (12 * INCH if unit is Unit.INCH else 1000.0), 2)
        return f"{format_exact(metres)} {'ft' if unit is Unit.INCH else 'm'}"
    if item.size is None:
        return ""
    return f"over {exact(item.size, unit)}" if item.key.startswith("bolt") and item.first else (
        f"{exact(item.size, unit)} long"
    )  # fmt: skip


def _up(value: float, places: int) -> float:
    """Rounded up, for nobody buys too little."""
    whole = 10.0**places
    return math.ceil(value * whole - _SLIGHT) / whole
