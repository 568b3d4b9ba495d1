"""What must stay empty about a part below the board: room for its wires, and for turning its nut."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.drafting.hardware.elevation_parts import wire_room
from app.drafting.section.sizes import Seen
from app.model.part import NutFixing
from app.scene.palette import HIDDEN, MUTED
from app.scene.primitives import CubicTo, Item, LineTo, Path, Style

_WIRES = Style(stroke=MUTED, width=0.25, dash=(1.0, 1.0), fill="#e4e0d5", opacity=0.55, role="wire-room")
_WIRE = Style(stroke="#8a5a44", width=0.5, role="wire")


def room_items(seen: Seen) -> tuple[Item, ...]:
    """Room for wires and for turning the nut: what must stay empty."""
    k, room = seen.scale, wire_room(seen.placed.part)
    items: list[Item] = []
    x0, x1 = seen.frame.span(seen.placed.body)
    low = seen.bottom
    if room > 0:
        corners = ((k * x1, k * low), (k * x1, k * (low - room)), (k * x0, k * (low - room)))
        items.append(Path((k * x0, k * low), tuple(LineTo(p) for p in corners), _WIRES, closed=True))
        half = min(0.25 * (x1 - x0), 7.0)
        for n, x in enumerate((-half, half)):
            foot = low - room * (0.55 + 0.2 * n)
            start = (k * x, k * low)
            bend = CubicTo((k * x, k * foot), (k * x, k * foot), (k * (x + 0.6 * half), k * foot))
            items.append(Path(start, (bend, LineTo((k * x1, k * foot))), _WIRE))
    fixing = seen.placed.part.fixing
    if isinstance(fixing, NutFixing):
        r, top = fixing.nut_width / 2 + catalogue().rule("spanner-room"), seen.seat - fixing.washer
        low = top - fixing.nut_height
        for side in (-1, 1):
            ends = ((side * k * r, k * top), (side * k * r, k * low), (side * k * fixing.nut_width / 2, k * low))
            items.append(Path((side * k * fixing.nut_width / 2, k * top), tuple(LineTo(p) for p in ends), HIDDEN))
    return tuple(items)
