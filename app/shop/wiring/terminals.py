"""Terminals of parts and of encoder boards, by name."""

from __future__ import annotations

from typing import Final

from app.fit.judging.pins import Pin
from app.model.part import Encoder, Wiring
from app.model.resolved import Placed
from app.shop.wiring.wire import Terminal

_NONE: Final = Wiring(0, 0, 0.0, 0.0)
_NO_ENCODER: Final = Encoder(0, 0, 1, 0, "screw", 0.0)


def signal_tab(placed: Placed, tab: int) -> Terminal:
    """A signal tab of a part, counted from 1."""
    wiring = _wiring(placed)
    name = "signal" if wiring.signal_tabs == 1 else f"signal {tab}"
    return Terminal(placed.id, name, wiring.tab_width)


def ground_tabs(placed: Placed) -> tuple[Terminal, ...]:
    """Every tab of a part that is joined to ground, that of its light last."""
    wiring = _wiring(placed)
    many = wiring.ground_tabs
    names = ["ground"] if many == 1 else [f"ground {k}" for k in range(1, many + 1)]
    return _tabs(placed, [*names, *(["light −"] if wiring.light_current > 0 else [])])


def supply_tabs(placed: Placed) -> tuple[Terminal, ...]:
    """Every tab of a part that is joined to 5 V, that of its light last."""
    wiring = _wiring(placed)
    many = wiring.supply_tabs
    names = ["5 V"] if many == 1 else [f"5 V {k}" for k in range(1, many + 1)]
    return _tabs(placed, [*names, *(["light +"] if wiring.light_current > 0 else [])])


def input_pin(encoder: Placed, pin: Pin) -> Terminal:
    """A pin for a signal."""
    if pin.sort == "turning":
        axis, way = (pin.number + 1) // 2, "AB"[(pin.number + 1) % 2]
        return _pin(encoder, f"axis {axis} {way}")
    return _pin(encoder, f"input {pin.number}")


def ground_pin(encoder: Placed, turn: int) -> Terminal:
    """A ground pin, the next one for each branch; where there are more branches than pins they share."""
    many = _encoder(encoder).grounds
    return _pin(encoder, "ground" if many == 1 else f"ground {turn % many + 1}")


def supply_pin(encoder: Placed, turn: int) -> Terminal:
    """A 5 V pin likewise; of a board without one, the supply beside it."""
    many = _encoder(encoder).supplies
    return _pin(encoder, "its 5 V supply" if many == 0 else "5 V" if many == 1 else f"5 V {turn % many + 1}")


def _tabs(placed: Placed, names: list[str]) -> tuple[Terminal, ...]:
    return tuple(Terminal(placed.id, name, _wiring(placed).tab_width) for name in names)


def _pin(encoder: Placed, name: str) -> Terminal:
    return Terminal(encoder.id, name, 0.0, _encoder(encoder).connection)


def _wiring(placed: Placed) -> Wiring:
    return placed.part.wiring or _NONE


def _encoder(placed: Placed) -> Encoder:
    return placed.part.encoder or _NO_ENCODER
