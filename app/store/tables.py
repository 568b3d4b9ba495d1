"""Tables of the design store.

    designs    one row per design: title, times, and which revision is shown (head)
    revisions  every state a design ever had: parent, words for the step, the whole document
    profiles   how prints are corrected, by printer and paper; they belong to the workshop, not to a design
    bit_lists  the bits the builder owns, used for every design; they belong to the workshop as well
    places     at which step of the drilling run a builder is, by design, board and arrangement
    published  which letter stands for which published moment of a design
    sheet_codes  which sheets bear which check code
    labels     labels of designs on the shelf; they belong to the shelf, not to a design
    derived    what a program made from a revision, by kind and program; it can be made again at any time
    meta       schema version
    alembic_version   the same version, where the tool that migrates looks for it

and ``window_steps`` of :mod:`app.store.windows`, notes that may be lost.

A revision is never changed or deleted, except for its ``redo`` mark: which child *Redo* goes to.
The same tables work on SQLite and PostgreSQL.
"""

from __future__ import annotations

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

from app.store.engine.words import StoredText
from app.store.reading import moment_of, number_of, text_of, words_of
from app.store.records import DesignRow, Revision

#: 1: designs and revisions. 2: printer profiles too. 3: what is derived from revisions too, and text sorts alike
#: everywhere. 4: the workshop's bits. 5: places in the drilling run. 6: published
#: revisions, and check codes. 7: labels. Each has its step in ``migrations/``.
SCHEMA_VERSION = 7

#: Most characters of the id of a design or revision.
ID_LENGTH = 32

#: Most characters of a label.
LABEL_LENGTH = 40

metadata = MetaData()

designs = Table(
    "designs",
    metadata,
    Column("id", StoredText(ID_LENGTH), primary_key=True),
    Column("title", StoredText(), nullable=False),
    Column("created", StoredText(32), nullable=False),
    Column("modified", StoredText(32), nullable=False),
    # No foreign key: it would make a circle with revisions.design, which SQLite cannot add afterwards.
    Column("head", StoredText(ID_LENGTH), nullable=False),
    Column("removed", StoredText(32), nullable=True),
)

revisions = Table(
    "revisions",
    metadata,
    Column("id", StoredText(ID_LENGTH), primary_key=True),
    Column("design", StoredText(ID_LENGTH), ForeignKey("designs.id"), nullable=False, index=True),
    Column("parent", StoredText(ID_LENGTH), ForeignKey("revisions.id"), nullable=True),
    Column("number", Integer, nullable=False),
    Column("summary", StoredText(), nullable=False),
    Column("document", StoredText(), nullable=False),
    Column("created", StoredText(32), nullable=False),
    Column("redo", StoredText(ID_LENGTH), nullable=True),
    UniqueConstraint("design", "number"),
)

profiles = Table(
    "profiles",
    metadata,
    Column("printer", StoredText(80), primary_key=True),
    Column("paper", StoredText(40), primary_key=True),
    Column("x", Float, nullable=False),
    Column("y", Float, nullable=False),
    Column("measured", StoredText(), nullable=False),
    Column("made", StoredText(32), nullable=False),
)

bit_lists = Table(
    "bit_lists",
    metadata,
    Column("owner", StoredText(32), primary_key=True),
    Column("bits", StoredText(), nullable=True),
    Column("before", StoredText(), nullable=True),
    Column("made", StoredText(32), nullable=False),
)

# No foreign key: where somebody is says nothing by itself, and must hold up neither a copy nor a removal.
places = Table(
    "places",
    metadata,
    Column("design", StoredText(ID_LENGTH), primary_key=True),
    Column("board", StoredText(64), primary_key=True),
    Column("arrangement", StoredText(64), primary_key=True),
    Column("step", StoredText(200), nullable=False),
    Column("made", StoredText(32), nullable=False),
)

published = Table(
    "published",
    metadata,
    Column("design", StoredText(ID_LENGTH), ForeignKey("designs.id"), primary_key=True),
    Column("letter", StoredText(8), primary_key=True),
    Column("moment", StoredText(ID_LENGTH), ForeignKey("revisions.id"), nullable=False),
    Column("made", StoredText(32), nullable=False),
)

# No foreign keys: what was printed may be of a design that is put away, or was never kept.
sheet_codes = Table(
    "sheet_codes",
    metadata,
    Column("code", StoredText(16), primary_key=True),
    Column("design", StoredText(ID_LENGTH), primary_key=True),
    Column("moment", StoredText(ID_LENGTH), primary_key=True),
    Column("board", StoredText(64), primary_key=True),
    Column("arrangement", StoredText(64), primary_key=True),
    Column("sheets", StoredText(120), primary_key=True),
    Column("made", StoredText(32), nullable=False),
)

labels = Table(
    "labels",
    metadata,
    Column("design", StoredText(ID_LENGTH), ForeignKey("designs.id"), primary_key=True),
    Column("label", StoredText(LABEL_LENGTH), primary_key=True),
    Column("made", StoredText(32), nullable=False),
)

derived = Table(
    "derived",
    metadata,
    Column("revision", StoredText(ID_LENGTH), ForeignKey("revisions.id"), primary_key=True),
    Column("kind", StoredText(32), primary_key=True),
    Column("code", StoredText(64), primary_key=True),
    Column("value", LargeBinary, nullable=False),
    Column("made", StoredText(32), nullable=False),
)

meta = Table(
    "meta",
    metadata,
    Column("key", StoredText(32), primary_key=True),
    Column("value", StoredText(), nullable=False),
)

alembic_version = Table(
    "alembic_version",
    metadata,
    Column("version_num", StoredText(32), nullable=False),
    PrimaryKeyConstraint("version_num", name="alembic_version_pkc"),
)


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


def revision_row(row: Row[Any], before: str = "") -> Revision:
    """A row of ``revisions`` as a value, its document as it is stored.

    Args:
        row: the row, of other tables too.
        before: what stands there before the names of the columns of this one.
    """
    values = {name: row._mapping[before + name] for name in revisions.c.keys()}  # noqa: SIM118 - not a mapping
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
