"""Reading the user's files; whatever is wrong with them is said in words."""

from __future__ import annotations

import errno
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from os import PathLike
from pathlib import Path
from typing import TypeVar

from seamwright.design import Drawing, decode, read
from seamwright.errors import DesignError, Fault, SeamwrightError
from seamwright.plan import (
    Accuracy,
    Gluing,
    Losses,
    Money,
    Shop,
    default_shop,
    read_accuracy,
    read_gluing,
    read_losses,
    read_money,
    read_own_woods,
    read_shop,
)
from seamwright.woods import Species

T = TypeVar("T")

_MOST_BYTES = 32_000_001
"""One byte more than the largest design file: enough to see that it is too large."""

_DRAWINGS = {".svg", ".dxf"}


class FileError(SeamwrightError):
    """A file or folder could not be read or written."""


def load(path: str | PathLike[str]) -> Drawing:
    """The drawing of a design file.

    Args:
        path: a TOML file; drawings it names are looked for in its folder.
    Raises:
        FileError: the file cannot be read.
        DesignError: anything in it is wrong; all faults that could be found at once.
    """
    raw = read_bytes(path)
    if Path(path).suffix.lower() in _DRAWINGS:
        name = Path(path).name
        remedy = (
            f'name it in one: [block.drawn] with drawing = "{name}"; `seamwright new` writes one'
        )
        raise FileError(Fault("A105", str(path), "is a drawing, not a design file", remedy))
    with about(path):
        return read_design(raw, name=Path(path).stem, folder=Path(path).parent)


def read_design(raw: bytes, *, name: str, folder: Path | None = None) -> Drawing:
    """The drawing in the bytes of a design file.

    Args:
        raw: the file.
        name: what to call the board where the file gives no title.
        folder: where drawings named in the file lie; None where there are none to be had.
    Raises:
        DesignError: anything in it is wrong.
    """
    if folder is None:
        return read(decode(raw), name=name)
    home = folder
    return read(decode(raw), name=name, drawing_text=lambda file: _drawing_text(home, file))


def load_shop(path: str | PathLike[str] | None) -> Shop:
    """The shop of a shop file, or the default one where there is no file.

    Raises:
        FileError: the file cannot be read.
        ShopError: anything in it is wrong.
    """
    if path is None:
        return default_shop()
    raw = read_bytes(path)
    with about(path):
        return read_shop(decode(raw))


def load_own_woods(path: str | PathLike[str] | None) -> tuple[Species, ...]:
    """The user's own woods in a shop file; none where there is no file.

    Raises:
        FileError: the file cannot be read.
        ShopError: anything in it is wrong.
    """
    if path is None:
        return ()
    raw = read_bytes(path)
    with about(path):
        return read_own_woods(decode(raw))


def load_money(path: str | PathLike[str] | None) -> Money:
    """The maker and the prices of a shop file; our examples where there is no file.

    Raises:
        FileError: the file cannot be read.
        ShopError: anything in it is wrong.
    """
    return _of_shop(path, read_money)


def load_gluing(path: str | PathLike[str] | None) -> Gluing:
    """The cauls, clamps and glue of a shop file; the defaults where there is no file.

    Raises:
        FileError: the file cannot be read.
        ShopError: anything in it is wrong.
    """
    return _of_shop(path, read_gluing)


def load_accuracy(path: str | PathLike[str] | None) -> Accuracy:
    """How true a shop works, from its shop file; the default where there is no file.

    Raises:
        FileError: the file cannot be read.
        ShopError: anything in it is wrong.
    """
    return _of_shop(path, read_accuracy)


def load_losses(path: str | PathLike[str] | None) -> Losses:
    """What a shop spoils, from its shop file; the default where there is no file.

    Raises:
        FileError: the file cannot be read.
        ShopError: anything in it is wrong.
    """
    return _of_shop(path, read_losses)


def _of_shop(path: str | PathLike[str] | None, read: Callable[[str], T]) -> T:
    """One part of a shop file; what an empty one says where there is no file."""
    if path is None:
        return read("")
    raw = read_bytes(path)
    with about(path):
        return read(decode(raw))


@contextmanager
def about(path: str | PathLike[str]) -> Iterator[None]:
    """Notes on every refusal inside which file it is about."""
    try:
        yield
    except SeamwrightError as error:
        error.add_note(str(path))
        raise


def read_bytes(path: str | PathLike[str]) -> bytes:
    """What stands in a file, up to a little more than a design may have.

    Raises:
        FileError: there is no such file, it is a folder, or it may not be read.
    """
    try:
        with Path(path).open("rb") as file:
            return file.read(_MOST_BYTES)
    except (OSError, ValueError) as error:
        raise FileError(_unreadable(str(path), error)) from None


def _unreadable(path: str, error: OSError | ValueError) -> Fault:
    if isinstance(error, FileNotFoundError | NotADirectoryError):
        return Fault("A101", path, "is not there", "check the name and the folder")
    if isinstance(error, IsADirectoryError):
        return Fault("A102", path, "is a folder", "name a file in it")
    if isinstance(error, PermissionError):
        return Fault("A103", path, "may not be read by you", "change its permissions")
    reason = error.strerror if isinstance(error, OSError) else str(error)
    return Fault("A104", ascii(path)[1:-1][:80], f"cannot be read ({reason})")


def unwritable(path: str, error: OSError | ValueError) -> FileError:
    """The refusal for a place that cannot be written to."""
    number = error.errno if isinstance(error, OSError) else None
    if number == errno.ENOSPC:
        return FileError(
            Fault("A112", path, "does not fit on the disk", "make room, or go elsewhere")
        )
    if isinstance(error, PermissionError) or number == errno.EROFS:
        return FileError(Fault("A113", path, "may not be written by you", "choose another folder"))
    if isinstance(error, FileNotFoundError):
        return FileError(Fault("A114", path, "lies in a folder that is not there", "make it first"))
    if isinstance(error, NotADirectoryError | FileExistsError):
        return FileError(Fault("A115", path, "is, or lies in, a file", "choose another folder"))
    if isinstance(error, IsADirectoryError):
        return FileError(Fault("A116", path, "is a folder", "name a file"))
    reason = error.strerror if isinstance(error, OSError) else str(error)
    return FileError(Fault("A117", ascii(path)[1:-1][:80], f"cannot be written ({reason})"))


def _drawing_text(folder: Path, name: str) -> str:
    """The text of a drawing that a design names; only from the design's own folder."""
    try:
        path = (folder / name).resolve()
        inside = path.is_relative_to(folder.resolve())
    except (OSError, ValueError, RuntimeError):
        path, inside = folder, False
    if not inside:
        remedy = "put it beside the design file"
        raise DesignError(Fault("A121", f"the drawing {name[:80]!r}", "lies elsewhere", remedy))
    try:
        return decode(read_bytes(path))
    except FileError as error:
        fault = error.faults[0]
        subject = f"the drawing {name[:80]!r}"
        raise DesignError(Fault(fault.code, subject, fault.message, fault.remedy)) from None
