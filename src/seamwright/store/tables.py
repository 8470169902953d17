"""The tables, as they stand after the newest migration."""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    CheckConstraint,
    Column,
    DateTime,
    Float,
    ForeignKey,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
)

metadata = MetaData()

JOB = Table(
    "job",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("made_at", DateTime(timezone=True), nullable=False),
    Column("changed_at", DateTime(timezone=True), nullable=False),
    Column("archived", Boolean, nullable=False),
    # number of the edit that is shown; edits after it can be redone
    Column("at_edit", Integer, nullable=False),
)

EDIT = Table(
    "edit",
    metadata,
    Column("job_id", String(32), ForeignKey("job.id", ondelete="CASCADE"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("said", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("design", Text, nullable=False),
    Column("made_at", DateTime(timezone=True), nullable=False),
)

SHOP = Table(
    "shop",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("profile", Text, nullable=False),
    Column("changed_at", DateTime(timezone=True), nullable=False),
)

RACK = Table(
    "rack",
    metadata,
    # one row: whoever changes the rack writes here first, so that changes come one after another
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("changes", Integer, nullable=False),
)

BOARD = Table(
    "board",
    metadata,
    Column("name", String(80), primary_key=True),
    Column("place_in_list", Integer, nullable=False),
    Column("wood", Text, nullable=False),
    Column("thickness_mm", Float(53), nullable=False),
    Column("width_mm", Float(53), nullable=False),
    Column("length_mm", Float(53), nullable=False),
    Column("finish", String(20), nullable=False),
    Column("ring", String(20), nullable=False),
    Column("stock", String(20), nullable=False),
    Column("moisture_pct", Float(53)),
    Column("price", Float(53)),
    Column("place", Text, nullable=False),
    Column("photo", Text, nullable=False),
    CheckConstraint("thickness_mm > 0 AND width_mm > 0 AND length_mm > 0", name="board_has_a_size"),
)

FLAW = Table(
    "flaw",
    metadata,
    Column("board", String(80), ForeignKey("board.name", ondelete="CASCADE"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("kind", String(20), nullable=False),
    Column("x_mm", Float(53), nullable=False),
    Column("y_mm", Float(53), nullable=False),
    Column("length_mm", Float(53), nullable=False),
    Column("width_mm", Float(53), nullable=False),
    CheckConstraint("length_mm > 0 AND width_mm > 0", name="flaw_has_a_size"),
)

OFFER = Table(
    "offer",
    metadata,
    Column("name", String(80), primary_key=True),
    Column("place_in_list", Integer, nullable=False),
    Column("wood", Text, nullable=False),
    Column("thickness_mm", Float(53), nullable=False),
    Column("width_mm", Float(53), nullable=False),
    Column("length_mm", Float(53), nullable=False),
    Column("price", Float(53), nullable=False),
    Column("finish", String(20), nullable=False),
    Column("ring", String(20), nullable=False),
    Column("most", Integer),
    CheckConstraint("most >= 0", name="offer_is_not_below_nothing"),
)

HELD = Table(
    "held",
    metadata,
    # the board is the key: the database itself refuses to set one aside twice
    Column("board", String(80), ForeignKey("board.name"), primary_key=True),
    Column("job", Text, nullable=False),
)

HELD_PLAN = Table(
    "held_plan",
    metadata,
    Column("job", String(200), primary_key=True),
    Column("plan", Text, nullable=False),
    Column("made_at", DateTime(timezone=True), nullable=False),
)

PHOTO = Table(
    "photo",
    metadata,
    Column("board", String(80), ForeignKey("board.name", ondelete="CASCADE"), primary_key=True),
    Column("kind", String(40), nullable=False),
    Column("picture", LargeBinary, nullable=False),
)

BLOCK = Table(
    "block",
    metadata,
    Column("name", String(60), primary_key=True),
    Column("design", Text, nullable=False),
    Column("made_at", DateTime(timezone=True), nullable=False),
)

WAY = Table(
    "way",
    metadata,
    Column("job_id", String(32), ForeignKey("job.id", ondelete="CASCADE"), primary_key=True),
    Column("prefer", String(40), nullable=False),
)

MEASURED = Table(
    "measured",
    metadata,
    Column("job_id", String(32), ForeignKey("job.id", ondelete="CASCADE"), primary_key=True),
    # readings and the plan they belong to, in the form of ``app.measuring``
    Column("record", Text, nullable=False),
    Column("changed_at", DateTime(timezone=True), nullable=False),
)
