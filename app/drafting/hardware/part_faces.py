"""Hardware seen from above, drawn so that each kind is known at a glance."""

from __future__ import annotations

from app.drafting.forms import shape_item
from app.drafting.hardware.fittings import bracing, clips, fan, glow, keyhole, knurled, speaker, terminal_rows
from app.drafting.hardware.part_letters import (
    LETTER,
    beside,
    hides_behind,
    least,
    letter,
    main_shape,
    rim_radius,
    seen_shapes,
)
from app.drafting.view.state_marks import not_drilled
from app.geometry.shapes import Shape, rotate
from app.model.part import ScrewFixing, SnapFixing
from app.model.resolved import Placed
from app.scene.curves import at_angle
from app.scene.palette import (
    CAP,
    FLANGE,
    HIDDEN,
    HOLE_OFF,
    HOLE_OPEN,
    KNOB,
    LIGHT,
    PLATE,
    SHAFT,
    TEXT_LIGHT,
    TEXT_MUTED,
)
from app.scene.primitives import Arc, Circle, Item, Line, Style

SHINE = Style(stroke="#ffffff", width=0.6, opacity=0.45, role="shine")
RIM = Style(stroke=LIGHT["cap-edge"], width=0.18, role="rim")
BALL = Style(stroke=LIGHT["acrylic-edge"], width=0.35, fill="#dfe8ec", role="ball")
SCREW = Style(stroke=LIGHT["body-edge"], width=0.18, fill="#d9d6cd", role="screw")
SHADED = Style(stroke=None, fill="#cfc8b8", role="shaded")
CONTACT = Style(stroke=None, fill="#23272b", opacity=0.2, role="contact")


def top_view(placed: Placed, scale: float = 1.0) -> tuple[Item, ...]:
    """The part as it looks on the top face, with its letter.

    Args:
        placed: the part at its place.
        scale: size of the letters and thin details against their size on a board 640 mm wide.
    """
    if not placed.drill:
        return _ghost(placed, scale)
    draw = _KINDS.get(placed.part.kind, _plain)
    return draw(placed, scale)


def cap_radius(placed: Placed) -> float:
    """Radius of what a hand presses, holds or turns, with its letter, round the part's origin [mm]."""
    lever = placed.part.lever
    return lever.knob / 2 if lever and lever.knob > 0 else 0.72 * rim_radius(placed)


def _ghost(placed: Placed, scale: float) -> tuple[Item, ...]:
    shape = placed.flange or main_shape(placed)
    return (
        *not_drilled(shape.centre, shape.radius if shape.is_circle else least(shape)),
        *(shape_item(each, HOLE_OFF) for each in seen_shapes(placed)),
        *letter((placed.x, placed.y), placed.label, LETTER * scale, 1.5 * least(shape), TEXT_MUTED),
    )


def _button(placed: Placed, scale: float) -> tuple[Item, ...]:
    rim = placed.flange or main_shape(placed)
    if not rim.is_circle:
        return _plain(placed, scale)
    at, r = rim.centre, rim.radius
    wiring = placed.part.wiring
    return (
        *_contact(rim),
        shape_item(rim, FLANGE),
        *(clips(at, r, placed.angle) if isinstance(placed.part.fixing, SnapFixing) else (Circle(at, 0.86 * r, RIM),)),
        *(glow(at, 0.7 * r) if wiring and wiring.light_current else ()),
        Circle(at, 0.7 * r, CAP),
        *letter(at, placed.label, LETTER * scale, 1.15 * r),
    )


def _stick(placed: Placed, scale: float) -> tuple[Item, ...]:
    at, lever = (placed.x, placed.y), placed.part.lever
    knob = lever.knob / 2 if lever and lever.knob > 0 else 0.6 * main_shape(placed).reach
    return (
        *_hidden_plate(placed),
        *_rim(placed),
        *_openings(placed),
        *_contact(Shape((at,), knob)),
        Circle(at, knob, KNOB),
        Arc(at, 0.68 * knob, 105.0, 55.0, SHINE),
        *letter(at, placed.label, LETTER * scale, 1.4 * knob, TEXT_LIGHT),
    )


