"""A step written by one statement, where a database can: each question to a server is a wait, with its row locked.

A transaction would ask a server seven times: to begin, to lock the design, for the next number, for each of three rows,
and to end. Here the server does all that by itself, and only if nobody has made a step meanwhile. SQLite takes no such
statement, and has nobody to wait for.
"""

from __future__ import annotations

from datetime import UTC
from typing import Final

from sqlalchemy import Connection, bindparam, func, insert, select, update

from app.store.records import Head, Revision
from app.store.tables import designs, revisions
from app.store.windows import noted, window_steps

_NONE: Final = 0
"""No revision has this number."""

_design, _before, _step = (bindparam(name, type_=revisions.c.id.type) for name in ("_design", "_before", "_step"))
_held = (
    update(designs)
    .where(designs.c.id == _design, designs.c.head == _before, designs.c.removed.is_(None))
    .where(designs.c.modified == bindparam("_modified", type_=designs.c.modified.type))
    .values(head=_step, title=bindparam("_title"), modified=bindparam("_now"))
    .returning(designs.c.id)
    .cte("held")
)
_number = select(func.coalesce(func.max(revisions.c.number), 0) + 1).where(revisions.c.design == _design)
_made = {
    "id": _step,
    "design": _held.c.id,
    "parent": _before,
    "number": _number.scalar_subquery(),
    "summary": bindparam("_summary", type_=revisions.c.summary.type),
    "document": bindparam("_document", type_=revisions.c.document.type),
    "created": bindparam("_now", type_=revisions.c.created.type),
}
_way_back = (
    update(revisions).where(revisions.c.id == _before, revisions.c.redo.is_not(None), _held.c.id == revisions.c.design)
).values(redo=None)
_note = {
    "step": _step,
    "window": bindparam("_window", type_=window_steps.c.window.type),
    "noted": bindparam("_now", type_=window_steps.c.noted.type),
}
_NOTE = insert(window_steps).from_select(
    list(_note), select(*_note.values()).select_from(_held).where(bindparam("_noted"))
)
_STROKE = (
    insert(revisions)
    .from_select(list(_made), select(*_made.values()))
    .returning(revisions.c.number)
    .add_cte(_way_back.cte("way_back"), _NOTE.cte("note"))
)


def written_at_once(connection: Connection, before: Head, step: Revision, title: str, window: str, now: str) -> int:
    """Write a step, and show it, if the design is still as it was read ``before``.

    Nothing is written if not, or if what was read is not quite what its row holds. Somebody else's step that is being
    written meanwhile is waited for, and then counts.

    Args:
        connection: to a server, outside a transaction.
        before: the head it was made on.
        step: its revision; its number is not looked at.
        title: of the design from now on.
        window: the one that made it; empty if none did.
        now: the time as it is written into rows.

    Returns:
        its number; 0 if nothing was written.

    Raises:
        UnstorableError: a text that cannot be kept.
    """
    design = before.design
    if design.damaged or design.removed or design.modified is None:
        return _NONE
    values = {
        "_design": design.id,
        "_before": design.head,
        "_modified": design.modified.astimezone(UTC).isoformat(timespec="microseconds"),
        "_step": step.id,
        "_title": title,
        "_now": now,
        "_summary": step.summary,
        "_document": step.document,
        "_window": noted(window),
        "_noted": bool(window),
    }
    return connection.execute(_STROKE, values).scalar_one_or_none() or _NONE
