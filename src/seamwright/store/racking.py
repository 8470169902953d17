"""The rack in the database: every change under one lock, so that no board is given away twice."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from sqlalchemy import Connection, Engine, delete, insert, select, update
from sqlalchemy.exc import DBAPIError

from seamwright.errors import Fault
from seamwright.rack import (
    Board,
    CutPlan,
    Finish,
    Flaw,
    FlawKind,
    Offer,
    Rack,
    RackError,
    Reservation,
    Ring,
    Stock,
    confirm,
    cut_plan_from_json,
    cut_plan_to_json,
    rack_faults,
    release,
    reserve,
)
from seamwright.store.opening import StoreError, now
from seamwright.store.tables import BOARD, FLAW, HELD, HELD_PLAN, OFFER, PHOTO, RACK

PHOTO_KINDS = ("image/jpeg", "image/png", "image/webp")
_MOST_PHOTO = 20_000_000

Change = Callable[[Rack], Rack]


class RackKeeping:
    """Boards on hand, sizes that can be bought, what is set aside, and photos."""

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def rack(self) -> Rack:
        """The rack as it stands."""
        with self._engine.connect() as connection:
            return _read(connection)

    def change(self, change: Change) -> Rack:
        """Change the rack; changes from elsewhere wait their turn and are seen.

        Raises:
            RackError: the change is refused, or gives a rack that cannot be; nothing is kept.
        """
        return self._changed(lambda _connection, rack: change(rack))

    def reserve(self, plan: CutPlan, *, job: str) -> Rack:
        """Set aside the boards of a plan, and keep the plan; what the job held before is freed.

        Raises:
            RackError: a board is gone, changed since, or set aside for another job.
        """

        def work(connection: Connection, rack: Rack) -> Rack:
            after = reserve(release(rack, job=job), plan, job=job)
            connection.execute(delete(HELD_PLAN).where(HELD_PLAN.c.job == job))
            text = json.dumps(cut_plan_to_json(plan), ensure_ascii=False, allow_nan=False)
            connection.execute(insert(HELD_PLAN).values(job=job, plan=text, made_at=now()))
            return after

        return self._changed(work)

    def release(self, *, job: str) -> Rack:
        """Give back everything set aside for a job, and forget its plan."""

        def work(connection: Connection, rack: Rack) -> Rack:
            connection.execute(delete(HELD_PLAN).where(HELD_PLAN.c.job == job))
            return release(rack, job=job)

        return self._changed(work)

    def confirm(self, *, job: str) -> Rack:
        """Take the boards of a job's plan off the rack and put its leftovers on it, flaws in place.

        Raises:
            RackError: the job has no plan set aside, or a board is gone or has changed.
        """

        def work(connection: Connection, rack: Rack) -> Rack:
            plan = _plan(connection, job)
            if plan is None:
                raise RackError(
                    Fault("R144", f"job {job}", "has no cut plan set aside", "reserve one first")
                )
            after = confirm(rack, plan, job=job)
            connection.execute(delete(HELD_PLAN).where(HELD_PLAN.c.job == job))
            return after

        return self._changed(work)

    def held_plan(self, *, job: str) -> CutPlan | None:
        """The cut plan a job has set boards aside for."""
        with self._engine.connect() as connection:
            return _plan(connection, job)

    def held_plans(self) -> tuple[tuple[str, CutPlan], ...]:
        """Every job with a plan set aside, and the plan."""
        with self._engine.connect() as connection:
            jobs = connection.scalars(select(HELD_PLAN.c.job).order_by(HELD_PLAN.c.job)).all()
            found = [(str(job), _plan(connection, str(job))) for job in jobs]
        return tuple((job, plan) for job, plan in found if plan is not None)

    def photo(self, board: str) -> tuple[str, bytes] | None:
        """Kind and bytes of a board's photo."""
        with self._engine.connect() as connection:
            query = select(PHOTO.c.kind, PHOTO.c.picture).where(PHOTO.c.board == board)
            row = connection.execute(query).one_or_none()
        return None if row is None else (str(row[0]), bytes(row[1]))

    def put_photo(self, board: str, picture: bytes, *, name: str) -> Rack:
        """Keep a photo of a board, in place of an earlier one; an empty one takes it away.

        Raises:
            RackError: no such board, or no picture that a browser shows.
        """
        kind = _picture_kind(picture)
        if picture and (kind not in PHOTO_KINDS or len(picture) > _MOST_PHOTO):
            raise RackError(
                Fault("R145", "the photo", "cannot be kept", "use JPEG, PNG or WebP, under 20 MB")
            )

        def work(connection: Connection, rack: Rack) -> Rack:
            marked = replace(rack.board(board), photo=(name[-120:] or "photo") if picture else "")
            connection.execute(delete(PHOTO).where(PHOTO.c.board == board))
            if picture:
                row = {"board": board, "kind": kind, "picture": picture}
                connection.execute(insert(PHOTO).values(**row))
            return replace(
                rack, boards=tuple(marked if b.name == board else b for b in rack.boards)
            )

        return self._changed(work)

    def _changed(self, work: Callable[[Connection, Rack], Rack]) -> Rack:
        try:
            with self._engine.begin() as connection:
                # the lock: SQLite lets one writer in, PostgreSQL one holder of this row
                connection.execute(update(RACK).values(changes=RACK.c.changes + 1))
                before = _read(connection)
                after = work(connection, before)
                faults = rack_faults(after)
                if faults:
                    raise RackError(*faults)
                _write(connection, before, after)
                return after
        except DBAPIError as error:
            raise _refused(str(error.orig)) from None


