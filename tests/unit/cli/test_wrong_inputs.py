"""Whatever is given wrongly: exit 2, words that say what to do, no traceback, nothing written."""

import json
import os
import tempfile
from contextlib import contextmanager
from pathlib import Path

import pytest
from click.testing import CliRunner

from seamwright.cli import ExitCode, seamwright

HEAD = 'unit = "in"\nthickness = "3/4"\nwoods = { A = "sugar maple" }\n'
BLOCK = '[block.b]\ncolumns = "2"\nrows = "2"\ncells = "A"\n'

DESIGNS = {
    "empty": b"",
    "blank": b"\n\n   \n",
    "not TOML": b"this is a board",
    "not UTF-8": b'title = "\xff\xfe"',
    "zeros": b"\x00" * 64,
    "a picture": b"\x89PNG\r\n\x1a\n" + bytes(range(256)),
    "half a table": b"[block",
    "a key twice": b'unit = "in"\nunit = "mm"\n',
    "JSON": b'{"unit": "in"}',
    "deep nesting": b"a = " + b"[" * 20_000,
    "deep keys": b".".join([b"a"] * 5_000) + b" = 1",
    "unknown key": (HEAD + 'colour = "red"\n' + BLOCK).encode(),
    "unknown unit": (HEAD.replace('"in"', '"ell"') + BLOCK).encode(),
    "no thickness": (HEAD.replace('thickness = "3/4"\n', "") + BLOCK).encode(),
    "thickness 0": (HEAD.replace('"3/4"', "0") + BLOCK).encode(),
    "thickness below 0": (HEAD.replace('"3/4"', "-1") + BLOCK).encode(),
    "thickness of 10 km": (HEAD.replace('"3/4"', '"10000000 mm"') + BLOCK).encode(),
    "thickness in words": (HEAD.replace('"3/4"', '"thick"') + BLOCK).encode(),
    "width 0": (HEAD + BLOCK.replace('columns = "2"', 'columns = "0"')).encode(),
    "width of 10 km": (HEAD + BLOCK.replace('columns = "2"', 'columns = "400000"')).encode(),
    "width of nan": (HEAD + BLOCK.replace('columns = "2"', "columns = nan")).encode(),
    "width of inf": (HEAD + BLOCK.replace('columns = "2"', "columns = inf")).encode(),
    "digits without end": (HEAD + BLOCK.replace('"2"', "9" * 5_000)).encode(),
    "letter without wood": (HEAD + BLOCK.replace('cells = "A"', 'cells = "Z"')).encode(),
    "too few cells": (HEAD + BLOCK.replace('rows = "2"', 'rows = "2 2"')).encode(),
    "nothing drawn": HEAD.encode(),
    "unknown block": (HEAD + '[block.b]\nfrom = "sawtooth stat"\nsize = "4"\n').encode(),
    "a set of nothing": (HEAD + BLOCK + '[board]\nset = ""\n').encode(),
    "a set of strangers": (HEAD + BLOCK + '[board]\nset = "nobody"\n').encode(),
    "100,000 patches": (
        HEAD + f'[block.b]\ncolumns = "{"1mm " * 400}"\nrows = "{"1mm " * 250}"\n'
        "cells = '''\n" + ("A " * 400 + "\n") * 250 + "'''\n"
    ).encode(),
    "overlapping patches": (
        HEAD + 'patch = [{ wood = "A", points = "0,0 4,0 4,4 0,4" }, '
        '{ wood = "A", points = "1,1 2,1 2,2 1,2" }]\n'
    ).encode(),
    "a gap": (
        HEAD + 'outline = "4 4"\npatch = [{ wood = "A", points = "0,0 4,0 4,3 0,3" }]\n'
    ).encode(),
    "a sliver": (HEAD + 'patch = [{ wood = "A", points = "0,0 4,0 4,0.001 0,0.001" }]\n').encode(),
    "a bow tie": (HEAD + 'patch = [{ wood = "A", points = "0,0 4,4 4,0 0,4" }]\n').encode(),
    "drawing not there": (HEAD + '[block.b]\ndrawing = "no.svg"\nsize = "2"\n').encode(),
    "drawing elsewhere": (HEAD + '[block.b]\ndrawing = "../../etc/hosts"\nsize = "2"\n').encode(),
    "drawing in a null name": (HEAD + '[block.b]\ndrawing = "a\\u0000b"\nsize = "2"\n').encode(),
    "a date for a size": (HEAD + BLOCK.replace('columns = "2"', "columns = 2020-01-01")).encode(),
    "copies without end": (HEAD + "copies = 1e9\n" + BLOCK).encode(),
    "title as a list": ("title = [1]\n" + HEAD + BLOCK).encode(),
}
SHOPS = {
    "not TOML": b"kerf is thin",
    "not UTF-8": b"\xff",
    "unknown table": b"[saw]\ntable_kerf = 2\n",
    "unknown key": b"[saws]\ntable_curf = 2\n",
    "a kerf of 0": b"[saws]\ntable_kerf = 0\n",
    "a kerf in words": b'[saws]\ntable_kerf = "thin"\n',
    "a kerf of nan": b"[saws]\ntable_kerf = nan\n",
    "no clamps": b"[limits]\nclamp_reach = -5\n",
    "far too long": b"#" * 200_000,
}
COMMANDS = {
    "no command": ["planify"],
    "no file": ["plan"],
    "two files": ["check", "a.toml", "b.toml"],
    "unknown option": ["check", "good.toml", "--loud"],
    "unknown page": ["papers", "good.toml", "--out", "o", "--page", "a0"],
    "unknown part": ["papers", "good.toml", "--out", "o", "--part", "poems"],
    "no folder": ["papers", "good.toml"],
    "no time": ["plan", "good.toml", "--seconds", "0"],
    "time below 0": ["plan", "good.toml", "--seconds", "-3"],
    "time that is none": ["plan", "good.toml", "--seconds", "nan"],
    "time in words": ["plan", "good.toml", "--seconds", "soon"],
    "file not there": ["check", "nowhere.toml"],
    "file in a file": ["check", "good.toml/x.toml"],
    "a folder": ["check", "folder"],
    "a null name": ["check", "a\0b"],
    "a name without end": ["check", "a" * 5_000],
    "shop not there": ["plan", "good.toml", "--shop", "nowhere.toml"],
    "shop is a folder": ["plan", "good.toml", "--shop", "folder"],
    "unknown wood": ["woods", "black walnutt"],
    "a wood of several": ["woods", "maple"],
    "new in no folder": ["new", "nowhere/board.toml"],
    "new on a folder": ["new", "folder"],
    "shop in no folder": ["shop", "--write", "nowhere/shop.toml"],
    "papers on a file": ["papers", "good.toml", "--out", "good.toml"],
    "papers in a file": ["papers", "good.toml", "--out", "good.toml/sheets"],
}


