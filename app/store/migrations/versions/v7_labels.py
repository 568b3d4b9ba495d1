"""Version 7: labels of designs on the shelf."""

import sqlalchemy as sa
from alembic import op

revision = "7"
down_revision = "6"


def upgrade() -> None:
    """Make the table of labels."""
    collation = "C" if op.get_bind().dialect.name == "postgresql" else None

    def text(length: int) -> sa.String:
        return sa.String(length, collation=collation)

    op.create_table(
        "labels",
        sa.Column("design", text(32), sa.ForeignKey("designs.id"), primary_key=True),
        sa.Column("label", text(40), primary_key=True),
        sa.Column("made", text(32), nullable=False),
    )
