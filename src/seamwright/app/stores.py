"""Where the shop is kept: the same place for the screens and for the command line."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from seamwright.store import Store


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
