"""How much wood swells and shrinks between two moisture contents."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from seamwright.errors import Fault, WoodError
from seamwright.geometry import cos_deg, sin_deg
from seamwright.woods.species import Species, missing
from seamwright.woods.values import Quantity

LINEAR_FROM_PCT, LINEAR_TO_PCT = 6.0, 14.0
"""Both moisture contents must lie here for the coefficients (title of Table 13-5)."""
FIBRE_SATURATION_PCT = 30.0
"""Above this wood does not move (Wood Handbook, text of eq. 13-3)."""
LONGITUDINAL_PER_PCT = 0.00005
"""Along the grain per 1 % MC: 0.15 % from green to ovendry over 30 points, the middle of 0.1 to
0.2 % (Wood Handbook p. 4-5)."""
LONGITUDINAL_RANGE_PER_PCT = (0.1 / 3000.0, 0.2 / 3000.0)


class Rings(Enum):
    """How the growth rings lie in a board's end, as the angle between its face and the rings."""

    FLAT = 0.0
    RIFT = 45.0
    QUARTER = 90.0


class Form(Enum):
    """The two published forms."""

    COEFFICIENT = "change coefficient (Wood Handbook eq. 13-2)"
    SHRINKAGE = "shrinkage from green (Wood Handbook eq. 13-3)"


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """Swelling (positive) or shrinking (negative) between two moisture contents.

    Attributes:
        strain: change of a length over that length [-].
        form: the published form used; None along the grain.
        warnings: where the form is stretched or a value is missing, in words.
    """

    strain: float
    form: Form | None
    warnings: tuple[str, ...] = ()

    def change_mm(self, size_mm: float) -> float:
        """Change of a size [mm]."""
        return self.strain * size_mm


def movement_across(
    species: Species,
    *,
    from_pct: float,
    to_pct: float,
    ring_angle_deg: float = 0.0,
    form: Form | None = None,
) -> Movement:
    """Movement across the grain in a board's width.

    Args:
        from_pct, to_pct: moisture contents, 0 to 30 % (more counts as 30).
        ring_angle_deg: between the face and the rings: 0 flat-sawn, 45 rift, 90 quarter-sawn.
        form: which published form; None takes the coefficients from 6 to 14 % and the shrinkage
            form beyond, and falls back to the other where a value is missing.

    Raises:
        WoodError: the wood lacks the values of both forms (W110), or a moisture is below 0 (W134).

    Reference:
        Wood Handbook, FPL-GTR-282 (2021), eq. 13-2 and 13-3. Between flat and quarter the strain
        turns as a tensor does: T·cos² + R·sin² (derived, no printed formula).

    >>> from seamwright.woods import find_species
    >>> alder = movement_across(find_species("red alder"), from_pct=6.0, to_pct=12.0)
    >>> round(alder.change_mm(8.0), 4)  # inches in, inches out
    0.1229
    """
    if from_pct < 0.0 or to_pct < 0.0:
        raise WoodError(Fault("W134", f"moisture {min(from_pct, to_pct):g} %", "is below zero"))
    start, end = min(from_pct, FIBRE_SATURATION_PCT), min(to_pct, FIBRE_SATURATION_PCT)
    linear = min(start, end) >= LINEAR_FROM_PCT and max(start, end) <= LINEAR_TO_PCT
    chosen = form or _choose(species, linear=linear)
    warnings = _warnings(species, chosen, linear=linear, wanted=form)
    if chosen is Form.COEFFICIENT:
        tangential = species.needed(Quantity.TANGENTIAL_COEFFICIENT) * (end - start)
        radial = _radial(species, Quantity.RADIAL_COEFFICIENT, ring_angle_deg) * (end - start)
    else:
        tangential = _from_green(species.needed(Quantity.TANGENTIAL_SHRINKAGE), start, end)
        radial = _from_green(
            _radial(species, Quantity.RADIAL_SHRINKAGE, ring_angle_deg), start, end
        )
    c, s = cos_deg(ring_angle_deg), sin_deg(ring_angle_deg)
    return Movement(strain=c * c * tangential + s * s * radial, form=chosen, warnings=warnings)


def movement_along(*, from_pct: float, to_pct: float) -> Movement:
    """Movement along the grain: hardly any in straight wood.

    Reference:
        Wood Handbook, FPL-GTR-190 (2010), p. 4-5: 0.1 to 0.2 % from green to ovendry; up to 2 %
        in reaction and juvenile wood.
    """
    start, end = min(from_pct, FIBRE_SATURATION_PCT), min(to_pct, FIBRE_SATURATION_PCT)
    return Movement(strain=LONGITUDINAL_PER_PCT * (end - start), form=None)


def _from_green(shrinkage_pct: float, start: float, end: float) -> float:
    """Strain by eq. 13-3, referred to the size at the start."""
    if shrinkage_pct == 0.0:
        return 0.0
    fsp = FIBRE_SATURATION_PCT
    return (end - start) / (fsp * 100.0 / shrinkage_pct - fsp + start)


def _radial(species: Species, quantity: Quantity, ring_angle_deg: float) -> float:
    """The radial value; not asked for where the board is flat-sawn."""
    return 0.0 if sin_deg(ring_angle_deg) == 0.0 else species.needed(quantity)


def _choose(species: Species, *, linear: bool) -> Form:
    has_coefficient = species.amount(Quantity.TANGENTIAL_COEFFICIENT) is not None
    has_shrinkage = species.amount(Quantity.TANGENTIAL_SHRINKAGE) is not None
    if not (has_coefficient or has_shrinkage):
        both = (Quantity.TANGENTIAL_COEFFICIENT, Quantity.TANGENTIAL_SHRINKAGE)
        raise WoodError(missing(species.name, both))
    if linear:
        return Form.COEFFICIENT if has_coefficient else Form.SHRINKAGE
    return Form.SHRINKAGE if has_shrinkage else Form.COEFFICIENT


def _warnings(
    species: Species, chosen: Form, *, linear: bool, wanted: Form | None
) -> tuple[str, ...]:
    warnings = []
    if chosen is Form.COEFFICIENT and not linear:
        warnings.append(
            f"{species.name}: the coefficients hold from {LINEAR_FROM_PCT:g} to "
            f"{LINEAR_TO_PCT:g} % moisture; beyond, the figure is a guess"
        )
    if chosen is Form.SHRINKAGE and linear and wanted is None:
        warnings.append(f"{species.name}: no coefficient known; reckoned from shrinkage")
    return tuple(warnings)
