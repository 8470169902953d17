"""Which way of making a board was chosen."""

import sqlalchemy as sa
from alembic import op

revision = "0072"
down_revision = "0071"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "way",
        sa.Column(
            "job_id", sa.String(32), sa.ForeignKey("job.id", ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("prefer", sa.String(40), nullable=False),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("way")
