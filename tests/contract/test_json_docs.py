"""The JSON page and what the program prints have the same keys."""

import json
import re
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from fakes.boards import CHECKS
from seamwright.cli import seamwright
from seamwright.design import demo
from seamwright.plan import plan_from_json
from seamwright.rack.samples import demo_table

DOCS = Path(__file__).parents[2] / "docs"
PAGE = (DOCS / "reference" / "json.md").read_text("utf-8")
SECTIONS = dict(re.findall(r"^## ([\w ]+)\n(.*?)(?=^## |\Z)", PAGE, re.MULTILINE | re.DOTALL))
# a long clear board of maple: where sticks shall match, some come from it
FLAWED = "big,sugar maple,8/4,220,2000,rough,flat,board,8,40,rack 1,,knot 1500 20 30 30,\n"
SWIRL = re.search(r"```toml locked\n(.*?)```", (DOCS / "howto" / "locked-drawings.md").read_text(
    "utf-8"), re.DOTALL)  # fmt: skip

# two ends that lean differently: the sled is set twice
# two strip sets that lie in the clamps together; in other blocks, sticks that share a long one
BESIDE = """
unit = "in"
thickness = "3/4"
woods = { A = "pear", B = "plum", C = "lime" }
[block.one]
from = "puss in the corner"
size = "6"
[board]
set = '''
one one one one
one one one one
'''
sashing = { wood = "C", width = "1/2" }
"""
LEANING = """
title = "Leaning"
unit = "mm"
thickness = 19
woods = { A = "pear", B = "bog oak" }
[[patch]]
wood = "A"
grain = "across"
points = "0,0 200,0 170,60 40,60"
[[patch]]
wood = "B"
grain = "across"
points = "200,0 200,60 170,60"
[[patch]]
wood = "B"
grain = "across"
points = "0,0 40,60 0,60"
"""


# blocks whose halves are worth resawing from deep billets
BILLETS = """
title = "Birds"
unit = "in"
thickness = "3/4"
woods = { A = "hard maple", B = "black walnut", C = "black cherry" }
[block.one]
from = "birds in the air"
size = "6"
[board]
set = '''
one one one one
one one one one
'''
sashing = { wood = "A", width = "3/8" }
"""

NEARLY = """
copies = 6
unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut" }
[block.one]
columns = "2 3/4 2"
rows = "2 3/4 2"
cells = '''
A B A
B A B
A B A
'''
[board]
set = "one one"
sashing = { wood = "B", width = "25/32" }
"""


def documented(section):
    """Keys in the first column of the tables of a section."""
    rows = re.findall(r"^\| (`[^|]*`) \|", SECTIONS[section], re.MULTILINE)
    return [key for row in rows for key in re.findall(r"`([^`]+)`", row)]


