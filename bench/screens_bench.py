"""What the screens weigh and how long they take, in a real Chromium, against full reloads.

    python bench/screens_bench.py            print the tables
    python bench/screens_bench.py --write    put them into docs/benchmarks.md

An edit is a click that fills a patch or, every third time, turns its grain. *On the screen* counts
from the click until Chromium put out the frame with the server's answer: it tells the time for a
sign that is laid onto the page together with the answer (Element Timing). *Two frames later* counts
until the second frame after the answer begins, and asks nothing of the browser's own clock. Beside
them stands the same edit followed by a reload of the whole page, two frames waited for as well, in
the same run, on the same board. Plans are worked out meanwhile, as always.
"""

from __future__ import annotations

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT / "src"), str(ROOT / "tests"), str(ROOT / "bench")]

import sections
from planner_bench import in_rows
from playwright.sync_api import Browser, Page, sync_playwright

from browser.conftest import FLAGS
from seamwright.app.desk import Desk
from seamwright.design import demo, write
from seamwright.store import Store

SECTION = "## Screens"
SHOP = "[limits]\nclamp_reach = 3000\n"
"""The largest board wants longer clamps than are common."""
BOARDS = (("flying geese unit", 4, 3), ("dutchmans puzzle", 4, 3), ("dutchmans puzzle", 8, 5))
"""Blocks in columns and rows: boards a shop can build, so that plans are worked out meanwhile."""
EDITS, WARM = 20, 4

FILL = """async ([n, after]) => {
  const svg = document.getElementById("board");
  const rings = JSON.parse(document.getElementById("view").textContent).shapes.patches;
  const ring = rings[(n * 7 + 3) % rings.length].points;
  const tool = document.querySelector(`input[name=pen][value=${n % 3 ? "fill" : "grain"}]`);
  tool.checked = true;
  tool.dispatchEvent(new Event("change"));
  const letters = [...document.querySelectorAll("input[name=wood]")];
  if (n % 3) letters[n % letters.length].click();
  const spot = new DOMPoint(ring.reduce((s, p) => s + p[0], 0) / ring.length,
    -ring.reduce((s, p) => s + p[1], 0) / ring.length).matrixTransform(svg.getScreenCTM());
  const at = { clientX: spot.x, clientY: spot.y, button: 0, bubbles: true, pointerId: 1 };
  const told = document.getElementById("edit");
  const sign = Object.assign(document.createElement("span"), { textContent: "·" });
  sign.style.cssText = "position: fixed; left: 0; top: 0";
  sign.setAttribute("elementtiming", `sign ${after}`);
  const seen = new Promise((done) => {
    new PerformanceObserver((list) => {
      const found = list.getEntries().find((entry) => entry.identifier === `sign ${after}`);
      if (found) done(found.renderTime);
    }).observe({ type: "element" });
  });
  const answered = new Promise((done) => {
    new MutationObserver((_, watch) => {
      if (!told.textContent.includes(`state ${after},`)) return;
      watch.disconnect();
      document.body.append(sign);
      done();
    }).observe(told, { childList: true, characterData: true, subtree: true });
  });
  const frame = () => new Promise((done) => requestAnimationFrame(done));
  const begun = performance.now();
  svg.dispatchEvent(new PointerEvent("pointerdown", at));
  const pen = performance.now() - begun;
  await answered;
  await frame();
  await frame();
  const later = performance.now() - begun;
  const shown = await seen - begun;
  sign.remove();
  return [shown, later, pen];
}"""
PAINT = "() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? -1"


@contextmanager
def served(store: str) -> Iterator[tuple[str, int, float]]:
    """``serve`` in a process of its own: its address, its process, its time to start [s]."""
    words = ["serve", "--no-browser", "--port", "0", "--store", store]
    begun = time.perf_counter()
    process = subprocess.Popen(
        [sys.executable, "-m", "seamwright", *words],
        stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
    )  # fmt: skip
    assert process.stdout is not None
    found = re.search(r"http://[\d.]+:\d+", process.stdout.readline())
    took = time.perf_counter() - begun
    assert found
    try:
        yield found[0], process.pid, took
    finally:
        process.terminate()
        process.wait(timeout=30)
        process.stdout.close()


