"""How deep parts are while they are being made.

Flat parts carry a planing allowance on both faces until the board is glued. A billet holds several
leaves, each with that allowance twice: once for the sawn faces, once for the board. The sticks of a
strip set carry it once more: a strip set is planed flat before it is sliced.
"""

from __future__ import annotations

from dataclasses import dataclass

from seamwright.plan import Shop


@dataclass(frozen=True, slots=True, kw_only=True)
class Depths:
    """Depths of a plan.

    Attributes:
        board_mm: finished thickness.
        flat_mm: depth of parts until the board is planed.
        leaf_mm: depth of a leaf as it comes off the resaw.
        billet_mm: depth of a billet; equal to ``flat_mm`` where nothing is resawn.
        leaves: leaves in a billet, 1 where nothing is resawn.
        plane_mm: planed off both faces of a strip set together.
    """

    board_mm: float
    flat_mm: float
    leaf_mm: float
    billet_mm: float
    leaves: int
    plane_mm: float

    def of(self, deep: bool) -> float:
        """Depth of flat parts or of billets [mm]."""
        return self.billet_mm if deep else self.flat_mm

    def stick_mm(self, deep: bool, strips: int) -> float:
        """Depth of the sticks of a bar of so many strips [mm]."""
        return self.of(deep) + (self.plane_mm if strips > 1 else 0.0)


def depths(thickness_mm: float, leaves: int, shop: Shop) -> Depths:
    """Depths for a board when billets hold so many leaves (1: nothing is resawn)."""
    face = shop.allowances.plane_face_mm
    flat = thickness_mm + 2.0 * face
    leaf = flat + 2.0 * face
    if leaves == 1:
        # thin faces are milled as deep as the planer asks for, and sanded down in the end
        flat = max(flat, shop.limits.stick_min_depth_mm)
    billet = leaves * leaf + (leaves - 1) * shop.saws.resaw_kerf_mm if leaves > 1 else flat
    return Depths(
        board_mm=thickness_mm,
        flat_mm=flat,
        leaf_mm=leaf,
        billet_mm=billet,
        leaves=leaves,
        plane_mm=2.0 * face,
    )


def leaf_counts(thickness_mm: float, most_wanted: int, shop: Shop) -> tuple[int, ...]:
    """Numbers of leaves worth trying, 1 first.

    Args:
        thickness_mm: finished thickness of the board.
        most_wanted: the largest number of equal parts any plan could need.
        shop: saw depths limit the billet; sticks must also come out of the stock.
    Returns:
        1, and every number of leaves that fits under the saws and needs fewer billets than one
        leaf less would.
    """
    limits, saws = shop.limits, shop.saws
    deepest = min(saws.table_depth_mm, limits.stock_width_mm)
    counts = [1]
    if depths(thickness_mm, 2, shop).leaf_mm < limits.resaw_min_leaf_mm:
        return (1,)
    leaves = 2
    while leaves <= most_wanted and depths(thickness_mm, leaves, shop).billet_mm <= deepest + 1e-9:
        counts.append(leaves)
        leaves += 1
    return tuple(counts)
