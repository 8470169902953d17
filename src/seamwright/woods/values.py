"""What is known of a wood: each value with where it comes from and how sure it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

MPA_PER_PSI = 0.006894757293168
NEWTON_PER_LBF = 4.4482216152605


class Quantity(Enum):
    """A property of a wood; strength and stiffness are those at 12 % moisture."""

    RADIAL_COEFFICIENT = "radial_coefficient"
    TANGENTIAL_COEFFICIENT = "tangential_coefficient"
    RADIAL_SHRINKAGE = "radial_shrinkage"
    TANGENTIAL_SHRINKAGE = "tangential_shrinkage"
    VOLUMETRIC_SHRINKAGE = "volumetric_shrinkage"
    GRAVITY_12 = "gravity_12"
    GRAVITY_GREEN = "gravity_green"
    BENDING_MODULUS = "bending_modulus"
    BENDING_STRENGTH = "bending_strength"
    CRUSHING_ALONG = "crushing_along"
    CRUSHING_ACROSS = "crushing_across"
    SHEAR_ALONG = "shear_along"
    TENSION_ACROSS = "tension_across"
    SIDE_HARDNESS = "side_hardness"
    RATIO_ET_EL = "ratio_et_el"
    RATIO_ER_EL = "ratio_er_el"
    RATIO_GLR_EL = "ratio_glr_el"
    RATIO_GLT_EL = "ratio_glt_el"
    RATIO_GRT_EL = "ratio_grt_el"
    POISSON_LR = "poisson_lr"
    POISSON_LT = "poisson_lt"
    POISSON_RT = "poisson_rt"
    POISSON_TR = "poisson_tr"
    POISSON_RL = "poisson_rl"
    POISSON_TL = "poisson_tl"

    @property
    def label(self) -> str:
        """The property in words."""
        return _TRAITS[self][0]

    @property
    def unit(self) -> str:
        """Unit of ``Datum.amount``; empty for a pure number."""
        return _TRAITS[self][1]

    @property
    def printed_unit(self) -> str:
        """Unit the source prints and the data file keeps."""
        return _TRAITS[self][2]

    @property
    def per_printed(self) -> float:
        """``amount`` for one printed unit."""
        return _FACTORS.get(self.printed_unit, 1.0)


_FACTORS = {"psi": MPA_PER_PSI, "10⁶ psi": MPA_PER_PSI * 1e6, "lbf": NEWTON_PER_LBF}

_TRAITS = {
    Quantity.RADIAL_COEFFICIENT: ("movement coefficient, radial", "per 1 % MC", "per 1 % MC"),
    Quantity.TANGENTIAL_COEFFICIENT: (
        "movement coefficient, tangential",
        "per 1 % MC",
        "per 1 % MC",
    ),
    Quantity.RADIAL_SHRINKAGE: ("shrinkage green to ovendry, radial", "%", "%"),
    Quantity.TANGENTIAL_SHRINKAGE: ("shrinkage green to ovendry, tangential", "%", "%"),
    Quantity.VOLUMETRIC_SHRINKAGE: ("shrinkage green to ovendry, volume", "%", "%"),
    Quantity.GRAVITY_12: ("specific gravity at 12 %", "", ""),
    Quantity.GRAVITY_GREEN: ("specific gravity, green volume", "", ""),
    Quantity.BENDING_MODULUS: ("modulus of elasticity in bending", "MPa", "10⁶ psi"),
    Quantity.BENDING_STRENGTH: ("modulus of rupture", "MPa", "psi"),
    Quantity.CRUSHING_ALONG: ("compression along the grain", "MPa", "psi"),
    Quantity.CRUSHING_ACROSS: ("compression across the grain", "MPa", "psi"),
    Quantity.SHEAR_ALONG: ("shear along the grain", "MPa", "psi"),
    Quantity.TENSION_ACROSS: ("tension across the grain", "MPa", "psi"),
    Quantity.SIDE_HARDNESS: ("side hardness", "N", "lbf"),
    Quantity.RATIO_ET_EL: ("stiffness ratio E_T/E_L", "", ""),
    Quantity.RATIO_ER_EL: ("stiffness ratio E_R/E_L", "", ""),
    Quantity.RATIO_GLR_EL: ("stiffness ratio G_LR/E_L", "", ""),
    Quantity.RATIO_GLT_EL: ("stiffness ratio G_LT/E_L", "", ""),
    Quantity.RATIO_GRT_EL: ("stiffness ratio G_RT/E_L", "", ""),
    Quantity.POISSON_LR: ("Poisson's ratio LR", "", ""),
    Quantity.POISSON_LT: ("Poisson's ratio LT", "", ""),
    Quantity.POISSON_RT: ("Poisson's ratio RT", "", ""),
    Quantity.POISSON_TR: ("Poisson's ratio TR", "", ""),
    Quantity.POISSON_RL: ("Poisson's ratio RL", "", ""),
    Quantity.POISSON_TL: ("Poisson's ratio TL", "", ""),
}


class Certainty(Enum):
    """How sure a value is."""

    AGREED = "agreed"
    """Two or more copies of the source agree."""
    SEEN = "seen"
    """Read in one copy of the source."""
    CONFIRMED = "confirmed"
    """From memory, and it fits a value that was read."""
    MEMORY = "memory"
    """From memory only."""
    WORKED_OUT = "worked out"
    """Reckoned by us from other values."""
    STAND_IN = "stand-in"
    """Not known for this wood: a mean of like woods."""
    YOURS = "yours"
    """Given by the user."""

    @property
    def words(self) -> str:
        """How it is said beside the value."""
        return _WORDS[self]


_WORDS = {
    Certainty.AGREED: "read in two copies",
    Certainty.SEEN: "read in a copy",
    Certainty.CONFIRMED: "from memory, fits a value that was read",
    Certainty.MEMORY: "from memory",
    Certainty.WORKED_OUT: "worked out by us",
    Certainty.STAND_IN: "a stand-in from like woods",
    Certainty.YOURS: "your own figure",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Datum:
    """One value.

    Attributes:
        quantity: which property.
        amount: in ``quantity.unit`` (N, MPa, %, per 1 % MC, or a pure number).
        printed: the figure as its source prints it, in ``quantity.printed_unit``; "" if reckoned.
        certainty: how sure.
        source: code of a source (see ``sources``).
        note: what else to know, such as the row of the table.
    """

    quantity: Quantity
    amount: float
    printed: str
    certainty: Certainty
    source: str
    note: str = ""

    @property
    def words(self) -> str:
        """The amount with its unit, as a person writes it: 0.00353 per 1 % MC, 12,620 MPa."""
        if abs(self.amount) >= 1000.0:
            figure = f"{float(f'{self.amount:.4g}'):,.0f}"
        else:
            figure = f"{self.amount:.5f}" if abs(self.amount) < 0.01 else f"{self.amount:.4g}"
        return f"{figure} {self.quantity.unit}".strip()


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A word about a wood (such as "ring-porous") with its sources' codes."""

    word: str
    sources: tuple[str, ...]
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where values come from: a short code, the title, and how it was read."""

    code: str
    title: str
    read: str
