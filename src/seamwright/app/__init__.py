"""Use cases: one function for each verb the user knows; wires the rooms together.

>>> from seamwright.design import starter
>>> drawing = read_design(starter().encode(), name="try")
>>> check(drawing).splits
True
>>> report = plan(drawing)
>>> report.proof.holds, report.best.proven
(True, True)
"""

from seamwright.app.check_words import (
    Share,
    drawn_seam_words,
    share_words,
    shares,
    split_words,
)
from seamwright.app.checking import CheckReport, DrawnSeam, NewSeam, SeamSide, check
from seamwright.app.documents import (
    Document,
    check_document,
    error_document,
    papers_document,
    plan_document,
    shop_document,
    woods_document,
)
from seamwright.app.files import FileError, about, load, load_shop, read_design
from seamwright.app.handing_out import FOR_THE_BENCH, papers
from seamwright.app.plan_words import (
    CAUTION,
    READING,
    best_words,
    board_words,
    look_first,
    proof_words,
    space_words,
    totals_words,
)
from seamwright.app.planning import SECONDS, PlanReport, UnprovenError, plan
from seamwright.app.starting import new_design, new_shop, shop_text
from seamwright.app.step_words import StepWords, step_words
from seamwright.app.ways import Way, ways, ways_document, ways_lines
from seamwright.app.wood_words import find_woods, wood_line, wood_lines

__all__ = [
    "CAUTION",
    "FOR_THE_BENCH",
    "READING",
    "SECONDS",
    "CheckReport",
    "Document",
    "DrawnSeam",
    "FileError",
    "NewSeam",
    "PlanReport",
    "SeamSide",
    "Share",
    "StepWords",
    "UnprovenError",
    "Way",
    "about",
    "best_words",
    "board_words",
    "check",
    "check_document",
    "drawn_seam_words",
    "error_document",
    "find_woods",
    "load",
    "load_shop",
    "look_first",
    "new_design",
    "new_shop",
    "papers",
    "papers_document",
    "plan",
    "plan_document",
    "proof_words",
    "read_design",
    "share_words",
    "shares",
    "shop_document",
    "shop_text",
    "space_words",
    "split_words",
    "step_words",
    "totals_words",
    "ways",
    "ways_document",
    "ways_lines",
    "wood_line",
    "wood_lines",
    "woods_document",
]
