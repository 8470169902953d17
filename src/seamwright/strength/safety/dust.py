"""What the dust of the board's woods can do to the maker."""

from __future__ import annotations

from collections.abc import Mapping

from seamwright.strength.results import Finding, Verdict
from seamwright.woods import Effect, Species

_LIMITS = "wood dust: NIOSH advises no more than 1 mg/m³ over a working day"
PRECAUTIONS = (
    "collect dust at the machine, wear a well-fitting mask rated for fine dust, wash skin and "
    "clothes, vacuum instead of sweeping; stop and see a doctor if skin, eyes or breath react; "
    "your local rules for wood dust go before this"
)
_STRONG = (Effect.SENSITISER, Effect.LUNG, Effect.CARCINOGEN, Effect.SUSPECTED)


def dust_findings(species_by_letter: Mapping[str, Species]) -> tuple[Finding, ...]:
    """One finding for each wood with a known hazard, and one for dust as such."""
    findings = []
    for species in dict.fromkeys(species_by_letter.values()):
        hazard = species.hazard
        if hazard is None:
            continue
        serious = any(effect in _STRONG for effect in hazard.effects)
        effects = ", ".join(effect.words for effect in hazard.effects)
        findings.append(
            Finding(
                code="D1",
                verdict=Verdict.CARE if serious else Verdict.KNOW,
                subject=f"dust of {species.name}",
                why=f"its dust {effects} (strength {hazard.strength} of 4)",
                change=PRECAUTIONS,
                sources=hazard.sources,
            )
        )
    unlisted = sorted(
        {species.name for species in species_by_letter.values() if species.hazard is None}
    )
    also = f"; {', '.join(unlisted)}: in no list we have, which is no clearance" if unlisted else ""
    findings.append(
        Finding(
            code="D2",
            verdict=Verdict.KNOW,
            subject="wood dust of any kind",
            why=_LIMITS + also,
            change=PRECAUTIONS,
            sources=("OSHA-DUST",),
        )
    )
    return tuple(findings)
