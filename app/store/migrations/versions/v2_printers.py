"""Version 2: how prints are corrected, by printer and paper."""

import sqlalchemy as sa
from alembic import op

revision = "2"
down_revision = "1"


def upgrade() -> None:
    """Make the table of printers."""
    op.create_table(
        "profiles",
        sa.Column("printer", sa.String(80), primary_key=True),
        sa.Column("paper", sa.String(40), primary_key=True),
        sa.Column("x", sa.Float, nullable=False),
        sa.Column("y", sa.Float, nullable=False),
        sa.Column("measured", sa.Text, nullable=False),
        sa.Column("made", sa.String(32), nullable=False),
    )
