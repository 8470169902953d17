"""Woods: movement, strength, hazards; every value with its source.

Values stand in ``data/values.csv`` as their source prints them; what is not known stays unknown.
Colours are our own choice for screens and pictures.

>>> maple = find_species("sugar maple")
>>> maple.needed(Quantity.TANGENTIAL_COEFFICIENT), maple.datum(Quantity.TENSION_ACROSS)
(0.00353, None)
"""

from seamwright.woods.book import all_species, find_species, sources
from seamwright.woods.species import Group, Species
from seamwright.woods.values import Certainty, Datum, Fact, Quantity, Source

__all__ = [
    "Certainty",
    "Datum",
    "Fact",
    "Group",
    "Quantity",
    "Source",
    "Species",
    "all_species",
    "find_species",
    "sources",
]
