"""A nut goes fully on with spare thread, by a counterbore if need be, and the counterbore leaves ledge enough."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.bored import bore_findings, propose, spot
from app.fit.depth import SLIGHT, held_thickness
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.model.part import NutFixing, Part, SnapFixing


def find(layout: Layout) -> list[Finding]:
    """Findings shared by all placements of one part with the same counterbore: one cause, one finding."""
    found: list[Finding] = []
    parts = layout.parts[0]
    for (index, bore, recess), owners in layout.seats.items():
        part = parts[index]
        if isinstance(part.fixing, NutFixing):
            cut = max(bore.depth if bore else 0.0, recess.depth if recess else 0.0)
            found += _reach(layout, part, part.fixing, cut, owners)
        if bore and not isinstance(part.fixing, SnapFixing):
            found += bore_findings(layout, RULE.name, part, bore, owners)
    return found


def _reach(layout: Layout, part: Part, nut: NutFixing, cut: float, owners: Sequence[int]) -> list[Finding]:
    """A stop where the nut does not go fully on, a caution where no spare thread shows."""
    held = held_thickness(layout.board.thickness, cut, layout.board.paint)
    taken = nut.nut_height + nut.washer
    showing = nut.thread_length - taken - held
    if showing >= nut.spare_thread - SLIGHT:
        return []
    subjects, where = spot(layout, owners)
    detail = {
        "cause": "reach",
        "thread": nut.thread_length,
        "taken": taken + nut.spare_thread,
        "held": held,
        "nut_width": nut.nut_width,
        "paint": layout.board.paint,
        **propose(layout, part).detail(),
    }
    severity: Severity = "stop" if showing < -SLIGHT else "caution"
    required = 0.0 if severity == "stop" else nut.spare_thread
    return [Finding(RULE.name, severity, subjects, where, showing, required, part.source.text, detail=detail)]


RULE = Rule(
    "thread-reach",
    "Each nut goes fully on with spare thread; a counterbore for it is wide enough and leaves ledge enough.",
    ("stop", "caution"),
    "The part's own measures; room for a spanner and depth steps are defaults of the catalogue.",
    find,
)
