"""Plans as JSON, exactly, with a schema version.

The keys are the names of the fields, a step's ``verb`` says which step it is, and enums are
written by their value. Numbers come back bit for bit.
"""

from __future__ import annotations

import math
import types
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any, Union, cast, get_args, get_origin, get_type_hints

from seamwright.errors import Fault, PlanError
from seamwright.plan.model import Plan
from seamwright.plan.steps import Laminate, Mill, Resaw, Slice, Step, Surface, Trim

SCHEMA = 1
"""Version of both written forms of a plan; a change of meaning raises it."""

VERBS: Mapping[str, type[Step]] = types.MappingProxyType(
    {kind.verb: kind for kind in (Mill, Slice, Trim, Laminate, Resaw, Surface)}
)
_MANY = 40
_STEPS = Step


def plan_to_json(plan: Plan) -> dict[str, object]:
    """A plan as plain dicts, lists, strings and numbers.

    Raises:
        PlanError: a number in the plan is not finite, so JSON cannot hold it.
    """
    faults: list[Fault] = []
    written = _written(plan, "plan", faults)
    if faults:
        raise PlanError(*faults)
    return {"schema": SCHEMA, **written}


def plan_from_json(document: Mapping[str, object]) -> Plan:
    """The plan written in a document.

    Args:
        document: what ``plan_to_json`` gave.
    Raises:
        PlanError: with every fault found: another schema, missing or unknown keys, wrong types.
    """
    reader = _Reader()
    if not isinstance(document, Mapping):
        raise PlanError(Fault("P301", "the plan", "is not a JSON object"))
    rest = dict(document)
    version = rest.pop("schema", None)
    if version != SCHEMA or isinstance(version, bool):
        raise PlanError(
            Fault(
                "P302",
                "the plan",
                f"has schema {str(version)[:20]!r}",
                f"this version reads {SCHEMA}",
            )
        )
    try:
        plan = reader.read(Plan, rest, "plan")
    except RecursionError:
        raise PlanError(Fault("P301", "the plan", "is nested far too deep")) from None
    if reader.faults:
        raise PlanError(*reader.faults)
    return cast("Plan", plan)


def _written(value: Any, where: str, faults: list[Fault]) -> Any:
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [_written(entry, f"{where}[{i}]", faults) for i, entry in enumerate(value)]
    if is_dataclass(value):
        told = {"verb": value.verb} if isinstance(value, _STEPS) else {}
        for entry in fields(value):
            name = entry.name
            told[name] = _written(getattr(value, name), f"{where}.{name}", faults)
        return told
    if isinstance(value, float) and not math.isfinite(value):
        faults.append(Fault("P303", where, f"is {value}", "a plan holds finite numbers only"))
    return value


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


@dataclass(slots=True)
class _Reader:
    """Builds values of the types the dataclasses declare and collects what does not fit."""

    faults: list[Fault] = field(default_factory=list)

    def fault(self, where: str, message: str, remedy: str = "") -> None:
        if len(self.faults) < _MANY:
            self.faults.append(Fault("P304", where, message, remedy))

    def read(self, kind: Any, value: object, where: str) -> object:
        """The value as that type; None, and a fault, where it is not."""
        if kind is _STEPS:
            return self._step(value, where)
        if get_origin(kind) is tuple:
            return self._tuple(get_args(kind)[0], value, where)
        if get_origin(kind) in {types.UnionType, Union}:
            wanted = next(entry for entry in get_args(kind) if entry is not type(None))
            return None if value is None else self.read(wanted, value, where)
        if is_dataclass(kind):
            return self._object(kind, value, where)
        if issubclass(kind, Enum):
            return self._enum(kind, value, where)
        return self._plain(kind, value, where)

    def _plain(self, kind: type, value: object, where: str) -> object:
        if kind is float and isinstance(value, int | float) and not isinstance(value, bool):
            if abs(value) <= 1e300:
                return float(value)
            self.fault(where, f"is {str(value)[:20]}", "write a number of millimetres or degrees")
        elif type(value) is kind:
            return value
        else:
            wanted = {float: "a number", int: "a whole number", str: "text", bool: "true or false"}
            self.fault(where, f"is {str(value)[:30]!r}", f"write {wanted[kind]}")
        return None

    def _enum(self, kind: type[Enum], value: object, where: str) -> object:
        for entry in kind:
            if entry.value == value:
                return entry
        known = ", ".join(str(entry.value) for entry in kind)
        self.fault(where, f"is {str(value)[:30]!r}", f"use one of: {known}")
        return None

    def _tuple(self, kind: Any, value: object, where: str) -> tuple[object, ...]:
        if not isinstance(value, list | tuple):
            self.fault(where, f"is {str(value)[:30]!r}", "write a list")
            return ()
        return tuple(self.read(kind, entry, f"{where}[{i}]") for i, entry in enumerate(value))

    def _step(self, value: object, where: str) -> object:
        verb = value.get("verb") if isinstance(value, Mapping) else None
        if not isinstance(value, Mapping) or not isinstance(verb, str) or verb not in VERBS:
            self.fault(where, f"has verb {str(verb)[:20]!r}", f"use one of: {', '.join(VERBS)}")
            return None
        rest = {key: entry for key, entry in value.items() if key != "verb"}
        return self._object(VERBS[verb], rest, where)

    def _object(self, kind: Any, value: object, where: str) -> object:
        if not isinstance(value, Mapping):
            self.fault(where, f"is {str(value)[:30]!r}", "write an object")
            return None
        before = len(self.faults)
        known = {entry.name: entry for entry in fields(kind)}
        hints = _hints(kind)
        for key in value:
            if key not in known:
                self.fault(f"{where}.{str(key)[:30]}", "is not known", ", ".join(known))
        built = {
            name: self.read(hints[name], value[name], f"{where}.{name}")
            for name in known
            if name in value
        }
        for name, entry in known.items():
            if name not in value and entry.default is MISSING and entry.default_factory is MISSING:
                self.fault(f"{where}.{name}", "is missing")
        return kind(**built) if len(self.faults) == before else None
