"""A recess takes what lies in it, leaves ledge enough, and has corners that a router bit can cut."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.bored import spot
from app.fit.depth import SLIGHT, ledge_below
from app.fit.finding import Finding, Severity
from app.fit.layout import Layout
from app.fit.recess import inside_radius, propose_recess, recess_detail, recess_wanted
from app.fit.rule import Rule
from app.model.bay import bay_of
from app.model.part import Part
from app.model.resolved import Recess


def find(layout: Layout) -> list[Finding]:
    """One finding for each thing wrong with a recess that placements of one part share."""
    found: list[Finding] = []
    parts = layout.parts[0]
    for (index, _, recess), owners in layout.seats.items():
        if recess:
            found += _ledge(layout, parts[index], recess, owners)
            found += _room(layout, parts[index], recess, owners)
            found += _corner(layout, parts[index], recess, owners)
    return found


def _ledge(layout: Layout, part: Part, recess: Recess, owners: Sequence[int]) -> list[Finding]:
    ledge = ledge_below(layout.board.layers, recess.depth)
    if ledge.carries:
        return []
    detail: dict[str, float | str] = {"layer": ledge.layer.material.name if ledge.layer else ""}
    depth = recess_wanted(layout, part)
    if depth and part.lever:
        detail |= recess_detail(propose_recess(layout, part, depth))
    source = ledge.layer.material.limits.source.text if ledge.layer else "A hole right through is no recess."
    return [_finding(layout, owners, "stop", "ledge", (ledge.thickness, ledge.floor), source, recess, detail)]


def _room(layout: Layout, part: Part, recess: Recess, owners: Sequence[int]) -> list[Finding]:
    gap = layout.default("recess-gap")
    bay = bay_of(part, layout.default("spanner-room").value, layout.default("clip-room").value)
    room = bay.clearance(recess)
    if room >= gap.value - SLIGHT:
        return []
    severity: Severity = "stop" if room < -SLIGHT else "caution"
    needed = propose_recess(layout, part, recess.depth)
    required = 0.0 if severity == "stop" else gap.value
    detail = {"seat_width": bay.width, "seat_height": bay.height, **recess_detail(needed)}
    return [_finding(layout, owners, severity, "room", (room, required), gap.source.text, recess, detail)]


def _corner(layout: Layout, part: Part, recess: Recess, owners: Sequence[int]) -> list[Finding]:
    radius = inside_radius(layout, recess.depth)
    if recess.corner >= radius - SLIGHT:
        return []
    detail = recess_detail(propose_recess(layout, part, recess.depth))
    wider = recess_detail(Recess(recess.width, recess.height, radius, recess.depth))
    bay = bay_of(part, layout.default("spanner-room").value, layout.default("clip-room").value)
    rounder = Recess(recess.width, recess.height, min(radius, recess.width / 2, recess.height / 2), recess.depth)
    if rounder.corner >= radius - SLIGHT and bay.clearance(rounder) >= layout.default("recess-gap").value - SLIGHT:
        detail = wider
    numbers = (recess.corner, radius)
    return [_finding(layout, owners, "caution", "corner", numbers, _ROUTED, recess, detail)]


def _finding(
    layout: Layout,
    owners: Sequence[int],
    severity: Severity,
    cause: str,
    numbers: tuple[float, float],
    source: str,
    recess: Recess,
    detail: dict[str, float | str],
) -> Finding:
    subjects, where = spot(layout, owners)
    made: dict[str, float | str] = {"cause": cause, "made_depth": recess.depth}
    return Finding(RULE.name, severity, subjects, where, *numbers, source, detail={**made, **detail})


_ROUTED = "An inside corner is at least as round as the router bit that cuts it."

RULE = Rule(
    "recess",
    "Each recess takes its part, leaves ledge enough, and its corners can be routed.",
    ("stop", "caution"),
    "The floor of each material; room round a part is a default of the catalogue.",
    find,
)
