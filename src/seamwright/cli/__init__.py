"""The command line: parse, call app, show. No computing.

>>> from click.testing import CliRunner
>>> done = CliRunner().invoke(seamwright, ["check", "nothing-here.toml"])
>>> done.exit_code, done.output
(2, 'nothing-here.toml is not there: check the name and the folder\\n')
"""

from seamwright.cli.commands import seamwright
from seamwright.cli.cut_commands import cut, quote
from seamwright.cli.fitting import fit_command, measure_command
from seamwright.cli.front import ExitCode
from seamwright.cli.rack_commands import rack
from seamwright.cli.shop_command import shop_command
from seamwright.cli.why_and_near import near, why

for _command in (rack, cut, quote, why, near, fit_command, measure_command, shop_command):
    seamwright.add_command(_command)


def main() -> None:
    """Run the program and leave with its exit code."""
    seamwright()


__all__ = ["ExitCode", "main", "seamwright"]
