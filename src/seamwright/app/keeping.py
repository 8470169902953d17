"""Writing files: all of them or none, and never over something of the user's by accident."""

from __future__ import annotations

import contextlib
import os
import shutil
import tempfile
from collections.abc import Sequence
from enum import Enum
from pathlib import Path

from seamwright.app.files import FileError, unwritable
from seamwright.errors import Fault

_HEAD = "made by seamwright. The next set in this folder replaces these files:"


class Set(Enum):
    """A set of files that takes the place of an earlier one; the value names its list."""

    PAPERS = "papers.txt"
    PICTURES = "pictures.txt"

    @property
    def head(self) -> str:
        """The first line of the list."""
        return f"{self.name.capitalize()} {_HEAD}"


LIST = Set.PAPERS.value
"""Names the files of a set of papers, so that a later set can take their place."""


def write_new(path: str | os.PathLike[str], data: bytes) -> Path:
    """One file that was not there before.

    Raises:
        FileError: there is one already, or it cannot be written; nothing is left behind.
    """
    target = Path(path)
    try:
        with target.open("xb") as file:
            try:
                file.write(data)
                file.flush()
            except OSError:
                target.unlink()
                raise
    except FileExistsError:
        fault = Fault("A111", str(path), "is there already", "choose another name, or move it away")
        raise FileError(fault) from None
    except (OSError, ValueError) as error:
        raise unwritable(str(path), error) from None
    return target


def write_over(path: str | os.PathLike[str], data: bytes) -> Path:
    """One file of our own, in place of the one that may lie there: whole, or as it was.

    Raises:
        FileError: it cannot be written.
    """
    target = Path(path)
    try:
        with tempfile.NamedTemporaryFile(dir=target.parent, delete=False) as file:
            beside = Path(file.name)
            try:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
                beside.chmod(0o644)
                os.replace(beside, target)
            except OSError:
                beside.unlink(missing_ok=True)
                raise
    except (OSError, ValueError) as error:
        raise unwritable(str(path), error) from None
    return target


def write_set(
    folder: str | os.PathLike[str],
    files: Sequence[tuple[str, bytes]],
    *,
    kind: Set = Set.PAPERS,
) -> tuple[Path, ...]:
    """Files of one set, in a folder that is made where it is not there.

    Everything is written beside its place first and moved there at the end. Files of an earlier
    set of the kind (they are named in its list) go, so that sheets of two plans never lie
    together; whatever else lies in the folder stays.

    Args:
        folder: where.
        files: (name without folder, what stands in it).
        kind: papers or pictures; each leaves the other's files alone.
    Returns:
        The paths, in the order given.
    Raises:
        FileError: something could not be written; the folder is then as it was.
    """
    home = Path(folder)
    listed = "\n".join((kind.head, *(name for name, _ in files), ""))
    everything = [*files, (kind.value, listed.encode())]
    made: list[Path] = []
    try:
        made = _make_folder(home)
        with tempfile.TemporaryDirectory(prefix=".seamwright-", dir=home) as work:
            new, old = Path(work, "new"), Path(work, "old")
            new.mkdir()
            old.mkdir()
            for name, data in everything:
                (new / name).write_bytes(data)
            _change_places(home, new, old, [name for name, _ in everything], kind)
    except (OSError, ValueError) as error:
        for path in reversed(made):
            with contextlib.suppress(OSError):
                path.rmdir()
        raise unwritable(_place(home, error), error) from None
    return tuple(home / name for name, _ in files)


def _place(home: Path, error: OSError | ValueError) -> str:
    """The path a fault is about, without our own passing folders."""
    named = getattr(error, "filename", None)
    if not isinstance(named, str) or ".seamwright-" in named:
        return str(home)
    return named


def _make_folder(home: Path) -> list[Path]:
    """The folder, and those it lies in; returns the ones that are new, outermost first."""
    missing = [path for path in (home, *home.parents) if not path.exists()]
    home.mkdir(parents=True, exist_ok=True)
    return missing[::-1]


def _change_places(home: Path, new: Path, old: Path, names: Sequence[str], kind: Set) -> None:
    """Old files out, new files in; on any failure the other way round."""
    out: list[str] = []
    placed: list[str] = []
    try:
        for name in dict.fromkeys([*_earlier(home, kind), *names]):
            if (home / name).is_dir():
                raise IsADirectoryError(21, "is a folder", str(home / name))
            if (home / name).exists():
                os.replace(home / name, old / name)
                out.append(name)
        for name in names:
            os.replace(new / name, home / name)
            placed.append(name)
    except OSError:
        for name in placed:
            (home / name).unlink()
        for name in out:
            shutil.move(old / name, home / name)
        raise


def _earlier(home: Path, kind: Set) -> list[str]:
    """Files of the set that lies here now."""
    try:
        lines = (home / kind.value).read_text("utf-8").splitlines()
    except (OSError, ValueError):
        return []
    if not lines or lines[0] != kind.head:
        return []
    return [line for line in lines[1:] if line and Path(line).name == line and line != ".."]