@pytest.fixture
def place(tmp_path, monkeypatch):
    home = tmp_path / "a" / "b"
    home.mkdir(parents=True)
    monkeypatch.chdir(home)
    (home / "good.toml").write_text(HEAD + BLOCK, encoding="utf-8")
    (home / "folder").mkdir()
    return home


def everything(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


def refused(words, place):
    """Run, and see that it was refused in a civil way, both in words and in JSON."""
    before = everything(place)
    done = CliRunner().invoke(seamwright, words)
    assert isinstance(done.exception, SystemExit), done.exception
    assert done.exit_code == ExitCode.BAD_INPUT, done.output
    assert done.stdout == ""
    assert done.stderr.strip()
    assert "Traceback" not in done.stderr
    assert everything(place) == before
    return done.stderr


def refused_as_json(words, place):
    before = everything(place)
    done = CliRunner().invoke(seamwright, [*words, "--json"])
    assert done.exit_code == ExitCode.BAD_INPUT, done.output
    document = json.loads(done.stdout)
    assert document.keys() == {"schema", "error"}
    assert document["error"]["kind"] == "bad input"
    assert document["error"]["faults"]
    for fault in document["error"]["faults"]:
        assert fault["code"]
        assert fault["message"]
    assert everything(place) == before
    return document["error"]


@pytest.mark.parametrize("name", DESIGNS)
def test_designs(name, place):
    (place / "bad.toml").write_bytes(DESIGNS[name])
    told = refused(["check", "bad.toml"], place)
    assert told.startswith("bad.toml cannot be used:\n")
    error = refused_as_json(["plan", "bad.toml"], place)
    assert error["file"] == "bad.toml"


@pytest.mark.parametrize("name", SHOPS)
def test_shops(name, place):
    (place / "bad.toml").write_bytes(SHOPS[name])
    refused(["plan", "good.toml", "--shop", "bad.toml"], place)
    error = refused_as_json(["plan", "good.toml", "--shop", "bad.toml"], place)
    assert error["file"] == "bad.toml"


@pytest.mark.parametrize("name", COMMANDS)
def test_commands(name, place):
    refused(COMMANDS[name], place)
    if COMMANDS[name][0] not in {"new", "planify"}:
        refused_as_json(COMMANDS[name], place)


def test_three_dozen():
    assert len(DESIGNS) + len(SHOPS) + len(COMMANDS) >= 36


def test_faults_come_together_with_their_lines(place):
    (place / "bad.toml").write_text(
        'unit = "in"\nthickness = "thick"\nwoods = {}\ncolour = 1\n' + BLOCK, encoding="utf-8"
    )
    faults = refused_as_json(["check", "bad.toml"], place)["faults"]
    assert len(faults) >= 2
    assert {2, 4} <= {fault["line"] for fault in faults}


@contextmanager
def without_privileges():
    """Root may read everything: as root, be somebody else for a while."""
    own = os.geteuid()
    if own == 0:
        os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(own)


def test_a_file_that_may_not_be_read():
    # a folder of its own that everybody may pass: pytest's is shut to others
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o755)
        shut = Path(folder, "shut.toml")
        shut.write_text(HEAD + BLOCK, encoding="utf-8")
        shut.chmod(0)
        with without_privileges():
            done = CliRunner().invoke(seamwright, ["check", str(shut)])
    assert done.exit_code == ExitCode.BAD_INPUT
    assert "may not be read" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_empty_standard_input(place):
    done = CliRunner().invoke(seamwright, ["check", "-"], input=b"")
    assert done.exit_code == ExitCode.BAD_INPUT
    assert done.stderr.startswith("standard input cannot be used:")