def _trackball(placed: Placed, scale: float) -> tuple[Item, ...]:
    hole = main_shape(placed)
    at, r = hole.centre, 0.92 * hole.reach
    return (
        *_hidden_plate(placed),
        *_rim(placed),
        *_openings(placed),
        Circle(at, r, BALL),
        Arc(at, 0.75 * r, 100.0, 60.0, SHINE),
        *letter(at, placed.label, LETTER * scale, 1.3 * r),
        *_screws(placed, "top"),
    )


def _rotary(placed: Placed, scale: float) -> tuple[Item, ...]:
    rim = placed.flange or main_shape(placed)
    at, r = (placed.x, placed.y), max(rim.reach, 6.0)
    return (
        *_contact(Shape((at,), r)),
        Circle(at, r, KNOB),
        *knurled(at, r, placed.angle),
        *letter(at, placed.label, LETTER * scale, 1.2 * r, TEXT_LIGHT),
    )


def _toggle(placed: Placed, scale: float) -> tuple[Item, ...]:
    at, r = (placed.x, placed.y), max(main_shape(placed).reach, 3.0)
    along = rotate((0.0, 1.6 * r), placed.angle)
    bat = Shape((at, (at[0] + along[0], at[1] + along[1])), 0.45 * r)
    nut = tuple(at_angle(at, 1.35 * r, placed.angle + 60.0 * k) for k in range(6))
    return (
        *_rim(placed),
        shape_item(Shape(nut, 0.0), SCREW),
        Circle(at, 0.8 * r, CAP),
        shape_item(bat, SHAFT),
        *beside(placed, scale),
    )


def _rocker(placed: Placed, scale: float) -> tuple[Item, ...]:
    rim, hole = placed.flange or main_shape(placed), main_shape(placed)
    x0, y0, x1, y1 = placed.part.cutouts[0].shape.bounds
    upright = y1 - y0 >= x1 - x0
    half = ((x0 * 0.8, 0.0), (x1 * 0.8, 0.0)) if upright else ((0.0, y0 * 0.8), (0.0, y1 * 0.8))
    a, b = (rotate(p, placed.angle) for p in half)
    low = ((x0 * 0.8, y0 * 0.8), (x1 * 0.8, y0 * 0.8), (x1 * 0.8, 0.0), (x0 * 0.8, 0.0))
    pressed = low if upright else ((x0 * 0.8, y0 * 0.8), (0.0, y0 * 0.8), (0.0, y1 * 0.8), (x0 * 0.8, y1 * 0.8))
    return (
        *_contact(rim),
        shape_item(rim, FLANGE),
        shape_item(Shape(hole.core, max(hole.radius - 0.6, 0.0)) if hole.radius > 0.7 else hole, CAP),
        shape_item(placed.place(Shape(pressed, 0.0)), SHADED),
        Line((placed.x + a[0], placed.y + a[1]), (placed.x + b[0], placed.y + b[1]), RIM),
        *letter((placed.x, placed.y), placed.label, 0.8 * LETTER * scale, 1.6 * least(hole)),
    )


def _lock(placed: Placed, scale: float) -> tuple[Item, ...]:
    rim = placed.flange or main_shape(placed)
    at, r = (placed.x, placed.y), least(rim)
    return (
        shape_item(rim, SCREW),
        Circle(at, 0.72 * r, CAP),
        *keyhole(at, 0.72 * r, placed.angle),
        *beside(placed, scale),
    )


def _socket(placed: Placed, scale: float) -> tuple[Item, ...]:
    rim, hole = placed.flange, main_shape(placed)
    r = 0.45 * least(hole)
    pins = [at_angle(hole.centre, r, placed.angle + a) for a in (90.0, 210.0, 330.0)]
    return (
        *((shape_item(rim, SCREW),) if rim else ()),
        shape_item(hole, KNOB),
        *(Circle(p, max(0.14 * r, 0.4), CAP) for p in pins),
        *_screws(placed, "top"),
        *beside(placed, scale),
    )


