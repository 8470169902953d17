"""The rack as part of a backup: boards, flaws, photos, sizes to buy, what is set aside."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Mapping
from dataclasses import dataclass, replace

from seamwright.rack import CutPlan, Rack, RackError, cut_plan_from_json, cut_plan_to_json
from seamwright.rack.codec import read, written
from seamwright.store.racking import RackKeeping


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedRack:
    """A rack out of a file, read and found sound."""

    rack: Rack
    plans: tuple[tuple[str, CutPlan], ...]
    photos: tuple[tuple[str, str, bytes], ...]


def rack_table(boards: RackKeeping) -> dict[str, object]:
    """Everything on the rack as plain values; photos in base 64."""
    rack = boards.rack()
    photos = []
    for board in rack.boards:
        photo = boards.photo(board.name) if board.photo else None
        if photo is not None:
            picture = base64.b64encode(photo[1]).decode()
            photos.append({"board": board.name, "name": board.photo, "picture": picture})
    plans = [{"job": job, "plan": cut_plan_to_json(plan)} for job, plan in boards.held_plans()]
    return {"rack": written(rack), "plans": plans, "photos": photos}


def read_rack(table: object) -> PackedRack:
    """The rack in a backup.

    Raises:
        RackError: it is damaged.
        ValueError, KeyError, TypeError: it is damaged.
    """
    if not isinstance(table, Mapping):
        raise TypeError("no table")
    try:
        photos = tuple(
            (str(row["board"]), str(row["name"]), base64.b64decode(row["picture"], validate=True))
            for row in table["photos"]
        )
    except binascii.Error as error:
        raise ValueError(str(error)) from None
    return PackedRack(
        rack=read(Rack, table["rack"]),
        plans=tuple((str(row["job"]), cut_plan_from_json(row["plan"])) for row in table["plans"]),
        photos=photos,
    )


def put_rack(boards: RackKeeping, packed: PackedRack, *, jobs: Mapping[str, str]) -> None:
    """Add what is not on the rack yet; a board or size whose name is here stays as it is here.

    Args:
        boards: where to.
        packed: what comes.
        jobs: new name of each job that came with it.
    """
    here = {board.name for board in boards.rack().boards}

    def add(rack: Rack) -> Rack:
        known = {offer.name for offer in rack.offers}
        fresh = tuple(b for b in packed.rack.boards if b.name not in here)
        held = tuple(
            replace(r, job=jobs.get(r.job, r.job))
            for r in packed.rack.reservations
            if r.board not in here
        )
        return Rack(
            boards=(*rack.boards, *fresh),
            offers=(*rack.offers, *(o for o in packed.rack.offers if o.name not in known)),
            reservations=(*rack.reservations, *held),
        )

    boards.change(add)
    for board, name, picture in packed.photos:
        if board not in here:
            boards.put_photo(board, picture, name=name)
    for job, plan in packed.plans:
        if not here & {cuts.board.name for cuts in plan.boards if not cuts.offer}:
            try:
                boards.reserve(plan, job=jobs.get(job, job))
            except RackError:
                # the photo of a board has changed since: its plan must be made again
                boards.release(job=jobs.get(job, job))