def weights(browser: Browser, address: str, job: str) -> Iterator[str]:
    """What each screen sends to a browser that knows nothing yet, and its first paint."""
    yield "| screen | requests | kB on the wire | first paint ms |"
    yield "|---|---|---|---|"
    for name in ("/", "/begin", "/shop", *(f"{job}/{s}" for s in ("drawing", "rows", "looks"))):
        context = browser.new_context(base_url=address, viewport={"width": 1440, "height": 900})
        page = context.new_page()
        bytes_sent: list[float] = []
        cdp = context.new_cdp_session(page)
        cdp.send("Network.enable")
        cdp.on(
            "Network.loadingFinished",
            lambda e, kept=bytes_sent: kept.append(e["encodedDataLength"]),
        )
        page.goto(name, wait_until="load")
        page.wait_for_timeout(300)
        paint = page.evaluate(PAINT)
        said = {"/": "shelf"}.get(name, name.rsplit("/", 1)[-1])
        yield f"| {said} | {len(bytes_sent)} | {sum(bytes_sent) / 1000:.0f} | {paint:.0f} |"
        context.close()


def edits(browser: Browser, address: str, job: str, pid: int, count: int) -> str:
    """Edits with the pen, and the same with a reload behind each; a row of the table."""
    context = browser.new_context(base_url=address, viewport={"width": 1440, "height": 900})
    page = context.new_page()
    page.goto(f"{job}/drawing")
    page.wait_for_selector("#board .wood")
    took = [page.evaluate(FILL, [number, number + 2]) for number in range(EDITS)]
    shown, later, pens = zip(*took[WARM:], strict=True)
    reloads = []
    heap = heap_mb(page)
    for number in range(EDITS, EDITS + EDITS // 2):
        _, answer, _ = page.evaluate(FILL, [number, number + 2])
        begun = time.perf_counter()
        page.reload(wait_until="commit")
        page.wait_for_selector("#board .wood", state="attached")
        page.evaluate(
            "() => new Promise((d) => requestAnimationFrame(() => requestAnimationFrame(d)))"
        )
        reloads.append(answer + 1000 * (time.perf_counter() - begun))
    context.close()
    reload = statistics.median(reloads)
    return (
        f"| {count} | {statistics.median(pens):.1f} | {spread(shown)} | {spread(later)} | "
        f"{reload:.0f} | {reload / statistics.median(later):.1f} | "
        f"{heap:.0f} | {server_mb(pid):.0f} |"
    )


def spread(took: Sequence[float]) -> str:
    """The median, and what 95 of 100 do not exceed."""
    return f"{statistics.median(took):.0f} | {sorted(took)[int(0.95 * (len(took) - 1))]:.0f}"


def heap_mb(page: Page) -> float:
    cdp = page.context.new_cdp_session(page)
    cdp.send("HeapProfiler.collectGarbage")
    return float(cdp.send("Runtime.getHeapUsage")["usedSize"]) / 1e6


def server_mb(pid: int) -> float:
    """Memory of the server itself, without the processes that plan."""
    line = next(x for x in Path(f"/proc/{pid}/status").read_text().splitlines() if "VmRSS" in x)
    return int(line.split()[1]) / 1000


def report() -> Iterator[str]:
    yield SECTION
    yield ""
    yield from (__doc__ or "").strip().partition("\n\n")[2].partition("\n\n")[2].splitlines()
    yield ""
    with tempfile.TemporaryDirectory() as folder:
        store = f"sqlite:///{folder}/shop.db"
        desk = Desk(Store.open(store))
        desk.store.save_shop_profile(SHOP)
        boards = [in_rows(block, columns=wide, rows=high) for block, wide, high in BOARDS]
        jobs = {len(b.patches): desk.begin(write(b), said="begun").id for b in boards}
        shown = desk.begin(demo(), said="begun").id
        desk.close()
        with sync_playwright() as play, served(store) as (address, pid, start):
            program = shutil.which("chromium")
            browser = play.chromium.launch(executable_path=program, args=FLAGS)
            busy = os.getloadavg()[0]
            yield f"From the command to the open shop: {start:.1f} s. {os.cpu_count()} cores, load"
            yield f"{busy:.1f} when it began: look at the ratio; waiting grows with the load."
            yield ""
            yield from weights(browser, address, f"/jobs/{shown}")
            yield ""
            yield (
                "| patches | pen ms | on the screen, median ms | 95 % ms | two frames later, "
                "median ms | 95 % ms | with a reload ms | reload × | page MB | server MB |"
            )
            yield "|---|---|---|---|---|---|---|---|---|---|"
            for count, job in jobs.items():
                yield edits(browser, address, f"/jobs/{job}", pid, count)
            browser.close()


if __name__ == "__main__":
    sys.exit(sections.main(__doc__, SECTION, report))
