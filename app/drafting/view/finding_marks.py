"""What is wrong, shown where it is: rings round the parts concerned, a tag with the figure.

Known without colour: a stop has two solid rings with a hatch between them, a caution one dashed ring; a
stop's tag is filled and begins with an octagon, a caution's is framed and begins with a triangle. What has been
accepted has no ring, only a tick at the rim.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence

import numpy as np

from app.drafting.facing import Facing
from app.drafting.forms import Box, polyline
from app.drafting.hardware.part_letters import letter_boxes, rim_radius
from app.drafting.labels.tags import TagSpace, around, leader, tag, tag_size
from app.drafting.view.dimensions import below_boxes
from app.drafting.view.state_marks import CASING, accepted_badge
from app.drafting.words import length, unit_of
from app.fit.finding import Finding, Severity
from app.model.resolved import Placed, ResolvedBoard
from app.scene.curves import at_angle
from app.scene.palette import CAUTION, HALO_CAUTION, HALO_STOP, STOP, TEXT_CAUTION, TEXT_LIGHT
from app.scene.primitives import Circle, Group, Item, Line, Point, Style

MOST_TAGS = 10
"""With more findings than this the drawing would be all tags; the report beside it lists every one."""

MOST_ALIKE = 2
"""More places than this where one rule finds the same have one tag, at the worst of them, which tells how many."""

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
_COVERED = 120.0  # a tag is led any distance rather than cover a part or its letter, if there is a free place at all
_ASIDE = np.array([1.0, 0.0, 1.0, 0.0])
_CROSSED = 25.0  # what a line to a tag costs for each part it crosses
_FAR = 0.25  # what each mm from its spot costs a tag, so that lines stay short
_LEAD = 1.15  # room for the sign at the start of a tag, in sizes of its letters
_RANK: dict[Severity, int] = {"stop": 0, "caution": 1, "note": 2}


def halos(
    board: ResolvedBoard,
    findings: Sequence[Finding],
    *,
    view: Facing,
    scale: float = 1.0,
    accepted: Collection[str] = (),
    avoid: Sequence[Box] = (),
) -> Group:
    """The group ``halos``: rings and spots for every stop and caution, and tags; notes are only in the report.

    Args:
        board: the board the findings are about.
        findings: what the rules found.
        view: the face that is shown.
        scale: size of tags against their size on a board 640 mm wide.
        accepted: ids of placements of which something was accepted as it is.
        avoid: rectangles that no tag may cover, if there is another place [mm].
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
    items += _tags(board, wrong, view, scale, avoid)
    return Group(tuple(items), name="halos", role="halos")


def _ring(placed: Placed, severity: Severity, view: Facing, scale: float) -> list[Item]:
    at, inner = view.point((placed.x, placed.y)), rim_radius(placed) + 1.0 * scale
    if severity == "caution":
        return [Circle(at, inner + 1.2 * scale, style) for style in (CASING, HALO_CAUTION)]
    outer = inner + 2.8 * scale
    # A broad dashed ring is a hatch of radial lines, in one element.
    hatch = Style(STOP, outer - inner, (0.5 * scale, 1.6 * scale), role="halo-hatch")
    return [Circle(at, inner, HALO_STOP), Circle(at, (inner + outer) / 2, hatch), Circle(at, outer, HALO_STOP)]


def _tags(
    board: ResolvedBoard, wrong: Sequence[Finding], view: Facing, scale: float, avoid: Sequence[Box]
) -> list[Item]:
    """Spots and leaders, and over all of them the tags: no line runs through words."""
    x0, y0, x1, y1 = board.outline.bounds
    discs = [(view.x(p.x), p.y, rim_radius(p)) for p in board.placements]
    soft = below_boxes(board.placements, view) if view.mirrored else letter_boxes(board.placements, scale)
    frame = (x0 - 4 * scale, y0 + 1, x1 + 4 * scale, y1 + 8 * scale)
    taken = TagSpace(frame, discs, [], [*soft, *avoid], _COVERED, 10.0 if view.mirrored else _COVERED)
    lines: list[Item] = []
    tags: list[Item] = []
    for finding, count in _one_each(wrong, view):
        at, on_part = view.point(finding.where), _rim_of(finding, board)
        stop = finding.severity == "stop"
        if on_part == 0.0:
            lines.append(Circle(at, 1.5 * scale, _SPOT_STOP if stop else _SPOT_CAUTION))
        if not count:
            continue
        words, size = _words(finding, board, count), 6.2 * scale
        wide, high = tag_size(words, size)
        straight = around(at, on_part + 3.0 * scale, (wide + _LEAD * size, high))
        places = np.vstack([straight, *(straight + aside * wide * _ASIDE for aside in (0.45, -0.45))])
        far = np.hypot(*((places[:, :2] + places[:, 2:]) / 2 - at).T)
        box = taken.best(places, _CROSSED * taken.crossed(places, at) + _FAR * far)
        lines += _leader(box, at, on_part, _LEADER_STOP if stop else _LEADER)
        ground, ink = (_TAG_STOP, TEXT_LIGHT) if stop else (_TAG_CAUTION, TEXT_CAUTION)
        tags += tag(box, words, size, ground, ink, lead=_LEAD * size)
        tags.append(_sign(box, size, stop=stop))
    return [*lines, *tags]


def _one_each(wrong: Sequence[Finding], view: Facing) -> list[tuple[Finding, int]]:
    """One finding for each spot, and for how many spots its tag stands; 0 for one without a tag of its own."""
    places: dict[tuple[str, int, int], Finding] = {}
    for finding in wrong:
        at = view.point(finding.where)
        places.setdefault((finding.rule, round(at[0] / 8), round(at[1] / 8)), finding)
    alike: dict[tuple[Severity, str], list[Finding]] = {}
    for finding in places.values():
        alike.setdefault((finding.severity, finding.rule), []).append(finding)
    counts: dict[int, int] = {}
    for group in alike.values():
        if len(group) > MOST_ALIKE:
            counts[id(max(group, key=lambda f: f.lack))] = len(group)
        else:
            counts.update((id(finding), 1) for finding in group)
    most = MOST_TAGS if len(wrong) <= 3 * MOST_TAGS else FEW_TAGS
    tagged = [id(finding) for finding in places.values() if id(finding) in counts][:most]
    return [(finding, counts[id(finding)] if id(finding) in tagged else 0) for finding in places.values()]


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


def _words(finding: Finding, board: ResolvedBoard, count: int) -> str:
    """``web 4 mm``; of several places the worst, ``web 4 mm, 5 places``."""
    name = finding.rule.replace("-", " ")
    words = name if finding.measured is None else f"{name} {length(finding.measured, unit_of(board))}"
    return words if count == 1 else f"{words}, {count} places"
