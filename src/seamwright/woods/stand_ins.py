"""Filling gaps openly: values worked out from others, and means of like woods."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache

from seamwright.woods.book import all_species
from seamwright.woods.species import Group, Species
from seamwright.woods.values import Certainty, Datum, Quantity

_RATIOS = tuple(q for q in Quantity if q.value.startswith(("ratio_", "poisson_")))
_BY_WEIGHT = (Quantity.SHEAR_ALONG, Quantity.TENSION_ACROSS)
_COEFFICIENTS = (
    (Quantity.RADIAL_COEFFICIENT, Quantity.RADIAL_SHRINKAGE),
    (Quantity.TANGENTIAL_COEFFICIENT, Quantity.TANGENTIAL_SHRINKAGE),
)


def with_stand_ins(species: Species) -> tuple[Species, tuple[Datum, ...]]:
    """A wood with gaps filled where that can be done, and the values that were added.

    Worked out: movement coefficients from shrinkage (the relation the Wood Handbook's Table 13-5
    was made with), specific gravity at 12 % from green (eq. 4-13). Stand-ins: stiffness and
    Poisson's ratios are the mean of the group's known ones; shear along and tension across the
    grain follow the specific gravity as those of the group do (a power curve fitted to them).
    Bending stiffness, bending strength and shrinkage are never made up.
    """
    added: list[Datum] = []
    full = species
    for fill in (_coefficients, _gravity, _by_weight, _ratios):
        new = fill(full)
        added += new
        full = replace(full, data=(*full.data, *new))
    order = list(Quantity)
    return replace(full, data=tuple(sorted(full.data, key=lambda d: order.index(d.quantity)))), (
        tuple(added)
    )


def coefficient_from_shrinkage(shrinkage_pct: float) -> float:
    """Movement per 1 % MC from shrinkage green to ovendry [%], referred to the size at 10 %.

    Reference:
        Wood Handbook Table 13-5, footnote a (wording from memory; reproduces 40 printed
        coefficients to 0.00001).
    """
    return (shrinkage_pct / 3000.0) / (1.0 - shrinkage_pct / 100.0 * 20.0 / 30.0)


def gravity_12_from_green(gravity_green: float) -> float:
    """Specific gravity at 12 % from that on green volume (Wood Handbook eq. 4-13)."""
    return gravity_green / (1.0 - 0.265 * gravity_green * (1.0 - 12.0 / 30.0))


def _datum(quantity: Quantity, amount: float, certainty: Certainty, note: str) -> Datum:
    return Datum(
        quantity=quantity,
        amount=amount,
        printed="",
        certainty=certainty,
        source="OURS",
        note=note,
    )


def _coefficients(species: Species) -> list[Datum]:
    made = []
    for coefficient, shrinkage in _COEFFICIENTS:
        known = species.amount(shrinkage)
        if species.amount(coefficient) is None and known is not None:
            value = coefficient_from_shrinkage(known)
            made.append(_datum(coefficient, value, Certainty.WORKED_OUT, "from its shrinkage"))
    return made


def _gravity(species: Species) -> list[Datum]:
    green = species.amount(Quantity.GRAVITY_GREEN)
    if species.amount(Quantity.GRAVITY_12) is not None or green is None:
        return []
    value = gravity_12_from_green(green)
    note = "from its green specific gravity"
    return [_datum(Quantity.GRAVITY_12, value, Certainty.WORKED_OUT, note)]


def _by_weight(species: Species) -> list[Datum]:
    gravity = species.amount(Quantity.GRAVITY_12)
    made = []
    for quantity in _BY_WEIGHT:
        if species.amount(quantity) is None and gravity is not None:
            factor, power = weight_curve(species.group, quantity)
            note = f"{factor:.3g} MPa × specific gravity^{power:.2f}, fitted to the known ones"
            value = factor * gravity**power
            made.append(_datum(quantity, value, Certainty.STAND_IN, note))
    return made


def _ratios(species: Species) -> list[Datum]:
    made = []
    for quantity in _RATIOS:
        if species.amount(quantity) is None:
            value, count = ratio_mean(species.group, quantity)
            note = f"mean of {count} {species.group.value}s"
            made.append(_datum(quantity, value, Certainty.STAND_IN, note))
    return made


@cache
def ratio_mean(group: Group, quantity: Quantity) -> tuple[float, int]:
    """Mean of the group's known values, and how many they are."""
    known = [
        amount
        for wood in all_species()
        if wood.group is group and (amount := wood.amount(quantity)) is not None
    ]
    return sum(known) / len(known), len(known)


@cache
def weight_curve(group: Group, quantity: Quantity) -> tuple[float, float]:
    """Factor [MPa] and power of the curve through the group's known values, fitted in logs."""
    pairs = [
        (math.log(gravity), math.log(amount))
        for wood in all_species()
        if wood.group is group
        and (gravity := wood.amount(Quantity.GRAVITY_12)) is not None
        and (amount := wood.amount(quantity)) is not None
    ]
    n = len(pairs)
    mean_x, mean_y = sum(x for x, _ in pairs) / n, sum(y for _, y in pairs) / n
    power = sum((x - mean_x) * (y - mean_y) for x, y in pairs) / sum(
        (x - mean_x) ** 2 for x, _ in pairs
    )
    return math.exp(mean_y - power * mean_x), power
