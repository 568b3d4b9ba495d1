"""How fast a bit turns in a board, by the catalogue's rows for its kind, its width and each material."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.model.tooling import Bit, Speed

_SLIGHT: Final = 1e-6


class Turns(Struct, frozen=True):
    """How fast a bit turns.

    Args:
        least: slow end [turns a minute]; 0 where only the fast end is known.
        most: fast end [turns a minute].
        published: whether a table has it; else it is from memory.
    """

    least: int
    most: int
    published: bool


def speed_of(bit: Bit | None, families: Sequence[str], speeds: Mapping[str, Speed] | None = None) -> Turns | None:
    """How fast a bit turns in a board of these materials, top to underside; the slowest of them counts.

    Args:
        bit: the bit; None gives None.
        families: of the materials.
        speeds: rows to look in; by default the catalogue's.

    Returns:
        None where no row has the bit in one of the materials: of a router its maker says it.
    """
    rows = catalogue().speeds if speeds is None else speeds
    if bit is None or not families:
        return None
    found = [_row(bit, family, rows.values()) for family in dict.fromkeys(families)]
    turns = []
    for row in found:
        if row is None:
            return None
        least, most = row.range_for(bit.diameter)
        turns.append(Turns(least, most, row.source.basis != "typical"))
    return min(turns, key=lambda t: (t.most, t.least))


def speed_words(turns: Turns | None) -> str:
    """As ``up to 3,000``, ``250 to 1,000, from memory``; empty where nothing is known."""
    if turns is None:
        return ""
    said = f"{turns.least:,} to {turns.most:,}" if turns.least else f"up to {turns.most:,}"
    return said if turns.published else f"{said}, from memory"


def _row(bit: Bit, family: str, rows: Iterable[Speed]) -> Speed | None:
    return next(
        (
            row
            for row in rows
            if bit.kind in row.kinds and family in row.families and bit.diameter <= row.up_to + _SLIGHT
        ),
        None,
    )
