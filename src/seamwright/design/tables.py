"""Write the tables of a design file again after one of them was changed; notes in it are lost."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal

from seamwright.design.write import quoted

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def write_tables(values: Mapping[str, object]) -> str:
    """A design file with these values, plain ones first, then a table each.

    >>> print(write_tables({"unit": "mm", "block": {"a": {"from": "pinwheel"}}}), end="")
    unit = "mm"
    <BLANKLINE>
    [block.a]
    from = "pinwheel"
    """
    plain = {key: value for key, value in values.items() if not isinstance(value, Mapping)}
    patches = plain.pop("patch", None)
    parts = ["".join(f"{_key(key)} = {_value(value)}\n" for key, value in plain.items())]
    for key, value in values.items():
        if isinstance(value, Mapping) and key == "block":
            parts += [_table(f"block.{_key(name)}", inner) for name, inner in value.items()]
        elif isinstance(value, Mapping):
            parts.append(_table(_key(key), value))
    if isinstance(patches, list):
        parts += [_table("patch", patch, many=True) for patch in patches]
    return "\n".join(parts)


def _table(name: str, values: object, *, many: bool = False) -> str:
    head = f"[[{name}]]" if many else f"[{name}]"
    rows = values.items() if isinstance(values, Mapping) else ()
    return head + "\n" + "".join(f"{_key(key)} = {_value(value)}\n" for key, value in rows)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else quoted(key)


def _value(value: object) -> str:
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(k)} = {_value(v)}" for k, v in value.items()) + " }"
    if isinstance(value, list | tuple):
        if value and isinstance(value[0], Mapping):
            return "[\n" + "".join(f"    {_value(each)},\n" for each in value) + "]"
        return "[" + ", ".join(_value(each) for each in value) + "]"
    return _plain(value)


def _plain(value: object) -> str:
    if isinstance(value, str):
        several = "\n" in value and "'''" not in value and value.isascii()
        return f"'''\n{value.strip(chr(10))}\n'''" if several else quoted(value)
    if isinstance(value, bool):
        return "true" if value else "false"
    return format(value, "f") if isinstance(value, Decimal) else str(value)
