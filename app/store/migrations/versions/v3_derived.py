"""Version 3: what is made from a revision; on a server, text sorts by characters whatever its language."""

import sqlalchemy as sa
from alembic import op

revision = "3"
down_revision = "2"

# Every column of text there was, with its length.
_TEXTS: dict[str, dict[str, int | None]] = {
    "designs": {"id": 32, "title": None, "created": 32, "modified": 32, "head": 32, "removed": 32},
    "revisions": {
        "id": 32,
        "design": 32,
        "parent": 32,
        "summary": None,
        "document": None,
        "created": 32,
        "redo": 32,
    },
    "profiles": {"printer": 80, "paper": 40, "measured": None, "made": 32},
    "meta": {"key": 32, "value": None},
    "alembic_version": {"version_num": 32},
}


def upgrade() -> None:
    """Make the table of derived things; have a server compare text as SQLite does."""
    server = op.get_bind().dialect.name == "postgresql"
    collation = "C" if server else None
    if server:
        for table, columns in _TEXTS.items():
            for column, length in columns.items():
                op.alter_column(table, column, type_=_text(length, collation))
    op.create_table(
        "derived",
        sa.Column("revision", _text(32, collation), sa.ForeignKey("revisions.id"), primary_key=True),
        sa.Column("kind", _text(32, collation), primary_key=True),
        sa.Column("code", _text(64, collation), primary_key=True),
        sa.Column("value", sa.LargeBinary, nullable=False),
        sa.Column("made", _text(32, collation), nullable=False),
    )


def _text(length: int | None, collation: str | None) -> sa.types.TypeEngine[str]:
    return sa.Text(collation=collation) if length is None else sa.String(length, collation=collation)
