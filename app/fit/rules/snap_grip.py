"""The board, less any counterbore, is of a thickness that a snap-in part's clips hold."""

from __future__ import annotations

from app.fit.bored import bore_findings, propose, spot
from app.fit.depth import SLIGHT, held_thickness
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.rule import Rule
from app.model.part import SnapFixing


def find(layout: Layout) -> list[Finding]:
    """A stop where the clips cannot spring out, a caution where they hold loosely; shared as for threads."""
    found: list[Finding] = []
    parts = layout.parts[0]
    for (index, bore, recess), owners in layout.seats.items():
        part = parts[index]
        clips = part.fixing
        if not isinstance(clips, SnapFixing):
            continue
        cut = max(bore.depth if bore else 0.0, recess.depth if recess else 0.0)
        held = held_thickness(layout.board.thickness, cut, layout.board.paint)
        thick, thin = held > clips.grip_max + SLIGHT, held < clips.grip_min - SLIGHT
        if thick or thin:
            subjects, where = spot(layout, owners)
            severity: Severity = "stop" if thick else "caution"
            measured, required = (clips.grip_max, held) if thick else (held, clips.grip_min)
            detail = {
                "cause": "thick" if thick else "thin",
                "held": held,
                "paint": layout.board.paint,
                "grip_min": clips.grip_min,
                "grip_max": clips.grip_max,
                **propose(layout, part).detail(),
            }
            found.append(
                Finding(RULE.name, severity, subjects, where, measured, required, part.source.text, detail=detail)
            )
        if bore:
            found += bore_findings(layout, RULE.name, part, bore, owners)
    return found


RULE = Rule(
    "snap-grip",
    "The clips of each snap-in part hold the board, or what a counterbore leaves of it.",
    ("stop", "caution"),
    "The part's own measures.",
    find,
)
