"""Single statements inside a transaction: read a head, read a revision, show another one."""

from __future__ import annotations

import secrets

from sqlalchemy import Connection, insert, select, update

from app.errors import DamagedError
from app.store.engine.words import unstorable
from app.store.reading import moment_of, number_of, words_of
from app.store.records import DesignRow, Head, Revision, StoredChange
from app.store.shelved import known_row
from app.store.tables import ID_LENGTH, design_row, designs, revision_row, revisions
from app.values import replace


def set_head(connection: Connection, design_id: str, revision_id: str, title: str, now: str) -> None:
    """Show another revision of a design; one whose own row is gone gets a new row."""
    values = {"head": revision_id, "title": title, "modified": now}
    if not connection.execute(update(designs).where(designs.c.id == design_id).values(**values)).rowcount:
        connection.execute(insert(designs).values(id=design_id, created=now, **values))


def next_number(connection: Connection, design_id: str) -> int:
    """The number of the revision that is made next, over all branches."""
    query = select(revisions.c.number).where(revisions.c.design == design_id)
    return max(map(number_of, connection.execute(query).scalars()), default=0) + 1


def new_id() -> str:
    """An id that nothing has yet."""
    return secrets.token_hex(6)


def made_on(head: Head, made: StoredChange, now: str, number: int = 0) -> Revision:
    """The revision that a change of a head makes, not yet written.

    Args:
        head: what it is made on.
        made: what the change made of it.
        now: the time as it is written into rows.
        number: its number, if that is known.
    """
    return Revision(
        id=new_id(),
        design=head.design.id,
        parent=head.revision.id,
        number=number,
        summary=made.summary,
        document=made.document,
        created=moment_of(now),
    )


_child = revisions.alias()
_SHOWN = (
    select(designs, *(c.label(f"shown_{c.name}") for c in revisions.c), _child.c.summary.label("after"))
    .outerjoin(revisions, revisions.c.id == designs.c.head)
    .outerjoin(_child, _child.c.id == revisions.c.redo)
)


def glance_at_head(connection: Connection, design_id: str, place: str) -> Head:
    """The same as :func:`read_head`, by one statement, which locks nothing.

    One that locks must not look at two tables at once: having waited for the design, PostgreSQL would show it as it is
    now, and beside it the revisions as they were before.

    Raises:
        NotFoundError: no such design.
        DamagedError: the revision it points at is missing, or there is nothing that points.
    """
    row = None
    if not unstorable(design_id, ID_LENGTH):
        row = connection.execute(_SHOWN.where(designs.c.id == design_id)).one_or_none()
    if row is None or row.shown_id is None or row.shown_design != design_id:
        return read_head(connection, design_id, place)  # which says what is wrong
    return _head(design_row(row), revision_row(row, "shown_"), None if row.after is None else words_of(row.after))


def _head(design: DesignRow, revision: Revision, redo: str | None) -> Head:
    return Head(design, revision, undo=revision.summary if revision.parent is not None else None, redo=redo)


def stepped(before: Head, step: Revision, title: str) -> Head:
    """What :func:`read_head` gives once a step is made, without asking for it.

    Args:
        before: the head it was made on.
        step: its revision.
        title: of the design from now on.
    """
    damaged = tuple(name for name in before.design.damaged if name == "created")
    design = replace(before.design, title=title, modified=step.created, head=step.id, damaged=damaged)
    return _head(design, step, None)


def read_head(connection: Connection, design_id: str, place: str, before: Head | None = None) -> Head:
    """A design with the revision now shown.

    Args:
        connection: a transaction; one that writes locks the design until it ends.
        design_id: the design.
        place: what to call the database in messages.
        before: the head as it was read before, which it still is if the design has not been modified since: every
            step, forth or back, writes its time there.

    Raises:
        NotFoundError: no such design.
        DamagedError: the revision it points at is missing, or there is nothing that points.
    """
    design = known_row(connection, design_id)
    if before is not None and design == before.design:
        return before
    revision = read_revision(connection, design.head)
    if "row" in design.damaged or revision is None or revision.design != design_id:
        raise DamagedError(
            f"The design {design.title!r} points at a step that is missing in {place}. Its timeline lists the others: "
            "go to one of them to see the design as it was then."
        )
    child = read_revision(connection, revision.redo)
    return _head(design, revision, child.summary if child is not None else None)


def read_revision(connection: Connection, revision_id: str | None) -> Revision | None:
    """The revision with that id; None if there is none."""
    if revision_id is None or unstorable(revision_id, ID_LENGTH):
        return None
    row = connection.execute(select(revisions).where(revisions.c.id == revision_id)).one_or_none()
    return None if row is None else revision_row(row)
