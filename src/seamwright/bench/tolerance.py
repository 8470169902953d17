"""Tolerances of the virtual bench, each with its one home here."""

TOUCH_MM = 1e-3
"""Faces closer than this touch; a strip thinner than this is rounding, not wood. A hundredth of
what a good machine holds, and ten times what the kernel allows a point to be off its line."""

POINT_MM = 0.5
"""Kerfs of pieces that lie head to tail may run into each other by this at the pieces' points: far
less than a kerf, so that only dust is touched twice."""

GRAIN_DEG = 1e-2
"""Grain directions closer than this are the same."""

BOARD_SHARE = 1e-6
"""Largest symmetric difference between board and drawing, as a share of the board's area."""

VOLUME_MM3 = 1.0
"""Largest volume of wood that may be unaccounted for."""

CONTACT_MM = 1.0
"""A glue line shorter than this holds nothing."""

BEYOND_REASON = 1e6
"""No size, angle or count of a step is larger: a kilometre of board, a million parts."""

ROUNDING_MM = 1e-9
"""Less than this is rounding, not wood [mm]."""
