"""Version 5: at which step of a drilling run a builder is."""

import sqlalchemy as sa
from alembic import op

revision = "5"
down_revision = "4"


def upgrade() -> None:
    """Make the table of places."""
    collation = "C" if op.get_bind().dialect.name == "postgresql" else None
    op.create_table(
        "places",
        sa.Column("design", sa.String(32, collation=collation), primary_key=True),
        sa.Column("board", sa.String(64, collation=collation), primary_key=True),
        sa.Column("arrangement", sa.String(64, collation=collation), primary_key=True),
        sa.Column("step", sa.String(200, collation=collation), nullable=False),
        sa.Column("made", sa.String(32, collation=collation), nullable=False),
    )
