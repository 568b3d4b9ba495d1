"""What a section measures: which heights, widths and names a part has on its board."""

from __future__ import annotations

from msgspec import Struct, field

from app.catalogue.load import catalogue
from app.drafting.hardware.elevation_parts import height_above, wire_room
from app.drafting.hardware.part_letters import main_shape
from app.drafting.hardware.side_frame import SideFrame, depth_below
from app.drafting.section.cut import SectionCut
from app.drafting.section.stacking import Note, Span
from app.drafting.words import exact, hole_size, length, thickness
from app.geometry.shapes import Shape
from app.model.part import NutFixing, ScrewFixing, SnapFixing
from app.model.resolved import Placed, ResolvedBoard
from app.shop.screw_pilots import clamp_thickness, screw_pilots_in, seat_depth
from app.units import Unit, format_named

_TALL = 12.0
"""A part that stands higher above the board has the widths on it told beside, not above it [mm]."""


class Seen(Struct, frozen=True):
    """A part on its board, turned so that the cut runs along x and its middle is at 0, the top face at 0.

    Args:
        board: the board.
        placed: the part, at the origin.
        frame: of its side view.
        cut: what is cut of the board.
        free: free depth below, and whether it is drawn shorter than it is [mm]; None if nothing is below.
        floor: height of the end of the free depth in the drawing [mm].
        unit: display unit.
        scale: how much the drawing is enlarged.
        screws: how many screws hold the part, those not in the cut too.
    """

    board: ResolvedBoard
    placed: Placed
    frame: SideFrame
    cut: SectionCut
    free: float | None
    broken: bool
    floor: float
    unit: Unit
    scale: float
    screws: int = 0

    def say(self, mm: float) -> str:
        """A length in display units."""
        return exact(mm, self.unit)

    @property
    def thickness(self) -> float:
        """Of the board [mm]."""
        return self.board.thickness

    @property
    def seat(self) -> float:
        """Height of what the nut, the clips or the plate bear against [mm]."""
        return self.frame.seat(self.placed)

    @property
    def bottom(self) -> float:
        """Height of the lowest point of the part [mm]."""
        return -self.thickness - depth_below(self.placed, self.thickness)


class Sizes(Struct):
    """Measures of a section by where they stand, in mm of the model."""

    left: list[Span] = field(default_factory=list)
    right: list[Span] = field(default_factory=list)
    above: list[Span] = field(default_factory=list)
    below: list[Span] = field(default_factory=list)
    left_notes: list[Note] = field(default_factory=list)
    right_notes: list[Note] = field(default_factory=list)


def sizes_of(seen: Seen) -> Sizes:
    """Every measure of the part and of the board about it."""
    sizes = Sizes()
    _board(seen, sizes)
    _pocket(seen, sizes)
    _top(seen, sizes)
    _fixing(seen, sizes)
    _body(seen, sizes)
    return sizes


def _board(seen: Seen, sizes: Sizes) -> None:
    board, near, z = seen.board, seen.cut.right, 0.0
    for layer in board.layers:
        words = f"{layer.material.name} {thickness(layer.thickness, seen.unit)}"
        sizes.right.append(Span(z - layer.thickness, z, words, near))
        z -= layer.thickness
    if len(board.layers) > 1:
        sizes.right.append(Span(-board.thickness, 0.0, f"board {thickness(board.thickness, seen.unit)}", near))
    if seen.free is not None:
        words = f"free below {length(seen.free, seen.unit)}"
        sizes.right.append(Span(seen.floor, -board.thickness, words, near, broken=seen.broken))


