"""Tables of the design store, and how an engine for them is made.

    designs    one row per design: title, times, and which revision is shown (head)
    revisions  every state a design ever had: parent, words for the step, the whole document
    profiles   how prints are corrected, by printer and paper; they belong to the workshop, not to a design
    derived    what was made from a revision by one state of the program; can be made again at any time
    meta       schema version

A revision is never changed or deleted, except for its ``redo`` mark: which child *Redo* goes to.
The same tables work on SQLite and PostgreSQL.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Float,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    Row,
    String,
    Table,
    Text,
    UniqueConstraint,
    create_engine,
    event,
)

from app.store.reading import moment_of, number_of, text_of, words_of
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

derived = Table(
    "derived",
    metadata,
    Column("revision", String(32), ForeignKey("revisions.id"), primary_key=True),
    Column("kind", String(32), primary_key=True),
    Column("code", String(64), primary_key=True),
    Column("value", LargeBinary, nullable=False),
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
    # The driver refuses a whole answer for one text in it that is no UTF-8.
    connection.text_factory = partial(str, encoding="utf-8", errors="surrogateescape")
    cursor = connection.cursor()
    cursor.execute("PRAGMA journal_mode=WAL")
    cursor.execute("PRAGMA synchronous=FULL")
    cursor.execute("PRAGMA foreign_keys=ON")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def design_row(row: Row[Any]) -> DesignRow:
    """A row of ``designs`` as a value; columns that cannot be read are named in it."""
    values = row._mapping
    title, created, modified = words_of(values["title"]), moment_of(values["created"]), moment_of(values["modified"])
    sound = {"title": title == values["title"], "created": created, "modified": modified}
    return DesignRow(
        id=values["id"],
        title=title,
        created=created,
        modified=modified,
        head=text_of(values["head"]),
        removed=values["removed"] is not None,
        damaged=tuple(name for name, read in sound.items() if not read),
    )


def revision_row(row: Row[Any]) -> Revision:
    """A row of ``revisions`` as a value, its document as it is stored."""
    values = row._mapping
    return Revision(
        id=values["id"],
        design=values["design"],
        parent=values["parent"],
        number=number_of(values["number"]),
        summary=words_of(values["summary"]),
        document=text_of(values["document"]),
        created=moment_of(values["created"]),
        redo=values["redo"],
    )
