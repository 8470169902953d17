"""What an overlay is glued to, read from the design file."""

from __future__ import annotations

from collections.abc import Sequence

from seamwright.design.fields import Table
from seamwright.design.model import BOUGHT, Backing, Kind

_KEYS = ("panel", "wood", "grain", "thickness", "veneer")


def read_backing(top: Table, kind: Kind, woods: Sequence[tuple[str, str]]) -> Backing | None:
    """The table ``backing``; None where there is none, or faults were noted.

    Args:
        top: the whole file.
        kind: only an overlay has a backing.
        woods: letters and names of the woods.
    """
    table = top.table("backing")
    if table is None:
        return None
    table.only(*_KEYS)
    if kind is not Kind.OVERLAY:
        remedy = 'write kind = "overlay" at the head, or leave [backing] out'
        top.fault("D417", "backing", "belongs to an overlay; this board runs through", remedy)
    thickness = table.length("thickness") if table.need("thickness", '"1/2"') else None
    panel, wood = table.label("panel", most=60), table.label("wood", most=60)
    if ("panel" in table) == ("wood" in table):
        remedy = 'write panel = "birch plywood", or wood = "A", one of your woods'
        table.fault("D418", None, "needs either a panel or a wood", remedy)
    letters = [letter for letter, _ in woods]
    if wood is not None and wood not in letters:
        known = ", ".join(letters) or "none yet"
        table.fault("D419", "wood", f"is {wood!r}, none of your woods", f"they are {known}")
    grain = table.grain()
    if panel is not None and grain is not None:
        table.fault("D419", "grain", "is given for a panel", "leave it out: a panel hardly moves")
    veneer = table.label("veneer", most=60)
    if veneer is not None and veneer not in (*letters, BOUGHT):
        known = ", ".join(letters) or "none yet"
        remedy = f'they are {known}; or write "{BOUGHT}" for a sheet that is bought'
        table.fault("D419", "veneer", f"is {veneer!r}, none of your woods", remedy)
    if thickness is None:
        return None
    if wood is not None:
        return Backing(
            material=wood,
            thickness_mm=float(thickness),
            grain_deg=90.0 if grain is None else grain,
            veneer=veneer,
        )
    if panel is None:
        return None
    return Backing(material=panel, thickness_mm=float(thickness), veneer=veneer)
