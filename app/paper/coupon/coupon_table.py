"""The coupon as a table, for a page on screen and for programs."""

from __future__ import annotations

from app.drafting.words import unit_of
from app.model.resolved import ResolvedBoard
from app.paper.coupon.cells import bit_words
from app.scene.table import Column, Table
from app.shop.coupon import samples_of


def coupon_table(board: ResolvedBoard) -> Table:
    """Every trial cut: what, how wide and deep, with what, and what to try in it."""
    unit = unit_of(board)
    columns = (
        Column("number", "No.", "count"),
        Column("sort", "What"),
        Column("width", "Width", "length"),
        Column("depth", "Depth", "length"),
        Column("corner", "Corner", "length"),
        Column("bit", "With"),
        Column("try", "Try"),
        Column("letters", "As"),
        Column("tight", "Tight", "tick"),
        Column("right", "Right", "tick"),
        Column("loose", "Loose", "tick"),
    )
    rows = tuple(
        (
            s.number, s.sort, s.width, s.depth, s.corner or None, bit_words(s, unit), s.tried, ", ".join(s.letters),
            None, None, None,
        )
        for s in samples_of(board)
    )  # fmt: skip
    notes = ("Make each in scrap of the same board, with the bit you will use, and try its part in it.",)
    return Table("coupon", "Coupon", columns, rows, unit, notes)
