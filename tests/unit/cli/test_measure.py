"""measure and fit: what was measured is kept beside the design, with the plan it belongs to."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from fakes.boards import CHECKS
from seamwright.cli import seamwright
from seamwright.plan import plan_from_json


def run(*words: object) -> Result:
    return CliRunner().invoke(seamwright, [str(word) for word in words])


@pytest.fixture
def design(tmp_path: Path) -> Path:
    file = tmp_path / "checks.toml"
    file.write_text(CHECKS, encoding="utf-8")
    return file


def test_readings_are_kept_with_their_plan_and_can_be_taken_back(design: Path) -> None:
    kept = design.with_suffix(".measured.json")
    first = run("measure", design, 1, "50.6mm", "1-63/64", "--good", 1)
    assert first.exit_code == 0, first.output
    assert str(kept) in first.output
    table = json.loads(kept.read_text("utf-8"))
    assert table["readings"] == [{"step": 1, "sizes_mm": [50.6, 50.403125], "good": 1}]
    assert len(plan_from_json(table["plan"]).steps) == 12
    told = json.loads(run("measure", design, 1, "2", "--json").output)
    assert told["readings"] == [{"step": 1, "sizes_mm": [50.8], "good": None}]
    assert json.loads(run("measure", design, 1, "--forget", "--json").output)["readings"] == []


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("99", "2"), "is not in the plan"),
        (("1", "20mm"), "look at the reading"),
        (("1", "2", "--good", "7"), "count again"),
        (("1", "wide"), "step 1"),
    ],
)
def test_what_cannot_be_is_refused_in_words(
    design: Path, words: tuple[str, ...], told: str
) -> None:
    refused = run("measure", design, *words)
    assert refused.exit_code == 2
    assert told in refused.output
    assert "Traceback" not in refused.output
    assert not design.with_suffix(".measured.json").exists()


def test_a_changed_drawing_and_a_damaged_file_are_refused(design: Path) -> None:
    assert run("measure", design, 1, "2").exit_code == 0
    design.write_text(CHECKS.replace('width = "2"', 'width = "3"'), encoding="utf-8")
    changed = run("fit", design)
    assert changed.exit_code == 2
    assert "before it was changed" in changed.output
    design.with_suffix(".measured.json").write_text("{}", encoding="utf-8")
    assert "measure anew" in run("fit", design).output


def test_fit_tells_chains_chances_and_what_to_do(design: Path) -> None:
    told = run("fit", design)
    assert told.exit_code == 0
    assert "width of S2 = width of S1" in told.output
    assert "all come within" in told.output
    assert "What matters most" in told.output
    assert run("fit", design, "--gap", "0").exit_code == 2
