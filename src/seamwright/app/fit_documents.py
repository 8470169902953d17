"""What programs get from ``fit`` and ``measure``."""

from __future__ import annotations

from pathlib import Path

from seamwright.app.documents import SCHEMA, Document
from seamwright.app.fitting import FitReport
from seamwright.app.measuring import Reading, Record
from seamwright.fit import Matter, Relation, Setting, Size, StackUp


def fit_document(report: FitReport) -> Document:
    """What ``seamwright fit --json`` prints."""
    looked = report.study
    return {
        "schema": SCHEMA,
        "title": report.drawing.title,
        "sizes": [
            {**_size(size), "duty": looked.relations.duty(size).value}
            for size in looked.relations.sizes
        ],
        "rules": [_rule(rule) for rule in looked.relations.rules],
        "stack_up": _stack(report.stack),
        "readings": [_reading(r) for r in (report.record.readings if report.record else ())],
    }


def measure_document(record: Record, path: Path) -> Document:
    """What ``seamwright measure --json`` prints."""
    return {
        "schema": SCHEMA,
        "file": str(path),
        "readings": [_reading(reading) for reading in record.readings],
    }


def _size(size: Size) -> Document:
    return {"part": size.part, "what": size.what, "index": size.index}


def _rule(rule: Relation) -> Document:
    return {
        "terms": [{**_size(size), "factor": factor} for size, factor in rule.terms],
        "closes": rule.closes,
        "places_mm": [list(place) for place in rule.places],
    }


def _stack(stack: StackUp) -> Document:
    return {
        "gap_mm": stack.gap_mm,
        "trials": stack.trials,
        "real": stack.real,
        "chance": stack.chance,
        "chance_error": stack.chance_error,
        "chance_closed": stack.chance_closed,
        "chance_advised": stack.chance_advised,
        "worst_half_mm": stack.worst_mm[0],
        "worst_most_mm": stack.worst_mm[1],
        "apart_mm": stack.apart_mm,
        "points": [
            {
                "place_mm": list(point.place),
                "sd_mm": point.sd_mm,
                "linear_sd_mm": point.linear_sd_mm,
                "within": point.within,
            }
            for point in stack.points
        ],
        "matters": [_matter(matter) for matter in stack.matters],
    }


def _matter(matter: Matter) -> Document:
    return {
        "setting": _setting(matter.setting),
        "share": matter.share,
        "advice": matter.advice.value,
        "gauge": matter.gauge,
        "chance": matter.chance,
        "points_mm": [list(point) for point in matter.points],
    }


def _setting(setting: Setting) -> Document:
    return {
        "sort": setting.sort.value,
        "machine": setting.machine.value if setting.machine else "",
        "size_mm": setting.size_mm,
        "angle_deg": setting.angle_deg,
        "steps": list(setting.steps),
        "match": setting.match,
    }


def _reading(reading: Reading) -> Document:
    return {"step": reading.step, "sizes_mm": list(reading.sizes_mm), "good": reading.good}
