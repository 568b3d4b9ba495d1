"""Which window made or took back which step, so that no window is told of its own.

It stands in the database because the next request of a window may be answered by another process. It is written
together with the step; without it nothing would be lost, a window would only be told of what it did itself.
"""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime, timedelta
from typing import Final

from sqlalchemy import Column, Connection, Table, delete, select

from app.store.engine.upserts import put_in
from app.store.engine.words import StoredText
from app.store.tables import ID_LENGTH, metadata

REMEMBERED: Final = timedelta(days=2)
"""How long; a window that has not looked for longer is told of everything. Our choice, no source."""

# No foreign key: a note says nothing by itself, and must hold up neither a copy nor a removal of what it is about.
window_steps = Table(
    "window_steps",
    metadata,
    Column("step", StoredText(ID_LENGTH), primary_key=True),
    Column("window", StoredText(32), nullable=False, index=True),
    Column("noted", StoredText(32), nullable=False, index=True),
)


def note_step(connection: Connection, step: str, window: str, now: str) -> None:
    """Note that ``window`` made, or took back, a step; who did so before is forgotten, and so is what is old.

    Args:
        connection: the transaction in which it is done.
        step: id of the revision.
        window: the window's own name for itself; empty if it is none, and then nothing is noted.
        now: the time as it is written into rows.
    """
    if tidies(now):
        _forget_old(connection, now)
    if window:
        row = {"step": step, "window": noted(window), "noted": now}
        return put_in(connection, window_steps, [row], replace=True)
    connection.execute(delete(window_steps).where(window_steps.c.step == step))
    return None


def tidies(now: str) -> bool:
    """Whether what is old goes with the note of that time: with one in some hundred; the rest is in nobody's way."""
    return now.partition(".")[2].startswith("00")


def _forget_old(connection: Connection, now: str) -> None:
    old = (datetime.fromisoformat(now).astimezone(UTC) - REMEMBERED).isoformat(timespec="microseconds")
    # Two designs may be changed at once, and neither is to wait for the other over what both would forget.
    stale = select(window_steps.c.step).where(window_steps.c.noted < old).with_for_update(skip_locked=True)
    connection.execute(delete(window_steps).where(window_steps.c.step.in_(stale)))


def steps_of(connection: Connection, window: str) -> frozenset[str]:
    """Ids of the steps that ``window`` made or took back last."""
    query = select(window_steps.c.step).where(window_steps.c.window == noted(window))
    return frozenset(connection.execute(query).scalars())


def noted(window: str) -> str:
    """A window's name as it is noted: what a browser calls it may be of any length and kind."""
    return hashlib.sha256(window.encode("utf-8", "replace")).hexdigest()[:32]
