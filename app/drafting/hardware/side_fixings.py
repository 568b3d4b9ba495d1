"""What holds a part, seen from the side: thread, washer and nut, clips, or plate and screws."""

from __future__ import annotations

from app.drafting.forms import box_path, rounded_box
from app.drafting.hardware.part_faces import SCREW
from app.drafting.hardware.part_letters import main_shape
from app.drafting.hardware.side_frame import SideFrame
from app.model.part import NutFixing, ScrewFixing, SnapFixing
from app.model.resolved import Placed
from app.scene.palette import HIDDEN, LIGHT, NUT, THREAD
from app.scene.primitives import Item, Line, LineTo, Path, Point, Style
from app.shop.screw_pilots import clamp_thickness, screw_pilots_in

PLATE_CUT = Style(stroke=LIGHT["body-edge"], width=0.25, fill="#aeb1b2", role="plate-cut")
FACET = Style(stroke=LIGHT["body-edge"], width=0.18, role="facet")

# Only for the look of the drawing: the catalogue does not say, and nothing is judged by them.
_PITCH = 1.5
_CREST = 0.55
_CLIP = 1.6
_HEAD = 0.55


def held(placed: Placed, frame: SideFrame) -> list[Item]:
    """Thread and nut, clips, or plate and screws; nothing for holes alone."""
    fixing = placed.part.fixing
    if fixing is None:
        return []
    if isinstance(fixing, NutFixing):
        return _nut(placed, fixing, frame)
    if isinstance(fixing, SnapFixing):
        return _clips(placed, fixing, frame)
    return [*_plate(placed, fixing, frame), *_screws(placed, fixing, frame)]


def _nut(placed: Placed, fixing: NutFixing, frame: SideFrame) -> list[Item]:
    x, half = frame.view.x(placed.x), fixing.nut_width / 2
    seat, base = frame.seat(placed), frame.base
    x0, x1 = frame.span(main_shape(placed))
    top = seat - fixing.washer
    items: list[Item] = [_thread(x0 + 0.3, x1 - 0.3, base, base - fixing.thread_length, fine=frame.fine)]
    items.append(rounded_box((x - half, top - fixing.nut_height, x + half, top), 0.8, NUT))
    if frame.fine:  # a hexagon seen with a corner at each side shows its flats as two more lines
        flats = (x - half / 2, x + half / 2)
        items += [Line((f, top - fixing.nut_height), (f, top), FACET) for f in flats]
    if fixing.washer > 0:
        items.append(box_path((x - half - 1, top, x + half + 1, seat), NUT))
    return items


def _thread(x0: float, x1: float, top: float, foot: float, *, fine: bool) -> Path:
    if not fine:
        return box_path((x0, foot, x1, top), THREAD)
    turns = max(1, round((top - foot) / _PITCH))
    pitch = (top - foot) / turns
    right: list[Point] = []
    for k in range(turns):
        y = top - k * pitch
        right += [(x1 - _CREST, y), (x1, y - pitch / 2)]
    right.append((x1 - _CREST, foot))
    left = [(x0 + x1 - x, y) for x, y in reversed(right)]
    return Path(right[0], tuple(LineTo(p) for p in (*right[1:], *left)), THREAD, closed=True)


def _clips(placed: Placed, fixing: SnapFixing, frame: SideFrame) -> list[Item]:
    """Sprung wedges that bear on the lower rim of the hole; squeezed inside it where the board is too thick."""
    base, seat = frame.base, frame.seat(placed)
    x0, x1 = frame.span(main_shape(placed))
    sprung = base - seat <= fixing.grip_max + 1e-9
    out = _CLIP if sprung else 0.0
    high, low = base - fixing.grip_min, base - fixing.grip_max
    items: list[Item] = []
    for x, s in ((x0, -1), (x1, 1)):
        points = [(x - s * 0.5, high), (x + s * out, low), (x - s * 0.8, low - 5.0), (x - s * 1.6, low - 5.0)]
        items.append(Path((x - s * 1.6, high), tuple(LineTo(p) for p in points), NUT, closed=True))
    return items


def _plate(placed: Placed, fixing: ScrewFixing, frame: SideFrame) -> list[Item]:
    plate = placed.plate
    if plate is None or fixing.plate_thickness <= 0:
        return []
    x0, x1 = frame.span(plate)
    under = placed.part.mount == "under"
    top = frame.seat(placed) if under else frame.base + fixing.plate_thickness
    return [box_path((x0, top - fixing.plate_thickness, x1, top), PLATE_CUT)]


def _screws(placed: Placed, fixing: ScrewFixing, frame: SideFrame) -> list[Item]:
    """Screws in their pilots, or bolts right through; those behind one another are drawn once."""
    pilots = screw_pilots_in(placed, frame.thickness)
    middles = {round(frame.view.x(p[0]), 3) for p in placed.screws}
    under, r = fixing.side == "under", fixing.screw_diameter / 2
    clamped = clamp_thickness(placed, fixing)
    start = frame.seat(placed) - clamped if under else frame.base + clamped
    up = 1.0 if under else -1.0
    items: list[Item] = []
    for x in sorted(middles):
        if pilots is not None:
            face = start + up * clamped
            floor = face + up * pilots.depth
            rim = [(x - pilots.diameter / 2, face), (x - pilots.diameter / 2, floor), (x + pilots.diameter / 2, floor)]
            if frame.fine:
                items.append(Path(rim[0], tuple(LineTo(p) for p in (*rim[1:], (rim[2][0], face))), HIDDEN))
            end = floor - up * 1.0 if fixing.screw_length is None else start + up * fixing.screw_length
            items.append(_screw(x, start, end, r, up))
        else:
            end = (frame.base if under else frame.base - frame.thickness) + up * (bolt_through(placed) + 3.0)
            items.append(_screw(x, start, end, r, up, pointed=False))
    return items


def bolt_through(placed: Placed) -> float:
    """How much of the part a bolt from the other face goes through, for the look: a few millimetres [mm]."""
    return min(4.0, placed.part.body.depth)


def _screw(x: float, start: float, end: float, r: float, up: float, *, pointed: bool = True) -> Path:
    """A screw from the underside of its head at ``start`` to ``end``; ``up`` is 1 for one driven upward."""
    head, tip = 1.9 * r, end - up * 1.5 * r if pointed else end
    foot = start - up * 2 * _HEAD * r
    points = [
        (x + head, foot), (x + head, start), (x + r, start), (x + r, tip),
        (x, end) if pointed else (x + r, end), (x - r, tip), (x - r, start), (x - head, start),
    ]  # fmt: skip
    return Path((x - head, foot), tuple(LineTo(p) for p in points), SCREW, closed=True)
