"""One root for everything that can be wrong with what a user gave.

Every error names the thing, says what is wrong and what to do about it. Codes are stable and
grouped by letter: ``L`` lengths, ``D`` design, ``G`` geometry, ``P`` plan, ``B`` bench,
``R`` rack, ``S`` strength, ``K`` store, ``F`` fit, ``W`` woods, ``E`` ledger,
``X`` papers.

>>> str(Fault("D101", "patch 7", "overlaps patch 9 by 2.3 mm² near (31, 12)", "move one of them"))
'patch 7 overlaps patch 9 by 2.3 mm² near (31, 12): move one of them'
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One thing that is wrong, in words a woodworker can act on.

    Attributes:
        code: stable code, a letter and three digits.
        subject: the thing, as the user knows it ("patch 7", "board.set", "step 4").
        message: what is wrong, a phrase that follows the subject.
        remedy: what to do; may be empty where the message says it all.
        line: line in the user's file, 1-based, or None.
    """

    code: str
    subject: str
    message: str
    remedy: str = ""
    line: int | None = None

    def __str__(self) -> str:
        text = f"{self.subject} {self.message}".strip()
        if self.remedy:
            text += f": {self.remedy}"
        return f"line {self.line}: {text}" if self.line is not None else text

    def as_dict(self) -> dict[str, str | int | None]:
        """The same five fields for JSON."""
        return {
            "code": self.code,
            "subject": self.subject,
            "message": self.message,
            "remedy": self.remedy,
            "line": self.line,
        }


class SeamwrightError(Exception):
    """Root of all refusals. Holds one or more faults, all that were found, never just the first."""

    def __init__(self, *faults: Fault) -> None:
        if not faults:
            raise TypeError("a SeamwrightError needs at least one Fault")
        self.faults: tuple[Fault, ...] = faults
        super().__init__("\n".join(str(fault) for fault in faults))


class DesignError(SeamwrightError):
    """The design file or the drawing in it cannot be used as it stands."""


class ShopError(SeamwrightError):
    """The shop profile cannot be used as it stands."""


class LengthError(SeamwrightError, ValueError):
    """A length could not be read."""


class PlanError(SeamwrightError):
    """No plan can be made, or a plan breaks its own rules."""


class BenchError(SeamwrightError):
    """A plan could not be carried out on the virtual bench."""


class WoodError(SeamwrightError):
    """A wood is not known, or lacks a value that is needed."""


class StrengthError(SeamwrightError):
    """The board cannot be put through the mechanics as it stands."""


class FitError(SeamwrightError):
    """Measured sizes cannot be used, or cannot be mended."""


class Cancelled(Exception):  # noqa: N818 - not an error: the user changed their mind
    """Long work was stopped by the user."""
