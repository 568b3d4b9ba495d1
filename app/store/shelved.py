"""What the shelf needs of the store: titles and times of every design, and documents only where they are asked for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager

from sqlalchemy import Connection, func, select

from app.errors import NotFoundError
from app.store.engine.words import unstorable
from app.store.moments import read_moments
from app.store.reading import moment_of
from app.store.records import DesignRow, Past, Present, Revision
from app.store.tables import ID_LENGTH, design_row, designs, revision_row, revisions

Opening = Callable[[], AbstractContextManager[Connection]]


class Shelved:
    """The designs as a shelf lists them.

    Args:
        reading: begins a transaction that reads.
        glancing: the same for a single statement.
    """

    def __init__(self, reading: Opening, glancing: Opening) -> None:
        self._reading = reading
        self._glancing = glancing

    def rows(self, *, removed: bool = False) -> tuple[DesignRow, ...]:
        """Designs on the shelf, last changed first; with ``removed``, those taken off it.

        On the shelf stands too what is only found by its revisions: a design whose own row is gone.
        """
        # Two statements, which need not see one state: a design comes with its first revision, and none is deleted.
        wanted = designs.c.removed.is_not(None) if removed else designs.c.removed.is_(None)
        with self._glancing() as connection:
            found = [design_row(row) for row in connection.execute(select(designs).where(wanted))]
            if not removed:
                found += _adrift(connection)
        # Sorted here: a database may have its own mind about the order of letters, and of what is no date.
        found.sort(key=lambda row: row.id)
        return tuple(sorted(found, key=lambda row: row.modified.timestamp() if row.modified else 0.0, reverse=True))

    def present(self, revision_ids: Sequence[str]) -> dict[str, Present]:
        """Of each revision that is there what can be told without its document, by id."""
        columns = (revisions.c.id, revisions.c.design, revisions.c.created)
        query = select(*columns, func.length(revisions.c.document).label("size"))
        with self._glancing() as connection:
            found = connection.execute(query.where(revisions.c.id.in_(_ids(revision_ids))))
            return {r.id: Present(r.design, r.size or 0, moment_of(r.created) is not None) for r in found}

    def tangled(self, design_ids: Sequence[str]) -> frozenset[str]:
        """Those of the designs in which a moment is older than the one it was made from, or that one is missing."""
        before = revisions.alias()
        wrong = before.c.id.is_(None) | (before.c.number >= revisions.c.number)
        query = (
            select(revisions.c.design)
            .distinct()
            .outerjoin(before, before.c.id == revisions.c.parent)
            .where(revisions.c.parent.is_not(None), wrong, revisions.c.design.in_(design_ids))
        )
        with self._glancing() as connection:
            return frozenset(connection.execute(query).scalars())

    def revisions(self, revision_ids: Sequence[str]) -> dict[str, Revision]:
        """Some revisions whole, by id; those that are not there are left out."""
        if not (wanted := _ids(revision_ids)):
            return {}
        query = select(revisions).where(revisions.c.id.in_(wanted))
        with self._glancing() as connection:
            return {row.id: revision_row(row) for row in connection.execute(query)}

    def past(self, design_id: str) -> Past:
        """A design with every moment of it, whatever of it is damaged.

        Raises:
            NotFoundError: there is nothing of such a design.
        """
        with self._reading() as connection:
            return Past(known_row(connection, design_id), read_moments(connection, design_id))


def known_row(connection: Connection, design_id: str) -> DesignRow:
    """The row of a design, made up from its revisions if it is gone.

    In a transaction that writes, the design is locked until that ends.

    Raises:
        NotFoundError: there is nothing of such a design.
    """
    query = select(designs).where(designs.c.id == design_id)
    # FOR UPDATE does on PostgreSQL what BEGIN IMMEDIATE does on SQLite, where it is left out.
    if connection.get_execution_options().get("writes", False):
        query = query.with_for_update()
    row = None
    if not unstorable(design_id, ID_LENGTH):
        found = connection.execute(query).one_or_none()
        row = design_row(found) if found is not None else _made_up(connection, design_id)
    if row is None:
        raise NotFoundError(f"There is no design {design_id[:40]!a} here. The shelf lists your designs.")
    return row


def _ids(asked: Sequence[str]) -> list[str]:
    """Those that can be ids at all: a damaged row, or a made-up address, may name anything."""
    return [name for name in asked if not unstorable(name, ID_LENGTH)]


def _adrift(connection: Connection) -> list[DesignRow]:
    """Designs that have revisions and no row, each as a row that points at the newest."""
    query = select(revisions.c.design).distinct().where(revisions.c.design.not_in(select(designs.c.id)))
    found = (_made_up(connection, design_id) for design_id in connection.execute(query).scalars().all())
    return [row for row in found if row is not None]


def _made_up(connection: Connection, design_id: str) -> DesignRow | None:
    moments = read_moments(connection, design_id)
    if not moments:
        return None
    return DesignRow(design_id, "", moments[0].created, moments[-1].created, moments[-1].id, damaged=("row",))