def keys(value, path=""):
    """Every key of a document, as the page writes it."""
    if path:
        yield path
    if isinstance(value, dict):
        for key, entry in value.items():
            yield from keys(entry, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for entry in value:
            if isinstance(entry, dict):
                yield from (key for key in keys(entry, f"{path}[]") if key != f"{path}[]")


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """Documents of every command, by section of the page."""
    home = tmp_path_factory.mktemp("json")
    designs = {"demo": demo(), "locked": SWIRL[1], "leaning": LEANING}
    designs |= {"beside": BESIDE, "long": BESIDE.replace("puss in the corner", "tumbling blocks")}
    designs["checks"] = (DOCS / "tutorial" / "first-board.toml").read_text("utf-8")
    designs["odd"] = SWIRL[1].replace("maple", "mapple")
    asked = {"thin": BILLETS, "measured": CHECKS, "unlike": CHECKS, "asked": NEARLY}
    for name, text in {**designs, **asked}.items():
        (home / f"{name}.toml").write_text(text, encoding="utf-8")
    (home / "boards.csv").write_text(demo_table() + FLAWED, encoding="utf-8")
    store = f"sqlite:///{home / 'shop.db'}"
    CliRunner().invoke(seamwright, ["rack", "import", f"{home}/boards.csv", "--store", store])
    boards = ["--rack", f"{home}/boards.csv", "--time", "1", "--match"]
    commands = {
        "Refusals": [["check", "nowhere.toml"], ["plan", "--seconds", "soon", "x"]],
        "check": [
            ["check", f"{home}/demo.toml", "--quick"],
            ["check", f"{home}/locked.toml", "--steps", "--rings", "A=quarter"],
            ["check", f"{home}/odd.toml"],
        ],
        "plan": [
            *(
                ["plan", f"{home}/{name}.toml"]
                for name in ("thin", "demo", "leaning", "beside", "long")
            ),
            ["plan", f"{home}/locked.toml", "--alternatives"],
        ],
        "papers": [["papers", f"{home}/locked.toml", "--out", f"{home}/out", "--part", "lists"]],
        "ways": [["ways", f"{home}/locked.toml"]],
        "why": [["why", f"{home}/asked.toml"]],
        "near": [["near", f"{home}/asked.toml"]],
        "rack list": [["rack", "list", "--store", store]],
        "cut": [["cut", f"{home}/checks.toml", *boards]],
        "quote": [["quote", f"{home}/locked.toml", *boards]],
        "measure": [
            ["measure", f"{home}/measured.toml", "1", "50.2mm", "--good", "0"],
            ["measure", f"{home}/unlike.toml", "1", "50.2mm"],
            ["measure", f"{home}/unlike.toml", "2", "52.6mm"],
            ["measure", f"{home}/thin.toml", "1", "--thick", "40mm"],
            ["measure", f"{home}/thin.toml", "6", "--thick", "21.2mm"],
        ],
        "fit": [
            ["fit", f"{home}/measured.toml"],
            ["fit", f"{home}/unlike.toml"],
            ["fit", f"{home}/thin.toml"],
        ],
        "woods": [["woods"]],
        "shop": [["shop"], ["shop", "show"]],
    }
    return {
        section: [
            json.loads(CliRunner().invoke(seamwright, [*words, "--json"]).stdout) for words in lines
        ]
        for section, lines in commands.items()
    }


@pytest.mark.parametrize(
    "section",
    [
        "Refusals",
        "check",
        "plan",
        "ways",
        "why",
        "near",
        "fit",
        "measure",
        "papers",
        "rack list",
        "cut",
        "quote",
        "woods",
        "shop",
    ],
)
def test_keys_are_as_documented(section, printed):
    told = documented(section)
    assert len(told) == len(set(told))
    found = {key for document in printed[section] for key in keys(document)}
    families = [key.removesuffix("*") for key in told if key.endswith(".*")]
    single = {key for key in told if not key.endswith(".*")}
    # a table needs no row of its own where its entries have theirs
    tables = {key for key in found if any(other.startswith(f"{key}.") for other in told)}
    in_families = {key for key in found if any(key.startswith(family) for family in families)}
    assert found - single - tables - in_families == set()
    assert single - found == set()
    assert all(any(key.startswith(family) for key in found) for family in families)


def test_every_command_with_json_has_its_section():
    commands = dict(seamwright.commands)
    for name, group in seamwright.commands.items():
        if isinstance(group, click.Group):
            commands |= {f"{name} {word}": command for word, command in group.commands.items()}
    named = {
        name
        for name, command in commands.items()
        if any("--json" in parameter.opts for parameter in command.params)
    }
    assert named == SECTIONS.keys() - {"Refusals"}


def test_every_document_has_the_version_of_the_page(printed):
    for documents in printed.values():
        assert all(document["schema"] == 1 for document in documents)


def test_a_plan_can_be_read_back(printed):
    for document in printed["plan"]:
        wanted = ("schema", "title", "steps", "board", "board_at", "copies", "shop")
        plan = plan_from_json({key: document[key] for key in wanted})
        assert len(plan.steps) == len(document["told"])


def test_kinds_of_refusal_are_named(printed):
    for kind in ("bad input", "no plan", "not proven", "cancelled"):
        assert f"`{kind}`" in SECTIONS["Refusals"]
