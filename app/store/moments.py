"""Every moment of a design: list them without their documents, and show one of them again."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from sqlalchemy import Connection, select, update

from app.store.records import Moment
from app.store.tables import revisions

_COLUMNS = (revisions.c.id, revisions.c.parent, revisions.c.number, revisions.c.summary, revisions.c.created)


def read_moments(connection: Connection, design_id: str) -> tuple[Moment, ...]:
    """Every revision of a design in order of making, branches left by undo included."""
    query = select(*_COLUMNS).where(revisions.c.design == design_id).order_by(revisions.c.number)
    return tuple(
        Moment(row.id, row.parent, row.number, row.summary, datetime.fromisoformat(row.created))
        for row in connection.execute(query)
    )


def lead_back(connection: Connection, design_id: str, head: str, to: str) -> None:
    """Let *Redo* lead from every moment before ``head``, and before ``to``, along the way that was gone.

    So after going back to a moment, *Redo* goes forward again step by step to where one came from; and after
    going to a moment on another branch, *Undo* and *Redo* stay on that branch.
    """
    parents = {moment.id: moment.parent for moment in read_moments(connection, design_id)}
    for end in (head, to):
        for parent, child in way_to(parents, end):
            connection.execute(update(revisions).where(revisions.c.id == parent).values(redo=child))


def way_to(parents: Mapping[str, str | None], end: str) -> list[tuple[str, str]]:
    """The steps (parent, child) that lead from the first moment to ``end``, last first."""
    steps = []
    child = end
    while (parent := parents[child]) is not None:
        steps.append((parent, child))
        child = parent
    return steps
