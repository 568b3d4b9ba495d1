"""What was made from a revision once: its verdict, its picture. A revision never changes, so neither does that.

Only the program may: so each value stands under a code that names the state of the program that made it. Whatever is
here can be thrown away at any time; it is made again when it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from contextlib import AbstractContextManager

from sqlalchemy import Connection, delete, select
from sqlalchemy.dialects import postgresql, sqlite

from app.store.tables import derived

Opening = Callable[[], AbstractContextManager[Connection]]


class Derived:
    """Values made from revisions, in the same database.

    Args:
        reading: begins a transaction that reads.
        writing: begins one that writes.
        now: the time as it is written into rows.
    """

    def __init__(self, reading: Opening, writing: Opening, now: Callable[[], str]) -> None:
        self._reading = reading
        self._writing = writing
        self._now = now

    def read_many(self, kind: str, code: str, revision_ids: Sequence[str]) -> dict[str, bytes]:
        """What is kept of a kind for some revisions, by revision; those without it are left out.

        Args:
            kind: what it is, as ``picture``.
            code: the state of the program it must have been made by.
            revision_ids: ids of the revisions.
        """
        query = select(derived.c.revision, derived.c.value).where(
            derived.c.kind == kind, derived.c.code == code, derived.c.revision.in_(revision_ids)
        )
        with self._reading() as connection:
            return {row.revision: row.value for row in connection.execute(query)}

    def keep(self, kind: str, code: str, values: Mapping[str, bytes]) -> None:
        """Keep values by revision; what another process has kept meanwhile stays."""
        if not values:
            return
        made = self._now()
        rows = [{"revision": r, "kind": kind, "code": code, "value": v, "made": made} for r, v in values.items()]
        with self._writing() as connection:
            insert = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
            connection.execute(insert(derived).on_conflict_do_nothing(), rows)

    def clear_other_codes(self, kind: str, code: str) -> None:
        """Forget what other states of the program made of a kind."""
        with self._writing() as connection:
            connection.execute(delete(derived).where(derived.c.kind == kind, derived.c.code != code))
