"""Whether a board holds, moves and is safe: what "check" prints, writes and refuses."""

from __future__ import annotations

import json
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from seamwright.cli import ExitCode, seamwright
from seamwright.woods import find_species

# a wide maple panel in a frame of crossed grain, as no cabinet maker would glue it
CROSSED = """
title = "Framed solid"
unit = "mm"
thickness = 20
woods = { A = "sugar maple", B = "red oak" }
patch = [
    { name = "panel", wood = "A", grain = "up", points = "0,0 400,0 400,300 0,300" },
    { name = "end", wood = "B", grain = "across", points = "0,300 400,300 400,360 0,360" },
]
"""
PLUM = '[woods.plum]\nlike = "black cherry"\ncolour = "#803060"\n'


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "crossed.toml").write_text(CROSSED, encoding="utf-8")
    (tmp_path / "plum.toml").write_text(CROSSED.replace("sugar maple", "plum"), encoding="utf-8")
    (tmp_path / "shop.toml").write_text(PLUM, encoding="utf-8")

    def call(*words):
        return CliRunner().invoke(seamwright, ["check", *words])

    return call


def verdicts(output):
    order = ["Expect it to fail", "At risk", "Take care", "Good to know", "Holds"]
    heads = [line.split("  ", 2)[-1].split(":")[0].strip() for line in output.splitlines()]
    return [order.index(head) for head in heads if head in order]


def test_the_worst_comes_first_with_what_to_do(run):
    done = run("crossed.toml", "--season", "damp-coast", "--all")
    assert done.exit_code == ExitCode.GOOD
    found = verdicts(done.output)
    assert found == sorted(found)
    assert found[0] <= 1, "crossed grain over 400 mm must not hold"
    assert "let the grain of both pieces run the same way" in " ".join(done.output.split())
    assert done.output.count("What to do:") >= 5


def test_use_and_finish_bring_their_rules(run):
    words = ("--quick", "--all", "--use", "cutting", "--finish", "nut-oil")
    told = " ".join(run("crossed.toml", *words).output.split())
    assert "red oak on a food surface" in told
    assert "FDA Food Code 4-101.17" in told
    assert "21 CFR 175.105" in told
    assert "nut allergy" in told
    assert "can make you allergic" in told
    hot = run("crossed.toml", "--quick", "--use", "hot-dishes").output
    assert "hot dishes on glued wood" in hot
    assert "what the board is for" in run("crossed.toml", "--quick").output


def test_the_situation_asked_for_is_the_one_reckoned(run):
    done = run(
        "crossed.toml", "--air", "70F,30", "--air", "27,85", "--built", "9", "--rings", "A=quarter",
        "--load", "middle=400@200,100", "--json",
    )  # fmt: skip
    sound = json.loads(done.stdout)["sound"]
    assert sound["reckoned"] is True
    first, second = sound["situation"]["seasons"]
    # Wood Handbook Table 4-2 (70 °F, 30 %): 6.2 %
    assert round(first["moisture_pct"], 1) == 6.2
    assert second["humidity_pct"] == 85
    assert sound["situation"]["rings"] == [{"letter": "A", "angle_deg": 90.0}]
    middle = next(load for load in sound["loads"] if load["key"] == "middle")
    assert (middle["force_n"], middle["name"]) == (
        400.0, "resting on both ends with 400 N at (200, 100)",
    )  # fmt: skip


def test_small_parts_and_traps_come_with_the_steps(run):
    done = run("crossed.toml", "--quick", "--steps", "--json")
    cautions = json.loads(done.stdout)["cautions"]
    assert {"K2"} <= {caution["code"] for caution in cautions}
    assert all("every guard stays on" in caution["change"] for caution in cautions)


def test_pictures_are_written_and_say_their_scale(run, tmp_path):
    done = run("crossed.toml", "--pictures", "out", "--element", "10")
    assert done.exit_code == ExitCode.GOOD, done.output
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert names == {
        "moved-1-heated-house-winter.svg", "moved-2-heated-house-summer.svg", "seams-moisture.svg",
        "seams-load.svg", "through-lines.svg", "pictures.txt",
    }  # fmt: skip
    for name in names - {"pictures.txt"}:
        ElementTree.fromstring((tmp_path / "out" / name).read_text("utf-8"))
    moved = (tmp_path / "out" / "moved-1-heated-house-winter.svg").read_text("utf-8")
    assert "movement drawn" in moved
    assert " times" in moved


def test_a_wood_known_only_to_the_shop_file(run):
    unknown = run("plum.toml")
    assert unknown.exit_code == ExitCode.GOOD
    assert 'the wood "plum" is not known' in unknown.output
    known = run("plum.toml", "--shop", "shop.toml", "--all", "--element", "10")
    assert "is not known" not in known.output
    assert "Good to know: the whole board [M3]" in known.output
    assert "width" in known.output
    shown = CliRunner().invoke(seamwright, ["woods", "plum", "--shop", "shop.toml"])
    assert shown.output.startswith("plum\n")
    assert "(a stand-in from like woods)" in shown.output
    assert "GTR282" in shown.output or "Sources" in shown.output


def test_missing_constants_are_named(run, tmp_path):
    (tmp_path / "bare.toml").write_text('[woods.plum]\ncolour = "#803060"\n', encoding="utf-8")
    done = run("plum.toml", "--shop", "bare.toml")
    told = " ".join(done.output.split())
    assert done.exit_code == ExitCode.GOOD
    assert "plum has no value for" in told
    assert "modulus of elasticity in bending" in told
    assert "give your own figure for plum in your shop file" in told


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--season", "moon"], 'the climate "moon" is not known'),
        (["--air", "hot"], "the air 'hot' is not understood"),
        (["--air", "20,150"], "humidity"),
        (["--air", "nan,30"], "is not understood"),
        (["--built", "0"], "0"),
        (["--built", "nan"], "nan"),
        (["--load", "middle"], "is not understood"),
        (["--load", "middle=much"], "is not understood"),
        (["--load", "middle=-3"], "more than 0"),
        (["--load", "middle=nan"], "is not understood"),
        (["--load", "middle=1e9"], "at most 20000 N"),
        (["--load", "kicked=3"], "take carried"),
        (["--load", "middle=3@9999,1"], "not on the board"),
        (["--load", "middle=3@1"], "is not understood"),
        (["--rings", "Z=flat"], "write a letter (A, B)"),
        (["--rings", "A=round"], "flat, rift, quarter"),
        (["--use", "swimming"], "swimming"),
        (["--element", "0.01"], "0.01"),
        (["--shop", "nowhere.toml"], "is not there"),
        (["--pictures", "crossed.toml"], "is, or lies in, a file"),
        ([word for _ in range(7) for word in ("--season", "workshop")], "6 at most"),
    ],
)
def test_wrong_options_are_named(run, words, told):
    done = run("crossed.toml", "--quick", *words)
    assert done.exit_code == ExitCode.BAD_INPUT
    assert told in done.output
    assert "Traceback" not in done.output


def test_an_own_colour_reaches_the_pictures(run, tmp_path):
    run("plum.toml", "--shop", "shop.toml", "--quick", "--pictures", "out")
    assert "#803060" in (tmp_path / "out" / "through-lines.svg").read_text("utf-8")
    assert find_species("black cherry").colour != "#803060"


def test_what_each_seam_bears_and_how_each_patch_moves(run):
    told = " ".join(run("crossed.toml", "--seams", "--element", "10").output.split())
    assert "What each seam bears" in told
    assert "panel to end, end grain: pull" in told
    assert "panel, sugar maple:" in told
