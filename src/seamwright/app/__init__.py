"""Use cases: one function for each verb the user knows; wires the rooms together.

>>> from seamwright.design import starter
>>> drawing = read_design(starter().encode(), name="try")
>>> check(drawing).splits
True
>>> report = plan(drawing)
>>> report.proof.holds, report.best.proven
(True, True)
"""

from seamwright.app.asking import (
    ASK_SECONDS,
    WITHIN_MM,
    Difference,
    Near,
    NearMisses,
    Why,
    Worth,
    near,
    near_text,
    why,
    why_text,
)
from seamwright.app.asking_words import (
    board_change,
    change_words,
    near_document,
    near_lines,
    near_words,
    why_document,
    why_lines,
    worth_words,
)
from seamwright.app.boards import (
    Typed,
    adding,
    flaw_typed,
    load_rack,
    taking_away,
    taking_in,
    typed_board,
    without_flaw,
    wood_named,
)
from seamwright.app.boards_in_papers import OnHand, boards_in_papers, kept_boards
from seamwright.app.check_words import Share, drawn_seam_words, share_words, shares, split_words
from seamwright.app.checking import CheckReport, DrawnSeam, NewSeam, SeamSide, check
from seamwright.app.cut_documents import cut_document, rack_document
from seamwright.app.cut_words import cut_lines, sure_of_cuts
from seamwright.app.cutting import (
    CUT_SECONDS,
    GRADES,
    ORDERS,
    Bars,
    CutReport,
    Wishes,
    cut,
    wishes_typed,
)
from seamwright.app.documents import (
    Document,
    check_document,
    error_document,
    papers_document,
    plan_document,
    shop_document,
    woods_document,
)
from seamwright.app.files import (
    FileError,
    about,
    load,
    load_gluing,
    load_money,
    load_own_woods,
    load_shop,
    read_bytes,
    read_design,
)
from seamwright.app.handing_out import FOR_THE_BENCH, cut_papers, demo_boards, papers, quote_papers
from seamwright.app.keeping import write_new
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
from seamwright.app.press_words import glue_words, told_steps
from seamwright.app.quote_words import quote_document, quote_lines
from seamwright.app.quoting import Basis, QuoteReport, quote_board
from seamwright.app.rack_words import flaw_words, rack_lines
from seamwright.app.situation import FINISHES, RINGS, USES, Situation, situation_of
from seamwright.app.sound_document import findings_document, sound_document
from seamwright.app.sound_pictures import sound_pictures, write_pictures
from seamwright.app.sound_words import (
    bearing_words,
    caution_lines,
    hand_cautions,
    moving_words,
    safety_words,
    through_words,
    verdict_lines,
)
from seamwright.app.sounding import SoundReport, reckoned, sound, sound_glance
from seamwright.app.starting import new_design, new_shop, shop_text
from seamwright.app.step_words import StepWords, step_words
from seamwright.app.stores import default_store, opened_store
from seamwright.app.trying import near_limit, write_change
from seamwright.app.ways import Way, ways, ways_document, ways_lines
from seamwright.app.wood_words import find_woods, wood_line, wood_lines

__all__ = [
    "ASK_SECONDS",
    "CAUTION",
    "CUT_SECONDS",
    "FINISHES",
    "FOR_THE_BENCH",
    "GRADES",
    "ORDERS",
    "READING",
    "RINGS",
    "SECONDS",
    "USES",
    "WITHIN_MM",
    "Bars",
    "Basis",
    "CheckReport",
    "CutReport",
    "Difference",
    "Document",
    "DrawnSeam",
    "FileError",
    "Near",
    "NearMisses",
    "NewSeam",
    "OnHand",
    "PlanReport",
    "QuoteReport",
    "SeamSide",
    "Share",
    "Situation",
    "SoundReport",
    "StepWords",
    "Typed",
    "UnprovenError",
    "Way",
    "Why",
    "Wishes",
    "Worth",
    "about",
    "adding",
    "bearing_words",
    "best_words",
    "board_change",
    "board_words",
    "boards_in_papers",
    "caution_lines",
    "change_words",
    "check",
    "check_document",
    "cut",
    "cut_document",
    "cut_lines",
    "cut_papers",
    "default_store",
    "demo_boards",
    "drawn_seam_words",
    "error_document",
    "find_woods",
    "findings_document",
    "flaw_typed",
    "flaw_words",
    "glue_words",
    "hand_cautions",
    "kept_boards",
    "load",
    "load_gluing",
    "load_money",
    "load_own_woods",
    "load_rack",
    "load_shop",
    "look_first",
    "moving_words",
    "near",
    "near_document",
    "near_limit",
    "near_lines",
    "near_text",
    "near_words",
    "new_design",
    "new_shop",
    "opened_store",
    "papers",
    "papers_document",
    "plan",
    "plan_document",
    "proof_words",
    "quote_board",
    "quote_document",
    "quote_lines",
    "quote_papers",
    "rack_document",
    "rack_lines",
    "read_bytes",
    "read_design",
    "reckoned",
    "safety_words",
    "share_words",
    "shares",
    "shop_document",
    "shop_text",
    "situation_of",
    "sound",
    "sound_document",
    "sound_glance",
    "sound_pictures",
    "space_words",
    "split_words",
    "step_words",
    "sure_of_cuts",
    "taking_away",
    "taking_in",
    "through_words",
    "told_steps",
    "totals_words",
    "typed_board",
    "verdict_lines",
    "ways",
    "ways_document",
    "ways_lines",
    "why",
    "why_document",
    "why_lines",
    "why_text",
    "wishes_typed",
    "without_flaw",
    "wood_line",
    "wood_lines",
    "wood_named",
    "woods_document",
    "worth_words",
    "write_change",
    "write_new",
    "write_pictures",
]
