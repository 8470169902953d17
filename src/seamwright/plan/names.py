"""Names for kinds that join a plan."""

from __future__ import annotations

from seamwright.plan.model import Plan
from seamwright.plan.steps import outputs


class FreshNames:
    """Names of kinds that nobody in a plan has yet."""

    def __init__(self, plan: Plan) -> None:
        self._taken = {kind for step in plan.steps for kind in outputs(step)}

    def fresh(self, kind: str) -> str:
        """The kind's own letters with the next free number.

        Args:
            kind: a kind, or its letters alone.
        """
        letters = kind.rstrip("0123456789") or "S"
        number = 1
        while f"{letters}{number}" in self._taken:
            number += 1
        self._taken.add(f"{letters}{number}")
        return f"{letters}{number}"