def _plain(placed: Placed, scale: float) -> tuple[Item, ...]:
    """A bracket or what has no drawing of its own: rim, openings, screws."""
    hole = main_shape(placed)
    below = placed.part.mount == "under" and placed.plate is None and placed.body.reach > hole.reach
    room = least(placed.flange or (placed.body if below else hole))
    rings = tuple(Circle(hole.centre, f * hole.reach, RIM) for f in (0.35, 0.7)) if hole.is_circle else ()
    return (
        *_hidden_plate(placed),
        *((shape_item(placed.body, PLATE),) if below else ()),
        *(bracing(placed.screws) if placed.part.kind == "bracket" else ()),
        *_rim(placed),
        *_openings(placed),
        *rings,
        *_screws(placed, "top"),
        *letter((placed.x, placed.y), placed.label, LETTER * scale, 1.4 * room),
    )


def _encoder(placed: Placed, scale: float) -> tuple[Item, ...]:
    """An encoder board below: dashed, with a row of terminals along each long side."""
    return (
        shape_item(placed.body, HIDDEN),
        *terminal_rows(placed.body),
        *_openings(placed),
        *letter(placed.body.centre, placed.label, LETTER * scale, least(placed.body), TEXT_MUTED),
    )


def _pattern(placed: Placed, scale: float) -> tuple[Item, ...]:
    """Holes alone, the letter under them."""
    return (*_openings(placed), *beside(placed, scale))


def _behind(placed: Placed, scale: float) -> tuple[Item, ...]:
    """A fan or a speaker behind its opening, the letter on its hub; one behind a pattern only dashed."""
    if hides_behind(placed):
        items = (shape_item(placed.body, HIDDEN), *_openings(placed), *_screws(placed, "top"))
        return (*items, *beside(placed, scale))
    hole = main_shape(placed)
    if not hole.is_circle:
        return _plain(placed, scale)
    at, r = hole.centre, hole.radius
    is_fan = placed.part.kind == "fan"
    below = placed.part.mount == "under" and placed.plate is None and placed.body.reach > r
    return (
        *_hidden_plate(placed),
        *((shape_item(placed.body, PLATE),) if below else ()),
        *_rim(placed),
        *_openings(placed),
        *(fan(at, r, placed.angle) if is_fan else speaker(at, r)),
        *_screws(placed, "top"),
        *letter(at, placed.label, LETTER * scale, (0.6 if is_fan else 0.58) * r),
    )


def _contact(shape: Shape) -> tuple[Item, ...]:
    """What darkens the board round a part that stands on it, alike on every side: its middle stays the part's."""
    return (shape_item(Shape(shape.core, shape.radius + 0.055 * shape.reach), CONTACT),)


def _rim(placed: Placed) -> tuple[Item, ...]:
    return (shape_item(placed.flange, FLANGE),) if placed.flange else ()


def _openings(placed: Placed) -> tuple[Item, ...]:
    return tuple(shape_item(hole.shape, HOLE_OPEN) for hole in placed.holes)


def _hidden_plate(placed: Placed) -> tuple[Item, ...]:
    under = placed.part.mount == "under"
    return (shape_item(placed.plate, PLATE),) if placed.plate and under else ()


def _screws(placed: Placed, side: str) -> tuple[Item, ...]:
    fixing = placed.part.fixing
    if not isinstance(fixing, ScrewFixing) or fixing.side != side:
        return ()
    return tuple(Circle(p, max(fixing.screw_diameter * 0.9, 1.2), SCREW) for p in placed.screws)


_KINDS = {
    "button": _button,
    "stick": _stick,
    "trackball": _trackball,
    "rotary": _rotary,
    "toggle": _toggle,
    "rocker": _rocker,
    "lock": _lock,
    "socket": _socket,
    "fan": _behind,
    "speaker": _behind,
    "encoder": _encoder,
    "pattern": _pattern,
}
