"""What is handed out: bench sheets, lists, templates, labels, files for other machines."""

from seamwright.papers.board_sheets import Boards, board_files, board_sheets, shopping_csv
from seamwright.papers.cuts import cuts_csv
from seamwright.papers.dxf import board_dxf, template_dxf
from seamwright.papers.everything import Handout, Part, write_set
from seamwright.papers.holding import HELD, holding_words
from seamwright.papers.labels import Label, job_code, label_list, labels
from seamwright.papers.listening import Progress, never, silent
from seamwright.papers.overlays import BackingStep, backing_steps
from seamwright.papers.pages import Page
from seamwright.papers.quote_page import quote_page
from seamwright.papers.settings_checks import settings_checks
from seamwright.papers.sheets import bench_sheets
from seamwright.papers.soundness import Sound, will_it_hold
from seamwright.papers.sticks import Stick, quarters, sticks, sticks_csv
from seamwright.papers.templates import Template, template_list, templates
from seamwright.papers.typeset import PaperError

__all__ = [
    "HELD",
    "BackingStep",
    "Boards",
    "Handout",
    "Label",
    "Page",
    "PaperError",
    "Part",
    "Progress",
    "Sound",
    "Stick",
    "Template",
    "backing_steps",
    "bench_sheets",
    "board_dxf",
    "board_files",
    "board_sheets",
    "cuts_csv",
    "holding_words",
    "job_code",
    "label_list",
    "labels",
    "never",
    "quarters",
    "quote_page",
    "settings_checks",
    "shopping_csv",
    "silent",
    "sticks",
    "sticks_csv",
    "template_dxf",
    "template_list",
    "templates",
    "will_it_hold",
    "write_set",
]
