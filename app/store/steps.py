"""Single statements inside a transaction: read a head, read a revision, show another one."""

from __future__ import annotations

from sqlalchemy import Connection, select, update

from app.errors import NotFoundError, StoreError
from app.store.records import Head, Revision
from app.store.tables import ID_LENGTH, design_row, designs, revision_row, revisions
from app.store.words import unstorable


def set_head(connection: Connection, design_id: str, revision_id: str, title: str, now: str) -> None:
    """Show another revision of a design."""
    connection.execute(
        update(designs).where(designs.c.id == design_id).values(head=revision_id, title=title, modified=now)
    )


def next_number(connection: Connection, design_id: str) -> int:
    """The number of the revision that is made next, over all branches."""
    query = select(revisions.c.number).where(revisions.c.design == design_id).order_by(revisions.c.number.desc())
    return int(connection.execute(query.limit(1)).scalar_one()) + 1


def read_head(connection: Connection, design_id: str, place: str) -> Head:
    """A design with the revision now shown.

    Args:
        connection: a transaction; one that writes locks the design until it ends.
        design_id: the design.
        place: what to call the database in messages.

    Raises:
        NotFoundError: no such design.
        StoreError: the revision it points at is missing.
    """
    # FOR UPDATE does on PostgreSQL what BEGIN IMMEDIATE does on SQLite, where it is left out.
    query = select(designs).where(designs.c.id == design_id)
    if connection.get_execution_options().get("writes", False):
        query = query.with_for_update()
    row = None if unstorable(design_id, ID_LENGTH) else connection.execute(query).one_or_none()
    if row is None:
        raise NotFoundError(f"There is no design {design_id[:40]!a} here. The shelf lists those there are.")
    design = design_row(row)
    revision = read_revision(connection, design.head)
    if revision is None:
        raise StoreError(
            f"Design {design.title!r} points at a revision that is missing in {place}. "
            "The file is left as it is: put a backup copy of it in its place, or send it to be mended."
        )
    child = read_revision(connection, revision.redo)
    return Head(
        design=design,
        revision=revision,
        undo=revision.summary if revision.parent is not None else None,
        redo=child.summary if child is not None else None,
    )


def read_revision(connection: Connection, revision_id: str | None) -> Revision | None:
    """The revision with that id; None if there is none."""
    if revision_id is None or unstorable(revision_id, ID_LENGTH):
        return None
    row = connection.execute(select(revisions).where(revisions.c.id == revision_id)).one_or_none()
    return None if row is None else revision_row(row)
