"""Version 4: the bits of the workshop, for every design."""

import sqlalchemy as sa
from alembic import op

revision = "4"
down_revision = "3"


def upgrade() -> None:
    """Make the table of lists of bits."""
    collation = "C" if op.get_bind().dialect.name == "postgresql" else None
    op.create_table(
        "bit_lists",
        sa.Column("owner", sa.String(32, collation=collation), primary_key=True),
        sa.Column("bits", sa.Text(collation=collation), nullable=True),
        sa.Column("before", sa.Text(collation=collation), nullable=True),
        sa.Column("made", sa.String(32, collation=collation), nullable=False),
    )
