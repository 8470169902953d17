"""Findings for programs; see docs/reference/json.md."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict

from seamwright.app.situation import Situation
from seamwright.app.sounding import SoundReport
from seamwright.strength import Finding, plain

_TABLES = ("seams", "pieces", "seasons", "loads", "assumptions")


def sound_document(report: SoundReport) -> dict[str, object]:
    """Everything found on a board; tables are empty where the finite elements did not run."""
    found = report.soundness
    seen = report.glance
    return {
        "reckoned": found is not None,
        "faults": [fault.as_dict() for fault in report.faults],
        "situation": _situation(report.situation),
        "findings": findings_document(report.findings),
        **{name: plain(getattr(found, name)) if found else [] for name in _TABLES},
        "through": plain(seen.through) if seen else [],
        "bridged_up": plain(seen.bridged_up) if seen else [],
        "bridged_across": plain(seen.bridged_across) if seen else [],
        "triangles": found.triangles if found else 0,
    }


def findings_document(findings: Iterable[Finding]) -> list[object]:
    """Findings as JSON takes them."""
    return [plain(finding) for finding in findings]


def _situation(here: Situation) -> dict[str, object]:
    return {
        "seasons": [asdict(season) for season in here.seasons],
        "built_pct": here.built_pct,
        "use": here.use.value if here.use else None,
        "finish": here.finish.value,
        "rings": [{"letter": letter, "angle_deg": angle} for letter, angle in here.ring_angle_deg],
        "element_mm": here.element_mm,
    }
