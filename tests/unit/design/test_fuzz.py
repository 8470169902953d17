"""Whatever a file holds: a drawing or a DesignError, never anything else."""

import string

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from seamwright import design
from seamwright.errors import DesignError

VALID = (design.demo(), design.starter())
KEYS = """title unit thickness kind grain copies woods block board patch outline columns rows
    cells from size letters drawing set sashing borders wood width sides runs cornerstones points
    name A B x""".split()  # noqa: SIM905
WORDS = st.sampled_from(
    ["in", "mm", "A", "B", "x", "x~90", "x~m x", "A/B", "A\\B A", "1/2", "1-1/2 1", "0,0 1,0 1,1",
     "0,0 2,0 0,2 2,2", "up", "across", "sawtooth star", "overlay", "1e99", "-1", "~", "é", "",
     "0,0 1,0 1,1 0,1", "3 3", "left right", "9" * 30, "A A\nA A", "0.0001", "11 mm"]
)  # fmt: skip
NUMBERS = st.one_of(
    st.integers(-3, 40), st.integers(), st.floats(width=32), st.sampled_from([1e308, -0.0, 1e-300])
)


def survives(text: str) -> None:
    try:
        drawing = design.read(text, name="fuzz", drawing_text=lambda name: f"<svg>{name}</svg>")
    except DesignError as error:
        for fault in error.faults:
            assert fault.code
            assert str(fault)
            assert len(str(fault)) < 1500
    else:
        assert design.read(design.write(drawing), name="again") == drawing


def toml(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        escaped = value.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n")
        return f'"{escaped}"'
    return repr(value).replace("e+", "e")


VALUES = st.recursive(
    st.one_of(WORDS, NUMBERS, st.booleans()),
    lambda inner: st.one_of(
        st.lists(inner, max_size=4), st.dictionaries(st.sampled_from(KEYS), inner, max_size=6)
    ),
    max_leaves=12,
)


@given(st.text())
@example("\x00")
@example("[[patch]]\n[patch]")
@settings(max_examples=100)
def test_random_text(text):
    survives(text)


@given(st.binary(max_size=200))
def test_random_bytes(raw):
    try:
        text = design.decode(raw)
    except DesignError as error:
        text = str(error.faults[0].line)
    survives(text)


@given(st.dictionaries(st.sampled_from(KEYS), VALUES, max_size=9))
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
def test_random_tables(table):
    survives("\n".join(f"{key} = {toml(value)}" for key, value in table.items()))


@given(
    st.dictionaries(
        st.sampled_from(["board", "block", "patch", "woods", "thickness", "outline"]), VALUES
    )
)
@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow])
def test_random_tables_over_a_good_head(table):
    good = {
        "unit": '"in"',
        "thickness": "1",
        "woods": '{A = "oak", B = "elm"}',
        "block": '{x = {columns = "1 1", rows = "1", cells = "A/B B"}}',
        "board": '{set = "x x"}',
    }
    survives(
        "\n".join(f"{k} = {v}" for k, v in (good | {k: toml(v) for k, v in table.items()}).items())
    )


@given(st.sampled_from(VALID), st.data())
@settings(max_examples=60, deadline=None)
def test_mutated_files(text, data):
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text)))
        to = min(len(text), at + data.draw(st.integers(0, 12)))
        new = data.draw(
            st.text(string.printable, max_size=6) | st.sampled_from([text[:40], "\n[", "0"])
        )
        text = text[:at] + new + text[to:]
    survives(text)
