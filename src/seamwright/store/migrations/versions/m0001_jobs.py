"""Jobs with the history of their designs, and the shop's profile."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Make the first three tables."""
    op.create_table(
        "job",
        sa.Column("id", sa.String(32), primary_key=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("archived", sa.Boolean, nullable=False),
        sa.Column("at_edit", sa.Integer, nullable=False),
    )
    op.create_table(
        "edit",
        sa.Column(
            "job_id", sa.String(32), sa.ForeignKey("job.id", ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("said", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("design", sa.Text, nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_table(
        "shop",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("profile", sa.Text, nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
    )


def downgrade() -> None:
    """Take them away again."""
    op.drop_table("shop")
    op.drop_table("edit")
    op.drop_table("job")
