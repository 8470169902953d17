"""Traditional blocks by name, kept as data in the same form as a design file."""

from __future__ import annotations

import difflib
from functools import cache
from importlib import resources

from seamwright.design.fields import Table
from seamwright.design.findings import Findings
from seamwright.design.grids import grid_block, patch_block
from seamwright.design.pieces import Block
from seamwright.design.source import load_toml
from seamwright.design.wording import short
from seamwright.lengths import Unit


@cache
def known_blocks() -> tuple[str, ...]:
    """Names of all blocks that can be asked for, in order of the alphabet.

    >>> len(known_blocks()), known_blocks()[0]
    (31, 'basket weave')
    """
    return tuple(sorted(_tables()))


@cache
def known_block(name: str) -> Block:
    """A block by name, drawn with its grid's unit as 1 mm.

    >>> len(known_block("sawtooth star").pieces)
    17

    Raises:
        KeyError: there is no such block.
    """
    findings = Findings()
    table = Table(_tables()[name], path=(name,), findings=findings, unit=Unit.MM)
    block = grid_block(table) if "cells" in table else patch_block(table)
    findings.refuse()
    if block is None:
        raise AssertionError(f"the block {name} in our own data cannot be read")
    return block


def find_block(name: str, table: Table) -> Block | None:
    """The block a design asks for; None, with a fault noted, where there is none."""
    wanted = " ".join(name.lower().replace("_", " ").replace("-", " ").replace("'", "").split())
    if wanted in known_blocks():
        return known_block(wanted)
    near = difflib.get_close_matches(wanted, known_blocks(), n=1)
    known = f"known are {', '.join(known_blocks())}"
    remedy = f'did you mean "{near[0]}"?' if near else known
    table.fault("D320", "from", f"is {short(name)}, a block not known", remedy)
    return None


@cache
def _tables() -> dict[str, dict[str, object]]:
    text = (resources.files("seamwright.design") / "data" / "blocks.toml").read_text("utf-8")
    return {name: table for name, table in load_toml(text).items() if isinstance(table, dict)}
