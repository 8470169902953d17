"""What was measured on a job."""

import sqlalchemy as sa
from alembic import op

revision = "0081"
down_revision = "0072"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "measured",
        sa.Column(
            "job_id", sa.String(32), sa.ForeignKey("job.id", ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("record", sa.Text, nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("measured")
