"""The rack on the command line: boards kept, cut, used up; quotes; every refusal in words."""

from __future__ import annotations

import csv
import io
import json

import pdfplumber
import pytest
from click.testing import CliRunner

from seamwright.cli import ExitCode, seamwright
from seamwright.rack.samples import demo_table

TRAY = """
title = "Tea tray"
unit = "mm"
thickness = 18
woods = { A = "hard maple", B = "walnut" }
[block.four]
columns = "70 70"
rows = "70 70"
cells = '''
A B
B A
'''
"""
SHOP = '[maker]\nname = "Test Bench"\ncurrency = "€"\n[money]\nhour = 50\n'


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SEAMWRIGHT_STORE", f"sqlite:///{tmp_path / 'shop.db'}")
    for name, text in (("tray.toml", TRAY), ("boards.csv", demo_table()), ("shop.toml", SHOP)):
        (tmp_path / name).write_text(text, encoding="utf-8")

    def call(*words):
        return CliRunner().invoke(seamwright, [str(word) for word in words])

    return call


def good(done):
    assert done.exit_code == ExitCode.GOOD, done.output
    return done.output


def rack(run):
    return json.loads(good(run("rack", "list", "--json")))


def test_boards_are_added_with_lengths_as_the_trade_writes_them(run):
    good(run("rack", "add", "A1", "--wood", "Hard Maple", "--thickness", "5/4", "--width", '6"',
             "--length", "900", "--stock", "offcut", "--ring", "rift", "--price", "12.5",
             "--flaw", "knot 10 20 30 15"))  # fmt: skip
    good(run("rack", "add", "yard", "--wood", "cherry", "--thickness", "8/4", "--finish", "milled",
             "--width", "150", "--length", "2440", "--stock", "offer", "--price", "60",
             "--limit", "2"))  # fmt: skip
    found = rack(run)
    board, offer = found["boards"][0], found["offers"][0]
    assert (board["wood"], board["thickness_mm"], board["width_mm"]) == (
        "sugar maple",
        31.75,
        152.4,
    )
    assert (board["stock"], board["ring"], board["price"]) == ("offcut", "rift", 12.5)
    assert board["flaws"][0]["length_mm"] == 30
    assert (round(offer["thickness_mm"], 6), offer["limit"]) == (44.45, 2)


def test_flaws_are_marked_and_taken_off(run):
    good(run("rack", "import", "boards.csv"))
    told = good(run("rack", "flaw", "M4", "knot", "50", '1"', "20", "10"))
    assert "knot, 20 × 10 mm at 50 mm along and 25.4 mm across" in told
    good(run("rack", "flaw", "M4", "--remove", "1"))
    assert next(b for b in rack(run)["boards"] if b["name"] == "M4")["flaws"] == []


def test_a_table_goes_out_as_it_came_in(run, tmp_path):
    good(run("rack", "import", "boards.csv"))
    good(run("rack", "export", "--out", "again.csv"))
    rows = [list(csv.DictReader(io.StringIO(text))) for text in (
        demo_table(), (tmp_path / "again.csv").read_text("utf-8"))]  # fmt: skip
    assert [r["name"] for r in rows[0]] == [r["name"] for r in rows[1]]
    assert [r["flaws"].replace(".0", "") for r in rows[0]] == [r["flaws"] for r in rows[1]]
    assert good(run("rack", "export")) == (tmp_path / "again.csv").read_text("utf-8")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "M1", "--wood", "ash", "--thickness", "26", "--width", "1", "--length", "1"),
         "board M1 is there twice"),
        (("add", "N", "--wood", "ash", "--thickness", "7/4", "--width", "x", "--length", "-1"),
         "no quarter size"),
        (("flaw", "M1", "knot", "9999", "0", "5", "5"), "reaches outside the board"),
        (("flaw", "none", "knot", "0", "0", "5", "5"), "board none is not on the rack"),
        (("flaw", "M1", "--remove", "7"), "has no flaw 7"),
        (("remove", "none"), "is not on the rack"),
        (("import", "boards.csv"), "is on the rack already"),
        (("import", "nowhere.csv"), "nowhere.csv is not there"),
        (("export", "--out", "tray.toml"), "is there already"),
    ],
)  # fmt: skip
def test_refusals_are_said_and_nothing_changes(run, words, said):
    good(run("rack", "import", "boards.csv"))
    before = rack(run)
    done = run("rack", *words)
    assert done.exit_code == ExitCode.BAD_INPUT
    assert said in done.output
    assert "Traceback" not in done.output
    assert rack(run) == before


def test_a_plan_is_reserved_then_confirmed_once(run):
    good(run("rack", "import", "boards.csv"))
    before = rack(run)
    told = good(run("cut", "tray.toml", "--time", "1", "--reserve"))
    assert "The boards are set aside for Tea tray" in told
    held = {b["name"] for b in rack(run)["boards"] if b["held_by"] == "Tea tray"}
    assert held
    other = json.loads(good(run("cut", "tray.toml", "--time", "1", "--job", "two", "--json")))
    assert not held & {b["name"] for b in other["boards"]}
    assert run("rack", "remove", next(iter(held))).exit_code == ExitCode.BAD_INPUT
    good(run("cut", "tray.toml", "--confirm"))
    after = rack(run)
    assert not held & {b["name"] for b in after["boards"]}
    assert all(b["held_by"] is None for b in after["boards"])
    again = run("cut", "tray.toml", "--confirm")
    assert again.exit_code == ExitCode.BAD_INPUT
    assert "has no cut plan set aside" in again.output
    assert rack(run) == after != before


