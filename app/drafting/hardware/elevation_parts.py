"""Hardware seen from the front: what stands above the board, goes through it, and hangs below."""

from __future__ import annotations

from functools import lru_cache

from app.catalogue.load import catalogue
from app.drafting.forms import box_path, rounded_box
from app.drafting.hardware.part_faces import BALL
from app.drafting.hardware.part_letters import main_shape
from app.drafting.hardware.side_fixings import held
from app.drafting.hardware.side_frame import SideFrame, depth_below
from app.model.part import NutFixing, Part
from app.model.resolved import Placed
from app.scene.curves import angle_of
from app.scene.palette import BODY, CAP, FLANGE, KNOB, LIGHT, SHAFT
from app.scene.primitives import Arc, ArcTo, Circle, Item, Line, Path, Style
from app.shop.screw_pilots import seat_depth

LEG = Style(stroke=LIGHT["body-edge"], width=0.9, role="terminal")
_WIRES = Style(stroke=LIGHT["body-edge"], width=0.18, dash=(1.0, 1.2), fill=LIGHT["body"], opacity=0.35, role="wires")
_SHINE = Style(stroke="#ffffff", width=0.6, opacity=0.45, role="shine")

# Only for the look of the drawing: the catalogue does not say, and nothing is judged by them.
_PLUNGER = 3.5
_SHAFT = 9.0
_LEGS = 8.0
_HANDLE = 14.0
_KNOB = 6.0  # a rotary whose flange is higher than this has its knob for a flange


def height_above(placed: Placed, thickness: float) -> float:
    """How far a part stands above the top face [mm]; as drawn, where the catalogue does not say."""
    part = placed.part
    flange = part.flange.height if part.flange else 0.0
    if part.lever:
        return max(flange, part.lever.length - (thickness - seat_depth(placed) if part.mount == "under" else 0.0))
    if part.kind == "trackball":
        return max(flange, 0.28 * 2 * main_shape(placed).reach)
    if part.kind == "toggle" or (part.kind == "rotary" and flange < _KNOB):
        return flange + _HANDLE
    return flange + (_PLUNGER if part.kind in ("button", "rocker", "lock") else 0.0)


def profile(placed: Placed, frame: SideFrame) -> list[Item]:
    """The part from the front, from bottom to top."""
    wires = [] if frame.fine else _wire_room(placed, frame)
    return [*wires, *_below(placed, frame), *held(placed, frame), *_above(placed, frame)]


def room_below(placed: Placed, thickness: float) -> float:
    """How far below the underside a part and its wires reach [mm]."""
    return depth_below(placed, thickness) + wire_room(placed.part)


def wire_room(part: Part) -> float:
    """Room below a part for its wires to bend [mm]; 0 where it has none."""
    return catalogue().rule("wire-room") if part.wiring else 0.0


def _wire_room(placed: Placed, frame: SideFrame) -> list[Item]:
    room = wire_room(placed.part)
    if room <= 0:
        return []
    x0, x1 = frame.span(placed.body)
    foot = frame.base - frame.thickness - depth_below(placed, frame.thickness)
    return [box_path((x0, foot - room, x1, foot), _WIRES)]


def _below(placed: Placed, frame: SideFrame) -> list[Item]:
    part, base = placed.part, frame.base
    x0, x1 = frame.span(placed.body)
    start = 0.0
    if part.mount == "under":
        start = frame.seat(placed) - base
    elif isinstance(part.fixing, NutFixing):
        start = -min(part.fixing.thread_length, part.body.depth)
    end = (start if part.mount == "under" else 0.0) - part.body.depth
    legs = min(_LEGS, 0.4 * (start - end)) if part.wiring else 0.0
    items: list[Item] = []
    if legs > 0.5:
        middle, half = (x0 + x1) / 2, min(0.25 * (x1 - x0), 7.0)
        items += [Line((x, base + end + legs), (x, base + end), LEG) for x in (middle - half, middle + half)]
    if start - end - legs > 0.1:
        items.append(rounded_box((x0, base + end + legs, x1, base + start), 1.2, BODY))
    return items


def _above(placed: Placed, frame: SideFrame) -> list[Item]:
    part, base = placed.part, frame.base
    items: list[Item] = []
    x0, x1 = frame.span(placed.flange or main_shape(placed))
    x, half, top = frame.view.x(placed.x), (x1 - x0) / 2, base + height_above(placed, frame.thickness)
    flange = base + (part.flange.height if part.flange else 0.0)
    if part.lever:
        knob = max(part.lever.knob / 2, 4.0)
        foot = frame.seat(placed) if part.mount == "under" else base
        items.append(box_path((x - _SHAFT / 2, foot, x + _SHAFT / 2, max(top - 2 * knob, foot + 1.0)), SHAFT))
        items += [Circle((x, top - knob), knob, KNOB), Arc((x, top - knob), 0.65 * knob, 105.0, 50.0, _SHINE)]
    elif part.kind == "trackball":
        items.append(_ball(x, frame.seat(placed), top, main_shape(placed).reach * 0.92))
    elif part.kind == "rotary":
        items.append(box_path((x - 0.35 * _SHAFT, frame.seat(placed), x + 0.35 * _SHAFT, base + 0.1), SHAFT))
        low, r = (base, half) if top == flange else (flange, 0.8 * half)
        items.append(rounded_box((x - r, low, x + r, top), 1.5, KNOB))
    elif part.kind == "toggle":
        items.append(rounded_box((x - 1.6, flange, x + 1.6, top), 1.6, SHAFT))
    elif part.kind in ("button", "rocker", "lock"):
        items.append(rounded_box((x - 0.7 * half, flange - 0.5, x + 0.7 * half, top), 1.8, CAP))
    if part.flange and not (part.kind == "rotary" and top == flange):
        items.append(rounded_box((x0, base, x1, flange), 1.5, FLANGE))
    return items


def _ball(x: float, foot: float, top: float, radius: float) -> Path:
    """A ball as far as it is seen above the plate that holds it."""
    centre = top - radius
    foot = max(foot, centre - 0.9 * radius)
    half = max(radius**2 - (foot - centre) ** 2, 0.0) ** 0.5
    a, b = angle_of((x, centre), (x + half, foot)), angle_of((x, centre), (x - half, foot))
    return Path((x + half, foot), (ArcTo((x - half, foot), (x, centre), (b - a) % 360.0),), BALL, closed=True)


_FAR = frozenset({"body", "flange", "cap", "shaft", "ball", "knob", "plate-cut", "nut", "thread"})


@lru_cache(maxsize=256)
def _faint(style: Style) -> Style:
    return Style(style.stroke, style.width, style.dash, style.fill, 0.3 * style.opacity, f"{style.role} behind")


def faint(items: list[Item]) -> list[Item]:
    """The same items, hardly seen: what is not in the row that is cut."""
    pale: list[Item] = []
    for item in items:
        match item:
            case Circle():
                pale.append(Circle(item.centre, item.radius, _faint(item.style)))
            case Path() if item.style.role in _FAR:
                pale.append(Path(item.start, item.steps, _faint(item.style), item.closed))
            case Arc() | _:
                pass  # what is small is not seen from so far
    return pale
