"""What a seam can bear, from the angle between its line and the grain on both sides."""

from __future__ import annotations

import math
from dataclasses import dataclass

from seamwright.geometry import angle_between, cos_deg, sin_deg
from seamwright.seams import SeamClass, grade
from seamwright.strength.material import Material
from seamwright.woods import at_grain_angle

END_SHARE = (0.10, 0.25)
"""Tension an end-grain butt bears as a share of the wood's along the grain. 25 % is what special
techniques reach at most (Wood Handbook, FPL-GTR-190, ch. 10); 10 % for shop work is our choice."""
CROSS_SHEAR = 1.0 / 3.0
"""Glued shear with the load across the grain of one side, as a share of that along it: the
traditional value (FPL Report 1522, 1945)."""
SCARF_CAP = 0.85
"""No scarf counts as more than this share of unbroken wood: the rule below is too kind at slopes
flatter than 1:6 (published tests: 65 % at 1:4, 95 % at 1:20)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SeamGrain:
    """What a seam can bear.

    Attributes:
        kind: class of the weaker side.
        angle_deg: between seam and grain on the weaker side, 0 to 90.
        angles_deg: on both sides, lower piece first.
        weaker: 0 or 1, the side that governs.
        tension_mpa, shear_mpa: lower and upper end of the bracket.
        share_of_wood: of the strength along the grain that unbroken wood would have there, lower
            and upper end; 1 where the seam runs with the grain.
        reason: why, in a sentence.
    """

    kind: SeamClass
    angle_deg: float
    angles_deg: tuple[float, float]
    weaker: int
    tension_mpa: tuple[float, float]
    shear_mpa: tuple[float, float]
    share_of_wood: tuple[float, float]
    reason: str


def seam_grain(
    direction_deg: float, grains_deg: tuple[float, float], materials: tuple[Material, Material]
) -> SeamGrain:
    """What a seam in a direction bears between two pieces; the weaker side governs.

    Reference:
        Hankinson's formula between tension across the grain (seam along the grain) and the
        end-grain share of tension along it (seam across); likewise for shear.
    """
    angles = (
        angle_between(direction_deg, grains_deg[0]),
        angle_between(direction_deg, grains_deg[1]),
    )
    sides = [_side(angle, wood) for angle, wood in zip(angles, materials, strict=True)]
    shares = [_share(angle, wood) for angle, wood in zip(angles, materials, strict=True)]
    weaker = 0 if shares[0][0] <= shares[1][0] else 1
    kind = grade(angles[weaker])
    return SeamGrain(
        kind=kind,
        angle_deg=angles[weaker],
        angles_deg=angles,
        weaker=weaker,
        tension_mpa=_lower(sides[0][0], sides[1][0]),
        shear_mpa=_lower(sides[0][1], sides[1][1]),
        share_of_wood=shares[weaker],
        reason=_reason(kind, angles[weaker], shares[weaker]),
    )


_Bracket = tuple[float, float]


def _lower(one: _Bracket, other: _Bracket) -> _Bracket:
    return (min(one[0], other[0]), min(one[1], other[1]))


def _side(angle_deg: float, wood: Material) -> tuple[_Bracket, _Bracket]:
    low, high = (
        at_grain_angle(wood.tension_across_mpa, share * wood.tension_along_mpa, angle_deg=angle_deg)
        for share in END_SHARE
    )
    shear = at_grain_angle(wood.shear_mpa, wood.shear_mpa * CROSS_SHEAR, angle_deg=angle_deg)
    return (low, high), (shear, shear)


def _share(angle_deg: float, wood: Material) -> _Bracket:
    """Strength along the grain through a seam against unbroken wood."""
    if angle_deg < 2.0:
        return (1.0, 1.0)
    (low, high), (shear, _) = _side(angle_deg, wood)
    s, c = sin_deg(angle_deg), cos_deg(angle_deg)
    shares = [
        1.0 / (wood.tension_along_mpa * math.hypot(s * s / tension, s * c / shear))
        for tension in (low, high)
    ]
    return (min(SCARF_CAP, shares[0]), min(SCARF_CAP, shares[1]))


def _reason(kind: SeamClass, angle_deg: float, share: _Bracket) -> str:
    per_cent = f"{100.0 * share[0]:.0f} to {100.0 * share[1]:.0f} %"
    if round(100.0 * share[0]) == round(100.0 * share[1]):
        per_cent = f"about {100.0 * share[0]:.0f} %"
    if kind is SeamClass.LONG_GRAIN:
        return "the seam runs with the grain: a good glue line is as strong as the wood beside it"
    if kind is SeamClass.END_GRAIN:
        return (
            f"glue on end grain bears {per_cent} of unbroken wood along the grain; across the "
            "grain the wood beside it is no stronger"
        )
    run = 1.0 / math.tan(math.radians(angle_deg))
    return f"the seam crosses the grain at {angle_deg:.0f}° (1:{run:.1f}): {per_cent} of the wood"
