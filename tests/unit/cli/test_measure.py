"""measure and fit: what was measured is kept beside the design, with the plan it belongs to."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from fakes.boards import CHECKS, planned
from seamwright.app.measuring import Reading, Record, record_text
from seamwright.app.stores import opened_store
from seamwright.cli import seamwright
from seamwright.plan import plan_from_json
from seamwright.store import keep_measured


def run(*words: object) -> Result:
    return CliRunner().invoke(seamwright, [str(word) for word in words])


@pytest.fixture
def design(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SEAMWRIGHT_STORE", f"sqlite:///{tmp_path / 'shop.db'}")
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
    assert told["readings"] == [{"step": 1, "sizes_mm": [50.8], "thick_mm": [], "good": None}]
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


def test_thickness_is_kept_and_the_other_strips_follow(design: Path) -> None:
    assert run("measure", design, 1, "--thick", "20.4mm", "--thick", "20.3mm").exit_code == 0
    told = run("fit", design).output
    assert "thickness" in told.split("As measured:")[1]
    assert "20.3 mm" in told.split("As measured:")[1]
    assert "Thickness, and whether faces come clean:" in told
    assert "comes clean:" in told
    table = json.loads(run("fit", design, "--json").output)
    assert table["readings"][0]["thick_mm"] == [20.4, 20.3]
    assert table["mended"]["board_mm"] == pytest.approx(19.05)
    assert 0.9 < table["thickness"]["chance_clean"] <= 1.0
    refused = run("measure", design, 1, "--thick", "3mm")
    assert refused.exit_code == 2
    assert "the thickness should be" in refused.output


def test_the_shops_history_is_read_and_can_be_left_out(design: Path, tmp_path: Path) -> None:
    plain = run("fit", design)
    assert "Nothing was measured on any job yet" in plain.output
    # a command that only asks leaves no store behind
    assert not (tmp_path / "shop.db").exists()
    with opened_store(f"sqlite:///{tmp_path / 'shop.db'}") as store:
        job = store.add(title="Old", design="old", said="Started")
        record = Record(
            design="", plan=planned(CHECKS), readings=(Reading(step=1, sizes_mm=(51.6, 51.7)),)
        )
        keep_measured(store, job.id, record_text(record))
        damaged = store.add(title="Spoilt", design="spoilt", said="Started")
        keep_measured(store, damaged.id, "{")
    learned = run("fit", design)
    assert "1 setting measured on 1 job; what [accuracy] says counts as 6" in learned.output
    assert "fence 0.15 →" in learned.output
    history = json.loads(run("fit", design, "--json").output)["history"]
    assert (history["jobs"], history["settings"], history["prior_worth"]) == (1, 1, 6.0)
    value = {v["name"]: v["value"] for v in history["accuracy"]}["fence_mm"]
    shown = json.loads(run("shop", "show", "--json").output)
    assert {v["name"]: v["value"] for v in shown["accuracy"]}["fence_mm"] == value > 0.2
    without = run("fit", design, "--no-history")
    assert "left out" in without.output
    assert json.loads(run("fit", design, "--no-history", "--json").output)["history"] is None
    assert "fence = 0.15 mm" in run("shop", "show", "--no-history").output
