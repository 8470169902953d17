"""An independent check of cut plans: own geometry in whole nanometres, no solver data.

Reads the rack, the demand, the rules, the shop and the plan as stated; recomputes everything.
Returns complaints as text, each beginning with a code word that the mutation tests look for.
"""

# ruff: noqa: C901, PLR0912 - a plain list of checks, read from top to bottom

from __future__ import annotations

import itertools
import math

from seamwright.plan import Shop
from seamwright.rack import CutPlan, CutRules, Demand, Finish, Rack, Ring, Stock

NM = 1_000_000
TOL = 2  # nm: two roundings


def nm(size_mm: float) -> int:
    return round(size_mm * NM)


def check(rack: Rack, demand: Demand, shop: Shop, rules: CutRules, plan: CutPlan) -> list[str]:
    bad: list[str] = []
    _check_stock(rack, plan, bad)
    for cuts in plan.boards:
        _check_board(cuts, demand, shop, rules, plan, bad)
    _check_demand(demand, plan, bad)
    _check_cost(rack, demand, shop, rules, plan, bad)
    return bad


def _check_stock(rack, plan, bad):
    names = [c.board.name for c in plan.boards if not c.offer]
    for name in set(names):
        if names.count(name) > 1:
            bad.append(f"stock: board {name} is cut twice")
        if not any(b == c.board for b in rack.boards for c in plan.boards if c.board.name == name):
            bad.append(f"stock: board {name} is not on the rack as stated")
    for offer, count in plan.purchases():
        sizes = [o for o in rack.offers if o.name == offer]
        if not sizes:
            bad.append(f"stock: {offer} is not offered")
            continue
        if sizes[0].limit is not None and count > sizes[0].limit:
            bad.append(f"stock: {offer} is bought more often than it is offered")
        for c in plan.boards:
            same = (c.board.length_mm, c.board.width_mm, c.board.thickness_mm, c.board.wood)
            told = (sizes[0].length_mm, sizes[0].width_mm, sizes[0].thickness_mm, sizes[0].wood)
            if c.offer == offer and same != told:
                bad.append(f"stock: {offer} has not the size offered")


def _box(p):
    x, y = nm(p.x_mm), nm(p.y_mm)
    return x, y, x + nm(p.length_mm), y + nm(p.width_mm)


def _check_board(cuts, demand, shop, rules, plan, bad):
    board, name = cuts.board, cuts.board.name
    whole = (0, 0, nm(board.length_mm), nm(board.width_mm))
    pieces = {p.name: p for p in cuts.pieces}
    if len(pieces) != len(cuts.pieces):
        bad.append(f"names: {name} has two pieces of one name")
    trim_x, trim_y = nm(rules.end_trim_mm), nm(rules.edge_trim_mm)
    usable = (trim_x, trim_y, whole[2] - trim_x, whole[3] - trim_y)
    for p in cuts.pieces:
        box = _box(p)
        if not (0 <= box[0] < box[2] <= whole[2] + TOL and 0 <= box[1] < box[3] <= whole[3] + TOL):
            bad.append(f"inside: {name} {p.name} is not inside the board")
        if p.fate.value == "blank":
            _check_blank(p, box, usable, board, demand, shop, rules, plan, bad)
        if p.fate.value == "leftover" and (
            box[2] - box[0] < nm(rules.keep_length_mm) - TOL
            or box[3] - box[1] < nm(rules.keep_width_mm) - TOL
        ):
            bad.append(f"leftover: {name} {p.name} is too small to keep")
    _check_apart(cuts, rules, bad)
    _replay(cuts, rules, bad)


