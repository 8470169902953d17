"""The solver printed its banner on standard output, in front of our JSON."""

import subprocess
import sys

SOLVE = """
from seamwright.design import known_blocks, read
from seamwright.plan import default_shop
from seamwright.planner import make_plan

text = 'unit = "in"\\nthickness = "3/4"\\nwoods = { A = "sugar maple", B = "black walnut" }\\n'
text += '[block.shoo]\\nfrom = "shoofly"\\nsize = "6"\\n'
make_plan(read(text, name="shoo"), default_shop())
"""


def test_standard_output_stays_empty():
    done = subprocess.run([sys.executable, "-c", SOLVE], capture_output=True, text=True, check=True)
    assert done.stdout == ""
    assert done.stderr == ""
