"""Jobs are kept edit by edit, on SQLite and on a real PostgreSQL server alike."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect

from fakes.postgres import Server, programs
from seamwright.store import (
    Store,
    StoreError,
    backup,
    choose_way,
    chosen_way,
    drop_block,
    engine_for,
    export_job,
    import_job,
    keep_block,
    migrate,
    own_blocks,
    restore,
)
from seamwright.store.tables import metadata


@pytest.fixture(scope="module")
def server():
    if programs() is None:
        pytest.fail("no PostgreSQL server here: apt-get install postgresql (make setup says so)")
    with Server() as running:
        yield running


@pytest.fixture(params=["sqlite", "postgresql"])
def url(request, tmp_path: Path) -> str:
    if request.param == "sqlite":
        return f"sqlite:///{tmp_path / 'shop.db'}"
    return request.getfixturevalue("server").fresh_database()


@pytest.fixture
def store(url: str):
    opened = Store.open(url)
    yield opened
    opened.close()


def edited(store: Store) -> str:
    job = store.add(title="Tray", design="one", said="Started")
    for design in ("two", "three"):
        job = store.save(
            job.id, title=f"Tray {design}", design=design, said="Drew", after=job.at_edit
        )
    return job.id


def test_undo_and_redo_go_on_after_the_store_was_closed(url: str) -> None:
    first = Store.open(url)
    id = edited(first)
    first.undo(id)
    first.close()
    again = Store.open(url)
    assert again.job(id).design == "two"
    assert (again.job(id).can_undo, again.job(id).can_redo) == (True, True)
    assert again.redo(id).design == "three"
    assert again.undo(id).title == "Tray two"
    assert again.undo(id).design == "one"
    assert again.undo(id).design == "one"
    again.close()


def test_an_edit_after_undo_takes_the_place_of_what_was_undone(store: Store) -> None:
    id = edited(store)
    store.undo(id)
    job = store.save(id, title="Tray", design="other", said="Filled", after=2)
    assert (job.at_edit, job.edits, job.can_redo) == (3, 3, False)
    assert [edit.design for edit in store.history(id)] == ["one", "two", "other"]


def test_an_edit_on_an_old_state_is_refused_and_changes_nothing(store: Store) -> None:
    id = edited(store)
    with pytest.raises(StoreError, match="another window"):
        store.save(id, title="x", design="late", said="Drew", after=2)
    assert store.job(id).design == "three"
    assert len(store.history(id)) == 3


def test_a_job_goes_through_a_file_whole(store: Store) -> None:
    id = edited(store)
    store.undo(id)
    choose_way(store, id, "safest")
    back = import_job(store, export_job(store, id, plan={"steps": []}))
    assert chosen_way(store, back.id) == "safest"
    assert back.id != id
    assert (back.design, back.at_edit, back.edits) == ("two", 2, 3)
    assert store.history(back.id) == store.history(id)


def test_a_backup_restores_in_another_store(store: Store, tmp_path: Path) -> None:
    id = edited(store)
    store.put_away(store.add(title="Old", design="o", said="Started").id, archived=True)
    store.save_shop_profile("[saws]\ntable_kerf = 2.4\n")
    keep_block(store, "star", "design of a star")
    choose_way(store, id, "least-wood")
    other = Store.open(f"sqlite:///{tmp_path / 'other.db'}")
    restore(other, backup(store))
    assert chosen_way(other, other.jobs()[0].id) == "least-wood"
    assert own_blocks(other) == {"star": "design of a star"}
    assert other.shop_profile() == store.shop_profile()
    assert [job.title for job in other.jobs()] == ["Tray three"]
    assert {job.title for job in other.jobs(archived=None)} == {"Tray three", "Old"}
    assert other.history(other.jobs()[0].id) == store.history(id)
    other.close()


def test_migrations_go_down_and_up_again(url: str) -> None:
    engine = engine_for(url)
    migrate(engine)
    assert {"job", "edit", "shop"} <= set(inspect(engine).get_table_names())
    migrate(engine, "base")
    assert set(inspect(engine).get_table_names()) <= {"alembic_version"}
    migrate(engine)
    assert Store(engine).empty()
    engine.dispose()


def test_the_tables_made_are_the_tables_used(url: str) -> None:
    engine = engine_for(url)
    migrate(engine)
    with engine.connect() as connection:
        assert compare_metadata(MigrationContext.configure(connection), metadata) == []
    engine.dispose()


def test_sqlite_keeps_a_log_ahead_and_waits_for_the_disk(tmp_path: Path) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'new' / 'shop.db'}")
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA journal_mode").scalar() == "wal"
        assert connection.exec_driver_sql("PRAGMA synchronous").scalar() == 2
    store.close()


def test_another_program_sees_an_edit_as_soon_as_it_is_made(tmp_path: Path) -> None:
    place = tmp_path / "shop.db"
    store = Store.open(f"sqlite:///{place}")
    store.add(title="Tray", design="one", said="Started")
    with sqlite3.connect(place) as other:
        assert other.execute("SELECT design FROM edit").fetchall() == [("one",)]
    other.close()
    store.close()


@pytest.mark.parametrize(
    "raw",
    [
        b"",
        b"\xff\xfe",
        b"[]",
        b'{"kind": "seamwright job"}',
        b'{"kind": "seamwright job", "form": 2}',
        b'{"kind": "seamwright job", "form": 1, "edits": []}',
        json.dumps({"kind": "seamwright job", "form": 1, "archived": False, "at_edit": 5,
                    "edits": [{"said": "", "title": "", "design": "",
                               "made_at": "2026-01-01T00:00:00+00:00"}]}).encode(),
        b"[" * 100_000,
    ],
)  # fmt: skip
def test_a_damaged_file_is_refused_and_nothing_is_kept(tmp_path: Path, raw: bytes) -> None:
    store = Store.open(f"sqlite:///{tmp_path / 'shop.db'}")
    with pytest.raises(StoreError):
        import_job(store, raw)
    with pytest.raises(StoreError):
        restore(store, raw)
    assert store.empty()
    store.close()


@pytest.mark.parametrize(
    "bad", ["", "nonsense", "oracle://x/y", "postgresql://nobody@127.0.0.1:1/none"]
)
def test_a_store_that_cannot_be_opened_says_so(bad: str) -> None:
    with pytest.raises(StoreError):
        Store.open(bad)


def test_blocks_are_kept_under_one_name_each(store: Store) -> None:
    keep_block(store, "star", "one")
    with pytest.raises(StoreError, match="another name"):
        keep_block(store, "star", "two")
    keep_block(store, "arrow", "three")
    assert list(own_blocks(store).items()) == [("arrow", "three"), ("star", "one")]
    drop_block(store, "star")
    assert list(own_blocks(store)) == ["arrow"]
