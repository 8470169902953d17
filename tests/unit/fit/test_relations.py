"""Sizes as relations: which are free, which follow a real part, which close a ring."""

from __future__ import annotations

import numpy as np

from fakes.boards import CHECKS, CORNERS, studied
from seamwright.app.fit_words import rule_words
from seamwright.fit import Duty, Size


def test_strips_of_a_checkerboard_must_be_equally_wide() -> None:
    relations = studied(CHECKS).relations
    (rule,) = relations.rules
    assert dict(rule.terms) == {Size("S2", "width"): 1.0, Size("S1", "width"): -1.0}
    assert relations.duty(Size("S2", "width")) is Duty.EQUAL
    assert relations.duty(Size("S1", "width")) is Duty.LEADS
    assert relations.duty(Size("S3", "width")) is Duty.FREE
    assert len(rule.places) >= 9
    assert rule_words(rule) == "width of S2 = width of S1"


def test_rules_say_all_there_is_to_say() -> None:
    """Whatever sizes keep the rules, every point meets; whatever breaks one moves a point."""
    looked = studied(CORNERS)
    sizes = looked.relations.sizes
    rules = np.zeros((len(looked.relations.rules), len(sizes)))
    for i, rule in enumerate(looked.relations.rules):
        for size, factor in rule.terms:
            rules[i, sizes.index(size)] = factor
    assert len(rules) >= 3
    _, scale, right = np.linalg.svd(rules)
    kept = right[(scale > 1e-9).sum() :]
    rows = np.concatenate(
        [looked.meetings.drift @ looked.relations.matrix,
         looked.meetings.gap_rows @ looked.relations.matrix]
    )  # fmt: skip
    assert np.abs(rows @ kept.T).max() < 1e-4
    for rule in rules:
        assert np.abs(rows @ rule).max() > 1e-3


def test_a_rule_holds_for_the_drawn_sizes_themselves() -> None:
    """Sums that must balance balance as drawn: strips and slices make the same lengths."""
    looked = studied(CHECKS)
    widths = {step.makes: step.width_mm for step in looked.plan.steps if hasattr(step, "width_mm")}
    for rule in looked.relations.rules:
        total = sum(factor * widths[size.part] for size, factor in rule.terms)
        assert abs(total) < 1e-6
