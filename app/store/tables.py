"""Tables of the design store.

    designs    one row per design: title, times, and which revision is shown (head)
    revisions  every state a design ever had: parent, words for the step, the whole document
    profiles   how prints are corrected, by printer and paper; they belong to the workshop, not to a design
    derived    what a program made from a revision, by kind and program; it can be made again at any time
    meta       schema version
    alembic_version   the same version, where the tool that migrates looks for it

A revision is never changed or deleted, except for its ``redo`` mark: which child *Redo* goes to.
The same tables work on SQLite and PostgreSQL.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from sqlalchemy import (
    Column,
    Float,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    PrimaryKeyConstraint,
    Row,
    Table,
    UniqueConstraint,
)

from app.store.records import DesignRow, Revision
from app.store.words import Words

#: 1: designs and revisions. 2: printer profiles too. 3: what is derived from revisions too, and text sorts alike
#: everywhere. Each has its step in ``migrations/``.
SCHEMA_VERSION = 3

#: Most characters of the id of a design or revision.
ID_LENGTH = 32

metadata = MetaData()

designs = Table(
    "designs",
    metadata,
    Column("id", Words(ID_LENGTH), primary_key=True),
    Column("title", Words(), nullable=False),
    Column("created", Words(32), nullable=False),
    Column("modified", Words(32), nullable=False),
    # No foreign key: it would make a circle with revisions.design, which SQLite cannot add afterwards.
    Column("head", Words(ID_LENGTH), nullable=False),
    Column("removed", Words(32), nullable=True),
)

revisions = Table(
    "revisions",
    metadata,
    Column("id", Words(ID_LENGTH), primary_key=True),
    Column("design", Words(ID_LENGTH), ForeignKey("designs.id"), nullable=False, index=True),
    Column("parent", Words(ID_LENGTH), ForeignKey("revisions.id"), nullable=True),
    Column("number", Integer, nullable=False),
    Column("summary", Words(), nullable=False),
    Column("document", Words(), nullable=False),
    Column("created", Words(32), nullable=False),
    Column("redo", Words(ID_LENGTH), nullable=True),
    UniqueConstraint("design", "number"),
)

profiles = Table(
    "profiles",
    metadata,
    Column("printer", Words(80), primary_key=True),
    Column("paper", Words(40), primary_key=True),
    Column("x", Float, nullable=False),
    Column("y", Float, nullable=False),
    Column("measured", Words(), nullable=False),
    Column("made", Words(32), nullable=False),
)

derived = Table(
    "derived",
    metadata,
    Column("revision", Words(ID_LENGTH), ForeignKey("revisions.id"), primary_key=True),
    Column("kind", Words(32), primary_key=True),
    Column("code", Words(64), primary_key=True),
    Column("value", LargeBinary, nullable=False),
    Column("made", Words(32), nullable=False),
)

meta = Table(
    "meta",
    metadata,
    Column("key", Words(32), primary_key=True),
    Column("value", Words(), nullable=False),
)

alembic_version = Table(
    "alembic_version",
    metadata,
    Column("version_num", Words(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)


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
