"""Blocks of the user's own, kept for every board."""

import sqlalchemy as sa
from alembic import op

revision = "0071"
down_revision = "0041"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "block",
        sa.Column("name", sa.String(60), primary_key=True),
        sa.Column("design", sa.Text, nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("block")
