"""How true a shop works: the values that count and where each comes from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict

from seamwright.app.documents import SCHEMA, Document
from seamwright.app.measuring import Record
from seamwright.fit.history import PRIOR_WORTH, Learned, Seen, learn, seen_in
from seamwright.plan import Accuracy, read_accuracy, shop_sources


def learned_from(prior: Accuracy, records: Iterable[Record]) -> tuple[Learned, ...]:
    """A shop's accuracy after what was measured on its jobs."""
    seen: list[Seen] = []
    for record in records:
        seen += seen_in(record.plan, [(r.step, r.sizes_mm) for r in record.readings])
    return learn(prior, seen)


def learned_lines(learned: Iterable[Learned], text: str) -> list[str]:
    """Every value with where it comes from.

    Args:
        learned: the values.
        text: the shop file; "" for none.
    """
    sources = {s.key: s for s in shop_sources() if s.section == "accuracy"}
    default = read_accuracy()
    lines = ["[accuracy]: standard deviations; nineteen in twenty come closer than twice this"]
    for value in learned:
        key, _, unit = value.name.rpartition("_")
        sign = " mm" if unit == "mm" else "°"
        source = sources[key]
        own = text and value.prior != getattr(default, value.name)
        start = "your shop file" if own else source.source
        told = f"{start} ({value.prior:g}{sign})"
        if value.settings:
            told += f", counted as {PRIOR_WORTH:g}, and {value.settings} measured"
            told += f" ({value.mean_mm:+.3f} mm on the average)"
        if value.doubted:
            told += f"; {value.doubted} far out and hardly counted"
        lines.append(f"  {key} = {value.value:.4g}{sign}: {source.about} (from {told})")
    return lines


def learned_document(learned: Iterable[Learned]) -> Document:
    """What ``seamwright shop show --json`` prints."""
    return {
        "schema": SCHEMA,
        "prior_worth": PRIOR_WORTH,
        "accuracy": [asdict(value) for value in learned],
    }
