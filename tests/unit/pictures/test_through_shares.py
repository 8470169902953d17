"""The share of long grain at every line across, drawn beside the board."""

from __future__ import annotations

import re
from xml.etree import ElementTree

from mechanics_boards import triangle_board
from seamwright.pictures.through import through_svg
from seamwright.strength import glance
from seamwright.woods import find_species

SVG = "{http://www.w3.org/2000/svg}"
SPECIES = {
    "A": find_species("sugar maple"),
    "B": find_species("black walnut"),
    "C": find_species("black cherry"),
}


def test_bars_are_as_long_as_the_shares() -> None:
    board = triangle_board(4, 3)
    seen = glance(board, SPECIES)
    text = through_svg(
        board, seen.through, colours={}, up=seen.bridged_up, across=seen.bridged_across
    )
    root = ElementTree.fromstring(text)
    bars = [bar for bar in root.iter(f"{SVG}rect") if bar.find(f"{SVG}title") is not None]
    assert len(bars) == len(seen.bridged_up) + len(seen.bridged_across)
    full = max(share for _, share in (*seen.bridged_up, *seen.bridged_across))
    told = {
        bar.find(f"{SVG}title").text: float(bar.attrib["height"])  # type: ignore[union-attr]
        for bar in bars[: len(seen.bridged_up)]
    }
    places = sorted(seen.bridged_up)
    for place, share in places:
        assert f"{100.0 * share:.0f} % at {place:.0f} mm" in told
    heights = [float(bar.attrib["height"]) for bar in bars[: len(places)]]
    shares = [share for _, share in places]
    longest = max(range(len(shares)), key=lambda number: shares[number])
    for height, share in zip(heights, shares, strict=True):
        if share > 0.01:
            assert abs(height / heights[longest] - share / shares[longest]) < 0.01
    assert 0.0 < full <= 1.0
    # nothing sticks out of the frame
    x0, y0, wide, high = map(float, re.findall(r"-?[\d.]+", root.attrib["viewBox"]))
    for bar in bars:
        x, y, w, h = (float(bar.attrib[key]) for key in ("x", "y", "width", "height"))
        assert x0 <= x
        assert x + w <= x0 + wide
        assert y0 <= y
        assert y + h <= y0 + high
