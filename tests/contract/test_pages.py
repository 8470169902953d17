"""Pages that come out of the code are in step with it; examples on the others are true."""

import importlib.util
import re
import shlex
import sys
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from seamwright.cli import ExitCode, seamwright
from seamwright.plan import default_shop, read_shop

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
WRITTEN = sorted([*DOCS.rglob("*.md"), *ROOT.glob("*.md")])


def _maker(monkeypatch):
    monkeypatch.syspath_prepend(str(DOCS))
    spec = importlib.util.spec_from_file_location("make_pages", DOCS / "make_pages.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.delitem(sys.modules, "plan_picture", raising=False)
    return module


@pytest.mark.parametrize("name", ["reference/cli.md", "reference/shop-file.md"])
def test_made_pages_are_in_step(name, monkeypatch):
    made = _maker(monkeypatch).PAGES[name]()
    assert (DOCS / name).read_text("utf-8") == made, "run `make docs`"


def test_the_picture_of_a_plan_can_be_made(monkeypatch):
    made = _maker(monkeypatch).PAGES["pictures/demo-plan.svg"]()
    for text in (made, (DOCS / "pictures" / "demo-plan.svg").read_text("utf-8")):
        title = ElementTree.fromstring(text).find("{http://www.w3.org/2000/svg}title")
        assert title is not None
        assert title.text.startswith("Reading-desk panel: its plan at a glance")


def test_every_exit_code_is_explained():
    page = (DOCS / "reference" / "cli.md").read_text("utf-8")
    for code in ExitCode:
        assert f"\n| {int(code)} | " in page


def test_every_code_of_the_app_is_explained():
    page = (DOCS / "reference" / "cli.md").read_text("utf-8")
    told = set()
    for first, last in re.findall(r"\b(A\d{3})(?: to (A\d{3}))?", page):
        told |= {f"A{n}" for n in range(int(first[1:]), int(last[1:] or first[1:]) + 1)}
    rooms = [
        *(ROOT / "src/seamwright/app").glob("*.py"),
        *(ROOT / "src/seamwright/cli").glob("*.py"),
    ]
    used = {code for room in rooms for code in re.findall(r'"(A\d{3})"', room.read_text("utf-8"))}
    assert used
    assert used <= told


def test_the_shop_file_on_its_page_is_read():
    page = (DOCS / "reference" / "shop-file.md").read_text("utf-8")
    (example,) = re.findall(r"```toml\n(.*?)```", page, re.DOTALL)
    assert read_shop(example) != default_shop()
    assert read_shop(example).saws.table_kerf_mm == 2.4


def _sessions():
    for page in sorted([*(DOCS / "tutorial").glob("*.md"), *(DOCS / "howto").glob("*.md")]):
        text = page.read_text("utf-8")
        for session in re.findall(r"```console\n\$ (.*?)```", text, re.DOTALL):
            command, _, answer = session.partition("\n")
            yield pytest.param(page, command, answer, id=f"{page.stem}: {command}")


@pytest.mark.parametrize(("page", "command", "answer"), list(_sessions()))
def test_sessions_are_true(page, command, answer, tmp_path, monkeypatch):
    """Run what a page tells the reader to run; … stands for anything."""
    monkeypatch.chdir(tmp_path)
    text = page.read_text("utf-8")
    for name, example in re.findall(r"```toml(?: (\w+))?\n(.*?)```", text, re.DOTALL):
        (tmp_path / f"{name or page.stem}.toml").write_text(example, encoding="utf-8")
    program, *words = shlex.split(command)
    assert program == "seamwright"
    done = CliRunner().invoke(seamwright, words)
    assert done.exit_code == ExitCode.GOOD, done.output
    wanted = ".*".join(re.escape(part) for part in re.split(r"\n?…\n?", answer))
    assert re.fullmatch(wanted, done.output, re.DOTALL), done.output


def test_there_are_sessions():
    assert len(list(_sessions())) >= 4


def test_the_tutorial_board_is_there_to_take():
    text = (DOCS / "tutorial" / "first-board.md").read_text("utf-8")
    (example,) = re.findall(r"```toml\n(.*?)```", text, re.DOTALL)
    file = (DOCS / "tutorial" / "first-board.toml").read_text("utf-8")
    assert tomllib.loads(example) == tomllib.loads(file)


@pytest.mark.parametrize("page", WRITTEN, ids=lambda page: str(page.relative_to(ROOT)))
def test_links_lead_somewhere(page):
    text = re.sub(r"```.*?```", "", page.read_text("utf-8"), flags=re.DOTALL)
    for target in re.findall(r"\]\(([^)\s]+)\)", text):
        if "://" in target:
            continue
        path, _, anchor = target.partition("#")
        file = (page.parent / path) if path else page
        assert file.exists(), target
        if anchor:
            heads = re.findall(r"^#+ (.*)$", file.read_text("utf-8"), re.MULTILINE)
            slugs = {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in heads}
            assert anchor in slugs, target


def test_python_on_the_page_runs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    board = (DOCS / "tutorial" / "first-board.toml").read_text("utf-8")
    (tmp_path / "board.toml").write_text(board, encoding="utf-8")
    page = (DOCS / "howto" / "programs.md").read_text("utf-8")
    (example,) = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    exec(compile(example, "programs.md", "exec"), {})
