"""What programs get from ``fit`` and ``measure``."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

from seamwright.app.documents import SCHEMA, Document
from seamwright.app.fitting import FitReport
from seamwright.app.learning import history_document
from seamwright.app.making_again import Found
from seamwright.app.measuring import Reading, Record
from seamwright.fit import Matter, Relation, Setting, ShortBar, Size, StackUp, Thickness
from seamwright.plan import plan_to_json


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
        "thickness": _thick(report.thick),
        "readings": [_reading(r) for r in (report.record.readings if report.record else ())],
        "history": history_document(report.history) if report.history else None,
        "spares": [asdict(spare) for spare in report.spares],
        "mended": _mended(report) if report.mended else None,
    }


def measure_document(record: Record, path: Path) -> Document:
    """What ``seamwright measure --json`` prints."""
    return {
        "schema": SCHEMA,
        "file": str(path),
        "readings": [_reading(reading) for reading in record.readings],
    }


def _mended(report: FitReport) -> Document:
    mended = report.mended
    assert mended is not None
    found, remake, chance = mended.resolved, mended.remake, report.chance
    return {
        "verdict": mended.verdict.value,
        "why": mended.refused,
        "chance": chance,
        "widest_mm": found.widest_mm if found else None,
        "widest_at_mm": list(found.where) if found else None,
        "open_mm": found.open_mm if found else None,
        "outline_mm": found.outline_mm if found else None,
        "border_mm": mended.border_mm,
        "changes": [asdict(change) for change in mended.changes],
        "proof": mended.proof.holds if mended.proof else None,
        "plan": plan_to_json(mended.rewritten.plan) if mended.rewritten else None,
        "remake": {"steps": list(remake.steps), "minutes": remake.minutes} if remake else None,
        "board_mm": mended.deep.board_mm if mended.deep else None,
        "proud": [{"part": part, "proud_mm": mm} for part, mm in mended.deep.proud]
        if mended.deep
        else [],
        "thicker": {"steps": list(mended.thicker.steps), "minutes": mended.thicker.minutes}
        if mended.thicker
        else None,
        "leaves": [asdict(billet) for billet in mended.leaves],
        "wood": [_wood(found) for found in report.wood],
        "bars": [_bar(bar) for bar in (mended.rewritten.bars if mended.rewritten else ())],
        "chance_clean": report.thick_now.chance if report.thick_now else None,
        "shortages": [
            {
                "part": short.part,
                "step": short.step,
                "lost": short.lost,
                "short": short.short,
                "from_tail": short.from_tail,
                "wood_mm3": short.wood_mm3,
                "sticks": [
                    {"part": part, "count": count, "length_mm": length}
                    for part, count, length in short.sticks
                ],
            }
            for short in mended.shortages
        ],
    }


def _wood(found: Found) -> Document:
    return {
        "part": found.part,
        "wood": found.wood,
        "count": found.count,
        "board": found.board.name if found.board else None,
        "bought": found.bought,
        "way": found.variant.way.value,
        "length_mm": found.variant.length_mm,
        "rip_mm": found.variant.rip_mm,
        "rough_mm": found.variant.rough_mm,
    }


def _bar(bar: ShortBar) -> list[object]:
    return [bar.step, bar.part, bar.bar, bar.short_mm, bar.each, bar.missing]


def _thick(thick: Thickness) -> Document:
    return {
        "chance_clean": thick.chance,
        "more_mm": thick.more_mm,
        "planings": [
            {
                "step": planing.step,
                "part": planing.part,
                "planned_mm": planing.planned_mm,
                "needed_half_mm": planing.least_mm[0],
                "needed_most_mm": planing.least_mm[1],
                "uneven_half_mm": planing.uneven_mm[0],
                "uneven_most_mm": planing.uneven_mm[1],
                "chance": planing.chance,
            }
            for planing in thick.flattenings
        ],
        "causes": [
            {
                "machine": cause.setting.set_up.machine.value if cause.setting else "",
                "size_mm": cause.setting.set_up.size_mm if cause.setting else None,
                "steps": list(cause.setting.steps) if cause.setting else [],
                "chance": cause.chance,
            }
            for cause in thick.causes
        ],
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
    return {
        "step": reading.step,
        "sizes_mm": list(reading.sizes_mm),
        "thick_mm": list(reading.thick_mm),
        "good": reading.good,
    }
