"""What a program made from a revision and may want again: the revision never changes, so neither does that."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import islice

from sqlalchemy import delete, select

from app.store.engine.database import Database
from app.store.engine.upserts import put_in
from app.store.tables import derived, revisions

#: Ids asked for in one statement: fewer than either database takes.
_AT_ONCE = 500
_PATIENCE_S = 1.0  # a page waits for this, and it only saves time


class Derived:
    """Things made from revisions, by kind and by the program that made them; they can be made again at any time.

    Args:
        database: the one the revisions are in.
        now: the time as it is written into rows.
    """

    def __init__(self, database: Database, now: Callable[[], str]) -> None:
        self._database = database
        self._now = now

    def read_many(self, kind: str, code: str, revision_ids: Sequence[str]) -> dict[str, bytes]:
        """What is there of a kind, by revision.

        Args:
            kind: what it is, as "picture".
            code: the program that made it; what another one made does not count.
            revision_ids: the revisions asked about.
        """
        found: dict[str, bytes] = {}
        with self._database.glancing() as connection:
            for ids in _portions(revision_ids):
                query = select(derived.c.revision, derived.c.value).where(
                    derived.c.kind == kind, derived.c.code == code, derived.c.revision.in_(ids)
                )
                found |= {row.revision: bytes(row.value) for row in connection.execute(query)}
        return found

    def keep(self, kind: str, code: str, values: Mapping[str, bytes]) -> None:
        """Keep what was made, by revision; what is there already, and what belongs to no revision, is left out.

        Raises:
            StoreError: the database cannot be used, or others are writing: this waits for nobody long.
        """
        if not values:
            return
        made = self._now()
        with self._database.writing(patience=_PATIENCE_S, lasting=False) as connection:
            for ids in _portions(list(values)):
                known = connection.execute(select(revisions.c.id).where(revisions.c.id.in_(ids))).scalars()
                rows = [
                    {"revision": one, "kind": kind, "code": code, "value": values[one], "made": made} for one in known
                ]
                put_in(connection, derived, rows)

    def clear_other_codes(self, kind: str, code: str) -> None:
        """Forget what other programs made of a kind; raises as :meth:`keep`."""
        with self._database.writing(patience=_PATIENCE_S, lasting=False) as connection:
            connection.execute(delete(derived).where(derived.c.kind == kind, derived.c.code != code))


def _portions(ids: Sequence[str]) -> Iterator[list[str]]:
    rest = iter(ids)
    while portion := list(islice(rest, _AT_ONCE)):
        yield portion
