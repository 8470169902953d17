"""The notebook in which the bench writes what it finds at one step."""

from __future__ import annotations

from dataclasses import dataclass, field

from seamwright.bench.model import Finding, Severity


@dataclass(slots=True, kw_only=True)
class Notes:
    """Findings of one step.

    Attributes:
        step: number of the step; 0 for the board as a whole.
        subject: what the findings are about unless one says otherwise.
        found: in the order written.
    """

    step: int
    subject: str
    found: list[Finding] = field(default_factory=list)

    def wrong(self, code: str, message: str, *, subject: str = "") -> None:
        """Cannot be done as written, or gives another board."""
        self._add(code, message, Severity.WRONG, subject)

    def unsafe(self, code: str, message: str, *, subject: str = "") -> None:
        """Passes a limit of the shop."""
        self._add(code, message, Severity.UNSAFE, subject)

    def warn(self, code: str, message: str, *, subject: str = "") -> None:
        """Can be done, but look at it first."""
        self._add(code, message, Severity.WARNING, subject)

    def _add(self, code: str, message: str, severity: Severity, subject: str) -> None:
        self.found.append(
            Finding(
                step=self.step,
                subject=subject or self.subject,
                message=message,
                severity=severity,
                code=code,
            )
        )


def mm(value: float) -> str:
    """A length for a sentence: as many figures as matter at the bench.

    >>> mm(25.4), mm(3.0), mm(0.0004), mm(-0.0)
    ('25.4 mm', '3 mm', '0.0004 mm', '0 mm')
    """
    rounded = f"{value:.2f}" if abs(value) >= 0.1 or value == 0.0 else f"{value:.1g}"
    text = rounded.rstrip("0").rstrip(".") if "." in rounded else rounded
    return f"{'0' if text in {'-0', ''} else text} mm"