def _pocket(seen: Seen, sizes: Sizes) -> None:
    """Counterbore and recess: depth, what stays above, and width."""
    placed, t = seen.placed, seen.thickness
    found = []
    if placed.bore is not None and placed.counterbore is not None:
        found.append(("counterbore", "ledge", placed.counterbore.depth, seen.frame.span(placed.bore)))
    if placed.pocket is not None and placed.recess is not None:
        found.append(("recess", "board above", placed.recess.depth, seen.frame.span(placed.pocket)))
    for name, rest, depth, (x0, x1) in found:
        sizes.right.append(Span(-t, -t + depth, f"{name} {seen.say(depth)} deep", x1))
        if depth < t:
            sizes.right.append(Span(-t + depth, 0.0, f"{rest} {seen.say(t - depth)}", x1))
        sizes.below.append(Span(x0, x1, f"{name} {seen.say(x1 - x0)}", -t))


def _top(seen: Seen, sizes: Sizes) -> None:
    """Flange, hole and lever: what is above the board and through it."""
    placed, part = seen.placed, seen.placed.part
    tall = height_above(placed, seen.thickness) > _TALL
    drawn = set()
    for hole in placed.holes:
        x0, x1 = seen.frame.span(hole.shape)
        size = hole_size(hole, seen.unit) if hole.is_circle else seen.say(x1 - x0)
        if size in drawn:
            continue
        drawn.add(size)
        if tall or len(drawn) > 1 or len(placed.holes) > 1:
            sizes.right_notes.append(Note((x1, -0.22 * seen.thickness * len(drawn)), f"hole {size}"))
        else:
            sizes.above.append(Span(x0, x1, f"hole {size}"))
    if part.flange is not None and placed.flange is not None:
        x0, x1 = seen.frame.span(placed.flange)
        sizes.left.append(Span(0.0, part.flange.height, f"flange {seen.say(part.flange.height)} high", x0))
        if part.lever:
            sizes.right_notes.append(Note((x1, part.flange.height), f"flange {seen.say(x1 - x0)} wide"))
        else:
            _width(seen, "flange", placed.flange, part.flange.shape, part.flange.height, sizes.above, sizes)
    if part.lever is not None:
        lever, x = part.lever, max(part.lever.knob / 2, 4.0)
        top = height_above(placed, seen.thickness)
        foot = seen.seat if part.mount == "under" else 0.0
        stands = top - (2 * seen.board.paint if part.mount == "under" else 0.0)  # a film lies on both faces
        sizes.left.append(Span(0.0, top, f"{seen.say(stands)} above the board", -x))
        sizes.left.append(Span(foot, top, f"lever {seen.say(lever.length)}", -x))
        words = f"wanted {_range(lever.height_min, lever.height_max, seen)}"
        sizes.right.append(Span(lever.height_min, lever.height_max, words, x, "faint"))
        if lever.knob > 0:
            sizes.above.append(Span(-lever.knob / 2, lever.knob / 2, f"knob {seen.say(lever.knob)}", top - x))


def _width(seen: Seen, name: str, shape: Shape, own: Shape, near: float, rows: list[Span], sizes: Sizes) -> None:
    """A width as a row; on a slanted cut the sides of what is not round, as a note, since it shows neither."""
    x0, x1 = seen.frame.span(shape)
    if shape.is_circle or seen.placed.angle % 90.0 == 0.0:
        rows.append(Span(x0, x1, f"{name} {seen.say(x1 - x0)}", near))
    else:
        w, h = own.size
        words = f"{name} {seen.say(w).removesuffix(' mm')} × {seen.say(h)}"
        sizes.left_notes.append(Note((x0, near), words))


def _range(low: float, high: float, seen: Seen) -> str:
    """“50 to 65 mm”."""
    return f"{seen.say(low).removesuffix(' mm')} to {seen.say(high)}"


def _fixing(seen: Seen, sizes: Sizes) -> None:
    placed, fixing = seen.placed, seen.placed.part.fixing
    x0, _ = seen.frame.span(main_shape(placed))
    if isinstance(fixing, NutFixing):
        _nut(seen, fixing, sizes, x0)
    elif isinstance(fixing, SnapFixing):
        words = f"clips hold {_range(fixing.grip_min, fixing.grip_max, seen)}"
        sizes.left.append(Span(-fixing.grip_max, -fixing.grip_min, words, x0))
    elif fixing is not None:
        _screws(seen, fixing, sizes)


