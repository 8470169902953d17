"""The rack in the database, on SQLite and on a real PostgreSQL server alike."""

from __future__ import annotations

import threading
from dataclasses import replace
from pathlib import Path

import pytest
from sqlalchemy import insert, text
from sqlalchemy.exc import DBAPIError

from checkers.seeded_rack import SHOP, seeded_demand, seeded_rack
from fakes.postgres import Server, programs
from seamwright.rack import (
    Board,
    Fate,
    Flaw,
    FlawKind,
    Offer,
    Rack,
    RackError,
    Reservation,
    Ring,
    Stock,
    cut_plan,
    cut_plan_from_json,
    cut_plan_to_json,
)
from seamwright.store import Store, StoreError, backup, restore
from seamwright.store.tables import HELD

PNG = b"\x89PNG\r\n\x1a\n" + b"picture"
BOARD = Board(
    name="B 1 · „Eiche“",
    wood="white ash",
    thickness_mm=26.5,
    width_mm=151.25,
    length_mm=1201.0625,
    ring=Ring.RIFT,
    stock=Stock.OFFCUT,
    moisture_pct=8.5,
    price=12.75,
    place="left wall",
    flaws=(
        Flaw(kind=FlawKind.RUNOUT, x_mm=100.5, y_mm=20, length_mm=30, width_mm=15),
        Flaw(kind=FlawKind.KNOT, x_mm=1, y_mm=2, length_mm=3, width_mm=4),
    ),
)
OFFER = Offer(
    name="ash 8 ft", wood="white ash", thickness_mm=26, width_mm=150, length_mm=2400, price=40,
    limit=3,
)  # fmt: skip


@pytest.fixture(scope="module")
def server():
    if programs() is None:
        pytest.fail("no PostgreSQL server here: apt-get install postgresql")
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


@pytest.fixture(scope="module")
def case():
    rack = seeded_rack(5, boards=10, woods=2)
    return rack, cut_plan(rack, seeded_demand(5, lines=6, woods=2), shop=SHOP, seconds=0.5)


def codes(error) -> set[str]:
    return {fault.code for fault in error.value.faults}


def test_a_rack_comes_back_as_it_was_kept(url: str) -> None:
    rack = Rack(
        boards=(replace(BOARD, name="z"), BOARD),
        offers=(OFFER, replace(OFFER, name="a", limit=None)),
        reservations=(Reservation(board="z", job="tray"),),
    )
    first = Store.open(url)
    assert first.boards.rack() == Rack()
    assert first.boards.change(lambda _: rack) == rack
    first.close()
    again = Store.open(url)
    assert again.boards.rack() == rack
    marked = again.boards.change(lambda r: r.with_flaw("z", BOARD.flaws[1]))
    assert again.boards.rack() == marked
    assert len(marked.board("z").flaws) == 3
    again.close()


def test_a_change_that_cannot_be_leaves_everything_as_it_was(store: Store) -> None:
    store.boards.change(lambda _: Rack(boards=(BOARD,), offers=(OFFER,)))
    for bad in (
        lambda r: replace(r, boards=(replace(BOARD, length_mm=-1),)),
        lambda r: replace(r, boards=(BOARD, BOARD)),
        lambda r: replace(r, offers=(replace(OFFER, limit=-1),)),
        lambda r: replace(r, reservations=(Reservation(board="none", job="x"),)),
        lambda r: r.with_flaw(BOARD.name, replace(BOARD.flaws[0], x_mm=9999)),
    ):
        with pytest.raises(RackError):
            store.boards.change(bad)
    assert store.boards.rack() == Rack(boards=(BOARD,), offers=(OFFER,))


def test_the_database_itself_refuses_what_must_never_be(store: Store) -> None:
    store.boards.change(lambda _: Rack(boards=(BOARD,), offers=(OFFER,)))
    wrong = (
        "UPDATE board SET length_mm = 0",
        "UPDATE board SET width_mm = -1",
        "UPDATE offer SET most = -1",
        "UPDATE flaw SET width_mm = 0",
    )
    for words in wrong:
        with pytest.raises(DBAPIError, match=r"constraint|CHECK"):
            do(store, text(words))
    rows = [{"board": BOARD.name, "job": job} for job in ("one", "two")]
    with pytest.raises(DBAPIError, match=r"unique|UNIQUE"):
        do(store, insert(HELD), rows)


