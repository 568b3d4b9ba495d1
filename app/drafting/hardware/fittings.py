"""What shows inside the rim of hardware that is more than a disc: blades, cones, keyholes, knurls, clips."""

from __future__ import annotations

import math

from app.geometry.shapes import Point, Shape
from app.scene.curves import at_angle
from app.scene.palette import LIGHT
from app.scene.primitives import Arc, Circle, Item, Line, Style

DARK_INSIDE = Style(stroke="#23272b", width=0.25, fill="#4a5357", role="inside")
_BLADE = Style(stroke="#dfe3e4", width=0.7, role="blade")
_GUARD = Style(stroke="#c9ced0", width=0.3, role="guard")
_HUB = Style(stroke=LIGHT["body-edge"], width=0.35, fill=LIGHT["cap"], role="hub")
_SURROUND = Style(stroke="#23272b", width=0.35, fill="#5d666a", role="surround")
_CONE = Style(stroke="#23272b", width=0.25, fill="#9aa1a4", role="cone")
_BRACE = Style(stroke=LIGHT["ink"], width=0.25, dash=(5.0, 1.5, 1.0, 1.5), role="brace")
_TERMINALS = Style(stroke="#6e6a60", width=1.2, dash=(1.6, 1.4), role="terminals")
_KNURL = Style(stroke="#aeb4b6", width=1.4, dash=(0.5, 1.5), role="knurl")
_POINTER = Style(stroke="#ffffff", width=1.0, role="pointer")
_KEY = Style(stroke=None, fill="#23272b", role="keyhole")
_SLIT = Style(stroke="#23272b", width=1.0, role="slit")
_CLIP = Style(stroke=LIGHT["cap-edge"], width=1.0, role="clip")
_GLOW = Style(stroke="#c99a2e", width=1.5, dash=(0.5, 2.2), role="glow")


def fan(at: Point, r: float, angle: float) -> tuple[Item, ...]:
    """Seven curved blades round a hub, behind a guard ring; ``r`` of the opening in mm."""
    blades = [
        Arc(at_angle(at, 0.52 * r, angle + 360 / 7 * k), 0.44 * r, angle + 360 / 7 * k + 20, 140, _BLADE)
        for k in range(7)
    ]
    return (Circle(at, r, DARK_INSIDE), *blades, Circle(at, 0.72 * r, _GUARD), Circle(at, 0.4 * r, _HUB))


def speaker(at: Point, r: float) -> tuple[Item, ...]:
    """Surround, cone and dust cap; ``r`` of the opening in mm."""
    return (
        Circle(at, r, DARK_INSIDE),
        Circle(at, 0.9 * r, _SURROUND),
        Circle(at, 0.76 * r, _CONE),
        Circle(at, 0.56 * r, Style(_CONE.stroke, 0.18, role="cone-line")),
        Circle(at, 0.38 * r, _HUB),
    )


def bracing(screws: tuple[Point, ...]) -> tuple[Item, ...]:
    """Lines from screw to screw across the middle of a bracket, as it lies unseen below the board."""
    half = len(screws) // 2
    return tuple(Line(screws[k], screws[k + half], _BRACE) for k in range(half))


def terminal_rows(body: Shape) -> tuple[Item, ...]:
    """Two dashed lines inside the long sides of an encoder board, where its terminals are."""
    if len(body.core) < 4:
        return ()
    a, b, c, d = body.core[:4]
    if math.dist(a, b) < math.dist(b, c):
        a, b, c, d = b, c, d, a
    inset = 0.14

    def between(p: Point, q: Point, t: float) -> Point:
        return (p[0] + (q[0] - p[0]) * t, p[1] + (q[1] - p[1]) * t)

    ends = ((between(a, d, t), between(b, c, t)) for t in (inset, 1 - inset))
    return tuple(Line(between(p, q, 0.06), between(p, q, 0.94), _TERMINALS) for p, q in ends)


def knurled(at: Point, r: float, angle: float) -> tuple[Item, ...]:
    """The grip of a knob that is turned, and where it points; ``r`` of the knob in mm."""
    return (
        Circle(at, 0.9 * r, _KNURL),
        Line(at_angle(at, 0.62 * r, angle + 90.0), at_angle(at, 0.98 * r, angle + 90.0), _POINTER),
    )


def keyhole(at: Point, r: float, angle: float) -> tuple[Item, ...]:
    """Where the key goes in; ``r`` of the cylinder in mm."""
    top = at_angle(at, 0.2 * r, angle + 90.0)
    return (Circle(top, 0.24 * r, _KEY), Line(top, at_angle(at, 0.5 * r, angle - 90.0), _SLIT))


def clips(at: Point, r: float, angle: float) -> tuple[Item, ...]:
    """Marks on the rim over the two clips of a button that snaps in; ``r`` of the rim in mm."""
    return tuple(Arc(at, 0.93 * r, angle + side - 13.0, 26.0, _CLIP) for side in (0.0, 180.0))


def glow(at: Point, r: float) -> tuple[Item, ...]:
    """Rays round the cap of a button with a lamp; ``r`` of the cap in mm."""
    return (Circle(at, 1.12 * r, _GLOW),)
