"""What is handed out: bench sheets, lists, templates, labels, files for other machines."""

from seamwright.papers.pages import Page
from seamwright.papers.sheets import bench_sheets
from seamwright.papers.sticks import Stick, quarters, sticks, sticks_csv
from seamwright.papers.typeset import PaperError

__all__ = ["Page", "PaperError", "Stick", "bench_sheets", "quarters", "sticks", "sticks_csv"]
