"""What a counterbore or recess leaves of the board bears a hard slap on the part; the floor is judged elsewhere.

A ledge thinner than its material's floor is a stop of the rule about the thread, the clips or the recess that cut it;
here the estimate of strength is judged, which matters above wide cuts and below small parts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from app.fit.bored import propose, spot
from app.fit.depth import TINY, ledge_below
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.recess import recess_detail, step_of
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
        for cut in (bore, recess):
            if cut and holes:
                found += _judged(layout, parts[index], cut, holes[0].diameter / 2, owners)
    return found


def _radius(cut: Counterbore | Recess) -> float:
    """Radius of what is cut from below [mm]; a recess counts as the circle through its corners."""
    return cut.diameter / 2 if isinstance(cut, Counterbore) else math.hypot(cut.width, cut.height) / 2


def _judged(layout: Layout, part: Part, cut: Counterbore | Recess, hole: float, owners: Sequence[int]) -> list[Finding]:
    layers, load = layout.board.layers, layout.default("slap-load")
    ledge, radius = ledge_below(layers, cut.depth), _radius(cut)
    slender, safety = layout.default("plate-slender").value, layout.default("ledge-safety")
    if not ledge.carries:
        return []
    strength = stack_strength(layers, hole, radius, ledge.thickness, load.value, slender)
    if strength is None or strength.factor >= safety.value - TINY:
        return []
    severity: Severity = "stop" if strength.factor < 1 else "caution"
    wanted = 1.0 if severity == "stop" else safety.value
    needed = ledge_needed(layers, hole, radius, load.value, slender, wanted, ledge.thickness)
    safe = ledge_needed(layers, hole, radius, load.value, slender, safety.value, ledge.thickness)
    subjects, where = spot(layout, owners)
    detail: dict[str, float | str] = {
        "cause": "strength",
        "cut": "recess" if isinstance(cut, Recess) else "counterbore",
        "made_depth": cut.depth,
        "load": load.value,
        "wanted": wanted,
        "enough": float(needed is not None),
        **_detail(strength),
        **_mend(layout, part, cut, safe),
    }
    required = layout.board.thickness if needed is None else needed
    return [Finding(RULE.name, severity, subjects, where, ledge.thickness, required, safety.source.text, detail=detail)]


def _mend(layout: Layout, part: Part, cut: Counterbore | Recess, needed: float | None) -> dict[str, float | str]:
    """A counterbore that the part holds with, or the recess as shallow as leaves a ledge ``needed`` mm thick."""
    if isinstance(cut, Counterbore):
        return propose(layout, part).detail()
    step = step_of(layout)
    depth = math.floor((layout.board.thickness - needed) / step) * step if needed else 0.0
    return recess_detail(replace(cut, depth=depth)) if depth > 0 else {}


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
