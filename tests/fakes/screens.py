"""What every screen is looked at for, and how a job is begun from a file."""

from __future__ import annotations

from pathlib import Path

import pytest
from playwright.sync_api import Page

AXE = Path(__file__).parents[2] / "build/web/node_modules/axe-core/axe.min.js"
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WIDTHS = ((1440, 900), (820, 1180), (390, 844))


def findings(page: Page) -> list[str]:
    """What axe-core finds, a line for each element; run as the browser's own tools would."""
    if not AXE.exists():
        pytest.fail("axe-core is not here: run `make web`, which fetches it with npm")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    found = page.evaluate("tags => axe.run(document, {runOnly: tags})", RULES)
    return [
        f"{rule['id']}: {node['html'][:120]}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]


def begin_from(page: Page, text: str) -> None:
    """Begin a job from the text of a design file."""
    page.goto("/begin")
    page.get_by_label("From a file").check()
    page.locator("input[name=file]").set_input_files(
        {"name": "own.toml", "mimeType": "text/plain", "buffer": text.encode()}
    )
    page.get_by_role("button", name="Begin").click()
    page.wait_for_url("**/drawing")
