"""What is wrong, shown in a section where it bites: a hatched patch on the part, a heavy bracket beside it."""

from __future__ import annotations

from collections.abc import Sequence

from app.drafting.elevation_parts import height_above
from app.drafting.forms import box_path
from app.drafting.part_faces import main_shape
from app.drafting.section_sizes import Seen, Sizes
from app.drafting.stacking import Span, Tone
from app.fit.finding import Finding
from app.model.part import NutFixing, SnapFixing
from app.scene.palette import CAUTION, LIGHT, STOP
from app.scene.primitives import Item, Line, Style

_PATCH: dict[str, Style] = {
    "stop": Style(stroke=STOP, width=0.35, fill=LIGHT["stop-pale"], opacity=0.75, role="patch-stop"),
    "caution": Style(
        stroke=CAUTION, width=0.35, dash=(1.6, 1.0), fill=LIGHT["caution-pale"], opacity=0.75, role="patch-caution"
    ),
}
_TINY = 0.005


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
    told = [f for f in findings if f.rule in _SHOWN and f.severity != "note" and placement_id in f.subjects]
    return sorted(told, key=lambda f: f.severity != "stop")


def _patch(seen: Seen, box: tuple[float, float, float, float], tone: Tone) -> Item:
    k = seen.scale
    x0, y0, x1, y1 = (k * v for v in box)
    return box_path((x0, y0, x1, y1), _PATCH[tone])


def _thread(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """The thread ends short of where it must reach, or the counterbore is wrong."""
    fixing = seen.placed.part.fixing
    missing = -(finding.margin or 0.0)
    if finding.detail.get("cause") != "reach" or not isinstance(fixing, NutFixing):
        return _bore(finding, seen, sizes, tone)
    x0, x1 = seen.frame.span(main_shape(seen.placed))
    end = -fixing.thread_length
    sizes.left.append(Span(end - missing, end, f"thread {seen.say(missing)} short", x0, tone))
    return [_patch(seen, (x0, end - missing, x1, end), tone)]


def _clips(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    fixing, missing = seen.placed.part.fixing, -(finding.margin or 0.0)
    cause = finding.detail.get("cause")
    if cause not in ("thick", "thin") or not isinstance(fixing, SnapFixing):
        return _bore(finding, seen, sizes, tone)
    x0, x1 = seen.frame.span(main_shape(seen.placed))
    ends = (seen.seat, -fixing.grip_max) if cause == "thick" else (-fixing.grip_min, seen.seat)
    sizes.left.append(Span(*ends, f"{seen.say(missing)} too {cause} for the clips", x0, tone))
    return [_patch(seen, (a, ends[0], b, ends[1]), tone) for a, b in ((x0 - 2.0, x0), (x1, x1 + 2.0))]


def _bore(finding: Finding, seen: Seen, sizes: Sizes, tone: Tone) -> list[Item]:
    """A ledge too thin, or a counterbore too narrow for the nut or the clips."""
    placed = seen.placed
    if placed.bore is None or placed.counterbore is None or finding.required is None:
        return []
    b0, b1 = seen.frame.span(placed.bore)
    floor = seen.seat
    if finding.detail.get("cause") == "width":
        r = finding.required / 2
        sizes.below.append(Span(-r, r, f"{seen.say(finding.required)} needed", -seen.thickness, tone))
        return [_patch(seen, (a, -seen.thickness, b, floor), tone) for a, b in ((-r, b0), (b1, r))]
    ledge = max(finding.measured or 0.0, 0.0)
    missing = finding.required - ledge
    words = f"ledge {seen.say(missing)} too thin"
    sizes.left.append(Span(floor - missing, floor, words, b0, tone))
    x0, x1 = seen.frame.span(main_shape(placed))
    return [_patch(seen, (a, floor - missing, b, floor), tone) for a, b in ((b0, x0), (x1, b1))]


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
    low = top < lever.height_min
    ends = (top, lever.height_min) if low else (lever.height_max, top)
    if ends[1] - ends[0] < _TINY:
        return []
    x = max(lever.knob / 2, 4.0)
    words = f"{seen.say(ends[1] - ends[0])} too {'low' if low else 'high'}"
    sizes.left.append(Span(*ends, words, -x, tone))
    style = Style(stroke=STOP if tone == "stop" else CAUTION, width=0.5, dash=(2.0, 1.2), role=f"bite-{tone}")
    level = k * (lever.height_min if low else lever.height_max)
    return [Line((-k * 1.5 * x, level), (k * 1.5 * x, level), style)]


_SHOWN = {
    "thread-reach": _thread,
    "snap-grip": _clips,
    "depth-below": _depth,
    "lever-height": _lever,
    "ledge": _bore,
}
