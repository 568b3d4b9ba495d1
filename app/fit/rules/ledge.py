"""What a counterbore or recess leaves of the board bears a hard slap on the part; the floor is judged elsewhere.

A ledge thinner than its material's floor is a stop of the rule about the thread, the clips or the recess that cut it;
here the estimate of strength is judged, which matters above wide cuts and below small parts.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from app.fit.bored import propose, spot
from app.fit.depth import TINY, ledge_below
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.fit.strength.ledge import LedgeStrength, ledge_needed, stack_strength
from app.model.part import Part
from app.model.resolved import Counterbore, Recess


def find(layout: Layout) -> list[Finding]:
    """A stop where the estimate says it breaks, a caution where it bears less than the factor of safety asks."""
    found: list[Finding] = []
    parts = layout.parts[0]
    for (index, bore, recess), owners in layout.seats.items():
        holes = layout.placed[owners[0]].holes
        if (bore or recess) and holes:
            for cut, radius, depth in _cuts(bore, recess):
                found += _judged(layout, parts[index], cut, holes[0].diameter / 2, radius, depth, owners)
    return found


def _cuts(bore: Counterbore | None, recess: Recess | None) -> Iterator[tuple[str, float, float]]:
    """What is cut from below: its name, radius and depth [mm]. A recess counts as the circle through its corners."""
    if bore:
        yield "counterbore", bore.diameter / 2, bore.depth
    if recess:
        yield "recess", math.hypot(recess.width, recess.height) / 2, recess.depth


def _judged(
    layout: Layout, part: Part, cut: str, hole: float, radius: float, depth: float, owners: Sequence[int]
) -> list[Finding]:
    layers, load = layout.board.layers, layout.default("slap-load")
    ledge = ledge_below(layers, depth)
    slender, safety = layout.default("plate-slender").value, layout.default("ledge-safety")
    if not ledge.carries:
        return []
    strength = stack_strength(layers, hole, radius, ledge.thickness, load.value, slender)
    if strength is None or strength.factor >= safety.value - TINY:
        return []
    severity: Severity = "stop" if strength.factor < 1 else "caution"
    wanted = 1.0 if severity == "stop" else safety.value
    needed = ledge_needed(layers, hole, radius, load.value, slender, wanted)
    subjects, where = spot(layout, owners)
    detail: dict[str, float | str] = {
        "cause": "strength",
        "cut": cut,
        "made_depth": depth,
        "load": load.value,
        "wanted": wanted,
        "enough": float(needed is not None),
        **_detail(strength),
        **(propose(layout, part).detail() if cut == "counterbore" else {}),
    }
    required = layout.board.thickness if needed is None else needed
    return [Finding(RULE.name, severity, subjects, where, ledge.thickness, required, safety.source.text, detail=detail)]


def _detail(strength: LedgeStrength) -> dict[str, float | str]:
    return {
        "layer": strength.layer.material.name,
        "factor": strength.factor,
        "governed_by": strength.governed_by,
        "stress": strength.shear if strength.governed_by == "shear" else strength.stress,
        "strength": strength.shear_strength if strength.governed_by == "shear" else strength.bending,
        "in_plate_range": float(strength.in_plate_range),
    }


RULE = Rule(
    "ledge",
    "What a counterbore or recess leaves of the board bears a hard slap; an estimate for choosing a depth.",
    ("stop", "caution"),
    "Plates of Roark, 7th ed., table 11.2, and ring shear; load and factor are defaults of the catalogue.",
    find,
)
