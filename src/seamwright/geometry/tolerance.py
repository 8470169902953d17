"""Every tolerance of the geometry has its one home here."""

LATTICE_PER_MM = 10**9
"""Lattice points per millimetre. 1/64 in is 396 875 000 of them, exactly; a metre still fits a
double without loss."""

WELD_MM = 0.01
"""Points of a user's drawing closer than this are one point; a point this close to an edge lies
on it. Far below what a saw can do, far above rounding in a file."""

ON_LINE_MM = 1e-4
"""A point this close to a line lies on it, once the drawing has been welded."""

ON_CUT_MM = 1e-7
"""A corner this close to a cut is on it: a hundred steps of the lattice, the rounding of a few
motions. No part comes off that is nowhere thicker."""

ANGLE_DEG = 1e-4
"""Directions closer than this are parallel. Over half a metre this is one micrometre."""

SLIVER_MM = 0.2
"""A patch or edge narrower than this is a mistake in the drawing, not a piece of wood."""
