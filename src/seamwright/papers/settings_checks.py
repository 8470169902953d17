"""The sheet "Checks of your settings": every check with room for its readings."""

from __future__ import annotations

from seamwright.fit import BEFORE, Check, checks
from seamwright.papers.cards import Content, shown
from seamwright.papers.pages import Page
from seamwright.papers.typeset import pdf
from seamwright.pictures.checks import (
    eight_wedges_picture,
    five_cuts_picture,
    half_square_picture,
    kerf_picture,
    stop_picture,
)

HEADING = "Checks of your settings"
HOW = (
    "All lengths in millimetres (an inch is 25.4 mm exactly), angles in degrees, as the shop file "
    "takes them. There is room for two tests: before and after adjusting."
)
_PICTURES = (
    five_cuts_picture,
    half_square_picture,
    eight_wedges_picture,
    kerf_picture,
    stop_picture,
)


def settings_checks(*, page: Page) -> bytes:
    """The sheet as a PDF; it is the same for every board."""
    content: Content = {
        "title": HEADING,
        "job": HEADING,
        "foot": "The machine's manual goes before anything written here.",
        "page": {"width": page.width_mm, "height": page.height_mm},
        "before": BEFORE,
        "how": HOW,
        "checks": [
            {**_told(check), "drawing": shown(picture())}
            for check, picture in zip(checks(), _PICTURES, strict=True)
        ],
    }
    return pdf("settings_checks", content)


def _told(check: Check) -> Content:
    return {
        "name": check.name,
        "doing": check.doing,
        "readings": [
            {"sign": f"{each.sign}{number}" if each.count > 1 else each.sign, "what": what}
            for each in check.readings
            for number, what in enumerate((each.what, *[""] * (each.count - 1)), start=1)
        ],
        "results": [
            {"what": each.what, "formula": each.formula, "unit": each.unit}
            for each in check.results
        ],
        "example": check.example,
        "write": check.write,
        "key": check.key,
        "source": check.source,
    }
