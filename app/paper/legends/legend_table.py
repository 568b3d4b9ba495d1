"""The legends of a board as a table: what each says, and where its middle comes from the datum edges."""

from __future__ import annotations

from typing import Final

from app.drafting.outline_words import reading_words
from app.drafting.words import exact, unit_of
from app.model.legend import LegendPlace
from app.model.plotting import READINGS
from app.model.resolved import ResolvedBoard
from app.scene.table import Column, Table, Value
from app.shop.legends import LegendRow, legend_rows

SIDES: Final[dict[LegendPlace, str]] = {
    "back": "behind",
    "front": "in front",
    "left": "left",
    "right": "right",
    "ring": "ring",
    "free": "free",
}
"""Where a legend stands, in a word."""


NONE: Final = "No part of this board has a legend. Set one on the page Legends."


def legend_tables(board: ResolvedBoard) -> tuple[Table, ...]:
    """The list, and the signs on it with where they come from."""
    unit, rows = unit_of(board), legend_rows(board)
    reading = READINGS[unit][1]
    columns = (
        Column("part", "At"),
        Column("says", "Legend"),
        Column("place", "Place"),
        Column("height", "Height", "length"),
        Column("left", "From the left", "length", reading),
        Column("front", "From the front", "length", reading),
        Column("turn", "Turn, °", "count"),
        Column("mind", "Mind"),
    )
    lettering = board.lettering
    near = reading_words(reading, unit)
    notes = (
        f"In {lettering.colour}, read from {exact(lettering.distance, unit)}.",
        f"Measures, to the nearest {near}, are to the middle of each legend, of a ring to the middle of its hole.",
    )
    table = Table(
        "legends", "Where they go", columns, tuple(_row(row, reading) for row in rows), unit, notes if rows else (NONE,)
    )
    signs = {row.sign: row for row in rows if row.sign}
    if not signs:
        return (table,)
    sources = tuple((row.says, row.source) for row in signs.values())
    return (table, Table("signs", "Signs", (Column("sign", "Sign"), Column("source", "From")), sources, unit))


def _row(row: LegendRow, reading: float) -> tuple[Value, ...]:
    return (
        row.letter,
        f"sign: {row.says}" if row.sign else row.says,
        SIDES[row.place],
        row.height,
        round(row.left / reading) * reading,
        round(row.front / reading) * reading,
        _turn(row.turn),
        row.trouble,
    )


def _turn(turn: float) -> Value:
    """Nothing where it lies straight; a whole number where it is one."""
    return None if turn == 0 else int(turn) if turn == int(turn) else round(turn, 2)
