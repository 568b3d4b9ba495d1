"""All rows of one store copied into another, and a digest that proves them the same.

What is derived is left behind: it can be made again.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from typing import Any

from msgspec import Struct
from sqlalchemy import Connection, RowMapping, Table, delete, func, insert, select, text

from app.errors import StoreError
from app.store.engine.database import Database
from app.store.tables import bit_lists, derived, designs, labels, places, profiles, published, revisions, sheet_codes

#: What is copied, in an order in which no row comes before one it points at, each sorted by a key of its own.
_COPIED: tuple[tuple[Table, tuple[str, ...]], ...] = (
    (designs, ("id",)),
    (revisions, ("design", "number")),
    (profiles, ("printer", "paper")),
    (bit_lists, ("owner",)),
    (places, ("design", "board", "arrangement")),
    (published, ("design", "letter")),
    (sheet_codes, ("code", "design", "moment", "board", "arrangement", "sheets")),
    (labels, ("design", "label")),
)

#: Rows held in memory at once; a document may have some hundred kilobytes.
_AT_ONCE = 100


class StoreContents(Struct, frozen=True):
    """What is in a store.

    Args:
        designs, revisions, profiles: how many of each.
        digest: SHA-256 over every value of them in a fixed order, in hexadecimal.
        bits: whether the workshop's bits are among it: 0 or 1 list.
    """

    designs: int
    revisions: int
    profiles: int
    digest: str
    bits: int = 0

    @property
    def empty(self) -> bool:
        """Whether there is nothing in it."""
        return not (self.designs or self.revisions or self.profiles or self.bits)


def tally(connection: Connection) -> StoreContents:
    """Count and digest what is in a store: the same on every database."""
    digest = hashlib.sha256()
    counts = []
    for table, keys in _COPIED:
        count = 0
        for rows in _rows(connection, table, keys):
            count += len(rows)
            for row in rows:
                # A list in JSON tells where each value ends, and has floats to the last bit.
                digest.update(json.dumps([table.name, *row.values()]).encode() + b"\n")
        counts.append(count)
    return StoreContents(counts[0], counts[1], counts[2], digest.hexdigest(), counts[3])


def copy_all(source: Database, target: Database) -> StoreContents:
    """Copy everything into a store with nothing in it, and prove it there; all or nothing.

    Raises:
        StoreError: there is something in it, or what was written reads back differently.
        EditError: a text that cannot be kept.
    """
    with source.reading() as reading, target.writing() as writing:
        lock(writing)
        if not is_empty(writing):
            raise StoreError(
                f"There are designs or printers in {target.place.name} already. Nothing was changed. "
                "Choose a place with nothing in it."
            )
        return copy_rows(reading, writing)


def copy_rows(reading: Connection, writing: Connection) -> StoreContents:
    """Copy every row between two transactions, and read it back before it counts.

    Raises:
        StoreError: what was written reads back differently.
        EditError: a text that cannot be kept.
    """
    for table, keys in _COPIED:
        for rows in _rows(reading, table, keys):
            writing.execute(insert(table), [dict(row) for row in rows])
    there, here = tally(reading), tally(writing)
    if there != here:
        raise StoreError(f"The copy differs from the original: {there} became {here}. Nothing was changed.")
    return here


def lock(writing: Connection) -> None:
    """Keep everybody else from writing to the store until the transaction ends; reading goes on."""
    if writing.dialect.name == "postgresql":
        names = ", ".join(table.name for table in (*(table for table, _ in _COPIED), derived))
        writing.execute(text(f"LOCK TABLE {names} IN EXCLUSIVE MODE"))


def is_empty(connection: Connection) -> bool:
    """Whether there is nothing in a store."""
    return not any(connection.execute(select(func.count()).select_from(table)).scalar_one() for table, _ in _COPIED)


def clear(writing: Connection) -> None:
    """Delete everything in a store, what is derived too."""
    for table in (derived, labels, sheet_codes, published, places, bit_lists, profiles, revisions, designs):
        writing.execute(delete(table))


def _rows(connection: Connection, table: Table, keys: Sequence[str]) -> Iterator[Sequence[RowMapping]]:
    order: list[Any] = [table.c[key] for key in keys]
    query = select(table).order_by(*order)
    result = connection.execute(query, execution_options={"yield_per": _AT_ONCE})
    return result.mappings().partitions()
