"""Set pages with typst: our own fonts only, no files read, no network, same input same bytes."""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path

import typst
from fontTools.ttLib import TTFont

from seamwright.errors import Fault, SeamwrightError

_HOUSE = frozenset({"bench_sheets", "boards", "quote", "settings_checks", "will_it_hold"})
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
    text = json.dumps(content, ensure_ascii=False)
    compiler = typst.Compiler(source, font_paths=_fonts(), sys_inputs={"content": printable(text)})
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


def printable(text: str) -> str:
    """The text with "?" for every sign our fonts do not have: one emoji must not stop a sheet."""
    strange = {ord(letter) for letter in set(text)} - _covered()
    return text.translate(dict.fromkeys(strange, "?")) if strange else text


@cache
def _covered() -> frozenset[int]:
    """Code points that every weight of the sans has."""
    cmaps: list[set[int]] = []
    for weight in ("Regular", "Bold"):
        with TTFont(_package_folder(_FONT_PACKAGES[0]) / f"Lato-{weight}.ttf", lazy=True) as font:
            cmaps.append(set(font.getBestCmap()))
    return frozenset(set.intersection(*cmaps) | {ord("\n")})


@cache
def _fonts() -> typst.Fonts:
    folders = [str(_package_folder(name)) for name in _FONT_PACKAGES]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)


def _package_folder(name: str) -> Path:
    return Path(str(files(name).joinpath("files")))
