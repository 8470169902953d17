"""How true a shop works: the values that count, where each comes from, and checks to find them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict

from seamwright.app.documents import SCHEMA, Document
from seamwright.app.measuring import Record
from seamwright.fit.history import PRIOR_WORTH, Learned, Seen, learn, seen_in
from seamwright.plan import Accuracy, read_accuracy, shop_sources

CHECKS = (
    "Checks of your settings. The machine's manual goes before anything written here; unplug the "
    "saw to adjust it, guards stay on, and small test pieces are held with a hold-down.",
    "Square, five cuts: turn a board a quarter after each of four cuts, the fresh edge to the "
    "fence; the fifth cut takes a strip of length L. Thickness at the end cut first A, last B:",
    "  the sled is off by atan((A − B) / 4 / L); at a distance F from the pivot the fence is off "
    "by (A − B) / 4 / L × F",
    "  write half of what is left after adjusting, in degrees, as [accuracy] square",
    "45°: cut a strip of width W twice at 45° into triangles, legs along the strip P and Q:",
    "  the cut is off by atan(2 W / (P + Q)) − 45°; write it as [accuracy] slant",
    "22.5°: cut eight wedges of 45°, two cuts each, and close the ring of radius R; the last joint "
    "gapes by G at the rim:",
    "  one cut is off by 2 asin(G / 2 R) / 16; write it as [accuracy] slant",
    "Kerf: measure a stick, cut it into n pieces, add up their lengths:",
    "  kerf = (length before − sum of the pieces) / (n − 1); write it as [saws] table_kerf",
    "Stop: cut six slices at one setting; their mean less the setting is what the stop was off, "
    "their standard deviation is [accuracy] slice. 'measure' learns both from your jobs.",
)


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
