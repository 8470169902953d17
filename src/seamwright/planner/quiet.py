"""HiGHS, set up for exact choices and without a word on standard output."""

from __future__ import annotations

import highspy


class _QuietHighs(highspy.Highs):
    """HiGHS that is silent from its first call on.

    Its constructor turns callbacks on, and the first call of all prints a banner unless silence
    was asked for before: so it is asked for there.
    """

    def enableCallbacks(self) -> None:  # noqa: N802 - the library's name
        """Callbacks on, after silence."""
        self.silent()
        super().enableCallbacks()  # type: ignore[no-untyped-call]


def exact_highs() -> highspy.Highs:
    """A solver that leaves no gap, on one thread, so that the same input gives the same answer."""
    solver = _QuietHighs()  # type: ignore[no-untyped-call]
    solver.setOptionValue("mip_rel_gap", 0.0)
    solver.setOptionValue("mip_abs_gap", 1e-6)
    solver.setOptionValue("threads", 1)
    return solver