def _nut(seen: Seen, fixing: NutFixing, sizes: Sizes, x0: float) -> None:
    seat, half = seen.seat, fixing.nut_width / 2
    if fixing.washer > 0:
        sizes.left.append(Span(seat - fixing.washer, seat, f"washer {seen.say(fixing.washer)}", -half - 1))
    top = seat - fixing.washer
    low = top - fixing.nut_height
    sizes.left.append(Span(low, top, f"nut {seen.say(fixing.nut_height)} high", -half))
    sizes.left.append(Span(-fixing.thread_length, 0.0, f"thread {seen.say(fixing.thread_length)}", x0))
    if fixing.thread_length + low > 0.05:
        words = f"{seen.say(fixing.thread_length + low)} of thread beyond"
        sizes.left.append(Span(-fixing.thread_length, low, words, x0))
    sizes.below.append(Span(-half, half, f"nut {seen.say(fixing.nut_width)} across corners", low))
    room = half + catalogue().rule("spanner-room")
    sizes.below.append(Span(-room, room, f"room to turn it {seen.say(2 * room)}", low, "faint"))


def _screws(seen: Seen, fixing: ScrewFixing, sizes: Sizes) -> None:
    placed, under = seen.placed, fixing.side == "under"
    if placed.plate is not None and fixing.plate_thickness > 0:
        x0, _ = seen.frame.span(placed.plate)
        top = seen.seat if placed.part.mount == "under" else fixing.plate_thickness
        words = f"plate {seen.say(fixing.plate_thickness)}"
        sizes.left.append(Span(top - fixing.plate_thickness, top, words, x0))
        if fixing.plate is not None:
            _width(seen, "plate", placed.plate, fixing.plate, top - fixing.plate_thickness, sizes.below, sizes)
    if not placed.screws:
        return
    count, size = seen.screws, format_named(fixing.screw_diameter, seen.unit)
    x = max(p[0] for p in placed.screws)
    pilots = screw_pilots_in(placed, seen.thickness)
    clamped = clamp_thickness(placed, fixing)
    head = (seen.seat - clamped if under else clamped) + (-1.0 if under else 1.0) * 0.5 * fixing.screw_diameter
    if pilots is None:
        sizes.right_notes.append(Note((x + fixing.screw_diameter, head), f"{count} bolts {size}"))
        return
    face, up = (seen.seat, 1.0) if under else (0.0, -1.0)
    low, high = sorted((face, face + up * pilots.depth))
    words = f"pilot {seen.say(pilots.diameter)}, {seen.say(pilots.depth)} deep"
    sizes.right.append(Span(low, high, words, x + pilots.diameter / 2))
    longest = seen.say(pilots.depth + clamped)
    length_ = f"{seen.say(fixing.screw_length)} long" if fixing.screw_length is not None else f"{longest} at most"
    words = f"{count} screws {size}, {length_}"
    sizes.right_notes.append(Note((x + 0.9 * fixing.screw_diameter, head), words))


def _body(seen: Seen, sizes: Sizes) -> None:
    placed, part = seen.placed, seen.placed.part
    if not part.has_body:
        return
    x0, x1 = seen.frame.span(placed.body)
    start = seen.seat if part.mount == "under" else 0.0
    foot = start - part.body.depth
    sizes.left.append(Span(foot, start, f"body {seen.say(part.body.depth)} deep", x0))
    _width(seen, "body", placed.body, part.body.shape, foot, sizes.below, sizes)
    if seen.bottom < -seen.thickness and (part.mount == "top" or seat_depth(placed) > 0):
        hangs = placed.depth_below(seen.thickness, seen.board.paint)  # the film is in the figure, not in the picture
        words = f"hangs {seen.say(hangs)} below"
        sizes.right.append(Span(seen.bottom, -seen.thickness, words, x1))
    room = wire_room(part)
    if room > 0:
        sizes.left.append(Span(foot - room, foot, f"wires {seen.say(room)}", x0))
