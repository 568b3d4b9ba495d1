"""What is wrong, shown in a section where it bites: a hatched patch on the part, a heavy bracket beside it."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.forms import box_path
from app.drafting.hardware.elevation_parts import height_above
from app.drafting.hardware.part_letters import main_shape
from app.drafting.section.sizes import Seen, Sizes
from app.drafting.section.stacking import Span, Tone
from app.fit.detail import BoreDetail
from app.fit.finding import Finding
from app.fit.rules import (
    bit_depth,
    depth_below,
    ledge,
    lever_height,
    recess,
    screw_hold,
    snap_grip,
    thread_reach,
)
from app.fit.rules.ledge import LedgeDetail
from app.fit.rules.recess import PocketDetail
from app.model.part import NutFixing, ScrewFixing, SnapFixing
from app.scene.palette import CAUTION, LIGHT, STOP
from app.scene.primitives import Item, Line, Style

_PATCH: dict[str, Style] = {
    "stop": Style(stroke=STOP, width=0.35, fill=LIGHT["stop-pale"], opacity=0.75, role="patch-stop"),
    "caution": Style(
        stroke=CAUTION, width=0.35, dash=(1.6, 1.0), fill=LIGHT["caution-pale"], opacity=0.75, role="patch-caution"
    ),
}


def bites(findings: Sequence[Finding], seen: Seen, sizes: Sizes) -> tuple[Item, ...]:
    """Adds a bracket to ``sizes`` for each finding a section can show, and returns the patches, in mm of the model."""
    items: list[Item] = []
    for finding in findings:
        tone: Tone = "stop" if finding.severity == "stop" else "caution"
        show = _SHOWN.get(finding.rule)
        if show is not None and finding.severity != "note" and seen.placed.id in finding.subjects:
            items += show(finding, seen, sizes, tone)
    return tuple(items)


def about(findings: Sequence[Finding], placement_id: str) -> list[Finding]:
    """The stops and cautions that a section through a placement is the place to tell, worst first."""
    shown = [f for f in findings if f.rule in _SHOWN and f.severity != "note" and placement_id in f.subjects]
    return sorted(shown, key=lambda f: f.severity != "stop")


def _patch(seen: Seen, box: tuple[float, float, float, float], tone: Tone) -> Item:
    k = seen.scale
    x0, y0, x1, y1 = (k * v for v in box)
    return box_path((x0, y0, x1, y1), _PATCH[tone])


def _thread(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """The thread ends short of where it must reach, or the counterbore is wrong."""
    fixing = seen.placed.part.fixing
    missing = -(finding.margin or 0.0)
    if finding.detail.cause != "reach" or not isinstance(fixing, NutFixing):
        return _bore(finding, seen, sizes, tone)
    x0, x1 = seen.frame.span(main_shape(seen.placed))
    end = -fixing.thread_length
    sizes.left.append(Span(end - missing, end, f"thread {seen.say(missing)} short", x0, tone))
    return [_patch(seen, (x0, end - missing, x1, end), tone)]


def _clips(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    fixing, missing = seen.placed.part.fixing, -(finding.margin or 0.0)
    cause = finding.detail.cause
    if cause not in ("thick", "thin") or not isinstance(fixing, SnapFixing):
        return _bore(finding, seen, sizes, tone)
    x0, x1 = seen.frame.span(main_shape(seen.placed))
    ends = (seen.seat, -fixing.grip_max) if cause == "thick" else (-fixing.grip_min, seen.seat)
    sizes.left.append(Span(*ends, f"{seen.say(missing)} too {cause} for the clips", x0, tone))
    return [_patch(seen, (a, ends[0], b, ends[1]), tone) for a, b in ((x0 - 2.0, x0), (x1, x1 + 2.0))]


def _bore(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """A counterbore that leaves too thin a ledge, or is too narrow for the nut or the clips."""
    placed = seen.placed
    if placed.bore is None or placed.counterbore is None or finding.required is None:
        return []
    if finding.detail.cause != "width":
        return _ledge(finding, seen, sizes, tone)
    b0, b1 = seen.frame.span(placed.bore)
    r, low = finding.required / 2, -seen.thickness
    sizes.below.append(Span(-r, r, f"{seen.say(finding.required)} needed", low, tone))
    return [_patch(seen, (a, low, b, low + placed.counterbore.depth), tone) for a, b in ((-r, b0), (b1, r))]


def _ledge(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """What a counterbore or recess leaves of the board is too thin."""
    placed, detail = seen.placed, finding.detail
    recessed = isinstance(detail, PocketDetail) or (isinstance(detail, LedgeDetail) and detail.cut == "recess")
    pocket = placed.pocket if recessed else placed.bore
    if pocket is None or finding.required is None or not isinstance(detail, PocketDetail | BoreDetail):
        return []
    floor = detail.made_depth - seen.thickness
    missing = finding.required - max(finding.measured or 0.0, 0.0)
    b0, b1 = seen.frame.span(pocket)
    x0, x1 = seen.frame.span(main_shape(placed))
    sizes.left.append(Span(floor - missing, floor, f"ledge {seen.say(missing)} too thin", b0, tone))
    return [_patch(seen, (a, floor - missing, b, floor), tone) for a, b in ((b0, x0), (x1, b1))]


def _recess(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """A recess whose ledge is too thin, or that is too small for what lies in it; of its corners only words tell."""
    detail, placed = finding.detail, seen.placed
    if detail.cause == "ledge":
        return _ledge(finding, seen, sizes, tone)
    if not isinstance(detail, PocketDetail) or detail.cause != "room" or placed.pocket is None or placed.recess is None:
        return []
    turned = round(placed.angle) % 180 == 90
    r = detail.seat[turned] / 2
    b0, b1 = seen.frame.span(placed.pocket)
    low = -seen.thickness
    sizes.below.append(Span(-r, r, f"{seen.say(2 * r)} must go in", low, tone))
    if r <= b1:
        return []
    return [_patch(seen, (a, low, b, low + placed.recess.depth), tone) for a, b in ((-r, b0), (b1, r))]


def _screws(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """Screws that come through the other face, or nearly; of those that hardly hold only words tell."""
    fixing, left = seen.placed.part.fixing, finding.measured
    if finding.detail.cause != "through" or not isinstance(fixing, ScrewFixing) or left is None:
        return []
    face = 0.0 if fixing.side == "under" else -seen.thickness
    end = face - left if fixing.side == "under" else face + left
    low, high = sorted((face, end))
    x, r = max(p[0] for p in seen.placed.screws), fixing.screw_diameter
    words = f"screws {seen.say(-left)} through" if left < 0 else f"{seen.say(left)} left beyond the screws"
    sizes.right.append(Span(low, high, words, x + r, tone))
    middles = {round(p[0], 3) for p in seen.placed.screws}
    return [_patch(seen, (m - r, low, m + r, high), tone) for m in sorted(middles)]


def _in_words_only(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:  # noqa: ARG001
    """Nothing to draw: the words below the section tell it."""
    return []


def _depth(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """The body, or its wires, want more than the free depth."""
    if finding.measured is None or finding.required is None:
        return []
    x0, x1 = seen.frame.span(seen.placed.body)
    missing = -(finding.margin or 0.0)
    low = seen.floor - missing
    words = f"{seen.say(missing)} too deep" if tone == "stop" else f"{seen.say(missing)} too little for wires"
    sizes.right.append(Span(low, seen.floor, words, x1, tone))
    return [_patch(seen, (x0, low, x1, seen.floor), tone)]


def _lever(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """The top of the lever is below or above where it is wanted."""
    lever, k = seen.placed.part.lever, seen.scale
    if lever is None or finding.measured is None:
        return []
    top = height_above(seen.placed, seen.thickness)
    low, missing = finding.detail.cause == "low", abs(finding.margin or 0.0)
    ends = (top, top + missing) if low else (top - missing, top)
    x = max(lever.knob / 2, 4.0)
    words = f"{seen.say(missing)} too {'low' if low else 'high'}"
    sizes.left.append(Span(*ends, words, -x, tone))
    style = Style(stroke=STOP if tone == "stop" else CAUTION, width=0.5, dash=(2.0, 1.2), role=f"bite-{tone}")
    level = k * (lever.height_min if low else lever.height_max)
    return [Line((-k * 1.5 * x, level), (k * 1.5 * x, level), style)]


_SHOWN = {
    thread_reach.RULE.name: _thread,
    snap_grip.RULE.name: _clips,
    depth_below.RULE.name: _depth,
    lever_height.RULE.name: _lever,
    ledge.RULE.name: _ledge,
    recess.RULE.name: _recess,
    screw_hold.RULE.name: _screws,
    bit_depth.RULE.name: _in_words_only,
}
