"""Open the database, bring its tables up to date, or take them back."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import ArgumentError, DBAPIError

from seamwright.errors import Fault, SeamwrightError

_POSTGRES = "postgresql+pg8000"


class StoreError(SeamwrightError):
    """The store cannot be opened, or what is asked of it is not there."""


def engine_for(url: str) -> Engine:
    """A connection pool for ``sqlite:///FILE`` or ``postgresql://user@host/name``.

    SQLite keeps a write-ahead log and waits for the disk at every commit, so that what was saved
    stays saved when the power goes.

    Raises:
        StoreError: the address cannot be understood.
    """
    try:
        address = make_url(url)
    except ArgumentError:
        raise StoreError(
            Fault("K101", "the store's address", "cannot be read", "write sqlite:///FILE")
        ) from None
    if address.drivername == "postgresql":
        address = address.set(drivername=_POSTGRES)
    if address.drivername not in {"sqlite", _POSTGRES}:
        raise StoreError(
            Fault("K101", "the store's address", "names a database we do not know",
                  "use sqlite:///FILE or postgresql://USER@HOST/NAME")
        )  # fmt: skip
    if address.get_backend_name() == "sqlite" and address.database:
        try:
            Path(address.database).parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            raise _shut(error.strerror or "no such place") from None
    engine = create_engine(address, pool_pre_ping=address.get_backend_name() != "sqlite")
    if address.get_backend_name() == "sqlite":
        event.listen(engine, "connect", _sqlite_manners)
    return engine


def migrate(engine: Engine, revision: str = "head") -> None:
    """Bring the tables to a revision, up or down; "base" takes all of them away.

    Raises:
        StoreError: the database cannot be reached or is not ours.
    """
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations"))
    config.set_main_option("path_separator", "os")
    try:
        with engine.begin() as connection:
            config.attributes["connection"] = connection
            if revision == "base" or revision.startswith("-"):
                command.downgrade(config, revision)
            else:
                command.upgrade(config, revision)
    except DBAPIError as error:
        raise _shut(str(error.orig).splitlines()[0]) from None
    except OSError as error:
        raise _shut(error.strerror or str(error)) from None


def now() -> datetime:
    """The time in UTC."""
    return datetime.now(UTC)


def _shut(why: str) -> StoreError:
    return StoreError(
        Fault("K102", "the store", f"cannot be opened ({why})", "check the place and its rights")
    )


def _sqlite_manners(connection: Any, _record: object) -> None:
    cursor = connection.cursor()
    for rule in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=5000"):
        cursor.execute(f"PRAGMA {rule}")
    cursor.close()
