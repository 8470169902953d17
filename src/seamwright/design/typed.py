"""What a board is made on, as typed on a screen: read by the rules of the design file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from seamwright.design.backing import read_backing
from seamwright.design.fields import Table
from seamwright.design.findings import Findings
from seamwright.design.model import Drawing, Kind
from seamwright.design.reader import read_thickness
from seamwright.geometry import snap


def made_on(drawing: Drawing, values: Mapping[str, object]) -> Drawing:
    """The drawing made through, or as a face on another backing.

    Args:
        drawing: the drawing.
        values: ``kind``, ``thickness`` and perhaps ``backing``, as in the head of a design file.
    Raises:
        DesignError: any of it breaks a rule; the subject of each fault is the key it is about.
    """
    findings = Findings()
    top = Table(values, path=(), findings=findings, unit=drawing.unit)
    thickness = read_thickness(top)
    kind = top.choice("kind", Kind, Kind.THROUGH)
    backing = read_backing(top, kind, drawing.woods)
    findings.refuse()
    if thickness is None:
        raise AssertionError("a thickness, or a fault")
    return replace(drawing, kind=kind, thickness_mm=snap(float(thickness)), backing=backing)
