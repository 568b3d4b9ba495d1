"""Tables of the design store, and how an engine for them is made.

    designs    one row per design: title, times, and which revision is shown (head)
    revisions  every state a design ever had: parent, words for the step, the whole document
    profiles   how prints are corrected, by printer and paper; they belong to the workshop, not to a design
    meta       schema version

and ``window_steps`` of :mod:`app.store.windows`, notes that may be lost.

A revision is never changed or deleted, except for its ``redo`` mark: which child *Redo* goes to.
The same tables work on SQLite and PostgreSQL.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    Row,
    String,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
    event,
)

from app.store.records import DesignRow, Revision

#: 1: designs and revisions. 2: printer profiles too. A table that is missing is made when a store is opened.
SCHEMA_VERSION = 2

metadata = MetaData()

designs = Table(
    "designs",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("title", Text, nullable=False),
    Column("created", String(32), nullable=False),
    Column("modified", String(32), nullable=False),
    # No foreign key: it would make a circle with revisions.design, which SQLite cannot add afterwards.
    Column("head", String(32), nullable=False),
    Column("removed", String(32), nullable=True),
)

revisions = Table(
    "revisions",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("design", String(32), ForeignKey("designs.id"), nullable=False, index=True),
    Column("parent", String(32), ForeignKey("revisions.id"), nullable=True),
    Column("number", Integer, nullable=False),
    Column("summary", Text, nullable=False),
    Column("document", Text, nullable=False),
    Column("created", String(32), nullable=False),
    Column("redo", String(32), nullable=True),
    UniqueConstraint("design", "number"),
)

profiles = Table(
    "profiles",
    metadata,
    Column("printer", String(80), primary_key=True),
    Column("paper", String(40), primary_key=True),
    Column("x", Float, nullable=False),
    Column("y", Float, nullable=False),
    Column("measured", Text, nullable=False),
    Column("made", String(32), nullable=False),
)

meta = Table(
    "meta",
    metadata,
    Column("key", String(32), primary_key=True),
    Column("value", Text, nullable=False),
)

#: How long a writer waits for another one [s].
LOCK_WAIT_S = 10.0


def make_engine(url: str) -> Engine:
    """An engine for ``url``; SQLite gets write-ahead logging, foreign keys and explicit transactions."""
    if not url.startswith("sqlite"):
        return create_engine(url)
    engine = create_engine(url, connect_args={"timeout": LOCK_WAIT_S})
    event.listen(engine, "connect", _prepare_sqlite)
    event.listen(engine, "begin", _begin_sqlite)
    return engine


def _prepare_sqlite(connection: Any, _record: object) -> None:
    # The driver's own transaction handling begins late, after the first read; then two writers can both
    # read the same head and one of them loses its work. So it is switched off and begun by hand.
    connection.isolation_level = None
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def design_row(row: Row[Any]) -> DesignRow:
    """A row of ``designs`` as a value."""
    values = row._mapping
    removed = values["removed"]
    return DesignRow(
        id=values["id"],
        title=values["title"],
        created=datetime.fromisoformat(values["created"]),
        modified=datetime.fromisoformat(values["modified"]),
        head=values["head"],
        removed=None if removed is None else datetime.fromisoformat(removed),
    )


def revision_row(row: Row[Any]) -> Revision:
    """A row of ``revisions`` as a value."""
    values = row._mapping
    return Revision(
        id=values["id"],
        design=values["design"],
        parent=values["parent"],
        number=values["number"],
        summary=values["summary"],
        document=values["document"],
        created=datetime.fromisoformat(values["created"]),
        redo=values["redo"],
    )
