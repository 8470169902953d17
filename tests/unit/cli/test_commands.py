"""Every command through click's own runner: what it prints, what it writes, how it ends."""

import json

import pytest
from click.testing import CliRunner

from seamwright.cli import ExitCode, seamwright
from seamwright.plan import default_shop, read_shop

FOUR = """
title = "Tea tray"
unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut" }
[block.four]
columns = "3 3"
rows = "3 3"
cells = '''
A B
B A
'''
"""
SWIRL = """
title = "Swirl"
unit = "mm"
thickness = 20
woods = { A = "sugar maple", B = "black walnut" }
patch = [
    { name = "south", wood = "A", points = "0,0 120,0 120,60 0,60" },
    { name = "east", wood = "B", points = "120,0 180,0 180,120 120,120" },
    { name = "north", wood = "A", points = "60,120 180,120 180,180 60,180" },
    { name = "west", wood = "B", points = "0,60 60,60 60,180 0,180" },
    { name = "heart", wood = "A", points = "60,60 120,60 120,120 60,120" },
]
"""


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "four.toml").write_text(FOUR, encoding="utf-8")
    (tmp_path / "swirl.toml").write_text(SWIRL, encoding="utf-8")

    def call(*words, stdin=None):
        return CliRunner().invoke(seamwright, [str(word) for word in words], input=stdin)

    return call


def test_new_then_check_then_plan(run, tmp_path):
    assert run("new").exit_code == ExitCode.GOOD
    checked = run("check", "board.toml")
    assert checked.exit_code == ExitCode.GOOD
    assert checked.output.startswith("My first board: ")
    planned = run("plan", "board.toml")
    assert planned.exit_code == ExitCode.GOOD
    assert "the board is the drawing" in planned.output


def test_new_never_writes_over_a_file(run, tmp_path):
    (tmp_path / "mine.toml").write_text("mine", encoding="utf-8")
    done = run("new", "mine.toml")
    assert done.exit_code == ExitCode.BAD_INPUT
    assert "mine.toml is there already" in done.output
    assert (tmp_path / "mine.toml").read_text("utf-8") == "mine"


def test_check_tells_seams_by_class(run):
    done = run("check", "four.toml")
    assert "Tea tray: 6″ × 6″ × 3/4″ (152.4 × 152.4 × 19.1 mm), 4 patches" in done.output
    assert "long grain: 2 seams, 6″ (153 mm) together" in done.output
    assert "end grain: 2 seams, 6″ (153 mm) together" in done.output
    assert "Every seam" not in done.output


def test_check_lists_every_seam(run):
    done = run("check", "four.toml", "--seams")
    assert done.output.count("3″ (76.2 mm)") == 4
    assert "1 (long grain) to 2 (long grain): 3″ (76.2 mm), long grain" in done.output


def test_check_names_what_locks(run):
    done = run("check", "swirl.toml")
    assert done.exit_code == ExitCode.GOOD
    assert "  south, east, north, west, heart" in done.output
    assert "One more seam frees them (fewer will not do)" in done.output


def test_check_as_json(run):
    document = json.loads(run("check", "swirl.toml", "--json").output)
    assert document["splits"] is False
    assert document["locked"] == [["south", "east", "north", "west", "heart"]]
    (seam,) = document["added_seams"]
    assert seam["length_mm"] == pytest.approx(60.0)
    assert seam["patch"] in {"south", "east", "north", "west"}
    assert len(document["seams"]) == 8


def test_alternatives_stand_under_the_plan(run):
    told = run("plan", "four.toml", "--alternatives").output
    plan, ways = told.split("\nPlans that differ in kind:\n")
    assert plan == run("plan", "four.toml").output
    assert ways == run("ways", "four.toml").output
    document = json.loads(run("plan", "four.toml", "--alternatives", "--json").output)
    assert document["ways"] == json.loads(run("ways", "four.toml", "--json").output)["ways"]


def test_check_from_standard_input(run):
    done = run("check", "-", stdin=FOUR)
    assert done.exit_code == ExitCode.GOOD
    assert "4 patches" in done.output


def test_plan_reads_like_a_plan(run):
    done = run("plan", "four.toml")
    assert done.exit_code == ExitCode.GOOD
    assert "Mill " in done.output
    assert "Glue up " in done.output
    assert "Proven best" in done.output
    assert "Saws and small parts can hurt" in done.output


def test_plan_says_which_seams_were_added(run):
    done = run("plan", "swirl.toml")
    assert done.exit_code == ExitCode.GOOD
    assert (
        "The drawing locks: 1 seam more than you drew was added; fewer will not do" in done.output
    )


def test_plan_as_json(run):
    document = json.loads(run("plan", "four.toml", "--json").output)
    assert document["schema"] == 1
    assert document["proof"]["holds"] is True
    assert document["best"]["proven"] is True
    assert document["totals"]["wood_mm3"] > 152.4 * 152.4 * 19.05
    assert [told["step"] for told in document["told"]] == [
        number for number, _ in enumerate(document["steps"], start=1)
    ]