def test_boards_are_given_back(run):
    good(run("rack", "import", "boards.csv"))
    before = rack(run)
    good(run("cut", "tray.toml", "--time", "1", "--reserve"))
    good(run("cut", "tray.toml", "--release"))
    assert rack(run) == before
    assert run("cut", "tray.toml", "--release").exit_code == ExitCode.BAD_INPUT


def test_the_order_of_sawing_is_kept(run):
    for order in ("crosscut", "rip"):
        found = json.loads(good(run("cut", "tray.toml", "--rack", "boards.csv", "--time", "1",
                                    "--order", order, "--json")))  # fmt: skip
        assert found["order"].startswith(order)
        assert found["boards"]
        for board in found["boards"]:
            pieces = {p["name"]: p for p in board["pieces"]}
            whole = max(p["length_mm"] for p in board["pieces"] if p["name"] != "P0")
            ripped = [pieces[c["piece"]]["length_mm"] for c in board["cuts"]
                      if c["direction"] == "rip"]  # fmt: skip
            assert ripped
            if order == "rip":
                # only the end trims come before: whatever is ripped has the full length
                assert min(ripped) > board["length_mm"] - 2 * 10 - 2
            else:
                assert max(ripped) < max(0.6 * board["length_mm"], whole)


def test_drawings_of_boards_are_written(run, tmp_path):
    good(run("cut", "tray.toml", "--rack", "boards.csv", "--time", "1", "--out", "sheets"))
    with pdfplumber.open(tmp_path / "sheets" / "boards-letter.pdf") as sheets:
        text = "\n".join(page.extract_text() for page in sheets.pages)
    assert "Cutting the boards" in text
    assert "crosscut the board" in text
    assert "Before you start" in text
    head = (tmp_path / "sheets" / "shopping.csv").read_text("utf-8-sig").splitlines()[0]
    assert head.startswith("wood,size,what")


def test_a_quote_adds_up_and_goes_on_one_page(run, tmp_path):
    words = ("quote", "tray.toml", "--rack", "boards.csv", "--time", "1", "--shop", "shop.toml",
             "--extra", "rubber feet=4.20")  # fmt: skip
    found = json.loads(good(run(*words, "--json")))
    cents = [round(100 * float(line["amount"])) for line in found["lines"]]
    assert sum(cents) == round(100 * float(found["total"]))
    assert (found["maker"], found["currency"], found["example_prices"]) == (
        "Test Bench",
        "€",
        False,
    )
    assert found["remarks"] == []
    told = good(run(*words, "--out", "out", "--page", "a4"))
    assert f"€ {float(found['total']):,.2f}" in told
    with pdfplumber.open(tmp_path / "out" / "quote-a4.pdf") as pages:
        assert len(pages.pages) == 1
        text = pages.pages[0].extract_text()
    assert "Test Bench" in text
    assert "Tea tray" in text
    assert "Draft" not in text
    assert f"{float(found['total']):,.2f}" in text


def test_example_prices_are_called_a_draft(run, tmp_path):
    told = good(run("quote", "tray.toml", "--time", "0.5", "--out", "out"))
    assert "The prices are our examples" in told
    assert "are not on the rack nor at the yard" in told
    with pdfplumber.open(tmp_path / "out" / "quote-letter.pdf") as pages:
        assert "Draft: example prices" in pages.pages[0].extract_text()


def test_extras_that_are_no_amounts_are_refused(run):
    done = run("quote", "tray.toml", "--time", "0.5", "--extra", "feet=many")
    assert done.exit_code == ExitCode.BAD_INPUT
    assert "feet is 'many'" in done.output


def test_a_table_cannot_be_reserved_from(run):
    done = run("cut", "tray.toml", "--rack", "boards.csv", "--reserve")
    assert done.exit_code == ExitCode.BAD_INPUT
    assert "take it in first" in done.output


def test_papers_have_the_boards_that_are_set_aside(run, tmp_path):
    good(run("rack", "import", "boards.csv"))
    good(run("cut", "tray.toml", "--time", "0.5", "--reserve"))
    good(run("papers", "tray.toml", "--out", "sheets", "--part", "boards"))
    with pdfplumber.open(tmp_path / "sheets" / "boards-letter.pdf") as pdf:
        text = "\n".join(page.extract_text() for page in pdf.pages)
    assert "Cut plan for Tea tray" in text
    named = {b["name"] for b in rack(run)["boards"] if b["held_by"] == "Tea tray"}
    assert named
    assert all(name in text for name in named)


def test_papers_without_a_rack_have_no_boards(run, tmp_path):
    good(run("papers", "tray.toml", "--out", "sheets", "--part", "boards", "--part", "lists"))
    assert sorted(p.name for p in (tmp_path / "sheets").glob("*.csv")) == ["cuts.csv", "sticks.csv"]
    assert not list((tmp_path / "sheets").glob("boards*"))


def test_papers_take_boards_from_a_table(run, tmp_path):
    good(run("papers", "tray.toml", "--out", "sheets", "--part", "boards", "--rack", "boards.csv"))
    assert (tmp_path / "sheets" / "boards-letter.pdf").is_file()
