"""A whole plan."""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.geometry import IDENTITY, Motion
from seamwright.plan.overlay import Backed
from seamwright.plan.shop import Shop
from seamwright.plan.steps import Laminate, Step, inputs, outputs


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """Steps from stick to board, in an order in which they can be done.

    Attributes:
        title: of the drawing it makes.
        steps: in working order; a step's inputs are made by earlier steps.
        board: id of the kind that is the finished board.
        board_at: motion from that kind's frame into the drawing's.
        backed: what the board is glued to where it is the face of an overlay; else None.
        copies: finished boards wanted.
        shop: the shop it is planned for.
    """

    title: str
    steps: tuple[Step, ...]
    board: str
    copies: int
    shop: Shop
    board_at: Motion = IDENTITY
    backed: Backed | None = None

    def kept(self, part: str) -> int:
        """How many of a kind no step uses up, though they are wanted: boards, and their backing."""
        wanted = (self.board, *(self.backed.made if self.backed else ()))
        return self.copies if part in wanted else 0

    def maker(self, part: str) -> Step:
        """The step that makes a kind.

        Raises:
            KeyError: no step makes it.
        """
        for step in self.steps:
            if part in outputs(step):
                return step
        raise KeyError(part)

    def number(self, part: str) -> int:
        """The number, from 1, of the step that makes a kind."""
        return self.steps.index(self.maker(part)) + 1

    def is_filled_row(self, part: str) -> bool:
        """Whether a kind that is sawn apart is a row of parts with fillers in its corners."""
        made = self.maker(part)
        return isinstance(made, Laminate) and made.corner_deg is not None

    def users(self, part: str) -> tuple[Step, ...]:
        """The steps that use a kind up."""
        return tuple(step for step in self.steps if part in inputs(step))
