"""The program as a shell meets it: real processes, pipes, full disks, Ctrl-C."""

import os
import pty
import resource
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from seamwright.cli import ExitCode
from seamwright.design import demo

PROGRAM = [sys.executable, "-m", "seamwright"]
SOURCE = str(Path(__file__).parents[3] / "src")
GOOD = """
unit = "in"
thickness = "3/4"
woods = { A = "sugar maple", B = "black walnut" }
[block.b]
columns = "3 3"
rows = "3 3"
cells = '''
A B
B A
'''
"""
STUBBORN = """
import time
from seamwright.cli.working import carry_out

def work(*, progress, cancelled):
    progress(0.5, "deaf")
    time.sleep(60)

carry_out(work)
"""


@pytest.fixture
def place(tmp_path, monkeypatch):
    # the shop of whoever runs the tests is not touched
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "kept"))
    (tmp_path / "good.toml").write_text(GOOD, encoding="utf-8")
    (tmp_path / "bad.toml").write_text("unit = 7", encoding="utf-8")
    return tmp_path


def environment(**more):
    # where output is not buffered, Python itself loses the end of a write that was cut short
    return {**os.environ, "PYTHONPATH": SOURCE, "PYTHONUNBUFFERED": "", **more}


def run(place, *words, **options):
    return subprocess.run(
        [*PROGRAM, *words],
        cwd=place,
        capture_output=True,
        env=environment(),
        check=False,
        **options,
    )


def test_exit_codes(place):
    assert run(place, "check", "good.toml").returncode == ExitCode.GOOD
    refused = run(place, "check", "bad.toml")
    assert refused.returncode == ExitCode.BAD_INPUT
    assert refused.stdout == b""
    assert refused.stderr.startswith(b"bad.toml cannot be used:")


def test_nothing_but_the_answer_is_printed(place):
    done = run(place, "plan", "good.toml", "--json")
    assert done.stdout.startswith(b"{\n")
    assert done.stdout.endswith(b"}\n")
    assert done.stderr == b""


def test_a_reader_that_leaves(place):
    with subprocess.Popen(
        [*PROGRAM, "woods", "--json"], cwd=place, env=environment(),
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
    ) as process:  # fmt: skip
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.read(1)
        process.stdout.close()
        told = process.stderr.read()
    assert process.returncode == ExitCode.PIPE_CLOSED
    assert told == b""


def test_an_output_that_is_full(place):
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [*PROGRAM, "shop"], cwd=place, env=environment(), stdout=full,
            stderr=subprocess.PIPE, check=False,
        )  # fmt: skip
    assert done.returncode == ExitCode.BAD_INPUT
    assert done.stderr == b"the output cannot be written (No space left on device)\n"


def test_a_terminal_without_our_letters(place):
    done = subprocess.run(
        [*PROGRAM, "check", "good.toml"], cwd=place, capture_output=True, check=False,
        env=environment(PYTHONIOENCODING="latin-1"),
    )  # fmt: skip
    assert done.returncode == ExitCode.GOOD
    assert b"6? \xd7 6? \xd7 3/4? (152.4 \xd7 152.4 \xd7 19.1 mm)" in done.stdout


def small_files_only():
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))


def test_papers_that_do_not_fit(place):
    before = sorted(place.rglob("*"))
    done = run(place, "papers", "good.toml", "--out", "new/sheets", preexec_fn=small_files_only)
    assert done.returncode == ExitCode.BAD_INPUT
    assert b"cannot be written (File too large)" in done.stderr
    assert b"Traceback" not in done.stderr
    assert sorted(place.rglob("*")) == before


def hear_ctrl_c():
    """A shell may start the tests with Ctrl-C unheard; the program under test shall hear it."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


class Watched:
    """A process whose standard error is a terminal, so that it shows how far it is."""

    def __init__(self, place, command, *, output=subprocess.DEVNULL):
        self.master, slave = pty.openpty()
        self.process = subprocess.Popen(
            command, cwd=place, env=environment(), stdout=output, stderr=slave,
            preexec_fn=hear_ctrl_c,  # noqa: PLW1509 - nothing else runs here yet
        )  # fmt: skip
        os.close(slave)
        self.told = b""

    def wait_for(self, words):
        while words not in self.told:
            self.told += os.read(self.master, 1000)

    def interrupt(self):
        self.process.send_signal(signal.SIGINT)

    def end(self):
        code = self.process.wait(timeout=60)
        try:
            while more := os.read(self.master, 1000):
                self.told += more
        except OSError:  # Linux ends a terminal nobody writes to any more in this way
            pass
        os.close(self.master)
        return code


def test_ctrl_c_while_papers_are_made(place):
    watched = Watched(place, [*PROGRAM, "demo", "--out", "sheets"])
    watched.wait_for(b"bench-sheets")
    watched.interrupt()
    assert watched.end() == ExitCode.CANCELLED
    assert b"Stopped." in watched.told
    assert b"Traceback" not in watched.told
    assert not (place / "sheets").exists()


def test_ctrl_c_while_a_plan_is_made(place):
    watched = Watched(place, [*PROGRAM, "demo", "--out", "sheets"])
    watched.wait_for(b"%")
    watched.interrupt()
    assert watched.end() == ExitCode.CANCELLED
    assert not (place / "sheets").exists()


def test_ctrl_c_while_a_board_is_reckoned_leaves_the_quick_answer(place):
    (place / "demo.toml").write_text(demo(), encoding="utf-8")
    with (place / "told.txt").open("wb") as told:
        watched = Watched(place, [*PROGRAM, "check", "demo.toml", "--element", "8"], output=told)
        watched.wait_for(b"%")
        watched.interrupt()
        assert watched.end() == ExitCode.CANCELLED
    answer = (place / "told.txt").read_text("utf-8")
    assert "Seams by grain:" in answer
    assert "Seasons and loads were not reckoned" in answer
    assert "dust of black walnut" in answer


def test_ctrl_c_twice_ends_work_that_does_not_listen(place):
    watched = Watched(place, [sys.executable, "-c", STUBBORN])
    watched.wait_for(b"deaf")
    watched.interrupt()
    try:
        watched.process.wait(timeout=0.5)
        pytest.fail("the first Ctrl-C waits for the work to end")
    except subprocess.TimeoutExpired:
        watched.interrupt()
    assert watched.end() == ExitCode.CANCELLED
