"""What a board will meet: its seasons, loads and use, as the user says them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from seamwright.design import Drawing
from seamwright.errors import Fault, LengthError, StrengthError
from seamwright.lengths import parse_length
from seamwright.strength import BUILT_PCT, ELEMENT_MM, Load, own_load, usual_loads
from seamwright.strength.safety import BoardUse, Finish
from seamwright.woods import Climate, find_climate, in_air

USES = {
    "cutting": BoardUse.CUTTING,
    "serving": BoardUse.SERVING,
    "hot-dishes": BoardUse.HOT_DISHES,
    "display": BoardUse.DISPLAY,
}
"""What a board may be for, by the word typed."""
FINISHES = {
    "none": Finish.NONE,
    "mineral-oil": Finish.MINERAL_OIL,
    "nut-oil": Finish.NUT_OIL,
    "drying-oil": Finish.DRYING_OIL,
    "film": Finish.FILM,
}
RINGS = {"flat": 0.0, "rift": 45.0, "quarter": 90.0}
"""How the year rings lie, by the word typed [°]."""
USUAL_SEASONS = ("heated-house-winter", "heated-house-summer")
_MOST_SEASONS = 6
_AIR = re.compile(r"\s*(-?\d+(?:\.\d+)?)\s*°?\s*([CF]?)\s*[, ]\s*(\d+(?:\.\d+)?)\s*%?\s*", re.I)
_LOAD = re.compile(r"([^=]*)=\s*([^@]*?)\s*(?:N\s*)?(?:@(.*))?", re.I | re.S)


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """What a board will meet.

    Attributes:
        seasons: the air it will see, or the wood's moisture there.
        built_pct: the wood's moisture at gluing [%].
        loads: what it must bear; empty for the usual loads.
        use: what it is for; None where that was not said.
        finish: what goes on it.
        ring_angle_deg: by letter: 0 flat-sawn (where not given), 90 quarter-sawn.
        element_mm: size of the finite elements.
    """

    seasons: tuple[Climate, ...] = field(
        default_factory=lambda: tuple(find_climate(key) for key in USUAL_SEASONS)
    )
    built_pct: float = BUILT_PCT
    loads: tuple[Load, ...] = ()
    use: BoardUse | None = None
    finish: Finish = Finish.NONE
    ring_angle_deg: tuple[tuple[str, float], ...] = ()
    element_mm: float = ELEMENT_MM

    @property
    def words(self) -> str:
        """The situation in a line."""
        seasons = "; ".join(f"{s.name} ({s.moisture_pct:.1f} %)" for s in self.seasons)
        rings = "".join(
            f", {letter} with rings at {angle:g}°" for letter, angle in self.ring_angle_deg
        )
        use = f"for {self.use.value}" if self.use else "use not said"
        if self.use in (BoardUse.CUTTING, BoardUse.SERVING):
            use += f", finished with {self.finish.value}"
        return f"wood glued at {self.built_pct:g} %{rings}; {seasons}; {use}"


def situation_of(
    drawing: Drawing,
    *,
    seasons: Sequence[str] = (),
    airs: Sequence[str] = (),
    built_pct: float = BUILT_PCT,
    loads: Sequence[str] = (),
    use: str | None = None,
    finish: str = "none",
    rings: Sequence[str] = (),
    element_mm: float = ELEMENT_MM,
) -> Situation:
    """A situation from what was typed.

    Args:
        drawing: the board.
        seasons: keys of presets, such as "damp-coast".
        airs: temperature and humidity, such as "21,30" or "70F,30".
        built_pct: moisture at gluing [%].
        loads: such as "middle=300" or "middle=300@200,120": like a usual load, force in N, and
            where it presses, in the drawing's unit from its lower left corner.
        use, finish: words of ``USES`` and ``FINISHES``; no use where it is None.
        rings: such as "A=quarter".
        element_mm: size of the finite elements.
    Raises:
        StrengthError: everything that was not understood, at once.
    """
    faults: list[Fault] = []
    found: list[Climate] = []
    for collect, given in ((find_climate, seasons), (_air, airs)):
        for typed in given:
            try:
                found.append(collect(typed))
            except Exception as error:
                faults += _faults(error)
    if len(found) > _MOST_SEASONS:
        faults.append(Fault("S160", "the seasons", f"are {len(found)}", f"{_MOST_SEASONS} at most"))
    if not 0.0 < built_pct <= 30.0:
        what = f"{built_pct:g} % is no moisture of dry wood"
        faults.append(Fault("S151", "the moisture at gluing", what, "give 4 to 16 %"))
    own: dict[str, Load] = {}
    for typed in loads:
        try:
            load = _load(drawing, typed)
            own[load.key] = load
        except StrengthError as error:
            faults += error.faults
    angles = _rings(drawing, rings, faults)
    if faults:
        raise StrengthError(*faults)
    everyday = usual_loads(drawing) if own else ()
    return Situation(
        seasons=tuple(found) or Situation().seasons,
        built_pct=built_pct,
        loads=tuple(own.get(load.key, load) for load in everyday),
        use=USES[use] if use else None,
        finish=FINISHES[finish],
        ring_angle_deg=angles,
        element_mm=element_mm,
    )


def _faults(error: Exception) -> tuple[Fault, ...]:
    faults: tuple[Fault, ...] | None = getattr(error, "faults", None)
    if faults is None:
        raise error
    return faults


def _air(typed: str) -> Climate:
    read = _AIR.fullmatch(typed)
    if read is None:
        remedy = "write temperature and humidity, such as 21,30 (°C and %) or 70F,30"
        raise StrengthError(Fault("S161", f"the air {typed[:40]!r}", "is not understood", remedy))
    degrees, unit, humidity = float(read[1]), read[2].upper(), float(read[3])
    celsius = (degrees - 32.0) / 1.8 if unit == "F" else degrees
    name = f"air at {degrees:g} °{unit or 'C'} and {humidity:g} %"
    return in_air(name=name, temperature_c=celsius, humidity_pct=humidity)


def _load(drawing: Drawing, typed: str) -> Load:
    read = _LOAD.fullmatch(typed)
    remedy = "write a kind and its force, such as middle=300 or middle=300@200,120"
    fault = Fault("S162", f"the load {typed[:40]!r}", "is not understood", remedy)
    if read is None:
        raise StrengthError(fault)
    try:
        force = float(read[2])
        at = None
        if read[3] is not None:
            x, y = (float(parse_length(part, unit=drawing.unit)) for part in read[3].split(","))
            at = (x, y)
    except (ValueError, LengthError):
        raise StrengthError(fault) from None
    return own_load(drawing, key=read[1].strip(), force_n=force, at=at)


def _rings(
    drawing: Drawing, typed: Sequence[str], faults: list[Fault]
) -> tuple[tuple[str, float], ...]:
    letters = [letter for letter, _ in drawing.woods]
    found: dict[str, float] = {}
    for each in typed:
        letter, _, word = each.partition("=")
        if letter.strip() not in letters or word.strip() not in RINGS:
            remedy = f"write a letter ({', '.join(letters)}) and {', '.join(RINGS)}: A=quarter"
            what = f"the rings {each[:40]!r}"
            faults.append(Fault("S163", what, "are not understood", remedy))
        else:
            found[letter.strip()] = RINGS[word.strip()]
    return tuple(found.items())
