"""What of a node ends up in the boards, told apart from what is only left over.

Billets and rows are made whole, so a little more may be made than the boards hold, and no tight
limit holds for how often a node is used. But a tight one holds for its *share*: what of it goes
into the boards, counted in fractions of a billet or a row. A share cannot exceed what the boards
contain at the most, and it needs the node's mode picked. So the relaxation cannot make all of a
node in a mode that it has picked for a sixth.
"""

from __future__ import annotations

from seamwright.planner.columns import Columns, Terms, less_of
from seamwright.planner.model import INF


def add_shares(columns: Columns) -> None:
    """Add the shares of every node of which some may be left over, and what limits them."""
    problem, model = columns.problem, columns.model
    if all(node.exact for node in columns.needed):
        return
    needs: list[Terms] = [[] for _ in problem.nodes]
    for n, node in enumerate(problem.nodes):
        known = columns.needed[n]
        supply: Terms = []
        for k, mode in enumerate(node.modes):
            share = _made(columns, n, k)
            if not known.exact or not share:
                column = model.column(0.0, INF, whole=False)
                picked = [(c, known.share_most * v) for c, v in columns.picked[n, k]]
                made = share or [(c, v * mode.yields) for c, v in columns.used[n, k]]
                share = [(column, 1.0)]
                model.row([*picked, (column, -1.0)], 0.0)
                model.row([*made, (column, -1.0)], 0.0)
            supply += share
            for child, times in mode.children:
                if not columns.needed[child].exact:
                    needs[child] += [(c, v * times / mode.yields) for c, v in share]
        if not known.exact:
            model.row([*supply, *less_of(needs[n])], 0.0, 0.0)


def _made(columns: Columns, n: int, k: int) -> Terms:
    """How many are made in a mode, where that is known exactly; otherwise nothing."""
    if columns.counts[n]:
        return [
            (column, float(count))
            for (column, _), count in zip(columns.picked[n, k], columns.counts[n], strict=True)
        ]
    return columns.used[n, k] if columns.problem.nodes[n].modes[k].yields == 1 else []
