"""What was measured is kept with its job, goes with its file, and goes away with it."""

from __future__ import annotations

import pytest

from seamwright.store import (
    Store,
    StoreError,
    backup,
    export_job,
    import_job,
    keep_measured,
    measured_record,
    measured_records,
    restore,
)


def test_measured_sizes_are_kept_and_carried_with_the_job() -> None:
    store = Store.open("sqlite://")
    job = store.add(title="Board", design="d", said="Started")
    assert measured_record(store, job.id) == ""
    keep_measured(store, job.id, "fifty millimetres")
    keep_measured(store, job.id, "fifty-one millimetres")
    assert measured_record(store, job.id) == "fifty-one millimetres"
    assert measured_records(store) == ("fifty-one millimetres",)
    back = import_job(store, export_job(store, job.id))
    assert measured_record(store, back.id) == "fifty-one millimetres"
    keep_measured(store, back.id, "")
    assert measured_records(store) == ("fifty-one millimetres",)
    other = Store.open("sqlite://")
    restore(other, backup(store))
    assert measured_records(other) == ("fifty-one millimetres",)
    store.close()
    other.close()


def test_sizes_of_no_job_are_refused() -> None:
    store = Store.open("sqlite://")
    with pytest.raises(StoreError):
        keep_measured(store, "nobody", "x")
    store.close()
