"""What was measured on a job, as one text with the plan it belongs to."""

from __future__ import annotations

from sqlalchemy import delete, insert, select

from seamwright.store.keeping import Store
from seamwright.store.opening import now
from seamwright.store.tables import MEASURED


def measured_record(store: Store, id: str) -> str:
    """What was measured on a job; empty where nothing was."""
    with store.engine.connect() as connection:
        found = connection.scalar(select(MEASURED.c.record).where(MEASURED.c.job_id == id))
    return str(found or "")


def measured_records(store: Store) -> tuple[str, ...]:
    """What was measured on any job, in the order it was last changed."""
    query = select(MEASURED.c.record).order_by(MEASURED.c.changed_at, MEASURED.c.job_id)
    with store.engine.connect() as connection:
        return tuple(str(text) for text in connection.scalars(query))


def keep_measured(store: Store, id: str, record: str) -> None:
    """Keep what was measured on a job; empty takes it away.

    Raises:
        StoreError: no such job.
    """
    store.job(id)
    with store.engine.begin() as connection:
        connection.execute(delete(MEASURED).where(MEASURED.c.job_id == id))
        if record:
            connection.execute(insert(MEASURED).values(job_id=id, record=record, changed_at=now()))
