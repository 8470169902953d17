"""A trimming cut through a corner, a rounding error off it, left a second corner beside it; the
edge between the two had no direction to speak of, and a sound board was refused."""

from seamwright.bench.shapes import keep


def test_a_cut_a_rounding_error_beside_a_corner_goes_through_it() -> None:
    square = ((0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0))
    diagonal = [0.0 - 1e-14, 40.0, 3e-14, -40.0]
    assert len(keep(square, diagonal)) == 3
