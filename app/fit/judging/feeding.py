"""What is fed by which encoder board, and how much it draws."""

from __future__ import annotations

from msgspec import Struct

from app.fit.judging.pins import Pinned
from app.fit.judging.wired_face import WiredFace
from app.model.resolved import Placed


class Fed(Struct, frozen=True):
    """An encoder board with what is wired to it.

    Args:
        encoder: the board.
        parts: what is wired to it, each once.
        drawn: what all of these draw together [mA].
    """

    encoder: Placed
    parts: tuple[Placed, ...]
    drawn: float


def fed(face: WiredFace, pins: Pinned) -> tuple[Fed, ...]:
    """Every encoder board; a part with tabs on two of them is fed by that of its first."""
    first: dict[str, str] = {}
    for pin in pins.pins:
        first.setdefault(pin.part, pin.encoder)
    found = []
    for encoder in face.encoders:
        parts = tuple(p for p in face.parts if first.get(p.id) == encoder.id)
        own = encoder.part.encoder.current if encoder.part.encoder else 0.0
        found.append(Fed(encoder, parts, own + sum(drawn_by(p) for p in parts)))
    return tuple(found)


def drawn_by(placed: Placed) -> float:
    """What a part draws: its light, and a turning control itself [mA]."""
    wiring = placed.part.wiring
    return wiring.light_current + wiring.supply_current if wiring else 0.0
