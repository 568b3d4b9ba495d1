"""What is wrong, shown where it is: rings round the parts concerned, a tag with the figure.

Known without colour: a stop has two solid rings with a hatch between them, a caution one dashed ring; a
stop's tag is filled and begins with an octagon, a caution's is framed and begins with a triangle. What has been
accepted has no ring, only a tick at the rim.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

from app.drafting.dimensions import below_boxes
from app.drafting.facing import Facing
from app.drafting.forms import Box, polyline
from app.drafting.marks import CASING, accepted_badge
from app.drafting.part_faces import rim_radius
from app.drafting.tags import Board, around, leader, tag, tag_size
from app.drafting.words import length, unit_of
from app.fit.finding import Finding, Severity
from app.model.resolved import Placed, ResolvedBoard
from app.scene.curves import at_angle
from app.scene.palette import CAUTION, HALO_CAUTION, HALO_STOP, STOP, TEXT_CAUTION, TEXT_LIGHT
from app.scene.primitives import Circle, Group, Item, Line, Point, Style

MOST_TAGS = 10
"""With more findings than this the drawing would be all tags; the report beside it lists every one."""

FEW_TAGS = 3
"""Tags where there are more than three times as many findings: the rings tell where, and tags would cover them."""

_TAG_STOP = Style(stroke=None, fill=STOP, role="tag-stop")
_TAG_CAUTION = Style(stroke=CAUTION, width=0.5, fill="#fffdf7", role="tag-caution")
_LEADER_STOP = Style(stroke=STOP, width=0.45, role="leader")
_SPOT_STOP = Style(stroke="#ffffff", width=0.4, fill=STOP, role="spot-stop")
_SPOT_CAUTION = Style(stroke=CAUTION, width=0.5, fill="#fffdf7", role="spot-caution")
_LEADER = Style(stroke=CAUTION, width=0.45, role="leader")
_SIGN_STOP = Style(stroke=None, fill="#ffffff", role="sign-stop")
_SIGN_CAUTION = Style(stroke=None, fill=CAUTION, role="sign-caution")
_LEAD = 1.15  # room for the sign at the start of a tag, in sizes of its letters
_RANK: dict[Severity, int] = {"stop": 0, "caution": 1, "note": 2}


def halos(
    board: ResolvedBoard,
    findings: Sequence[Finding],
    *,
    view: Facing,
    scale: float = 1.0,
    accepted: Collection[str] = (),
) -> Group:
    """The group ``halos``: rings, spots and tags for every stop and caution; notes are only in the report.

    Args:
        board: the board the findings are about.
        findings: what the rules found.
        view: the face that is shown.
        scale: size of tags against their size on a board 640 mm wide.
        accepted: ids of placements of which something was accepted as it is.
    """
    wrong = sorted((f for f in findings if f.severity != "note"), key=lambda f: (_RANK[f.severity], f.where))
    known = {p.id: p for p in board.placements}
    worst: dict[str, Severity] = {}
    for finding in wrong:
        for subject in finding.subjects:
            if subject in known:
                worst.setdefault(subject, finding.severity)
    items: list[Item] = []
    for subject, severity in worst.items():
        items += _ring(known[subject], severity, view, scale)
    for placed in board.placements:
        if placed.id in accepted:
            items += accepted_badge(view.point((placed.x, placed.y)), rim_radius(placed), scale)
    items += _tags(board, wrong, view, scale)
    return Group(tuple(items), name="halos", role="halos")


def _ring(placed: Placed, severity: Severity, view: Facing, scale: float) -> list[Item]:
    at, inner = view.point((placed.x, placed.y)), rim_radius(placed) + 1.0 * scale
    if severity == "caution":
        return [Circle(at, inner + 1.2 * scale, style) for style in (CASING, HALO_CAUTION)]
    outer = inner + 2.8 * scale
    # A broad dashed ring is a hatch of radial lines, in one element.
    hatch = Style(STOP, outer - inner, (0.5 * scale, 1.6 * scale), role="halo-hatch")
    return [Circle(at, inner, HALO_STOP), Circle(at, (inner + outer) / 2, hatch), Circle(at, outer, HALO_STOP)]


def _tags(board: ResolvedBoard, wrong: Sequence[Finding], view: Facing, scale: float) -> list[Item]:
    x0, y0, x1, y1 = board.outline.bounds
    discs = [(view.x(p.x), p.y, rim_radius(p)) for p in board.placements]
    frame = (x0 - 4 * scale, y0 + 1, x1 + 4 * scale, y1 + 8 * scale)
    taken = Board(frame, discs, soft=below_boxes(board.placements, view))
    items: list[Item] = []
    seen: set[tuple[str, int, int]] = set()
    most = MOST_TAGS if len(wrong) <= 3 * MOST_TAGS else FEW_TAGS
    for finding in wrong:
        at = view.point(finding.where)
        spot = (finding.rule, round(at[0] / 8), round(at[1] / 8))
        if spot in seen:
            continue
        seen.add(spot)
        stop = finding.severity == "stop"
        on_part = _rim_of(finding, board)
        if len(seen) <= most:
            words, size = _words(finding, board), 6.2 * scale
            wide, high = tag_size(words, size)
            box = taken.best(around(at, on_part + 3.0 * scale, (wide + _LEAD * size, high)))
            items += _leader(box, at, on_part, _LEADER_STOP if stop else _LEADER)
            ground, ink = (_TAG_STOP, TEXT_LIGHT) if stop else (_TAG_CAUTION, TEXT_CAUTION)
            items += tag(box, words, size, ground, ink, lead=_LEAD * size)
            items.append(_sign(box, size, stop=stop))
        if on_part == 0.0:
            items.append(Circle(at, 1.5 * scale, _SPOT_STOP if stop else _SPOT_CAUTION))
    return items


def _sign(box: Box, size: float, *, stop: bool) -> Item:
    """The sign a tag begins with: an octagon, or a triangle."""
    r = 0.52 * size
    x, y = box[0] + 0.98 * size, (box[1] + box[3]) / 2
    if stop:
        return polyline([at_angle((x, y), r, 22.5 + 45.0 * k) for k in range(8)], _SIGN_STOP, closed=True)
    return polyline(
        [at_angle((x, y - 0.12 * size), 1.1 * r, 90.0 + 120.0 * k) for k in range(3)], _SIGN_CAUTION, closed=True
    )


def _rim_of(finding: Finding, board: ResolvedBoard) -> float:
    """How far the ring is from the point the finding is about, if that is the middle of a part; else 0 [mm]."""
    for subject in finding.subjects[:1]:
        placed = board.placed(subject)
        if placed and math.dist((placed.x, placed.y), finding.where) < 1.0:
            return rim_radius(placed) + 2.0
    return 0.0


def _leader(box: Box, at: Point, clear: float, style: Style) -> list[Item]:
    """A line from a tag to the spot, or to the ring round a part."""
    line = leader(box, at, style)
    d = math.dist(line.a, line.b)
    if d <= clear + 0.1:
        return []
    u = ((line.a[0] - at[0]) / d, (line.a[1] - at[1]) / d)
    return [Line(line.a, (at[0] + clear * u[0], at[1] + clear * u[1]), style)]


def _words(finding: Finding, board: ResolvedBoard) -> str:
    name = finding.rule.replace("-", " ")
    return name if finding.measured is None else f"{name} {length(finding.measured, unit_of(board))}"
