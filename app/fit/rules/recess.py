"""A recess takes what lies in it, leaves ledge enough, and has corners that a router bit can cut."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.changes.proposed_cuts import recess_fixes, recess_tries
from app.fit.detail import RecessDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.judging.hardware_sizes import measures_of_things
from app.fit.judging.recess_check import inside_radius, propose_recess, recess_wanted
from app.fit.limits.cut_depths import SLIGHT, ledge_below
from app.fit.rule import Rule
from app.fit.words.changes import options, room_first, warning
from app.fit.words.finding import both, lacking
from app.fit.words.hold import ledge_message
from app.fit.words.lengths import are, names, nothing, off, say, verb, whose
from app.model.part import Part
from app.model.recess_envelope import recess_envelope_of
from app.model.resolved import Recess, ResolvedBoard
from app.units import Unit
from app.values import replace


class PocketDetail(RecessDetail, frozen=True, kw_only=True):
    """A recess that is wrong.

    Args:
        layer: name of the material that asks for more ledge; empty if nothing is left of the board.
        seat: width and height of what has to go in [mm]; 0 where that is not judged.
    """

    layer: str = ""
    seat: tuple[float, float] = (0.0, 0.0)


def find(layout: Layout) -> list[FindingOf[PocketDetail]]:
    """One finding for each feature wrong with a recess that placements of one part share."""
    found: list[FindingOf[PocketDetail]] = []
    parts = layout.parts[0]
    for (index, _, recess), owners in layout.seats.items():
        if recess:
            found += _ledge(layout, parts[index], recess, owners)
            found += _room(layout, parts[index], recess, owners)
            found += _corner(layout, parts[index], recess, owners)
    return found


def _ledge(layout: Layout, part: Part, recess: Recess, owners: Sequence[int]) -> list[FindingOf[PocketDetail]]:
    ledge = ledge_below(layout.board.layers, recess.depth)
    if ledge.carries:
        return []
    depth = recess_wanted(layout, part)
    detail = PocketDetail(
        cause="ledge",
        made_depth=recess.depth,
        layer=ledge.layer.material.name if ledge.layer else "",
        wanted_recess=propose_recess(layout, part, depth) if depth and part.lever else None,
    )
    source = ledge.layer.material.limits.source.text if ledge.layer else "A hole right through is no recess."
    return [_finding(layout, owners, "stop", (ledge.thickness, ledge.floor), source, detail)]


def _room(layout: Layout, part: Part, recess: Recess, owners: Sequence[int]) -> list[FindingOf[PocketDetail]]:
    gap = layout.default("recess-gap")
    envelope = recess_envelope_of(part, layout.default("spanner-room").value, layout.default("clip-room").value)
    room = envelope.clearance(recess)
    if room >= gap.value - SLIGHT:
        return []
    severity: Severity = "stop" if room < -SLIGHT else "caution"
    required = 0.0 if severity == "stop" else gap.value
    detail = PocketDetail(
        cause="room",
        made_depth=recess.depth,
        seat=(envelope.width, envelope.height),
        wanted_recess=propose_recess(layout, part, recess.depth),
    )
    return [_finding(layout, owners, severity, (room, required), gap.source.text, detail)]


def _corner(layout: Layout, part: Part, recess: Recess, owners: Sequence[int]) -> list[FindingOf[PocketDetail]]:
    radius = inside_radius(layout, recess.depth)
    if recess.corner >= radius - SLIGHT:
        return []
    wanted = propose_recess(layout, part, recess.depth)
    envelope = recess_envelope_of(part, layout.default("spanner-room").value, layout.default("clip-room").value)
    rounder = replace(recess, corner=min(radius, recess.width / 2, recess.height / 2))
    if rounder.corner >= radius - SLIGHT and envelope.clearance(rounder) >= layout.default("recess-gap").value - SLIGHT:
        wanted = replace(recess, corner=radius)
    detail = PocketDetail(cause="corner", made_depth=recess.depth, wanted_recess=wanted)
    return [_finding(layout, owners, "caution", (recess.corner, radius), _ROUTED, detail)]


def _finding(
    layout: Layout,
    owners: Sequence[int],
    severity: Severity,
    numbers: tuple[float, float],
    source: str,
    detail: PocketDetail,
) -> FindingOf[PocketDetail]:
    subjects, where = subjects_and_place(layout, owners)
    return FindingOf(RULE.name, severity, subjects, where, *numbers, source, detail)


def _message(f: FindingOf[PocketDetail], board: ResolvedBoard, unit: Unit) -> str:
    detail, one, start = f.detail, f.subjects, whose("recess", board, f.subjects)
    measured, required = both(f, unit)
    if detail.cause == "ledge":
        return ledge_message(f, start, detail.layer, detail.made_depth, unit)
    if detail.cause == "corner":
        inside = "sharp inside corners" if nothing(f.measured or 0.0) else f"inside corners of {measured}"
        return f"{start} {verb(one, 'have')} {inside}; the router bit leaves {required}."
    size = " × ".join(say(side, unit) for side in detail.seat)
    if f.severity == "stop":
        return f"{start} {are(one)} too small: {size} has to go in, and a wall is {off(f.lack, unit)} in the way."
    room, it = "no room" if nothing(f.measured or 0.0) else measured, "it" if len(one) == 1 else "them"
    return f"{start} {verb(one, 'leave')} {room} round what sits in {it}, {size}; {required} is needed."


def _phrase(findings: Sequence[FindingOf[PocketDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    what = {"ledge": "ledge above the recess {} too thin", "corner": "recess corners {} too tight"}
    return what.get(findings[0].detail.cause, "recess {} too small").format(lacking(findings, unit))


def _remedy(f: FindingOf[PocketDetail], advice: Advice, unit: Unit) -> str:
    if advice.ways:
        return options(f, advice, unit)
    who = names(advice.board, f.subjects)
    if advice.tried and f.detail.recess is not None:
        return f"{warning(f, advice, unit)}{room_first(advice)}se another part for {who}."
    shallower = f.detail.cause == "ledge"
    what = "shallower" if shallower else "larger, with rounder corners"
    other = ", or the board thicker" if shallower else ", or use a smaller part"
    return f"Make the recess{'' if len(f.subjects) == 1 else 'es'} of {who} {what}{other}."


def _measures(finding: FindingOf[PocketDetail]) -> tuple[str, ...]:
    return measures_of_things(("plate", "body")) if finding.detail.cause == "room" else ()


_ROUTED = "An inside corner is at least as round as the router bit that cuts it."

RULE = Rule(
    name="recess",
    meaning="Each recess takes its part, leaves enough ledge, and has corners that can be routed.",
    severities=("stop", "caution"),
    source="The floor of each material; room round a part is a default of the catalogue.",
    detail=PocketDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    tries=recess_tries,
    fixes=recess_fixes,
    harm="the recess is wrong",
    measures=_measures,
)