def _refused(said: str) -> RackError | StoreError:
    """What the database said, in our words; it must never come to the first but is asked to."""
    if "constraint" in said:
        return RackError(
            Fault("R146", "the rack", "was changed elsewhere meanwhile", "look at it afresh")
        )
    return StoreError(Fault("K105", "the store", f"is busy ({said:.60})", "try again"))


def _plan(connection: Connection, job: str) -> CutPlan | None:
    text = connection.scalar(select(HELD_PLAN.c.plan).where(HELD_PLAN.c.job == job))
    return None if text is None else cut_plan_from_json(json.loads(text))


def _read(connection: Connection) -> Rack:
    flaws: dict[str, list[Flaw]] = {}
    for row in connection.execute(select(FLAW).order_by(FLAW.c.board, FLAW.c.number)).mappings():
        flaws.setdefault(row["board"], []).append(
            Flaw(
                kind=FlawKind(row["kind"]),
                x_mm=row["x_mm"],
                y_mm=row["y_mm"],
                length_mm=row["length_mm"],
                width_mm=row["width_mm"],
            )
        )
    boards = connection.execute(select(BOARD).order_by(BOARD.c.place_in_list)).mappings()
    offers = connection.execute(select(OFFER).order_by(OFFER.c.place_in_list)).mappings()
    held = connection.execute(select(HELD).order_by(HELD.c.board)).mappings()
    return Rack(
        boards=tuple(
            Board(
                **_sizes(row),
                stock=Stock(row["stock"]),
                moisture_pct=row["moisture_pct"],
                price=row["price"],
                place=row["place"],
                photo=row["photo"],
                flaws=tuple(flaws.get(row["name"], ())),
            )
            for row in boards
        ),
        offers=tuple(Offer(**_sizes(row), price=row["price"], limit=row["most"]) for row in offers),
        reservations=tuple(Reservation(board=row["board"], job=row["job"]) for row in held),
    )


def _sizes(row: Any) -> dict[str, Any]:
    found = {key: row[key] for key in ("name", "wood", "thickness_mm", "width_mm", "length_mm")}
    return found | {"finish": Finish(row["finish"]), "ring": Ring(row["ring"])}


def _write(connection: Connection, before: Rack, after: Rack) -> None:
    """Only what differs is touched: photos hang on the boards that stay."""
    if before.reservations != after.reservations or before.boards != after.boards:
        connection.execute(delete(HELD))
        _write_boards(connection, before, after)
        held = [{"board": r.board, "job": r.job} for r in after.reservations]
        if held:
            connection.execute(insert(HELD), held)
    if before.offers != after.offers:
        connection.execute(delete(OFFER))
        offers = [
            _size_row(offer, place) | {"price": offer.price, "most": offer.limit}
            for place, offer in enumerate(after.offers)
        ]
        if offers:
            connection.execute(insert(OFFER), offers)


def _write_boards(connection: Connection, before: Rack, after: Rack) -> None:
    old = {board.name: (place, board) for place, board in enumerate(before.boards)}
    for gone in old.keys() - {board.name for board in after.boards}:
        connection.execute(delete(BOARD).where(BOARD.c.name == gone))
    for place, board in enumerate(after.boards):
        known = old.get(board.name)
        if known == (place, board):
            continue
        row = _size_row(board, place) | {
            "stock": board.stock.value,
            "moisture_pct": board.moisture_pct,
            "price": board.price,
            "place": board.place,
            "photo": board.photo,
        }
        if known is None:
            connection.execute(insert(BOARD).values(**row))
        else:
            connection.execute(update(BOARD).where(BOARD.c.name == board.name).values(**row))
        if known is None or known[1].flaws != board.flaws:
            _write_flaws(connection, board)


def _write_flaws(connection: Connection, board: Board) -> None:
    connection.execute(delete(FLAW).where(FLAW.c.board == board.name))
    rows = [
        {
            "board": board.name,
            "number": number,
            "kind": flaw.kind.value,
            "x_mm": flaw.x_mm,
            "y_mm": flaw.y_mm,
            "length_mm": flaw.length_mm,
            "width_mm": flaw.width_mm,
        }
        for number, flaw in enumerate(board.flaws, start=1)
    ]
    if rows:
        connection.execute(insert(FLAW), rows)


def _size_row(sized: Board | Offer, place: int) -> dict[str, object]:
    return {
        "name": sized.name,
        "place_in_list": place,
        "wood": sized.wood,
        "thickness_mm": sized.thickness_mm,
        "width_mm": sized.width_mm,
        "length_mm": sized.length_mm,
        "finish": sized.finish.value,
        "ring": sized.ring.value,
    }


def _picture_kind(picture: bytes) -> str:
    """What a picture says of itself in its first bytes."""
    if picture.startswith(b"\xff\xd8\xff"):
        return "image/jpeg"
    if picture.startswith(b"\x89PNG\r\n\x1a\n"):
        return "image/png"
    if picture.startswith(b"RIFF") and picture[8:12] == b"WEBP":
        return "image/webp"
    return ""