def do(store: Store, statement, rows=None) -> None:
    with store.engine.begin() as connection:
        connection.execute(statement, rows)


def test_two_at_once_never_get_the_same_board(url: str, case) -> None:
    rack, plan = case
    stores = [Store.open(url), Store.open(url)]
    stores[0].boards.change(lambda _: rack)
    start = threading.Barrier(2)
    told: dict[str, object] = {}

    def book(number: int) -> None:
        start.wait()
        try:
            stores[number].boards.reserve(plan, job=f"job {number}")
            told[f"job {number}"] = "has them"
        except RackError as error:
            told[f"job {number}"] = {fault.code for fault in error.faults}

    for _ in range(5):
        told.clear()
        threads = [threading.Thread(target=book, args=(n,)) for n in (0, 1)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        outcomes = sorted(told.values(), key=str)
        assert "has them" in outcomes
        assert {"R143"} in outcomes
        winner = next(job for job, said in told.items() if said == "has them")
        held = stores[1].boards.rack().reservations
        mine = {c.board.name for c in plan.boards if not c.offer}
        assert {(r.board, r.job) for r in held} == {(name, winner) for name in mine}
        stores[0].boards.release(job=winner)
    for store in stores:
        store.close()


def test_changes_made_at_once_are_all_kept(url: str) -> None:
    stores = [Store.open(url), Store.open(url)]
    names = [[f"{n}-{k}" for k in range(6)] for n in (0, 1)]

    def add(number: int) -> None:
        for name in names[number]:
            stores[number].boards.change(
                lambda r, name=name: replace(r, boards=(*r.boards, replace(BOARD, name=name)))
            )

    threads = [threading.Thread(target=add, args=(n,)) for n in (0, 1)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {b.name for b in stores[0].boards.rack().boards} == {*names[0], *names[1]}
    for store in stores:
        store.close()


def test_confirming_consumes_once_and_returns_leftovers_with_their_flaws(store, case) -> None:
    rack, plan = case
    store.boards.change(lambda _: rack)
    with pytest.raises(RackError) as caught:
        store.boards.confirm(job="tray")
    assert codes(caught) == {"R144"}
    store.boards.reserve(plan, job="tray")
    assert store.boards.held_plan(job="tray") == plan
    after = store.boards.confirm(job="tray")
    assert after == store.boards.rack()
    used = {c.board.name for c in plan.boards if not c.offer}
    kept = [p for c in plan.boards for p in c.of(Fate.LEFTOVER)]
    assert kept
    assert not used & {b.name for b in after.boards}
    assert len(after.boards) == len(rack.boards) - len(used) + len(kept)
    assert after.reservations == ()
    for cuts in plan.boards:
        for piece in cuts.of(Fate.LEFTOVER):
            inside = [
                f
                for f in cuts.board.flaws
                if f.x_mm < piece.x_mm + piece.length_mm and f.x_mm + f.length_mm > piece.x_mm
                and f.y_mm < piece.y_mm + piece.width_mm and f.y_mm + f.width_mm > piece.y_mm
            ]  # fmt: skip
            back = [
                b
                for b in after.boards
                if b.name.startswith((f"{cuts.board.name}-", f"{cuts.board.name} no. "))
                and (b.length_mm, b.width_mm) == (piece.length_mm, piece.width_mm)
            ]
            assert len(inside) in {len(b.flaws) for b in back}
    with pytest.raises(RackError):
        store.boards.confirm(job="tray")
    assert store.boards.rack() == after


def test_a_board_that_changed_since_is_not_cut(store, case) -> None:
    rack, plan = case
    store.boards.change(lambda _: rack)
    store.boards.reserve(plan, job="tray")
    name = next(c.board.name for c in plan.boards if not c.offer)
    flaw = Flaw(kind=FlawKind.SPLIT, x_mm=0, y_mm=0, length_mm=5, width_mm=5)
    store.boards.change(lambda r: r.with_flaw(name, flaw))
    with pytest.raises(RackError) as caught:
        store.boards.confirm(job="tray")
    assert codes(caught) == {"R142"}
    assert len(store.boards.rack().boards) == len(rack.boards)


def test_what_can_be_had_never_falls_below_nothing(store) -> None:
    demand = seeded_demand(1, lines=3, woods=1)
    size = replace(OFFER, wood=demand.sticks[0].wood, limit=9)
    rack = Rack(offers=(size,))
    plan = cut_plan(rack, demand, shop=SHOP, seconds=0.3)
    bought = dict(plan.purchases())[size.name]
    store.boards.change(lambda _: replace(rack, offers=(replace(size, limit=bought),)))
    store.boards.reserve(plan, job="a")
    store.boards.reserve(plan, job="b")
    assert store.boards.confirm(job="a").offers[0].limit == 0
    with pytest.raises(RackError) as caught:
        store.boards.confirm(job="b")
    assert codes(caught) == {"R147"}


def test_photos_are_kept_with_their_board(store) -> None:
    store.boards.change(lambda _: Rack(boards=(BOARD, replace(BOARD, name="other"))))
    store.boards.put_photo(BOARD.name, PNG, name="oak.png")
    assert store.boards.rack().board(BOARD.name).photo == "oak.png"
    assert store.boards.photo(BOARD.name) == ("image/png", PNG)
    with pytest.raises(RackError) as caught:
        store.boards.put_photo("other", b"<svg/>", name="x.svg")
    assert codes(caught) == {"R145"}
    store.boards.change(lambda r: r.with_flaw(BOARD.name, BOARD.flaws[0]))
    assert store.boards.photo(BOARD.name) == ("image/png", PNG)
    store.boards.change(lambda r: replace(r, boards=r.boards[1:]))
    assert store.boards.photo(BOARD.name) is None


def test_a_backup_carries_the_rack(store, case, tmp_path: Path) -> None:
    rack, plan = case
    job = store.add(title="Tray", design="d", said="Started")
    store.boards.change(lambda _: replace(rack, boards=(*rack.boards, BOARD)))
    store.boards.put_photo(BOARD.name, PNG, name="oak.png")
    store.boards.reserve(plan, job=job.id)
    other = Store.open(f"sqlite:///{tmp_path / 'other.db'}")
    (back,) = restore(other, backup(store))
    here, there = store.boards.rack(), other.boards.rack()
    assert (there.boards, there.offers) == (here.boards, here.offers)
    assert {r.job for r in there.reservations} == {back.id}
    assert other.boards.held_plan(job=back.id) == plan
    assert other.boards.photo(BOARD.name) == ("image/png", PNG)
    restore(other, backup(store))
    assert other.boards.rack() == there
    other.close()


def test_a_damaged_rack_in_a_backup_brings_nothing_back(tmp_path: Path) -> None:
    store = Store.open("sqlite://")
    store.boards.change(lambda _: Rack(boards=(BOARD,)))
    other = Store.open(f"sqlite:///{tmp_path / 'other.db'}")
    whole = backup(store)
    for old, new in ((b"1201.0625", b"-5"), (b'"rift"', b'"round"'), (b'"photos"', b'"fotos"')):
        assert old in whole
        with pytest.raises(StoreError):
            restore(other, whole.replace(old, new))
    assert other.boards.rack() == Rack()
    assert other.empty()
    store.close()
    other.close()


def test_a_cut_plan_reads_back_to_the_bit(case) -> None:
    _, plan = case
    assert cut_plan_from_json(cut_plan_to_json(plan)) == plan
    with pytest.raises(RackError):
        cut_plan_from_json({**cut_plan_to_json(plan), "form": 2})
    with pytest.raises(RackError):
        cut_plan_from_json({**cut_plan_to_json(plan), "cost": "dear"})
