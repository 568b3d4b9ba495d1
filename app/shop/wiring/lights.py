"""Lights and what else is fed: resistors, and the volts lost on the way."""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Iterable, Mapping, Sequence
from typing import Final

from msgspec import Struct

from app.fit.judging.feeding import Fed, drawn_by
from app.model.resolved import Placed
from app.model.wiring import Conductor
from app.shop.wiring.harness import Harness
from app.shop.wiring.wire import Net, Terminal, Wire

NOMINAL: Final = 5.0
"""What a 5 V supply gives [V]."""

_E24: Final = (10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91)
"""Preferred values of resistors, 24 to a decade (IEC 60063)."""


class Light(Struct, frozen=True):
    """What a part draws.

    Args:
        placed: the part.
        current: [mA].
        resistor: to put in series with its light [Ω]; None where one is built in, or it has no light.
        drop: what is lost on the way there and back [V]; None where the way is not known.
        volts: what is left of the least that the supply gives [V]; None likewise.
    """

    placed: Placed
    current: float
    resistor: float | None
    drop: float | None
    volts: float | None


def lights_of(harness: Harness) -> tuple[Light, ...]:
    """Every part that draws something."""
    found = []
    for feed in harness.fed:
        lost = _lost(harness, feed)
        for part in feed.parts:
            if drawn_by(part) <= 0:
                continue
            drop = lost.get(part.id)
            left = None if drop is None else harness.plan.supply.volts - drop
            found.append(Light(part, drawn_by(part), resistor(part), drop, left))
    return tuple(found)


def resistor(placed: Placed) -> float | None:
    """The next preferred value up from what limits the current of a bare light [Ω]."""
    wiring = placed.part.wiring
    if wiring is None or wiring.light_volts <= 0 or wiring.light_current <= 0 or wiring.light_volts >= NOMINAL:
        return None
    return preferred(1000.0 * (NOMINAL - wiring.light_volts) / wiring.light_current)


def preferred(ohms: float) -> float:
    """The least preferred value that is no less [Ω]."""
    decade = 10.0 ** (math.floor(math.log10(ohms)) - 1)
    for value in (*_E24, 100):
        if value * decade >= ohms * (1 - 1e-9):
            return round(value * decade, 9)
    raise AssertionError("a decade ends with ten times its first")


def voltage_drop(conductor: Conductor, length: float, current: float) -> float:
    """What a current [mA] loses there and back along a length [mm] [V]."""
    return 2 * conductor.ohms(length) * current / 1000


def _lost(harness: Harness, feed: Fed) -> dict[str, float]:
    """Volts lost to each part, over its supply wires and back over ground; of a ring, at the worse of its two ends."""
    wires = [w for w in harness.wires if w.encoder == feed.encoder.id]
    if any(w.way is None for w in wires):
        return {}
    loads = {part.id: drawn_by(part) for part in feed.parts}
    there = _drops(_of(wires, "supply"), feed.encoder.id, loads, harness.plan.conductor)
    ground = _of(wires, "ground")
    opened = [ground]
    if harness.plan.grounds == "ring":
        ends = [w for w in ground if feed.encoder.id in (w.one.placement, w.other.placement)]
        opened = [[w for w in ground if w is not end] for end in ends] if len(ends) > 1 else [ground]
    back = [_drops(each, feed.encoder.id, loads, harness.plan.conductor) for each in opened]
    return {part: there[part] + max(each.get(part, 0.0) for each in back) for part in there}


def _of(wires: Iterable[Wire], net: Net) -> list[Wire]:
    return [w for w in wires if w.net == net]


Node = tuple[str, str]
"""A terminal: its placement and its name; of the encoder board all of them are one, without a name."""


def _drops(wires: Sequence[Wire], root: str, loads: Mapping[str, float], conductor: Conductor) -> dict[str, float]:
    """Volts lost from the root to the last tab of each part of a tree of wires."""
    top = (root, "")
    order, above = _outwards(wires, top, conductor)
    last = {node[0]: node for node in order[1:]}
    carried = dict.fromkeys(order, 0.0)
    for part, node in last.items():
        carried[node] += loads.get(part, 0.0)
    for node in reversed(order[1:]):
        carried[above[node][0]] += carried[node]
    lost = {top: 0.0}
    for node in order[1:]:
        before, ohms = above[node]
        lost[node] = lost[before] + ohms * carried[node] / 1000
    return {part: lost[node] for part, node in last.items()}


def _outwards(
    wires: Sequence[Wire], top: Node, conductor: Conductor
) -> tuple[list[Node], dict[Node, tuple[Node, float]]]:
    """Terminals in the order of a walk from the root, and for each the one before it and the ohms between."""
    at: dict[Node, list[tuple[Node, float]]] = {}
    for wire in wires:
        a, b = (_node(end, top) for end in (wire.one, wire.other))
        ohms = conductor.ohms(wire.cut or 0.0)
        at.setdefault(a, []).append((b, ohms))
        at.setdefault(b, []).append((a, ohms))
    order, above, queue = list[Node](), {top: (top, 0.0)}, deque([top])
    while queue:
        here = queue.popleft()
        order.append(here)
        for there, ohms in at.get(here, []):
            if there not in above:
                above[there] = here, ohms
                queue.append(there)
    return order, above


def _node(end: Terminal, top: Node) -> Node:
    return top if end.placement == top[0] else (end.placement, end.name)