def _check_blank(p, box, usable, board, demand, shop, rules, plan, bad):
    where = f"{board.name} {p.name}"
    if box[0] < usable[0] - TOL or box[1] < usable[1] - TOL:
        bad.append(f"inside: {where} lies in the trim")
    if box[2] > usable[2] + TOL or box[3] > usable[3] + TOL:
        bad.append(f"inside: {where} lies in the trim")
    clear = nm(rules.clearance_mm)
    for f in board.flaws:
        x0, y0 = nm(f.x_mm) - clear, nm(f.y_mm) - clear
        x1, y1 = nm(f.x_mm + f.length_mm) + clear, nm(f.y_mm + f.width_mm) + clear
        if min(box[2], x1) - max(box[0], x0) > TOL and min(box[3], y1) - max(box[1], y0) > TOL:
            bad.append(f"flaw: {where} holds a {f.kind.value} or comes too near")
    stick, way = demand.sticks[p.stick], plan.lines[p.stick].variants[p.way]
    if stick.wood != board.wood:
        bad.append(f"wood: {where} is {board.wood}, wanted {stick.wood}")
    face, plane = shop.allowances.rough_face_mm, shop.allowances.plane_face_mm
    rough = board.finish is Finish.ROUGH
    spare = 2 * face if rough else 0.0
    length = stick.length_mm + shop.allowances.rough_length_mm
    kind = way.way.value
    if kind == "flat":
        rip, thick = stick.width_mm + 2 * face, stick.depth_mm + spare
    elif kind == "on edge":
        rip, thick = stick.depth_mm + 2 * face, stick.width_mm + spare
    elif kind == "resawn":
        rip = stick.width_mm + 2 * face
        inner = 2 * face * way.sticks - (0 if rough else 2 * face)
        thick = way.sticks * stick.depth_mm + inner + (way.sticks - 1) * rules.resaw_kerf_mm
    elif kind == "glued thicker":
        rip = stick.width_mm + 2 * face
        thick = (stick.depth_mm + 2 * plane) / way.blanks + spare
    else:
        rip = (stick.width_mm + 2 * plane) / way.blanks + 2 * face
        thick = stick.depth_mm + spare
    if box[2] - box[0] < nm(length) - TOL or box[3] - box[1] < nm(rip) - TOL:
        bad.append(f"size: {where} is too small for stick {stick.name}")
    if (box[2] - box[0]) - nm(length) > nm(rules.grid.along_mm) + TOL:
        bad.append(f"size: {where} is longer than it need be")
    if nm(board.thickness_mm) < nm(thick) - TOL:
        bad.append(f"thickness: {where} is too thin for stick {stick.name}")
    if stick.ring is not Ring.UNKNOWN:
        turned = {Ring.FLAT: Ring.QUARTER, Ring.QUARTER: Ring.FLAT}
        shown = turned.get(board.ring, board.ring) if kind == "on edge" else board.ring
        if shown is not stick.ring:
            bad.append(f"rings: {where} shows {shown.value}, wanted {stick.ring.value}")


def _check_apart(cuts, rules, bad):
    cross, rip = nm(rules.crosscut_kerf_mm), nm(rules.rip_kerf_mm)
    final = [p for p in cuts.pieces if p.fate.value in ("blank", "leftover")]
    for n, p in enumerate(final):
        a = _box(p)
        for q in final[n + 1 :]:
            b = _box(q)
            along = max(b[0] - a[2], a[0] - b[2])
            across = max(b[1] - a[3], a[1] - b[3])
            if along < cross - TOL and across < rip - TOL:
                bad.append(f"apart: {cuts.board.name} {p.name} and {q.name} lie within a kerf")


