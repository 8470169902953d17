"""Which of the ways of making a board its user chose; the cheapest where nothing was chosen."""

from __future__ import annotations

from sqlalchemy import delete, insert, select

from seamwright.store.keeping import Store
from seamwright.store.tables import WAY


def chosen_way(store: Store, id: str) -> str:
    """What matters most for a job; empty where nothing was chosen."""
    with store.engine.connect() as connection:
        found = connection.scalar(select(WAY.c.prefer).where(WAY.c.job_id == id))
    return str(found or "")


def choose_way(store: Store, id: str, prefer: str) -> None:
    """Keep what matters most for a job; empty for the cheapest.

    Raises:
        StoreError: no such job.
    """
    store.job(id)
    with store.engine.begin() as connection:
        connection.execute(delete(WAY).where(WAY.c.job_id == id))
        if prefer:
            connection.execute(insert(WAY).values(job_id=id, prefer=prefer))
