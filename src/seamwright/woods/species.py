"""One wood and everything known of it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from seamwright.errors import Fault, WoodError
from seamwright.woods.hazards import Hazard
from seamwright.woods.values import Certainty, Datum, Fact, Quantity


class Group(Enum):
    """The two great groups of woods."""

    HARDWOOD = "hardwood"
    SOFTWOOD = "softwood"


@dataclass(frozen=True, slots=True, kw_only=True)
class Species:
    """A wood.

    Attributes:
        key: short name in files ("maple-sugar").
        name: common name ("sugar maple").
        also: other names it goes by in the trade.
        botanical: botanical name with its source, or None.
        group: hardwood or softwood.
        porosity: ring-, semi-ring- or diffuse-porous, or None where not found.
        bonding: how easily it is glued, in the words of the Wood Handbook, or None.
        hazard: what its dust can do, or None where it is in no list (which is no clearance).
        colour: "#rrggbb" for screens and pictures; our own choice, never a measured colour.
        data: every known value, in the order of ``Quantity``.
        own: True for a wood the user added.
        like: the wood it was said to resemble, where the user said so.
    """

    key: str
    name: str
    also: tuple[str, ...]
    botanical: Fact | None
    group: Group
    porosity: Fact | None
    bonding: Fact | None
    hazard: Hazard | None
    colour: str
    data: tuple[Datum, ...]
    own: bool = False
    like: str = ""

    def datum(self, quantity: Quantity) -> Datum | None:
        """The value with its source, or None where it is not known."""
        return next((datum for datum in self.data if datum.quantity is quantity), None)

    def amount(self, quantity: Quantity) -> float | None:
        """The bare value in ``quantity.unit``, or None where it is not known."""
        datum = self.datum(quantity)
        return None if datum is None else datum.amount

    def needed(self, quantity: Quantity) -> float:
        """The bare value in ``quantity.unit``.

        Raises:
            WoodError: it is not known; the message names wood and property (W110).
        """
        amount = self.amount(quantity)
        if amount is None:
            raise WoodError(missing(self.name, (quantity,)))
        return amount

    @property
    def missing(self) -> tuple[Quantity, ...]:
        """The properties that are not known."""
        known = {datum.quantity for datum in self.data}
        return tuple(quantity for quantity in Quantity if quantity not in known)

    @property
    def unsure(self) -> tuple[Quantity, ...]:
        """The properties known from memory only."""
        return tuple(datum.quantity for datum in self.data if datum.certainty is Certainty.MEMORY)


def missing(name: str, quantities: tuple[Quantity, ...]) -> Fault:
    """The fault that says which values of a wood are not known."""
    labels = ", ".join(quantity.label for quantity in quantities)
    return Fault(
        "W110",
        name,
        f"has no value for {labels}",
        f"give your own figure for {name} in your shop file, or choose another wood",
    )
