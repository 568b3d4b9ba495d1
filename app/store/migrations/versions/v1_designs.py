"""Version 1: designs and their revisions."""

import sqlalchemy as sa
from alembic import op

revision = "1"
down_revision = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "designs",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("created", sa.String(32), nullable=False),
        sa.Column("modified", sa.String(32), nullable=False),
        sa.Column("head", sa.String(32), nullable=False),
        sa.Column("removed", sa.String(32), nullable=True),
    )
    op.create_table(
        "revisions",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("design", sa.String(32), sa.ForeignKey("designs.id"), nullable=False, index=True),
        sa.Column("parent", sa.String(32), sa.ForeignKey("revisions.id"), nullable=True),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("summary", sa.Text, nullable=False),
        sa.Column("document", sa.Text, nullable=False),
        sa.Column("created", sa.String(32), nullable=False),
        sa.Column("redo", sa.String(32), nullable=True),
        sa.UniqueConstraint("design", "number"),
    )
    op.create_table(
        "meta",
        sa.Column("key", sa.String(32), primary_key=True),
        sa.Column("value", sa.Text, nullable=False),
    )