def test_plan_in_another_shop(run, tmp_path):
    (tmp_path / "shop.toml").write_text("[saws]\ntable_kerf = 2.4\n", encoding="utf-8")
    document = json.loads(run("plan", "four.toml", "--shop", "shop.toml", "--json").output)
    assert document["shop"]["saws"]["table_kerf_mm"] == 2.4


def test_no_plan_in_a_shop_too_small(run, tmp_path):
    (tmp_path / "shop.toml").write_text("[limits]\nclamp_reach = 100\n", encoding="utf-8")
    done = run("plan", "four.toml", "--shop", "shop.toml")
    assert done.exit_code == ExitCode.NO_PLAN
    assert done.output.startswith("No plan is possible:\n")
    assert "limits.clamp_reach" in done.output


def test_papers_are_written(run, tmp_path):
    done = run("papers", "four.toml", "--out", "sheets", "--page", "a4")
    assert done.exit_code == ExitCode.GOOD
    made = sorted(path.name for path in (tmp_path / "sheets").iterdir())
    assert "bench-sheets-a4.pdf" in made
    assert "sticks.csv" in made
    assert "drawing-full-size-mm.svg" in made
    assert all(name in done.output for name in made if name != "papers.txt")
    assert (tmp_path / "sheets" / "bench-sheets-a4.pdf").read_bytes().startswith(b"%PDF-")


def test_papers_of_one_part(run, tmp_path):
    done = run("papers", "four.toml", "--out", "lists", "--part", "lists", "--json")
    document = json.loads(done.output)
    assert document["files"] == ["lists/sticks.csv", "lists/cuts.csv"]
    assert (tmp_path / "lists" / "cuts.csv").stat().st_size > 0


def test_woods_lists_all_and_shows_one(run):
    assert "black walnut" in run("woods").output
    shown = run("woods", "Hard Maple")
    assert shown.output.startswith("sugar maple, also ")
    assert "Sources" in shown.output
    assert "dust: " in shown.output


def test_woods_as_json(run):
    document = json.loads(run("woods", "black walnut", "--json").output)
    assert [wood["name"] for wood in document["woods"]] == ["black walnut"]
    assert all(value["source"] for value in document["woods"][0]["values"])


def test_shop_shows_defaults_with_sources(run):
    done = run("shop")
    assert "table_kerf = 3.175 mm" in done.output
    assert "common practice" in done.output


def test_shop_writes_what_is_read_back(run, tmp_path):
    assert run("shop", "--write", "shop.toml").exit_code == ExitCode.GOOD
    assert read_shop((tmp_path / "shop.toml").read_text("utf-8")) == default_shop()
    assert run("shop", "--write", "shop.toml").exit_code == ExitCode.BAD_INPUT


def test_shop_as_json(run):
    document = json.loads(run("shop", "--json").output)
    assert {"section", "key", "value", "source"} <= document["defaults"][0].keys()


def test_demo_ends_well(run, tmp_path):
    done = run("demo")
    assert done.exit_code == ExitCode.GOOD
    assert "files in out/demo" in done.output
    assert (tmp_path / "out" / "demo" / "bench-sheets-letter.pdf").exists()


def test_help_of_every_command(run):
    for name in seamwright.commands:
        done = run(name, "--help")
        assert done.exit_code == ExitCode.GOOD
        assert done.output.startswith(f"Usage: seamwright {name}")


def test_version(run):
    assert run("--version").output.startswith("seamwright, version 0.")


SASHED = (
    FOUR.replace('"3 3"', '"3 1/4 3"').replace("A B\nB A", "A B A\nB A B\nA B A")
    + """
[board]
set = "four four"
sashing = { wood = "B", width = "9/32" }
"""
)


def test_near_tells_changes_and_writes_one(tmp_path):
    design = tmp_path / "tray.toml"
    design.write_text(SASHED, encoding="utf-8")
    new = tmp_path / "new.toml"
    done = CliRunner().invoke(seamwright, ["near", str(design), "--write", str(new)])
    assert done.exit_code == ExitCode.GOOD, done.output
    assert "saves" in done.output
    assert "is written" in done.output
    assert design.read_text("utf-8") == SASHED
    again = CliRunner().invoke(seamwright, ["plan", str(new)])
    assert again.exit_code == ExitCode.GOOD
    far = CliRunner().invoke(
        seamwright, ["near", str(design), "--write", str(tmp_path / "x"), "--take", "99"]
    )
    assert far.exit_code == ExitCode.BAD_INPUT
    assert "change 99 was not found: take 1 to" in far.output


def test_why_tells_what_choices_are_worth(tmp_path):
    design = tmp_path / "tray.toml"
    design.write_text(FOUR, encoding="utf-8")
    done = CliRunner().invoke(seamwright, ["why", str(design)])
    assert done.exit_code == ExitCode.GOOD, done.output
    assert "What each choice of the plan is worth" in done.output
    assert "virtual wood" in done.output


@pytest.mark.parametrize("within", ["0", "soon", "3"])
def test_a_limit_that_is_none_is_refused(tmp_path, within):
    design = tmp_path / "tray.toml"
    design.write_text(FOUR, encoding="utf-8")
    done = CliRunner().invoke(seamwright, ["near", str(design), "--within", within])
    assert done.exit_code == ExitCode.BAD_INPUT
