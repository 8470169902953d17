"""How true a shop works: the values that count and where each comes from."""

from __future__ import annotations

from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass

from seamwright.app.documents import SCHEMA, Document
from seamwright.app.measuring import (
    Record,
    read_record,
    readings_of,
    record_text,
    thick_readings_of,
)
from seamwright.errors import SeamwrightError
from seamwright.fit.history import (
    PRIOR_WORTH,
    Learned,
    Seen,
    learn,
    learned_accuracy,
    seen_in,
)
from seamwright.plan import Accuracy, read_accuracy, shop_sources


@dataclass(frozen=True, slots=True, kw_only=True)
class History:
    """How true a shop works, after what was measured on its jobs.

    Attributes:
        prior: from the shop file, or the defaults.
        jobs: jobs that anything was measured on.
        settings: settings measured on them.
        learned: every value before and after.
        accuracy: the values that count.
    """

    prior: Accuracy
    jobs: int
    settings: int
    learned: tuple[Learned, ...]
    accuracy: Accuracy


def learned_from(prior: Accuracy, records: Iterable[Record]) -> History:
    """A shop's accuracy after what was measured on its jobs."""
    seen: list[Seen] = []
    jobs = 0
    for record in records:
        found = seen_in(record.plan, readings_of(record), thick_readings_of(record))
        jobs += bool(found)
        seen += found
    learned = learn(prior, seen)
    return History(
        prior=prior,
        jobs=jobs,
        settings=len(seen),
        learned=learned,
        accuracy=learned_accuracy(prior, learned),
    )


def history_of(prior: Accuracy, texts: Iterable[str], records: Iterable[Record] = ()) -> History:
    """A shop's accuracy after the records of its jobs as they are kept.

    Args:
        prior: from the shop file, or the defaults.
        texts: records as they are kept; a damaged one of one job must not spoil the others.
        records: more of them; one that is among the texts counts once.
    """
    found = {record_text(record): record for record in records}
    for text in texts:
        with suppress(SeamwrightError):
            record = read_record(text)
            found[record_text(record)] = record
    return learned_from(prior, found.values())


def history_words(history: History | None) -> str:
    """What the expectation stands on besides the shop file."""
    if history is None:
        return "What was measured on your jobs is left out."
    if not history.settings:
        return "Nothing was measured on any job yet: [accuracy] counts as it stands."
    settings = "1 setting" if history.settings == 1 else f"{history.settings} settings"
    jobs = "1 job" if history.jobs == 1 else f"{history.jobs} jobs"
    moved = [
        f"{value.name.rpartition('_')[0]} {value.prior:g} → {value.value:.2g}{_sign(value.name)}"
        for value in history.learned
        if value.settings
    ]
    return (
        f"Your shop's history is used: {settings} measured on {jobs}; what [accuracy] says counts "
        f"as {PRIOR_WORTH:g} settings seen before. Standard deviations: {', '.join(moved)}."
    )


def _sign(name: str) -> str:
    return " mm" if name.endswith("_mm") else "°"


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
        key = value.name.rpartition("_")[0]
        sign = _sign(value.name)
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


def learned_document(history: History) -> Document:
    """What ``seamwright shop show --json`` prints."""
    return {"schema": SCHEMA, **history_document(history)}


def history_document(history: History) -> Document:
    """What was learned, for programs."""
    return {
        "prior_worth": PRIOR_WORTH,
        "jobs": history.jobs,
        "settings": history.settings,
        "accuracy": [asdict(value) for value in history.learned],
    }
