"""Blocks of the user's own: each a design file of one block, under its name."""

from __future__ import annotations

from sqlalchemy import delete, insert, select

from seamwright.errors import Fault
from seamwright.store.keeping import Store
from seamwright.store.opening import StoreError, now
from seamwright.store.tables import BLOCK


def own_blocks(store: Store) -> dict[str, str]:
    """Design files by the name of their block, in order of the alphabet."""
    with store.engine.connect() as connection:
        rows = connection.execute(select(BLOCK.c.name, BLOCK.c.design).order_by(BLOCK.c.name))
        return {str(name): str(design) for name, design in rows}


def keep_block(store: Store, name: str, design: str) -> None:
    """Keep a block; it never replaces one that is there.

    Raises:
        StoreError: there is one of that name.
    """
    if name in own_blocks(store):
        raise StoreError(Fault("K105", f"a block {name}", "is kept already", "choose another name"))
    with store.engine.begin() as connection:
        connection.execute(insert(BLOCK).values(name=name, design=design, made_at=now()))


def drop_block(store: Store, name: str) -> None:
    """Keep a block no longer; boards that use it have their own copy."""
    with store.engine.begin() as connection:
        connection.execute(delete(BLOCK).where(BLOCK.c.name == name))
