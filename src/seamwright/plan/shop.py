"""The shop: kerfs, allowances, limits and minutes, as data.

Defaults and where each comes from stand in ``shop_defaults.toml`` beside this module.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Saws:
    """Kerfs and reach of the saws [mm]."""

    table_kerf_mm: float
    table_depth_mm: float
    resaw_kerf_mm: float
    resaw_depth_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Allowances:
    """Wood left on purpose [mm].

    Attributes:
        plane_face_mm: taken off each face when a glued or resawn part is planed flat.
        square_end_mm: cut off the first end of a bar before slicing.
        tail_mm: end of a bar that is never sliced, so that hands and hold-down stay clear.
        rough_length_mm: added to each stick when it is cut from the board.
        rough_face_mm: taken off each face and edge from rough board to stick.
        edge_mm: left outside the finished outline of the board, trimmed after the last glue-up.
    """

    plane_face_mm: float
    square_end_mm: float
    tail_mm: float
    rough_length_mm: float
    rough_face_mm: float
    edge_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What machines and stock allow [mm].

    Attributes:
        stick_length_mm: longest stick worth milling.
        stick_min_length_mm: shortest stick that may go over jointer and planer.
        stick_min_width_mm: thinnest strip that is ripped.
        stick_min_depth_mm: thinnest stock the planer takes.
        stock_thickness_mm: thickest board bought; a deeper stick stands on edge.
        stock_width_mm: widest board bought.
        slice_min_mm: thinnest slice taken off a bar at the sled.
        part_min_mm: smallest side of a part that is trimmed at the sled.
        resaw_min_leaf_mm: thinnest leaf sawn off a billet.
        resaw_min_part_mm: smallest side of a billet that is stood against the resaw fence.
        clamp_reach_mm: longest glue-up that fits the clamps.
        seams_per_glue_up: glue lines one person closes within the open time.
    """

    stick_length_mm: float
    stick_min_length_mm: float
    stick_min_width_mm: float
    stick_min_depth_mm: float
    stock_thickness_mm: float
    stock_width_mm: float
    slice_min_mm: float
    part_min_mm: float
    resaw_min_leaf_mm: float
    resaw_min_part_mm: float
    clamp_reach_mm: float
    seams_per_glue_up: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Minutes:
    """Minutes of a person's time for one of each, and what a litre of wood is worth in minutes."""

    stick: float
    set_up: float
    set_up_angle: float
    slice: float
    trim: float
    glue_up: float
    glue_line: float
    glue_up_angle: float
    resaw: float
    surface: float
    wood_litre: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallParts:
    """How parts too small for the sled are held: the shop's jigs, their least sizes and minutes.

    Attributes:
        carriers: carriers on hand: a base with fence, stop and toggle clamps that hold a small
            part down while base and part pass the blade together; 0 where there is none.
        carrier_min_mm: smallest side of a part that a carrier holds.
        carrier_base_mm: thickness of its base, taken off the saw's depth.
        carrier_set_up: minutes to set fence, stop and clamps for one cut, and to test it.
        carrier_trim: minutes for one edge or corner sawn off a part in the carrier.
        shooting_boards: shooting boards on hand; 0 where there is none.
        hand_min_mm: smallest side of a finished part that is shot by hand.
        hand_depth_mm: deepest part that the plane covers, lying on its side.
        hand_long_mm: longest edge that is shot.
        hand_over_mm: left outside the line by the saw and planed away.
        hand_set_up: minutes to set the shooting board's stop or angle block, and to test it.
        hand_trim: minutes to saw one edge over-size and to shoot it.
    """

    carriers: int
    carrier_min_mm: float
    carrier_base_mm: float
    carrier_set_up: float
    carrier_trim: float
    shooting_boards: int
    hand_min_mm: float
    hand_depth_mm: float
    hand_long_mm: float
    hand_over_mm: float
    hand_set_up: float
    hand_trim: float


NO_JIGS = SmallParts(
    carriers=0,
    carrier_min_mm=0.0,
    carrier_base_mm=0.0,
    carrier_set_up=0.0,
    carrier_trim=0.0,
    shooting_boards=0,
    hand_min_mm=0.0,
    hand_depth_mm=0.0,
    hand_long_mm=0.0,
    hand_over_mm=0.0,
    hand_set_up=0.0,
    hand_trim=0.0,
)
"""A shop that holds no part below the sled's limit: what plans were made for before there were
other ways, and what a plan without such a line means."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamps:
    """Clamps and cauls, as far as they decide what can be glued at once.

    Attributes:
        count: clamps on hand that reach across a glue-up; 0 where they are not counted.
        caul_mm: depth of the shop's cauls.
        caul_most_mm: deepest cauls that are made for one glue-up.
        caul_minutes: minutes to make a pair of those.
    """

    count: int
    caul_mm: float
    caul_most_mm: float
    caul_minutes: float


UNCOUNTED = Clamps(count=0, caul_mm=0.0, caul_most_mm=0.0, caul_minutes=0.0)
"""Clamps enough for anything: what a plan without such a line means."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overlays:
    """How thin faces are made and glued to a backing.

    Attributes:
        backings: backings pressed for each board: 1 in a plan for an overlay, else 0.
        least_mm: thinnest leaf that is sawn, and thinnest face that is sanded.
        sand_face_mm: sanded off each face of a leaf.
        finish_mm: left on the face for sanding once it is pressed and trimmed.
        proud_mm: how far the backing stands out all round until it is trimmed flush.
        panel_mm: thickness of the panel where the drawing names no backing.
        platen_mm: depth of the stiff plate between cauls and face.
        cut, press, flush, sand: minutes for one board: cut the backing, press face and balancing
            veneer to it, trim it flush, sand it.
    """

    backings: int
    least_mm: float
    sand_face_mm: float
    finish_mm: float
    proud_mm: float
    panel_mm: float
    platen_mm: float
    cut: float
    press: float
    flush: float
    sand: float


NO_OVERLAYS = Overlays(
    backings=0,
    least_mm=0.0,
    sand_face_mm=0.0,
    finish_mm=0.0,
    proud_mm=0.0,
    panel_mm=0.0,
    platen_mm=0.0,
    cut=0.0,
    press=0.0,
    flush=0.0,
    sand=0.0,
)
"""A shop that was never asked: what a plan without such a line means."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """One shop's profile."""

    saws: Saws
    allowances: Allowances
    limits: Limits
    minutes: Minutes
    small_parts: SmallParts = NO_JIGS
    clamps: Clamps = UNCOUNTED
    overlays: Overlays = NO_OVERLAYS

    @property
    def thinnest_mm(self) -> float:
        """Thinnest board that can be brought to its thickness: planed, or an overlay's face sanded
        [mm]."""
        thin = self.overlays.backings > 0
        return self.overlays.least_mm if thin else self.limits.stick_min_depth_mm
