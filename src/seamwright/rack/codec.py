"""Cut plans as plain dicts, lists, texts and numbers, and back: for the store and for programs."""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import MISSING, fields, is_dataclass
from enum import Enum
from functools import cache
from typing import Any, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from seamwright.errors import Fault
from seamwright.rack.boards import RackError
from seamwright.rack.layout import CutPlan

FORM = 1
"""Version of the written form; a change of meaning raises it."""

Frozen = TypeVar("Frozen")


def cut_plan_to_json(plan: CutPlan) -> dict[str, object]:
    """A cut plan with its boards, pieces and cuts; keys are the names of the fields."""
    return {"form": FORM, **cast(dict[str, object], written(plan))}


def cut_plan_from_json(document: object) -> CutPlan:
    """The cut plan in a document.

    Raises:
        RackError: it is none, or of another form.
    """
    if not isinstance(document, Mapping) or document.get("form") != FORM:
        raise RackError(Fault("R160", "the cut plan", "has another form", "plan the cuts again"))
    return read(CutPlan, {key: value for key, value in document.items() if key != "form"})


def written(value: object) -> object:
    """A frozen value as plain ones; enums by their value."""
    if is_dataclass(value):
        return {field.name: written(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, Enum):
        return value.value
    if isinstance(value, tuple):
        return [written(entry) for entry in value]
    return value


def read(kind: type[Frozen], value: object) -> Frozen:
    """The frozen value of a kind that was written.

    Raises:
        RackError: it is not one.
    """
    try:
        return cast(Frozen, _read(kind, value))
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        raise RackError(
            Fault("R160", "what was kept", f"cannot be read ({error!s:.80})", "plan the cuts again")
        ) from None


@cache
def _hints(kind: type) -> dict[str, Any]:
    return get_type_hints(kind)


def _read(kind: Any, value: Any) -> Any:  # noqa: PLR0911 - one way for each kind of value
    origin = get_origin(kind)
    if origin in (Union, types.UnionType):
        inner = next(part for part in get_args(kind) if part is not type(None))
        return None if value is None else _read(inner, value)
    if origin is tuple:
        parts = get_args(kind)
        if len(parts) == 2 and parts[1] is Ellipsis:
            return tuple(_read(parts[0], entry) for entry in value)
        return tuple(_read(part, entry) for part, entry in zip(parts, value, strict=True))
    if is_dataclass(kind):
        hints = _hints(cast(type, kind))
        # a field with a usual value may be missing: the plan was kept before there was one
        needed = {f.name for f in fields(kind) if f.default is MISSING}
        if not needed <= set(value) <= set(hints):
            raise ValueError("keys are missing or unknown")
        return cast(type, kind)(**{name: _read(hints[name], value[name]) for name in value})
    if issubclass(kind, Enum):
        return kind(value)
    if kind is float and isinstance(value, int) and not isinstance(value, bool):
        return float(value)
    if type(value) is not kind:
        raise ValueError(f"{value!r:.40} is no {kind.__name__}")
    return value
