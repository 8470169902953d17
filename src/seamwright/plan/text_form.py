"""Plans as text, a line for each step, to read, to compare and to keep; exact both ways.

::

    seamwright plan 1
    title "Nine patch"
    board F1
    copies 1
    shop saws table_kerf_mm=3.0 table_depth_mm=76.0 …
    shop allowances …
    shop limits …
    shop minutes …
    1 mill SA count=3 wood=A length=305.0 width=40.0 depth=20.6
    2 laminate L1 count=1 part=SA part=SB@0.0,40.0 part=SA@0.0,80.0,180.0,over seams=0.0 clampings=1
    3 slice P1 count=2 from=L1 bars=1 per_bar=2 cut=10.0 cut=53.0 cut=96.0@45.0 set=sled,40.0

Numbers are the shortest decimals that give the same binary number back. An id or a wood that is
not a plain word is written in double quotes with JSON's escapes. A part's place is
``x,y``, then the turn in degrees, then ``over`` where it is turned over. A cut's angle is left out
where it is square. A set-up is machine, size, angle, and the kind it must match.
``long`` and ``lot`` say what is worked in one go: how many times, then kinds and how many of each.
``backed material="birch plywood" depth_mm=12.0 …`` says what an overlay's face is glued to.
``board F1@x,y,turn`` says where the board's own frame lies in the drawing, where the two differ.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, fields
from typing import Any

from seamwright.errors import Fault, PlanError
from seamwright.geometry import Motion
from seamwright.plan.codec import SCHEMA, VERBS, plan_from_json, plan_to_json
from seamwright.plan.model import Plan
from seamwright.plan.shop import NO_JIGS, NO_OVERLAYS, UNCOUNTED
from seamwright.plan.steps import EdgeCut, Hold, Lot, Machine, Placed, SawCut, SetUp, Step

_PLAIN = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*\Z")
_QUOTED = r'"(?:[^"\\]|\\.)*"'
_TOKEN = re.compile(rf'(?:{_QUOTED}|[^\s"])+|"')
_HEAD = ("title", "board", "copies")
_SHOP = ("saws", "allowances", "limits", "minutes", "small_parts", "clamps", "overlays")

# field of a step → key on its line, in the order written
_KEYS = {
    "count": "count", "wood": "wood", "length_mm": "length", "width_mm": "width",
    "takes": "from", "bars": "bars", "billets": "billets", "per_bar": "per_bar",
    "leaves": "leaves", "parts": "part", "cuts": "cut", "seams_deg": "seams",
    "clampings": "clampings", "angled": "angled", "corner_deg": "corner", "depth_mm": "depth",
    "squared": "squared",
    "head_to_tail": "head_to_tail", "set_up": "set", "second_set_up": "second", "set_ups": "set",
    "rest": "rest", "apart": "apart", "closes": "closes", "hold": "hold",
    "caul_mm": "caul", "together": "together", "long": "long", "parted": "parted",
    "lots": "lot", "beside": "beside", "each": "each",
}  # fmt: skip
_LISTS = {"parts", "cuts", "set_ups", "long", "lots"}
_NOTHING = {"rest", "closes", "caul_mm", "parted", "beside"}
"""Fields that are left out where they are nothing."""


def plan_to_text(plan: Plan) -> str:
    """A plan as text.

    Raises:
        PlanError: a number in the plan is not finite.
    """
    plan_to_json(plan)
    lines = [
        f"seamwright plan {SCHEMA}",
        f"title {json.dumps(plan.title)}",
        f"board {_item(Placed(part=plan.board, at=plan.board_at))}",
        f"copies {plan.copies}",
    ]
    for section in _SHOP:
        if getattr(plan.shop, section) in (NO_JIGS, UNCOUNTED, NO_OVERLAYS):
            continue
        values = asdict(getattr(plan.shop, section))
        lines.append(f"shop {section} " + " ".join(f"{k}={v!r}" for k, v in values.items()))
    if plan.backed is not None:
        told = {k: v for k, v in asdict(plan.backed).items() if v is not None}
        lines.append("backed " + " ".join(f"{k}={_told(v)}" for k, v in told.items()))
    lines.extend(_line(number, step) for number, step in enumerate(plan.steps, start=1))
    return "\n".join(lines) + "\n"


def plan_from_text(text: str) -> Plan:
    """The plan written in a text.

    Raises:
        PlanError: with every fault found and its line.
    """
    return _Text(text).plan()


def _told(value: object) -> str:
    return json.dumps(value) if isinstance(value, str) else repr(value)


def _name(name: str) -> str:
    return name if _PLAIN.match(name) else json.dumps(name)


def _line(number: int, step: Step) -> str:
    words = [str(number), step.verb, _name(step.makes)]
    for name, key in _KEYS.items():
        value = getattr(step, name, None)
        if value is None or value is False or (name in _NOTHING and not value):
            continue
        if name in {"together", "each"} and value == 1:
            continue
        if value is Hold.SLED:
            continue
        if name in _LISTS:
            words.extend(f"{key}={_item(entry)}" for entry in value)
        else:
            words.append(key if value is True else f"{key}={_item(value)}")
    return " ".join(words)


def _item(value: object) -> str:
    if isinstance(value, SawCut):
        return repr(value.at_mm) + ("" if value.angle_deg == 90.0 else f"@{value.angle_deg!r}")
    if isinstance(value, EdgeCut):
        return f"{value.x_mm!r},{value.y_mm!r}@{value.angle_deg!r}"
    if isinstance(value, SetUp):
        words = [value.machine.name.lower(), repr(value.size_mm), repr(value.angle_deg)]
        return ",".join([*words, _name(value.match)] if value.match else words)
    if isinstance(value, Placed):
        at = value.at
        place = [repr(at.x_mm), repr(at.y_mm), repr(at.turn_deg), *(["over"] if at.over else [])]
        return _name(value.part) + ("" if at == Motion() else "@" + ",".join(place))
    if isinstance(value, Lot):
        words = [f"{_name(held.kind)},{held.count}" for held in value.holds]
        return ",".join([str(value.times), *words])
    plain = value.name.lower() if isinstance(value, Hold) else value
    return _name(plain) if isinstance(plain, str) else repr(plain)


class _Text:
    """Reads the lines into what ``plan_from_json`` reads, and lends its faults their lines."""

    def __init__(self, text: str) -> None:
        self.lines = [
            (number, line)
            for number, line in enumerate(text.split("\n"), start=1)
            if line.strip() and not line.lstrip().startswith("#")
        ]
        self.faults: list[Fault] = []
        self.at: dict[str, int] = {}

    def fault(self, line: int, subject: str, message: str, remedy: str = "") -> None:
        self.faults.append(Fault("P305", subject, message, remedy, line=line))

    def plan(self) -> Plan:
        document: dict[str, Any] = {"schema": self._version(), "shop": {}, "steps": []}
        for line, text in self.lines[1:]:
            words = _TOKEN.findall(text)
            try:
                self._read(document, line, words)
            except (ValueError, IndexError, KeyError) as error:
                self.fault(line, words[0][:20], f"cannot be read ({error})"[:100])
        if self.faults:
            raise PlanError(*self.faults)
        try:
            return plan_from_json(document)
        except PlanError as error:
            raise PlanError(*map(self._with_line, error.faults)) from None

    def _version(self) -> int:
        first = self.lines[0][1].split() if self.lines else []
        if first[:2] != ["seamwright", "plan"] or len(first) != 3 or not first[2].isdecimal():
            raise PlanError(
                Fault("P301", "the plan", f"does not begin with: seamwright plan {SCHEMA}", line=1)
            )
        return int(first[2][:9])

    def _with_line(self, fault: Fault) -> Fault:
        step = re.match(r"plan\.(steps\[\d+\]|\w+(?:\.\w+)?)", fault.subject)
        line = self.at.get(step.group(1)) if step else None
        return Fault(fault.code, fault.subject, fault.message, fault.remedy, line=line)

    def _read(self, document: dict[str, Any], line: int, words: Sequence[str]) -> None:
        if words[0] in _HEAD:
            document |= _head(words[0], words[1])
            self.at[words[0]] = line
        elif words[0] == "shop" and len(words) > 1 and words[1] in _SHOP:
            pairs = (word.partition("=") for word in words[2:])
            document["shop"][words[1]] = {key: _number(value) for key, _, value in pairs}
            self.at[f"shop.{words[1]}"] = line
        elif words[0] == "backed" and len(words) > 1:
            pairs = (word.partition("=") for word in words[1:])
            document["backed"] = {key: _plain(value, "") for key, _, value in pairs}
            self.at["backed"] = line
        elif words[0].isdecimal() and len(words) > 2 and words[1] in VERBS:
            self.at[f"steps[{len(document['steps'])}]"] = line
            document["steps"].append(self._step(line, words))
        else:
            self.fault(line, words[0][:20], "begins no line of a plan")

    def _step(self, line: int, words: Sequence[str]) -> dict[str, Any]:
        kind = VERBS[words[1]]
        known = {_KEYS[f.name]: f.name for f in fields(kind) if f.name in _KEYS}
        told: dict[str, Any] = {"verb": words[1], "makes": _word(words[2])}
        told |= {name: [] for name in known.values() if name in _LISTS}
        told |= {name: False for name in known.values() if name == "head_to_tail"}
        for word in words[3:]:
            key, sign, value = word.partition("=")
            name = known.get(key)
            if name is None:
                self.fault(line, key[:20], f"does not belong to {words[1]}", ", ".join(known))
            elif name in _LISTS:
                told[name].append(_PARSERS[name](value, kind.verb))
            elif sign:
                told[name] = _PARSERS.get(name, _plain)(value, kind.verb)
            else:
                told[name] = True
        return told


def _head(key: str, text: str) -> dict[str, object]:
    if key != "board":
        return {key: int(text) if key == "copies" else _word(text)}
    placed = _part(text, "")
    return {"board": placed["part"]} | ({"board_at": placed["at"]} if "at" in placed else {})


def _word(text: str) -> str:
    if text.startswith('"'):
        return str(json.loads(text))
    if not _PLAIN.match(text):
        raise ValueError(f"{text[:20]} is no plain word: put it in double quotes")
    return text


def _number(text: str) -> int | float:
    return int(text) if re.fullmatch(r"[+-]?\d{1,18}", text) else float(text)


def _plain(text: str, _verb: str) -> object:
    return _word(text) if text.startswith('"') or _PLAIN.match(text) else _number(text)


def _cut(text: str, verb: str) -> dict[str, object]:
    place, _, angle = text.partition("@")
    if verb == "slice":
        cut: dict[str, object] = {"at_mm": _number(place)}
        return cut | ({"angle_deg": _number(angle)} if angle else {})
    x, y = place.split(",")
    return {"x_mm": _number(x), "y_mm": _number(y), "angle_deg": _number(angle)}


def _part(text: str, _verb: str) -> dict[str, object]:
    found = re.fullmatch(rf"({_QUOTED}|[^@\"]+)(?:@(.*))?", text, flags=re.DOTALL)
    if not found:
        raise ValueError(f"part {text[:20]}")
    told: dict[str, object] = {"part": _word(found.group(1))}
    if found.group(2) is None:
        return told
    x, y, turn, *over = found.group(2).split(",")
    if over not in ([], ["over"]):
        raise ValueError(f"part {text[:40]}")
    numbers = zip(("x_mm", "y_mm", "turn_deg"), map(_number, (x, y, turn)), strict=True)
    return told | {"at": {**dict(numbers), "over": bool(over)}}


def _set_up(text: str, _verb: str) -> dict[str, object]:
    machine, size, angle, *match = text.split(",", 3)
    known = {entry.name.lower(): entry.value for entry in Machine}
    if machine not in known:
        raise ValueError(f"machine {machine[:20]}: use one of {', '.join(known)}")
    told: dict[str, object] = {"machine": known[machine], "size_mm": _number(size)}
    return told | {"angle_deg": _number(angle), "match": _word(match[0]) if match else ""}


def _hold(text: str, _verb: str) -> object:
    known = {entry.name.lower(): entry.value for entry in Hold}
    if text not in known:
        raise ValueError(f"hold {text[:20]}: use one of {', '.join(known)}")
    return known[text]


def _lot(text: str, _verb: str) -> dict[str, object]:
    times, *words = re.findall(rf"{_QUOTED}|[^,]+", text)
    held = zip(words[::2], words[1::2], strict=True)
    told = [{"kind": _word(kind), "count": _number(count)} for kind, count in held]
    return {"times": _number(times), "holds": told}


_PARSERS: Mapping[str, Callable[[str, str], object]] = {
    "cuts": _cut,
    "parts": _part,
    "set_up": _set_up,
    "second_set_up": _set_up,
    "set_ups": _set_up,
    "hold": _hold,
    "long": _lot,
    "lots": _lot,
}
