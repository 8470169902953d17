"""Woods: movement, strength, hazards; every value with its source.

Values stand in ``data/values.csv`` as their source prints them; what is not known stays unknown.
Colours are our own choice for screens and pictures.

>>> maple = find_species("sugar maple")
>>> maple.needed(Quantity.TANGENTIAL_COEFFICIENT), maple.datum(Quantity.TENSION_ACROSS)
(0.00353, None)
"""

from seamwright.woods.book import all_species, find_species, named, sources
from seamwright.woods.card import card
from seamwright.woods.climates import Climate, climates, find_climate, in_air
from seamwright.woods.drier import strength_at_moisture
from seamwright.woods.hankinson import at_grain_angle
from seamwright.woods.hazards import Effect, Hazard
from seamwright.woods.moisture import equilibrium_moisture_pct, humidity_for_moisture_pct
from seamwright.woods.movement import (
    LONGITUDINAL_RANGE_PER_PCT,
    Form,
    Movement,
    Rings,
    movement_across,
    movement_along,
)
from seamwright.woods.own import own_species
from seamwright.woods.species import Group, Species, missing
from seamwright.woods.stand_ins import coefficient_from_shrinkage, with_stand_ins
from seamwright.woods.values import Certainty, Datum, Fact, Quantity, Source

__all__ = [
    "LONGITUDINAL_RANGE_PER_PCT",
    "Certainty",
    "Climate",
    "Datum",
    "Effect",
    "Fact",
    "Form",
    "Group",
    "Hazard",
    "Movement",
    "Quantity",
    "Rings",
    "Source",
    "Species",
    "all_species",
    "at_grain_angle",
    "card",
    "climates",
    "coefficient_from_shrinkage",
    "equilibrium_moisture_pct",
    "find_climate",
    "find_species",
    "humidity_for_moisture_pct",
    "in_air",
    "missing",
    "movement_across",
    "movement_along",
    "named",
    "own_species",
    "sources",
    "strength_at_moisture",
    "with_stand_ins",
]