def _replay(cuts, rules, bad):
    """Cut a fresh board by the list alone and compare every piece, edge to edge."""
    name = cuts.board.name
    live = {"P0": (0, 0, nm(cuts.board.length_mm), nm(cuts.board.width_mm))}
    told = {p.name: p for p in cuts.pieces}
    if "P0" not in told or _box(told["P0"]) != live["P0"]:
        bad.append(f"replay: {name} P0 is not the board")
    lost = 0
    for number, cut in enumerate(cuts.cuts, 1):
        if cut.number != number:
            bad.append(f"replay: {name} cut {cut.number} is out of order")
        if cut.piece not in live:
            bad.append(f"replay: {name} cut {number} is through {cut.piece}, which is not there")
            return
        x0, y0, x1, y1 = live.pop(cut.piece)
        is_rip = cut.direction.value == "rip"
        lo, hi = (y0, y1) if is_rip else (x0, x1)
        at, end = nm(cut.at_mm), nm(cut.at_mm + cut.kerf_mm)
        kerf = nm(rules.rip_kerf_mm if is_rip else rules.crosscut_kerf_mm)
        _check_minima(f"{name} cut {number}", is_rip, (x1 - x0, y1 - y0), rules, bad)
        if at < lo - TOL or end > hi + TOL:
            bad.append(f"replay: {name} cut {number} runs outside {cut.piece}")
        if abs(end - at - kerf) > TOL and at > lo + TOL and end < hi - TOL:
            bad.append(f"kerf: {name} cut {number} takes {end - at} nm")
        if end - at > kerf + TOL or (end - at < kerf - TOL and cut.near and cut.far):
            bad.append(f"kerf: {name} cut {number} takes {end - at} nm")
        lost += (end - at) * ((x1 - x0) if is_rip else (y1 - y0))
        for child, a, b in ((cut.near, lo, at), (cut.far, end, hi)):
            if b - a <= TOL:
                if child:
                    bad.append(f"replay: {name} cut {number} leaves nothing for {child}")
                lost += (b - a) * ((x1 - x0) if is_rip else (y1 - y0))
                continue
            box = (x0, a, x1, b) if is_rip else (a, y0, b, y1)
            if not child or child in live:
                bad.append(f"replay: {name} cut {number} leaves a piece without a name")
                return
            live[child] = box
    finals = {p.name for p in cuts.pieces if p.fate.value != "cut up"}
    if finals != set(live):
        bad.append(f"replay: {name} ends with other pieces than stated")
    for key, box in live.items():
        if key in told and max(abs(s - t) for s, t in zip(box, _box(told[key]), strict=True)) > TOL:
            bad.append(f"replay: {name} {key} is not where it is stated to be")
    area = sum((b[2] - b[0]) * (b[3] - b[1]) for b in live.values()) + lost
    if abs(area - nm(cuts.board.length_mm) * nm(cuts.board.width_mm)) > 1e-9 * area:
        bad.append(f"area: {name} does not add up")
    stated = sum(nm(p.length_mm) * nm(p.width_mm) for p in cuts.pieces if p.fate.value != "cut up")
    if abs(stated + lost - nm(cuts.board.length_mm) * nm(cuts.board.width_mm)) > 1e-6 * area:
        bad.append(f"area: {name} pieces and kerfs do not add up to the board")


def _check_minima(where, is_rip, size, rules, bad):
    length, width = size
    if is_rip:
        if length < nm(rules.rip_length_mm) - TOL or width < nm(rules.rip_width_mm) - TOL:
            bad.append(f"minima: {where} rips a piece too small to rip")
    elif length < nm(rules.crosscut_length_mm) - TOL or width < nm(rules.rip_width_mm) - TOL:
        bad.append(f"minima: {where} crosscuts a piece too small to hold")


def _check_demand(demand, plan, bad):
    if len(plan.lines) != len(demand.sticks):
        bad.append("demand: lines and sticks do not pair")
        return
    for n, (stick, line) in enumerate(zip(demand.sticks, plan.lines, strict=True)):
        blanks: dict[int, int] = {}
        for cuts in plan.boards:
            for p in cuts.pieces:
                if p.fate.value == "blank" and p.stick == n:
                    blanks[p.way] = blanks.get(p.way, 0) + 1
        made = sum(
            count * line.variants[w].sticks // line.variants[w].blanks
            for w, count in blanks.items()
        )
        most = max((v.sticks for w, v in enumerate(line.variants) if w in blanks), default=1)
        if made != line.made:
            bad.append(f"demand: {stick.name} is made {made} times, stated {line.made}")
        if line.missing != max(0, stick.count - made):
            bad.append(f"demand: {stick.name} lacks {stick.count - made}, stated {line.missing}")
        if made >= stick.count + most:
            bad.append(f"demand: {stick.name} is made {made} times, {stick.count} are enough")


