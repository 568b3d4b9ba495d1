"""Version 6: published revisions, and which sheets bear which check code."""

import sqlalchemy as sa
from alembic import op

revision = "6"
down_revision = "5"


def upgrade() -> None:
    """Make the tables of published revisions and of codes."""
    collation = "C" if op.get_bind().dialect.name == "postgresql" else None

    def text(length: int) -> sa.String:
        return sa.String(length, collation=collation)

    op.create_table(
        "published",
        sa.Column("design", text(32), sa.ForeignKey("designs.id"), primary_key=True),
        sa.Column("letter", text(8), primary_key=True),
        sa.Column("moment", text(32), sa.ForeignKey("revisions.id"), nullable=False),
        sa.Column("made", text(32), nullable=False),
    )
    op.create_table(
        "sheet_codes",
        sa.Column("code", text(16), primary_key=True),
        sa.Column("design", text(32), primary_key=True),
        sa.Column("moment", text(32), primary_key=True),
        sa.Column("board", text(64), primary_key=True),
        sa.Column("arrangement", text(64), primary_key=True),
        sa.Column("sheets", text(120), primary_key=True),
        sa.Column("made", text(32), nullable=False),
    )
