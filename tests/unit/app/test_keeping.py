"""Files are written all together or not at all."""

import errno
import os
from pathlib import Path

import pytest

from seamwright.app import FileError
from seamwright.app.keeping import LIST, write_new, write_set

FIRST = (("a.pdf", b"one"), ("step-07.svg", b"two"))
SECOND = (("a.pdf", b"three"), ("step-09.svg", b"four"))


def everything(folder):
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_a_set_in_a_new_folder(tmp_path):
    made = write_set(tmp_path / "deep" / "down", FIRST)
    assert [path.name for path in made] == ["a.pdf", "step-07.svg"]
    assert [path.read_bytes() for path in made] == [b"one", b"two"]
    assert (tmp_path / "deep" / "down" / LIST).exists()


def test_the_next_set_takes_the_place_of_the_last(tmp_path):
    write_set(tmp_path, FIRST)
    (tmp_path / "notes.txt").write_bytes(b"mine")
    write_set(tmp_path, SECOND)
    found = everything(tmp_path)
    found.pop(LIST)
    assert found == {"a.pdf": b"three", "step-09.svg": b"four", "notes.txt": b"mine"}


def test_a_list_that_is_not_ours_is_no_order_to_clear(tmp_path):
    (tmp_path / "notes.txt").write_bytes(b"mine")
    (tmp_path / LIST).write_text("Things to buy:\nnotes.txt\n", encoding="utf-8")
    write_set(tmp_path, FIRST)
    assert (tmp_path / "notes.txt").read_bytes() == b"mine"


def test_a_list_cannot_reach_outside(tmp_path):
    home = tmp_path / "home"
    write_set(home, FIRST)
    (tmp_path / "outside.txt").write_bytes(b"mine")
    head = (home / LIST).read_text("utf-8").splitlines()[0]
    (home / LIST).write_text(f"{head}\n../outside.txt\n..\n.\n", encoding="utf-8")
    write_set(home, SECOND)
    assert (tmp_path / "outside.txt").read_bytes() == b"mine"


def test_no_room_while_writing(tmp_path, monkeypatch):
    write_set(tmp_path, FIRST)
    before = everything(tmp_path)
    whole = Path.write_bytes

    def full(self, data):
        if self.name == "step-09.svg":
            raise OSError(errno.ENOSPC, "No space left on device", str(self))
        return whole(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(FileError, match="does not fit on the disk"):
        write_set(tmp_path, SECOND)
    assert everything(tmp_path) == before
    assert len(list(tmp_path.iterdir())) == len(before)


@pytest.mark.parametrize("failing", range(1, 6))
def test_a_move_that_fails_is_taken_back(tmp_path, monkeypatch, failing):
    write_set(tmp_path, FIRST)
    before = everything(tmp_path)
    moves = []
    move = os.replace

    def falters(source, target):
        moves.append(target)
        if len(moves) == failing:
            raise OSError(errno.EIO, "Input/output error", str(target))
        move(source, target)

    monkeypatch.setattr(os, "replace", falters)
    with pytest.raises(FileError, match="cannot be written"):
        write_set(tmp_path, SECOND)
    monkeypatch.undo()
    assert everything(tmp_path) == before


def test_a_folder_in_the_way(tmp_path):
    (tmp_path / "step-07.svg").mkdir()
    with pytest.raises(FileError, match=r"step-07\.svg is a folder"):
        write_set(tmp_path, FIRST)
    assert everything(tmp_path) == {}


def test_a_new_folder_goes_again(tmp_path, monkeypatch):
    def full(self, data):
        raise OSError(errno.ENOSPC, "No space left on device", str(self))

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(FileError):
        write_set(tmp_path / "deep" / "down", FIRST)
    assert list(tmp_path.iterdir()) == []


def test_one_new_file(tmp_path):
    path = write_new(tmp_path / "board.toml", b"text")
    assert path.read_bytes() == b"text"
    with pytest.raises(FileError, match="is there already"):
        write_new(path, b"other")
    assert path.read_bytes() == b"text"


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (PermissionError(errno.EACCES, "Permission denied"), "may not be written by you"),
        (OSError(errno.EROFS, "Read-only file system"), "may not be written by you"),
        (OSError(errno.ENOSPC, "No space left on device"), "does not fit on the disk"),
        (OSError(errno.ENAMETOOLONG, "File name too long"), "File name too long"),
    ],
)
def test_places_that_cannot_be_written(tmp_path, monkeypatch, error, words):
    def refuse(*_args, **_kw):
        raise error

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(FileError, match=words):
        write_new(tmp_path / "board.toml", b"text")