def _check_cost(rack, demand, shop, rules, plan, bad):
    """Recount the cost: boards less leftovers (their clear part within the trims), plus missing."""
    total = 0.0
    for cuts in plan.boards:
        board, worth = cuts.board, rules.worth
        litres = board.length_mm * board.width_mm * board.thickness_mm / 1e6
        rate = _rate(rack, plan, board.wood)
        if cuts.offer:
            price = next(o.price for o in rack.offers if o.name == cuts.offer)
            cost, part = price, worth.bought_leftover
        else:
            share = worth.offcut if board.stock is Stock.OFFCUT else worth.board
            cost, part = share * rate * litres, worth.leftover
        back = sum(_clear_mm2(p, board, rules) for p in cuts.pieces if p.fate.value == "leftover")
        cost -= part * cost / litres * back * board.thickness_mm / 1e6
        if not math.isclose(cost, cuts.cost, rel_tol=1e-6, abs_tol=1e-6):
            bad.append(f"cost: {board.name} counts {cost:.6f}, stated {cuts.cost:.6f}")
        total += cost
    for n, line in enumerate(plan.lines):
        work = [_gluing(v, shop, rules) for v in line.variants]
        weighed = len(line.variants) > 1 and any(v.glue for v in line.variants)
        for v, counts in zip(line.variants, work, strict=True):
            if not math.isclose(v.glue, counts if weighed else 0.0, abs_tol=1e-9):
                bad.append(
                    f"cost: gluing {line.stick.name} counts {counts:.6f}, stated {v.glue:.6f}"
                )
        cut = [p.way for c in plan.boards for p in c.pieces if p.stick == n and p.way is not None]
        if weighed:
            total += sum(work[w] / line.variants[w].blanks for w in cut)
            total += 2 * max(work) * line.missing
        if line.missing:
            way = line.variants[0]
            litres = way.length_mm * way.rip_mm * way.rough_mm * way.blanks / 1e6
            total += (
                rules.worth.missing * _rate(rack, plan, line.stick.wood) * litres * line.missing
            )
    if not math.isclose(total, plan.cost, rel_tol=1e-6, abs_tol=1e-6):
        bad.append(f"cost: the plan costs {total:.6f}, stated {plan.cost:.6f}")
    if plan.bound > plan.cost * (1 + 1e-9) + 1e-9:
        bad.append("bound: the bound lies above the cost")
    if plan.is_proven and plan.cost - plan.bound > 2e-4 * plan.cost:
        bad.append("bound: called proven, but the gap is open")


def _gluing(way, shop, rules):
    """Work of gluing one stick up: the other blanks milled, one clamping, its lines of glue."""
    m, more = shop.minutes, way.blanks - 1
    if not more or rules.hour is None:
        return 0.0
    return (m.glue_up + more * m.glue_line + more * m.stick) * rules.hour / 60


def _rate(rack, plan, wood):
    """Price of a litre new, as the rules say: cheapest offer, else mean paid, else 1."""
    offers = [
        o.price / (o.length_mm * o.width_mm * o.thickness_mm / 1e6)
        for o in rack.offers
        if o.wood == wood and o.price
    ]
    if offers:
        return min(offers)
    paid = [b for b in rack.boards if b.wood == wood and b.price]
    litres = sum(b.length_mm * b.width_mm * b.thickness_mm / 1e6 for b in paid)
    return sum(b.price for b in paid) / litres if paid else 1.0


def _clear_mm2(piece, board, rules):
    """Area of a leftover inside the trims and clear of flaws with clearance, cell by cell."""
    x0 = max(piece.x_mm, rules.end_trim_mm)
    x1 = min(piece.x_mm + piece.length_mm, board.length_mm - rules.end_trim_mm)
    y0 = max(piece.y_mm, rules.edge_trim_mm)
    y1 = min(piece.y_mm + piece.width_mm, board.width_mm - rules.edge_trim_mm)
    boxes = []
    for f in board.flaws:
        grow_x = max(rules.clearance_mm, (rules.crosscut_kerf_mm - f.length_mm) / 2)
        grow_y = max(rules.clearance_mm, (rules.rip_kerf_mm - f.width_mm) / 2)
        boxes.append(
            (
                f.x_mm - grow_x,
                f.y_mm - grow_y,
                f.x_mm + f.length_mm + grow_x,
                f.y_mm + f.width_mm + grow_y,
            )
        )
    xs = sorted({x0, x1, *(min(max(v, x0), x1) for b in boxes for v in (b[0], b[2]))})
    ys = sorted({y0, y1, *(min(max(v, y0), y1) for b in boxes for v in (b[1], b[3]))})
    area = 0.0
    for xa, xb in itertools.pairwise(xs):
        for ya, yb in itertools.pairwise(ys):
            mx, my = (xa + xb) / 2, (ya + yb) / 2
            if not any(b[0] < mx < b[2] and b[1] < my < b[3] for b in boxes):
                area += (xb - xa) * (yb - ya)
    return area
