"""A section through one part, enlarged, to scale: what a builder sees who saws the board in two."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.drafting.facing import facing
from app.drafting.hardware.elevation_parts import height_above, profile, wire_room
from app.drafting.hardware.side_frame import SideFrame
from app.drafting.scaling import scaled
from app.drafting.section.captions import scale_words, section_words
from app.drafting.section.cut import SectionCut, cut_along, cut_items
from app.drafting.section.finding_hatch import about, bites
from app.drafting.section.kept_clear import room_items
from app.drafting.section.sizes import Seen, Sizes, sizes_of
from app.drafting.section.stacking import SIZE, Note, Span, across, beside, words_width
from app.drafting.words import unit_of
from app.errors import NotFoundError
from app.fit.finding import Finding
from app.fit.rules.depth_below import DepthDetail
from app.geometry.shapes import Point, Shape, rotate
from app.model.part import NutFixing, ScrewFixing
from app.model.resolved import Hole, Placed, ResolvedBoard
from app.scene.bounds import Box, bounds
from app.scene.palette import CENTRE_LINE, DEPTH_LINE
from app.scene.primitives import Group, Item, Line, Scene, Text
from app.units import Unit
from app.values import replace

SCALES = (5.0, 2.0, 1.5, 1.0, 0.5, 0.2, 0.1)
"""Enlargements and reductions a section is drawn at: those of ISO 5455, and 3 : 2 between two of them."""

SCREEN = (286.0, 215.0)
"""Width and height of a section with which its letters can be read on a screen [mm]."""

_STUB = 5.0
_BOARD = 11.0
_EDGE = 5.0
_BROKEN_FLOOR = 6.0


def section(
    board: ResolvedBoard,
    placement_id: str,
    findings: Sequence[Finding] = (),
    *,
    unit: Unit | None = None,
    room: Point = SCREEN,
) -> Scene:
    """A section through a part: its scene is in mm of paper, so that printed as it is the scale it states holds.

    The cut runs along the part through its middle and its screws; hardware is shown whole. The free depth is
    that below the middle of the part, or the least under its body where that is found wanting. Groups:
    ``section-board``, ``section-part``, ``section-bites``, ``section-sizes``, ``section-words``.

    Args:
        board: the board.
        placement_id: the part.
        findings: what the rules found; those about this part are drawn where they bite and told below.
        unit: unit of the figures; None for the design's own.
        room: width and height it may take; the largest scale that fits is used, or else the smallest [mm].

    Raises:
        NotFoundError: no such placement.
    """
    return scaled_section(board, placement_id, findings, unit=unit, room=room)[0]


def scaled_section(
    board: ResolvedBoard,
    placement_id: str,
    findings: Sequence[Finding] = (),
    *,
    unit: Unit | None = None,
    room: Point = SCREEN,
) -> tuple[Scene, float]:
    """As :func:`section`, with its scale: 2 where it is drawn twice as large as it is."""
    placed = board.placed(placement_id)
    if placed is None:
        raise NotFoundError(f"There is no part “{placement_id[:40]}” on this board. Choose one that is.")
    own_findings = about(findings, placement_id)
    rough = _seen(board, placed, own_findings, unit or unit_of(board), 1.0)
    tall = height_above(rough.placed, board.thickness) - min(_lowest(rough), rough.floor)
    wide = 2 * (_half_width(rough.placed) + _STUB)
    beside, over = 0.0, 0.0
    for scale in SCALES:
        if scale != SCALES[-1] and (scale * wide + beside > room[0] or scale * tall + over > room[1]):
            continue
        scene = _drawn(replace(rough, scale=scale, cut=_cut(board, placed, rough.placed, scale)), placed, own_findings)
        if scene.width <= room[0] and scene.height <= room[1]:
            break
        # Words take the same room at every scale.
        beside, over = scene.width - scale * wide, scene.height - scale * tall
    return scene, scale


def bare_section(board: ResolvedBoard, placement_id: str, scale: float = 1.0) -> tuple[Item, ...]:
    """The board cut through a part, and the part in it, ``scale`` times as large as they are; no words or sizes.

    Raises:
        NotFoundError: no such placement.
    """
    placed = board.placed(placement_id)
    if placed is None:
        raise NotFoundError(f"There is no part “{placement_id[:40]}” on this board. Choose one that is.")
    seen = _seen(board, placed, (), unit_of(board), scale)
    return (
        *cut_items(board, seen.placed, seen.frame, seen.cut, scale),
        *scaled(profile(seen.placed, seen.frame), scale),
    )


def _seen(board: ResolvedBoard, placed: Placed, own_findings: Sequence[Finding], unit: Unit, scale: float) -> Seen:
    here = _straight(placed, cut_angle(placed))
    frame = SideFrame(facing(board, "top"), 0.0, board.thickness, fine=True)
    cut = _cut(board, placed, here, scale)
    depth = next((f.detail for f in own_findings if isinstance(f.detail, DepthDetail)), None)
    seen = Seen(board, here, frame, cut, None, False, 0.0, unit, scale, len(placed.screws))
    lowest = _lowest(seen) - 3.0
    if board.free_depth is None:
        return replace(seen, floor=lowest)
    free = board.free_depth.at(placed.x, placed.y) if depth is None else depth.free
    floor = -board.thickness - free
    broken = floor < lowest - 2 * _BROKEN_FLOOR
    return replace(seen, free=free, broken=broken, floor=lowest - _BROKEN_FLOOR if broken else floor)


def cut_angle(placed: Placed) -> float:
    """Direction of the cut, relative to the part: along it, across it or through a screw [degrees].

    The first of these in which its screws are clear of the main hole, so that the section shows them.
    """
    fixing = placed.part.fixing
    local = fixing.holes if isinstance(fixing, ScrewFixing) else ()
    if not local:
        return 0.0
    main = placed.part.cutouts[0].shape if placed.part.cutouts else placed.part.body.shape
    w, h = main.size
    off_centre = math.hypot(*main.centre) > 1e-6
    if off_centre or all(abs(x) > w / 2 for x, _ in local):
        return 0.0
    if all(abs(y) > h / 2 for _, y in local):
        return 90.0
    x, y = max(local)
    return math.degrees(math.atan2(y, x))


def _straight(placed: Placed, angle: float) -> Placed:
    """The part at the origin, turned so that the cut runs along x; holes as wide as they will be made.

    A slanted cut leaves out the screws and further holes it does not meet.
    """
    part, slanted = placed.part, angle % 90.0 != 0.0
    holes = []
    for k, hole in enumerate(placed.holes):
        nominal = hole.cutout.shape.placed(0.0, 0.0, -angle)
        shape = Shape((nominal.centre,), hole.shape.radius) if hole.is_circle else nominal
        off = abs(shape.centre[1])
        if off < shape.radius if part.is_pattern else not slanted or k == 0 or off < 1.0:
            holes.append(Hole(hole.cutout, shape, hole.bit))
    if slanted and isinstance(part.fixing, ScrewFixing):
        met = tuple(p for p in part.fixing.holes if abs(rotate(p, -angle)[1]) < 1.0)
        part = replace(part, fixing=replace(part.fixing, holes=met))
    return replace(placed, part=part, x=0.0, y=0.0, angle=-angle, holes=tuple(holes))


def _half_width(here: Placed) -> float:
    """How far the hardware, its holes and pockets reach from the middle [mm]."""
    shapes = [here.flange, here.body, here.plate, here.bore, here.pocket, *(h.shape for h in here.holes)]
    reach = [max(-s.bounds[0], s.bounds[2]) for s in shapes if s is not None]
    if isinstance(here.part.fixing, NutFixing):
        reach.append(here.part.fixing.nut_width / 2 + 3.0)
    return max([*reach, here.part.lever.knob / 2 if here.part.lever else 0.0])


def _cut(board: ResolvedBoard, placed: Placed, here: Placed, scale: float) -> SectionCut:
    hole = max((max(-h.shape.bounds[0], h.shape.bounds[2]) for h in here.holes), default=0.0)
    reach = max(_half_width(here) + _STUB / min(scale, 1.0), hole + _BOARD)
    return cut_along(board, placed, placed.angle - here.angle, reach)


def _lowest(seen: Seen) -> float:
    """The lowest that is drawn of part, wires and rails [mm]."""
    fixing = seen.placed.part.fixing
    nut = seen.seat - fixing.washer - fixing.nut_height if isinstance(fixing, NutFixing) else 0.0
    thread = -fixing.thread_length if isinstance(fixing, NutFixing) else 0.0
    rails = [-seen.thickness - (b - a) for a, b in seen.cut.rails]
    return min(seen.bottom - wire_room(seen.placed.part), nut, thread, -seen.thickness, *rails)


def _drawn(seen: Seen, placed: Placed, own_findings: Sequence[Finding]) -> Scene:
    """The whole sheet at one scale."""
    k = seen.scale
    sizes = sizes_of(seen)
    patches = Group(bites(own_findings, seen, sizes), name="section-bites")
    cut = Group(tuple(cut_items(seen.board, seen.placed, seen.frame, seen.cut, k)), name="section-board")
    part = Group((*room_items(seen), *scaled(profile(seen.placed, seen.frame), k), *_lines(seen)), name="section-part")
    body: tuple[Item, ...] = (cut, part, patches)
    box = bounds(body) or (0.0, 0.0, 1.0, 1.0)
    sized = Group(_sizes(sizes, k, box), name="section-sizes")
    full = bounds((*body, sized)) or box
    words = Group(section_words(seen, placed, own_findings, full), name="section-words")
    x0, y0, x1, y1 = _union(full, bounds((words,)) or full)
    title = f"Section through {placed.label or placed.part.name}"
    slack = _slack(sizes.left, sizes.left_notes), _slack(sizes.right, sizes.right_notes)
    return Scene(
        x0 - _EDGE - slack[0], y0 - _EDGE, x1 + _EDGE + slack[1], y1 + _EDGE, (*body, sized, words), title=title,
        note=f"{title}, scale {scale_words(k)}, in mm of paper",
    )  # fmt: skip


def _slack(spans: Sequence[Span], notes: Sequence[Note]) -> float:
    """Room for a screen's wider letters beside the list of words [mm]."""
    words = [*(span.words for span in spans), *(note.words for note in notes)]
    return 0.13 * max(map(words_width, words), default=0.0)


