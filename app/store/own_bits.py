"""The list of bits of the workshop, used for every design; text to the store, which neither reads nor checks it."""

from __future__ import annotations

from collections.abc import Callable

from sqlalchemy import select

from app.store.engine.database import Database
from app.store.engine.upserts import put_in
from app.store.tables import bit_lists

_OWNER = "workshop"


class OwnBits:
    """The list of bits in the same database as the designs, with the one before it.

    Args:
        database: the one it is in.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._now = now

    def read(self) -> tuple[str | None, str | None]:
        """The list and the one before it; None where there is none."""
        with self._database.glancing() as connection:
            row = connection.execute(select(bit_lists).where(bit_lists.c.owner == _OWNER)).first()
        return (row.bits, row.before) if row is not None else (None, None)

    def keep(self, bits: str | None, before: str | None) -> None:
        """Keep a list, None for none, in place of the one ``before``.

        Raises:
            EditError: a text that cannot be kept.
        """
        row = {"owner": _OWNER, "bits": bits, "before": before, "made": self._now()}
        with self._database.writing() as connection:
            put_in(connection, bit_lists, [row], replace=True)
