"""Reading designs and shop files from disk."""

import errno
from pathlib import Path

import pytest

from seamwright.app import FileError, load, load_shop, read_design
from seamwright.errors import DesignError, ShopError
from seamwright.plan import default_shop

HEAD = 'unit = "mm"\nthickness = 20\nwoods = { A = "ash" }\n'
PLAIN = HEAD + '[block.b]\ncolumns = "60"\nrows = "40"\ncells = "A"\n'
LEAF = HEAD + '[block.b]\ndrawing = "NAME"\nsize = "60 40"\nletters = { "#ffffff" = "A" }\n'
SVG = '<svg xmlns="http://www.w3.org/2000/svg"><rect width="6" height="4" fill="#ffffff"/></svg>'


def written(folder, name, text):
    path = folder / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


def test_the_file_names_the_board(tmp_path):
    assert load(written(tmp_path, "tray.toml", PLAIN)).title == "tray"


def test_a_byte_order_mark_is_no_fault(tmp_path):
    (tmp_path / "tray.toml").write_bytes(b"\xef\xbb\xbf" + PLAIN.encode())
    assert len(load(tmp_path / "tray.toml").patches) == 1


def test_drawings_lie_beside_the_design(tmp_path):
    written(tmp_path, "pictures/leaf.svg", SVG)
    design = written(tmp_path, "tray.toml", LEAF.replace("NAME", "pictures/leaf.svg"))
    assert len(load(design).patches) == 1


@pytest.mark.parametrize("name", ["../leaf.svg", "/etc/hosts", "pictures/../../leaf.svg"])
def test_drawings_elsewhere_are_not_read(tmp_path, name):
    written(tmp_path, "leaf.svg", SVG)
    design = written(tmp_path, "home/tray.toml", LEAF.replace("NAME", name))
    with pytest.raises(DesignError, match="lies elsewhere"):
        load(design)


def test_drawings_behind_a_link_elsewhere_are_not_read(tmp_path):
    written(tmp_path, "leaf.svg", SVG)
    design = written(tmp_path, "home/tray.toml", LEAF.replace("NAME", "leaf.svg"))
    (tmp_path / "home" / "leaf.svg").symlink_to(tmp_path / "leaf.svg")
    with pytest.raises(DesignError, match="lies elsewhere"):
        load(design)


def test_a_drawing_that_is_not_there(tmp_path):
    with pytest.raises(DesignError, match=r"the drawing 'leaf\.svg' is not there"):
        load(written(tmp_path, "tray.toml", LEAF.replace("NAME", "leaf.svg")))


def test_bytes_alone_have_no_drawings():
    with pytest.raises(DesignError, match="cannot be read from here"):
        read_design(LEAF.replace("NAME", "leaf.svg").encode(), name="tray")


def test_refusals_say_which_file(tmp_path):
    path = written(tmp_path, "tray.toml", "unit = 3")
    with pytest.raises(DesignError) as refused:
        load(path)
    assert refused.value.__notes__ == [str(path)]


def test_a_shop_file(tmp_path):
    path = written(tmp_path, "shop.toml", "[saws]\ntable_kerf = 2.4\n")
    assert load_shop(path).saws.table_kerf_mm == 2.4
    assert load_shop(None) == default_shop()
    with pytest.raises(ShopError):
        load_shop(written(tmp_path, "bad.toml", "[saws]\ntable_kerf = -1\n"))


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (PermissionError(errno.EACCES, "Permission denied"), "may not be read by you"),
        (OSError(errno.EIO, "Input/output error"), "cannot be read (Input/output error)"),
        (IsADirectoryError(errno.EISDIR, "Is a directory"), "is a folder"),
        (FileNotFoundError(errno.ENOENT, "No such file"), "is not there"),
    ],
)
def test_files_that_cannot_be_read(monkeypatch, error, words):
    def refuse(*_args, **_kw):
        raise error

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(FileError) as refused:
        load("tray.toml")
    assert words in str(refused.value)


def test_a_file_without_end_is_not_read_to_its_end():
    with pytest.raises(DesignError, match="larger than 8 million characters"):
        load("/dev/zero")


@pytest.mark.parametrize("name", ["leaf.svg", "leaf.DXF"])
def test_a_bare_drawing_is_told_where_it_belongs(tmp_path, name: str) -> None:
    (tmp_path / name).write_text("x")
    with pytest.raises(FileError, match=f'drawing = "{name}"'):
        load(tmp_path / name)
