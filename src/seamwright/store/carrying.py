"""A job, or the whole shop, as one file that another store can read."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Any

from seamwright.errors import Fault
from seamwright.rack import RackError, rack_faults
from seamwright.store.blocks import keep_block, own_blocks
from seamwright.store.choosing import choose_way, chosen_way
from seamwright.store.keeping import Edit, Job, Store
from seamwright.store.measuring import keep_measured, measured_record
from seamwright.store.opening import StoreError
from seamwright.store.rack_carrying import PackedRack, put_rack, rack_table, read_rack

_JOB = "seamwright job"
_SHOP = "seamwright shop"
_FORM = 1
_MOST_BYTES = 200_000_000


def export_job(store: Store, id: str, *, plan: Mapping[str, object] | None = None) -> bytes:
    """A job with its whole history, as JSON.

    Args:
        store: where it is kept.
        id: the job.
        plan: the plan of the state shown, for whoever reads the file; a store that takes the job
            in plans and proves afresh.
    """
    head: dict[str, object] = {"kind": _JOB, "form": _FORM}
    more = {} if plan is None else {"plan": dict(plan)}
    return _written(head | _job_table(store, store.job(id)) | more)


def import_job(store: Store, raw: bytes) -> Job:
    """Add the job in a file; it never replaces one that is there.

    Raises:
        StoreError: the file is none of ours, or is damaged.
    """
    return _put(store, _read(raw, _JOB))


def backup(store: Store) -> bytes:
    """Everything: every job with its history, the shop's profile, boards on hand, own blocks."""
    jobs = [{"id": job.id} | _job_table(store, job) for job in reversed(store.jobs(archived=None))]
    head: dict[str, object] = {"kind": _SHOP, "form": _FORM, "profile": store.shop_profile()}
    head["blocks"] = own_blocks(store)
    return _written(head | {"jobs": jobs, "boards": rack_table(store.boards)})


def restore(store: Store, raw: bytes) -> tuple[Job, ...]:
    """Bring back a backup: jobs, boards and blocks are added, its profile replaces the one here.

    A board whose mark is on the rack already stays as it is here. The whole file is read before
    anything is written.

    Raises:
        StoreError: the file is none of ours, or is damaged.
    """
    table = _read(raw, _SHOP)
    jobs, profile = table.get("jobs"), table.get("profile")
    if not isinstance(jobs, list) or not isinstance(profile, str):
        raise _damaged("jobs or profile missing")
    blocks = table.get("blocks", {})
    if not isinstance(blocks, dict) or not all(isinstance(text, str) for text in blocks.values()):
        raise _damaged("the blocks are not whole")
    histories = [_history(job) for job in jobs]
    packed = _rack(table["boards"]) if "boards" in table else None
    store.save_shop_profile(profile)
    for name in blocks.keys() - own_blocks(store).keys():
        keep_block(store, name, blocks[name])
    back = tuple(
        store.put(edits=edits, at_edit=at_edit, archived=archived)
        for edits, at_edit, archived in histories
    )
    for new, old in zip(back, jobs, strict=True):
        _put_way(store, new, old)
    if packed is not None:
        ids = {str(old.get("id")): new.id for old, new in zip(jobs, back, strict=True)}
        put_rack(store.boards, packed, jobs=ids)
    return back


def _rack(table: object) -> PackedRack:
    try:
        packed = read_rack(table)
        faults = rack_faults(packed.rack)
    except (RackError, KeyError, TypeError, ValueError):
        raise _damaged("the rack is not whole") from None
    if faults:
        raise _damaged(str(faults[0]))
    return packed


def _job_table(store: Store, job: Job) -> dict[str, object]:
    edits = [
        {
            "said": edit.said,
            "title": edit.title,
            "design": edit.design,
            "made_at": edit.made_at.astimezone(UTC).isoformat(),
        }
        for edit in store.history(job.id)
    ]
    way = chosen_way(store, job.id)
    table = {"archived": job.archived, "at_edit": job.at_edit, "way": way, "edits": edits}
    measured = measured_record(store, job.id)
    return table | ({"measured": measured} if measured else {})


def _written(table: dict[str, object]) -> bytes:
    return (json.dumps(table, ensure_ascii=False, indent=1) + "\n").encode()


def _read(raw: bytes, kind: str) -> dict[str, Any]:
    if len(raw) > _MOST_BYTES:
        raise _damaged("far too large")
    try:
        table = json.loads(raw.decode("utf-8"))
    except (ValueError, RecursionError):
        raise _damaged("not JSON") from None
    if not isinstance(table, dict) or table.get("kind") != kind:
        wanted = "a job" if kind == _JOB else "a backup of a shop"
        raise StoreError(
            Fault("K111", "the file", f"is not {wanted}", "choose one this program has written")
        )
    if table.get("form") != _FORM:
        raise StoreError(
            Fault("K112", "the file", "comes from a newer version", "bring this program up to date")
        )
    return table


def _put(store: Store, table: dict[str, Any]) -> Job:
    edits, at_edit, archived = _history(table)
    job = store.put(edits=edits, at_edit=at_edit, archived=archived)
    _put_way(store, job, table)
    return job


def _put_way(store: Store, job: Job, table: object) -> None:
    way = table.get("way", "") if isinstance(table, dict) else ""
    choose_way(store, job.id, way if isinstance(way, str) and way.isascii() else "")
    measured = table.get("measured", "") if isinstance(table, dict) else ""
    if isinstance(measured, str) and measured and "\0" not in measured:
        keep_measured(store, job.id, measured)


def _history(table: object) -> tuple[tuple[Edit, ...], int, bool]:
    try:
        assert isinstance(table, dict)
        archived, at_edit = table["archived"], table["at_edit"]
        edits = tuple(
            Edit(
                number=number,
                said=row["said"],
                title=row["title"],
                design=row["design"],
                made_at=datetime.fromisoformat(row["made_at"]).astimezone(UTC),
            )
            for number, row in enumerate(table["edits"], start=1)
        )
        texts = [text for e in edits for text in (e.said, e.title, e.design)]
        assert all(isinstance(text, str) and "\0" not in text for text in texts)
        assert type(archived) is bool
        assert type(at_edit) is int
        assert 1 <= at_edit <= len(edits)
    except (AssertionError, KeyError, TypeError, ValueError, OverflowError):
        raise _damaged("the history of a job is not whole") from None
    return edits, at_edit, archived


def _damaged(why: str) -> StoreError:
    return StoreError(Fault("K113", "the file", f"is damaged ({why})", "take another copy"))
