"""Every moment of a design: list them without their documents, and show one of them again."""

from __future__ import annotations

from collections.abc import Mapping

from sqlalchemy import Connection, select, update

from app.store.reading import moment_of, number_of, words_of
from app.store.records import Moment
from app.store.tables import revisions

_COLUMNS = tuple(revisions.c[name] for name in ("id", "parent", "number", "summary", "created", "redo"))


def read_moments(connection: Connection, design_id: str) -> tuple[Moment, ...]:
    """Every revision of a design in order of making, branches left by undo included."""
    found = connection.execute(select(*_COLUMNS).where(revisions.c.design == design_id).order_by(revisions.c.number))
    moments = (
        Moment(row.id, row.parent, number_of(row.number), words_of(row.summary), moment_of(row.created), row.redo)
        for row in found
    )
    return tuple(sorted(moments, key=lambda moment: moment.number))


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
    """The steps (parent, child) that lead from the first moment to ``end``, last first.

    In a damaged store the way may come from a moment that is missing, or run in a ring: it begins there.
    """
    steps: list[tuple[str, str]] = []
    child, gone = end, {end}
    while (parent := parents.get(child)) is not None and parent in parents and parent not in gone:
        steps.append((parent, child))
        gone.add(parent)
        child = parent
    return steps
