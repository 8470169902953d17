"""Boards on hand with flaws and photos, sizes that can be bought, what is set aside for whom."""

import sqlalchemy as sa
from alembic import op

revision = "0041"
down_revision = "0001"
branch_labels = None
depends_on = None

_BOARD = "board.name"


def upgrade() -> None:
    """Make the tables of the rack."""
    op.create_table(
        "rack",
        sa.Column("id", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("changes", sa.Integer, nullable=False),
    )
    op.execute("INSERT INTO rack (id, changes) VALUES (1, 0)")
    op.create_table(
        "board",
        sa.Column("name", sa.String(80), primary_key=True),
        sa.Column("place_in_list", sa.Integer, nullable=False),
        *_sizes(),
        sa.Column("finish", sa.String(20), nullable=False),
        sa.Column("ring", sa.String(20), nullable=False),
        sa.Column("stock", sa.String(20), nullable=False),
        sa.Column("moisture_pct", sa.Float(53)),
        sa.Column("price", sa.Float(53)),
        sa.Column("place", sa.Text, nullable=False),
        sa.Column("photo", sa.Text, nullable=False),
        sa.CheckConstraint(
            "thickness_mm > 0 AND width_mm > 0 AND length_mm > 0", name="board_has_a_size"
        ),
    )
    op.create_table(
        "flaw",
        sa.Column(
            "board", sa.String(80), sa.ForeignKey(_BOARD, ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("x_mm", sa.Float(53), nullable=False),
        sa.Column("y_mm", sa.Float(53), nullable=False),
        sa.Column("length_mm", sa.Float(53), nullable=False),
        sa.Column("width_mm", sa.Float(53), nullable=False),
        sa.CheckConstraint("length_mm > 0 AND width_mm > 0", name="flaw_has_a_size"),
    )
    op.create_table(
        "offer",
        sa.Column("name", sa.String(80), primary_key=True),
        sa.Column("place_in_list", sa.Integer, nullable=False),
        *_sizes(),
        sa.Column("price", sa.Float(53), nullable=False),
        sa.Column("finish", sa.String(20), nullable=False),
        sa.Column("ring", sa.String(20), nullable=False),
        sa.Column("most", sa.Integer),
        sa.CheckConstraint("most >= 0", name="offer_is_not_below_nothing"),
    )
    op.create_table(
        "held",
        sa.Column("board", sa.String(80), sa.ForeignKey(_BOARD), primary_key=True),
        sa.Column("job", sa.Text, nullable=False),
    )
    op.create_table(
        "held_plan",
        sa.Column("job", sa.String(200), primary_key=True),
        sa.Column("plan", sa.Text, nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_table(
        "photo",
        sa.Column(
            "board", sa.String(80), sa.ForeignKey(_BOARD, ondelete="CASCADE"), primary_key=True
        ),
        sa.Column("kind", sa.String(40), nullable=False),
        sa.Column("picture", sa.LargeBinary, nullable=False),
    )


def downgrade() -> None:
    """Take them away again."""
    for name in ("photo", "held_plan", "held", "offer", "flaw", "board", "rack"):
        op.drop_table(name)


def _sizes() -> tuple["sa.Column[object]", ...]:
    return (
        sa.Column("wood", sa.Text, nullable=False),
        sa.Column("thickness_mm", sa.Float(53), nullable=False),
        sa.Column("width_mm", sa.Float(53), nullable=False),
        sa.Column("length_mm", sa.Float(53), nullable=False),
    )
