"""What an edit costs: from the click to the answer on the server, and from the edit to a plan.

    python bench/edit_bench.py            print the tables
    python bench/edit_bench.py --write    put them into docs/benchmarks.md

The answer is what the drawing screen waits for: the edit made, kept in the store, and the board
with its seams, what locks, and its words sent back; the same edit through a reload of the whole
page stands beside it. The plan is worked out in the background: first a plan that holds on the
virtual bench, then the proven best; planning the same drawing from nothing stands beside them.
"""

from __future__ import annotations

import http.client
import json
import os
import socket
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests"), str(ROOT / "bench")]

import sections
import uvicorn
from planner_bench import in_rows, open_shop, random_board, twelve

from seamwright.app.desk import Desk
from seamwright.app.planning import plan
from seamwright.app.replanning import Drafts
from seamwright.design import Drawing, demo, read, settle, write
from seamwright.plan import Shop, default_shop
from seamwright.screens import make_server

SECTION = "## Editing"
EDITS = 12
WARM = 3
SECONDS = 20.0
BOARDS = (("flying geese unit", 4, 3), ("dutchmans puzzle", 4, 3), ("dutchmans puzzle", 8, 5))
"""Blocks in columns and rows: boards that can be planned meanwhile."""


def asked(drawing: Drawing, number: int) -> dict[str, object]:
    """One of three edits in turn: another wood, another grain, a new seam."""
    patches = drawing.patches
    patch = patches[(7 * number + 3) % len(patches)]
    if number % 3 == 0:
        return {"what": "fill", "patches": [patch.name], "wood": "ABC"[number // 3 % 3]}
    if number % 3 == 1:
        return {"what": "grain", "patches": [patch.name], "grain_deg": None}
    (ax, ay), (bx, by), (cx, cy) = patch.points[:3]
    start = ((ax + bx) / 2.0, (ay + by) / 2.0)
    return {"what": "seam", "start": start, "end": ((bx + cx) / 2.0, (by + cy) / 2.0)}


@contextmanager
def served(address: str) -> Iterator[tuple[Desk, http.client.HTTPConnection]]:
    """The server on a port of its own, and a connection to it."""
    app = make_server(address)
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    listening.listen()
    server = uvicorn.Server(uvicorn.Config(app, log_level="error"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]})
    thread.start()
    while not server.started:
        time.sleep(0.02)
    connection = http.client.HTTPConnection(*listening.getsockname())
    try:
        yield app.state.desk, connection
    finally:
        connection.close()
        server.should_exit = True
        thread.join()
        listening.close()


def answers(drawing: Drawing) -> str:
    """Edit after edit through the server; a row of the table."""
    took: list[float] = []
    reloads: list[float] = []
    with (
        tempfile.TemporaryDirectory() as folder,
        served(f"sqlite:///{folder}/shop.db") as (desk, connection),
    ):
        job = desk.begin(write(drawing), said="begun")
        page, at = f"/jobs/{job.id}", 1
        timed(connection, "GET", f"{page}/drawing")
        for number in range(EDITS + WARM):
            body = json.dumps({**asked(drawing, number), "after": at})
            seconds, status, answer = timed(connection, "POST", f"{page}/change", body)
            if status != 200:
                continue
            took.append(seconds)
            at = json.loads(answer)["at_edit"]
            reloads.append(timed(connection, "GET", f"{page}/drawing")[0])
    took, reloads = took[WARM:], reloads[WARM:]
    return (
        f"| {len(drawing.patches)} | {ms(middle(took))} | {ms(max(took))} | {ms(middle(reloads))} |"
    )


def timed(
    connection: http.client.HTTPConnection, method: str, path: str, body: str = ""
) -> tuple[float, int, bytes]:
    """Seconds from the question to the end of the answer, its status, and the answer."""
    origin = f"http://{connection.host}:{connection.port}"
    headers = {"origin": origin, "content-type": "application/json"}
    began = time.perf_counter()
    connection.request(method, path, body=body or None, headers=headers)
    answer = connection.getresponse()
    content = answer.read()
    return time.perf_counter() - began, answer.status, content


def edited(drawing: Drawing, number: int) -> Drawing:
    """One patch gets another wood."""
    patches = list(drawing.patches)
    at = (17 * number + 5) % len(patches)
    letters = [letter for letter, _ in drawing.woods]
    wood = letters[(letters.index(patches[at].wood) + 1) % len(letters)]
    patches[at] = replace(patches[at], wood=wood)
    return settle(replace(drawing, patches=tuple(patches)))


def plans(name: str, make: Callable[[], Drawing], shop: Shop, edits: int) -> str:
    """Edit after edit planned again; a row of the table."""
    drawing, drafts = make(), Drafts()
    drafts.replan(drawing, shop, seconds=SECONDS)
    first: list[float] = []
    best: list[float] = []
    afresh: list[float] = []
    sure = 0
    for number in range(edits):
        drawing = edited(drawing, number)
        began = time.perf_counter()
        report = drafts.replan(
            drawing, shop, seconds=SECONDS,
            early=lambda _report, at=began: first.append(time.perf_counter() - at),
        )  # fmt: skip
        best.append(time.perf_counter() - began)
        sure += report.best.proven
        began = time.perf_counter()
        plan(drawing, shop, seconds=SECONDS)
        afresh.append(time.perf_counter() - began)
    return (
        f"| {name} | {len(drawing.patches)} | {ms(middle(first))} | {ms(middle(best))} | "
        f"{sure} of {edits} | {ms(middle(afresh))} | {middle(first) / middle(afresh):.2f} | "
        f"{middle(best) / middle(afresh):.2f} |"
    )


def report() -> Iterator[str]:
    yield SECTION
    yield ""
    yield (
        f"Median and longest of {EDITS} edits after {WARM} to warm up, through the server's own "
        "routes, with the plan being worked out meanwhile in another process. Times in ms, on two "
        f"cores with a load of {os.getloadavg()[0]:.1f} at the start."
    )
    yield ""
    yield "| patches | answer, median | longest | reload of the page |"
    yield "|---|---|---|---|"
    for block, columns, rows in BOARDS:
        yield answers(in_rows(block, columns=columns, rows=rows))
    yield ""
    yield (
        "Planning again after one patch got another wood. The first plan holds on the virtual "
        "bench; the best is the exact choice. *From nothing*: the best, with nothing remembered. "
        "Medians in ms; ratios to planning from nothing."
    )
    yield ""
    yield (
        "| board | patches | first plan | best plan | proven best | from nothing | first × | "
        "best × |"
    )
    yield "|---|---|---|---|---|---|---|---|"
    yield plans("demo", lambda: read(demo(), name="demo"), default_shop(), 5)
    yield plans("sawtooth star × 12", lambda: twelve("sawtooth star"), default_shop(), 5)
    yield plans("dutchmans puzzle × 12", lambda: twelve("dutchmans puzzle"), default_shop(), 5)
    yield plans("random 300", lambda: random_board(300), open_shop(), 2)


def middle(took: list[float]) -> float:
    return statistics.median(took)


def ms(seconds: float) -> str:
    return f"{1000.0 * seconds:.0f}"


if __name__ == "__main__":
    sys.exit(sections.main(__doc__, SECTION, report))