def _sizes(sizes: Sizes, k: float, box: Box) -> tuple[Item, ...]:
    x0, y0, x1, y1 = box

    def up(spans: Sequence[Span]) -> list[Span]:
        return [replace(s, low=k * s.low, high=k * s.high, near=k * s.near) for s in spans]

    def at(notes: Sequence[Note]) -> list[Note]:
        return [replace(n, at=(k * n.at[0], k * n.at[1])) for n in notes]

    above, below = up(sizes.above), up(sizes.below)
    half = max((words_width(s.words) / 2 + 1.0 for s in (*above, *below)), default=0.0)
    left = beside(up(sizes.left), at(sizes.left_notes), min(x0, -half), -1)
    right = beside(up(sizes.right), at(sizes.right_notes), max(x1, half), 1)
    levels = [item.at[1] for item in (*left, *right) if isinstance(item, Text)]
    top, low = max([y1, *(y + SIZE for y in levels)]), min([y0, *(y - SIZE for y in levels)])
    rows = (*across(above, y1 + 2.0, 1, top), *across(below, y0 - 1.0, -1, low))
    return (*rows, *left, *right)


def _union(a: Box, b: Box) -> Box:
    return (min(a[0], b[0]), min(a[1], b[1]), max(a[2], b[2]), max(a[3], b[3]))


def _lines(seen: Seen) -> tuple[Item, ...]:
    """The middle of the part, and the end of the free depth."""
    k = seen.scale
    top = k * height_above(seen.placed, seen.thickness) + 3.0
    items: list[Item] = [Line((0.0, k * min(_lowest(seen), seen.bottom) - 2.0), (0.0, top), CENTRE_LINE)]
    if seen.free is not None:
        items.append(Line((k * seen.cut.left, k * seen.floor), (k * seen.cut.right, k * seen.floor), DEPTH_LINE))
    return tuple(items)
