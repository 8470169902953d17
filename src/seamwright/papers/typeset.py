"""Set pages with typst: our own fonts only, no files read, no network, same input same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path

import typst

from seamwright.errors import Fault, SeamwrightError

_HOUSE = frozenset({"bench_sheets"})
"""Layouts that flow text in the house style; the others are whole pages of drawing."""
_FONT_PACKAGES = ("fontpkg_lato", "fontpkg_source_serif_4")


class PaperError(SeamwrightError):
    """A sheet could not be set."""


def pdf(layout: str, content: Mapping[str, object]) -> bytes:
    """A PDF, tagged to PDF/UA-1, from one of our layouts and its content.

    Args:
        layout: name of a file in ``papers/layouts`` without its ending.
        content: what the layout shows; numbers, texts, lists and SVG texts.
    Raises:
        PaperError: typst refuses, or warns about, the sheet; a fault of ours, not of the plan.
    """
    return _compile(layout, content)


def _compile(layout: str, content: Mapping[str, object]) -> bytes:
    folder = files("seamwright.papers").joinpath("layouts")
    source = folder.joinpath(f"{layout}.typ").read_bytes()
    if layout in _HOUSE:
        source = folder.joinpath("house.typ").read_bytes() + b"\n" + source
    compiler = typst.Compiler(
        source,
        font_paths=_fonts(),
        sys_inputs={"content": json.dumps(content, ensure_ascii=False)},
    )
    try:
        made, warnings = compiler.compile_with_warnings(
            format="pdf", pdf_standards=["ua-1"], timestamp=0
        )
    except typst.TypstError as refusal:
        raise PaperError(Fault("X101", layout, f"cannot be set: {refusal}")) from refusal
    if warnings:
        told = "; ".join(str(warning) for warning in warnings)
        raise PaperError(Fault("X102", layout, f"was set with warnings: {told}"))
    assert isinstance(made, bytes)
    return made


@cache
def _fonts() -> typst.Fonts:
    folders = [str(_package_folder(name)) for name in _FONT_PACKAGES]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)


def _package_folder(name: str) -> Path:
    return Path(str(files(name).joinpath("files")))
