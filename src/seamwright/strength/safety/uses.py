"""Is the board fit for what it is made for: food, knives, hot dishes."""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum

from seamwright.strength.results import Finding, Verdict
from seamwright.woods import Quantity, Species, find_species

FOOD_CODE = "FDA Food Code 4-101.17"
GLUE_RULE = "21 CFR 175.105"
OIL_RULES = ("21 CFR 172.878", "21 CFR 178.3620(a)")
COATING_RULE = "21 CFR 175.300"
HEAT_SOURCE = "Shafizadeh and Chin 1977, as quoted by Navi and Sandberg (abstract)"
CREEP_SOURCE = "Šedivka 2015, BioResources (abstract)"

GLUE_LIMIT_C = 60.0
"""White and yellow glues under load; common practice, no source for the exact figure."""
_HARD = Quantity.SIDE_HARDNESS
_AS_HARD_AS = 0.65
"""A wood counts as about as hard as hard maple from this share of its side hardness on; our own
reading, the Food Code names no figure."""


class BoardUse(Enum):
    """What the board is for."""

    CUTTING = "cutting food"
    SERVING = "serving food"
    HOT_DISHES = "hot dishes"
    DISPLAY = "to be looked at"


class Finish(Enum):
    """What goes on its surface."""

    NONE = "nothing"
    MINERAL_OIL = "mineral oil"
    NUT_OIL = "nut oil"
    DRYING_OIL = "drying oil"
    FILM = "film finish"


def use_findings(
    species_by_letter: Mapping[str, Species], *, use: BoardUse, finish: Finish
) -> tuple[Finding, ...]:
    """Findings for a use, worst not first: sort with ``worst_first``."""
    woods = tuple(dict.fromkeys(species_by_letter.values()))
    findings: list[Finding] = []
    if use in (BoardUse.CUTTING, BoardUse.SERVING):
        findings += [*_food_woods(woods, use), _glue_in_food(), *_finish(finish)]
    if use is BoardUse.HOT_DISHES:
        findings += _heat()
    if use is not BoardUse.DISPLAY:
        findings.append(_washing())
    return tuple(findings)


def _food_woods(woods: tuple[Species, ...], use: BoardUse) -> list[Finding]:
    findings = [
        Finding(
            code="F1",
            verdict=Verdict.KNOW,
            subject=f"wood for {use.value}",
            why=(
                "in a food business wood is a food surface only if it is hard maple or an equally "
                "hard, close-grained wood; the rule is not written for a home kitchen"
            ),
            change="ask your local health authority before you sell to a food business",
            sources=(FOOD_CODE,),
        )
    ]
    maple = find_species("hard maple").needed(_HARD)
    for species in woods:
        open_pored = species.porosity is not None and species.porosity.word == "ring-porous"
        if open_pored:
            findings.append(_open_pores(species))
        hardness = species.amount(_HARD)
        if use is BoardUse.CUTTING:
            if hardness is None:
                findings.append(_hardness_unknown(species))
            elif hardness < _AS_HARD_AS * maple:
                findings.append(_soft(species, hardness / maple))
        if species.hazard is not None:
            findings.append(_in_contact(species))
    return findings


def _open_pores(species: Species) -> Finding:
    return Finding(
        code="F2",
        verdict=Verdict.CARE,
        subject=f"{species.name} on a food surface",
        why="it is ring-porous: its open pores hold food and water, and it is not close-grained",
        change="keep it off the surface that meets food, or take a close-grained wood",
        sources=(FOOD_CODE, *(species.porosity.sources if species.porosity else ()), "CP"),
    )


def _hardness_unknown(species: Species) -> Finding:
    return Finding(
        code="F3",
        verdict=Verdict.KNOW,
        subject=f"{species.name} under a knife",
        why="its hardness is not known to us",
        change="compare a scrap with hard maple under a knife",
    )


def _soft(species: Species, share: float) -> Finding:
    return Finding(
        code="F3",
        verdict=Verdict.CARE,
        subject=f"{species.name} under a knife",
        why=f"it is {100.0 * share:.0f} % as hard as hard maple: knives mark it soon",
        change="use it for a border, or take a harder wood where knives go",
        sources=("GTR282-T5-3b", FOOD_CODE),
    )


def _in_contact(species: Species) -> Finding:
    return Finding(
        code="F4",
        verdict=Verdict.KNOW,
        subject=f"{species.name} in contact with food",
        why=(
            "its dust is on a list of hazards; what is known is about makers breathing dust, and "
            "says little about a finished board"
        ),
        change="if you want to be on the safe side keep it out of the food surface",
        sources=species.hazard.sources if species.hazard else (),
    )


def _glue_in_food() -> Finding:
    return Finding(
        code="F5",
        verdict=Verdict.KNOW,
        subject="glue in a food board",
        why=(
            "glue may meet food only as traces at tight seams that stay bonded; so thin, closed "
            "seams matter, and an open seam is the end of a food board"
        ),
        change="use a glue whose label names 21 CFR 175.105, and scrape all squeeze-out",
        sources=(GLUE_RULE,),
    )


def _finish(finish: Finish) -> list[Finding]:
    told = {
        Finish.MINERAL_OIL: (
            "white mineral oil is allowed as part of articles that hold food",
            "buy the food grade, renew it when the wood looks dry",
            OIL_RULES,
        ),
        Finish.NUT_OIL: (
            "oils of walnut and other nuts can harm people with a nut allergy",
            "say so on the label, or take another finish",
            ("CP",),
        ),
        Finish.DRYING_OIL: (
            "a drying oil is fit for food only when fully cured, about 30 days (common practice); "
            "rags soaked in it can catch fire by themselves",
            "wait until it smells of nothing; spread used rags flat outdoors or drown them",
            (COATING_RULE, "CP"),
        ),
        Finish.FILM: (
            "knives cut a film finish to flakes",
            "leave a cutting face to oil; a film is for serving only, and fully cured",
            (COATING_RULE, "CP"),
        ),
    }
    if finish not in told:
        return []
    why, change, sources = told[finish]
    care = finish in (Finish.NUT_OIL, Finish.DRYING_OIL)
    return [
        Finding(
            code="F6",
            verdict=Verdict.CARE if care else Verdict.KNOW,
            subject=f"the finish: {finish.value}",
            why=why,
            change=change,
            sources=sources,
        )
    ]


def _heat() -> list[Finding]:
    return [
        Finding(
            code="H1",
            verdict=Verdict.RISK,
            subject="hot dishes on glued wood",
            why=(
                "white and yellow glues soften with heat: under load they creep, and "
                f"{GLUE_LIMIT_C:g} °C is a usual limit (common practice), which sunshine alone can "
                "reach; a pan from the stove has 100 to 200 °C (common practice)"
            ),
            change="set hot dishes on feet or a metal ring, or use a glue made for heat",
            sources=(CREEP_SOURCE, "CP"),
        ),
        Finding(
            code="H2",
            verdict=Verdict.CARE,
            subject="heat on wood",
            why="wood kept at 120 °C loses a tenth of its strength in a month, at 140 °C in a week",
            change="no board near an open fire or in an oven; never leave a hot pan on it",
            sources=(HEAT_SOURCE,),
        ),
    ]


def _washing() -> Finding:
    return Finding(
        code="H3",
        verdict=Verdict.KNOW,
        subject="washing",
        why="a dishwasher wets and heats wood and glue fast: seams and pieces part",
        change="wipe it with hot water and soap, dry it at once, stand it on edge",
        sources=("CP",),
    )
