"""Where the shop is kept: the same place for the screens and for the command line."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from seamwright.rack import Rack
from seamwright.store import Store, measured_records

_FILE = "sqlite:///"


def default_store() -> str:
    """Where the shop is kept unless told otherwise: the user's own data folder."""
    home = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return f"sqlite:///{Path(home) / 'seamwright' / 'shop.db'}"


@contextmanager
def opened_store(address: str | None) -> Iterator[Store]:
    """A store while it is used; the default one where no address is given.

    Raises:
        StoreError: it cannot be opened.
    """
    store = Store.open(address or default_store())
    try:
        yield store
    finally:
        store.close()


def kept(address: str | None) -> tuple[tuple[str, ...], Rack]:
    """What was measured on all jobs of the shop, and its rack; nothing where no shop is kept yet.

    Raises:
        StoreError: it is there and cannot be opened.
    """
    with asked_store(address) as store:
        return (measured_records(store), store.boards.rack()) if store else ((), Rack())


def kept_records(address: str | None) -> tuple[str, ...]:
    """What was measured on all jobs of the shop; nothing where no shop is kept yet.

    Nothing is made where nothing is: a command that only asks leaves no file behind.

    Raises:
        StoreError: it is there and cannot be opened.
    """
    with asked_store(address) as store:
        return measured_records(store) if store else ()


@contextmanager
def asked_store(address: str | None) -> Iterator[Store | None]:
    """The store while it is asked something; None where none is kept at its usual place.

    Raises:
        StoreError: it is there and cannot be opened.
    """
    where = address or default_store()
    if where.startswith(_FILE) and not Path(where.removeprefix(_FILE)).exists():
        yield None
        return
    with opened_store(where) as store:
        yield store
