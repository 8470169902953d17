"""The tables, as they stand after the newest migration."""

from __future__ import annotations

from sqlalchemy import (
    Boolean,
    Column,
    DateTime,
    ForeignKey,
    Integer,
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
