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
class Shop:
    """One shop's profile."""

    saws: Saws
    allowances: Allowances
    limits: Limits
    minutes: Minutes
