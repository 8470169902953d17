"""Small parts and traps at the machines, step by step of a plan."""

from __future__ import annotations

from dataclasses import replace

from seamwright.geometry import Polygon, bounds
from seamwright.plan import Hold, Laminate, Machine, Mill, Plan, Resaw, Slice, Surface, Trim
from seamwright.strength.results import Finding, Verdict

SHORT_MM = 12 * 25.4
"""Stock shorter than 12 in does not go over a machine without a carrier or sled (Popular
Woodworking, November 2007, p. 55)."""
HANDS_MM = 3 * 25.4
"""Hands stay this far from any cutter (the same source)."""
PUSH_MM = 6 * 25.4
"""Rips narrower than this want a push stick or block (a shop safety manual)."""

DEFER = "; the machine's manual and your local codes go before this, and every guard stays on"
"""What every caution here ends with."""
_TWELVE = "the 12-inch and 3-inch rule (Popular Woodworking, November 2007, p. 55)"
_OSHA = "29 CFR 1910.213"


def plan_cautions(plan: Plan) -> tuple[Finding, ...]:
    """Cautions for every step that needs one, in working order."""
    numbered: list[Finding] = []
    for number, step in enumerate(plan.steps, start=1):
        findings: list[Finding] = []
        name = f"step {number}, {step.verb} {step.makes}"
        if isinstance(step, Mill):
            findings += _mill(name, step)
        elif isinstance(step, Slice):
            findings += _slice(name, step)
        elif isinstance(step, Trim):
            findings.append(_trim(name, step, _size(plan, step.takes)))
        elif isinstance(step, Resaw):
            findings.append(_resaw(name, step))
        elif isinstance(step, Surface) and step.set_up.machine is Machine.PLANER:
            findings += _surface(name, _size(plan, step.takes))
        numbered += [replace(finding, step=number) for finding in findings]
    return tuple(numbered)


def _finding(code: str, verdict: Verdict, subject: str, why: str, change: str) -> Finding:
    sources = (_TWELVE, _OSHA, "CP")
    return Finding(
        code=code,
        verdict=verdict,
        subject=subject,
        why=why,
        change=change + DEFER,
        sources=sources,
    )


def _mill(name: str, step: Mill) -> list[Finding]:
    out = []
    if step.length_mm < SHORT_MM:
        why = f"a stick of {step.length_mm:.0f} mm is too short for jointer and planer"
        change = "mill it in one length with its neighbours and cut it off afterwards"
        out.append(_finding("P1", Verdict.RISK, name, why, change))
    if step.width_mm < PUSH_MM:
        why = f"a rip of {step.width_mm:.0f} mm brings the hand near the blade"
        change = "use a push block, riving knife and guard; keep the narrow strip free to fall away"
        out.append(_finding("P2", Verdict.CARE, name, why, change))
    return out


def _slice(name: str, step: Slice) -> list[Finding]:
    trap = _finding(
        "K1",
        Verdict.CARE,
        name,
        "a slice caught between the blade and a fixed stop or the fence is thrown back",
        "set the stop so that the slice is free of it before the cut ends (a block clamped before "
        "the blade, or a flip stop), never use the rip fence as a stop for a cut across, and let "
        "the blade stop before you pick the slice up",
    )
    if step.set_up.machine is not Machine.SLED or step.set_up.size_mm >= HANDS_MM:
        return [trap]
    why = f"slices of {step.set_up.size_mm:.0f} mm are smaller than a hand's safe distance"
    change = "hold the bar with the sled's hold-down and lift slices off with a stick"
    return [trap, _finding("P3", Verdict.CARE, name, why, change)]


def _trim(name: str, step: Trim, size: tuple[float, float] | None) -> Finding:
    small = size is not None and min(size) < 2.0 * HANDS_MM
    if step.hold is not Hold.SLED:
        return _held(name, step)
    if step.each > 1:
        why = "a glued lamination is ripped: it can close on the blade and be thrown back"
        change = "riving knife in place, push stick, and the true edge to the fence"
        return _finding("K2", Verdict.CARE, name, why, change)
    if small and size is not None:
        why = f"a part of {size[0]:.0f} by {size[1]:.0f} mm is trimmed {len(step.cuts)} times"
        change = (
            "clamp it in a sled with a hold-down, or saw by band saw in a carrier and finish at "
            "the shooting board by hand"
        )
        return _finding("P4", Verdict.RISK, name, why, change)
    why = "an offcut wedged beside the blade is thrown back"
    return _finding("K2", Verdict.CARE, name, why, "leave room beside the blade for the offcut")


def _held(name: str, step: Trim) -> Finding:
    """A part too small for the sled, held in another way."""
    why = "the part is too small to be held on the sled by itself"
    if step.hold is Hold.LONG_END:
        change = (
            "clamp the long end, cut the part off last, and let the blade stop before you reach"
        )
        return _finding("P6", Verdict.CARE, name, why, change)
    if step.hold is Hold.CARRIER:
        change = (
            "both clamps of the carrier tight, hands on its handles, guard and riving knife in "
            "place, and the blade at rest before the clamps are opened"
        )
        return _finding("P7", Verdict.RISK, name, why, change)
    change = (
        "saw it by hand at a bench hook, or at the band saw with the guides just above the wood "
        "and a push stick; plane with the holding hand behind the iron"
    )
    return _finding("P8", Verdict.CARE, name, why, change)


def _resaw(name: str, step: Resaw) -> Finding:
    why = f"a deep cut into {step.leaves} leaves pinches the blade if the billet moves"
    change = (
        "use a tall fence, a push block and a wide sharp band; stop if the kerf closes, switch "
        "off before you back out"
    )
    return _finding("K3", Verdict.CARE, name, why, change)


def _surface(name: str, size: tuple[float, float] | None) -> list[Finding]:
    if size is None or max(size) >= SHORT_MM:
        return []
    why = f"a part of {max(size):.0f} mm is shorter than planers take"
    change = "glue runners beside it, or plane by hand or drum sander within its shortest length"
    return [_finding("P5", Verdict.RISK, name, why, change)]


def _size(plan: Plan, part: str) -> tuple[float, float] | None:
    """Length and width of a kind [mm] as far as its own step tells."""
    try:
        step = plan.maker(part)
    except KeyError:
        return None
    if isinstance(step, Mill):
        return (step.length_mm, step.width_mm)
    if isinstance(step, Slice):
        bar = _size(plan, step.takes)
        return (bar[1], step.set_up.size_mm) if bar else None
    if isinstance(step, Trim | Surface | Resaw):
        return _size(plan, step.takes)
    return _laminated(plan, step)


def _laminated(plan: Plan, step: Laminate) -> tuple[float, float] | None:
    """Extent of a glue-up from its parts in their places."""
    corners: list[tuple[float, float]] = []
    for placed in step.parts:
        size = _size(plan, placed.part)
        if size is None:
            return None
        w, h = size
        outline: Polygon = ((0.0, 0.0), (w, 0.0), (w, h), (0.0, h))
        corners += [placed.at.point(point) for point in outline]
    x0, y0, x1, y1 = bounds(tuple(corners))
    return (x1 - x0, y1 - y0)
