"""Every signal tab on a pin of an encoder board: none twice, each tab once."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Literal

from msgspec import Struct, field

from app.fit.features.layout import natural
from app.fit.judging.wired_face import WiredFace
from app.model.part import Encoder, Signal
from app.model.resolved import Placed
from app.model.wiring import FixedPin

Wrong = Literal["encoder", "pin", "twice"]
"""Why a pin that was chosen cannot be had: there is no such encoder board, it has no such pin, or the pin is taken."""

SORTS: tuple[Signal, ...] = ("switch", "turning")
"""What encoder boards read, each on pins of its own."""


class Pin(Struct, frozen=True):
    """A signal tab on a pin.

    Args:
        part: id of its placement.
        tab: its number, from 1.
        encoder: id of the placement that is the encoder board.
        sort: which pins these are.
        number: of the pin among these, from 1.
        fixed: whether the builder chose it.
    """

    part: str
    tab: int
    encoder: str
    sort: Signal
    number: int
    fixed: bool = False


class Pinned(Struct, frozen=True):
    """Every signal tab.

    Args:
        pins: those that have a pin, part by part.
        left: those that have none: the part, the number of the tab, and which pin it wants.
        wrong: pins that the builder chose and that cannot be had.
    """

    pins: tuple[Pin, ...]
    left: tuple[tuple[str, int, Signal], ...]
    wrong: tuple[tuple[FixedPin, Wrong], ...]


def pins_of(encoder: Encoder, sort: Signal) -> int:
    """How many pins of a sort an encoder board has."""
    return encoder.inputs if sort == "switch" else 2 * encoder.turnings


def tabs_of(parts: Iterable[Placed], sort: Signal) -> int:
    """How many signal tabs of a sort parts have."""
    return sum(p.part.wiring.signal_tabs for p in parts if p.part.wiring and p.part.wiring.signal == sort)


class _Board(Struct):
    """An encoder board with the pins that are free on it."""

    placed: Placed
    free: dict[Signal, list[int]]

    def has(self, sort: Signal, many: int) -> bool:
        return len(self.free[sort]) >= many


class _Table(Struct):
    boards: list[_Board]
    pins: dict[tuple[str, int], Pin] = field(default_factory=dict)
    left: list[tuple[str, int, Signal]] = field(default_factory=list)

    def put(self, board: _Board, part: Placed, tab: int, sort: Signal, number: int, *, fixed: bool = False) -> None:
        board.free[sort].remove(number)
        self.pins[part.id, tab] = Pin(part.id, tab, board.placed.id, sort, number, fixed)

    def open_tabs(self, part: Placed) -> list[int]:
        tabs = part.part.wiring.signal_tabs if part.part.wiring else 0
        return [tab for tab in range(1, tabs + 1) if (part.id, tab) not in self.pins]

    def fill(self, board: _Board, part: Placed, sort: Signal) -> None:
        for tab in self.open_tabs(part):
            if not board.free[sort]:
                return
            self.put(board, part, tab, sort, board.free[sort][0])


def pinned(face: WiredFace, chosen: Sequence[FixedPin]) -> Pinned:
    """Tabs on pins: those the builder chose first, then each station on the nearest board that takes all of it.

    What no board takes whole goes part by part to the nearest with room, and at last tab by tab: as long as there are
    as many pins as tabs, every tab has one.
    """
    boards = [
        _Board(p, {sort: list(range(1, pins_of(p.part.encoder, sort) + 1)) for sort in SORTS})
        for p in face.encoders
        if p.part.encoder is not None
    ]
    table = _Table(boards)
    wrong = _choose(table, face, chosen)
    for sort in SORTS:
        parts = [p for p in face.parts if p.part.wiring and p.part.wiring.signal == sort]
        for group in _groups(parts):
            _place(table, group, sort)
        table.left += [(p.id, tab, sort) for p in parts for tab in table.open_tabs(p)]
    order = {p.id: k for k, p in enumerate(face.parts)}
    pins = sorted(table.pins.values(), key=lambda pin: (order[pin.part], pin.tab))
    return Pinned(tuple(pins), tuple(table.left), wrong)


def _choose(table: _Table, face: WiredFace, chosen: Sequence[FixedPin]) -> tuple[tuple[FixedPin, Wrong], ...]:
    parts, boards = {p.id: p for p in face.parts}, {b.placed.id: b for b in table.boards}
    wrong: list[tuple[FixedPin, Wrong]] = []
    for each in chosen:
        part = parts.get(each.placement)
        wiring = part.part.wiring if part is not None else None
        if part is None or wiring is None or each.tab > wiring.signal_tabs or (part.id, each.tab) in table.pins:
            continue  # it is gone, or not wired: nobody misses the pin
        board = boards.get(each.encoder)
        if board is None or board.placed.part.encoder is None:
            wrong.append((each, "encoder"))
        elif each.pin > pins_of(board.placed.part.encoder, wiring.signal):
            wrong.append((each, "pin"))
        elif each.pin not in board.free[wiring.signal]:
            wrong.append((each, "twice"))
        else:
            table.put(board, part, each.tab, wiring.signal, each.pin, fixed=True)
    return tuple(wrong)


def _groups(parts: Sequence[Placed]) -> list[list[Placed]]:
    """Stations, then what belongs to none; parts from left to right and front to back, by their letters first."""
    found: dict[str, list[Placed]] = {}
    for part in sorted(parts, key=lambda p: (natural(p.label), p.x, p.y, natural(p.id))):
        found.setdefault(part.station or f" {part.id}", []).append(part)
    return sorted(found.values(), key=lambda group: (not group[0].station, natural(group[0].station)))


def _place(table: _Table, group: Sequence[Placed], sort: Signal) -> None:
    near = _nearest(table, group)
    need = sum(len(table.open_tabs(p)) for p in group)
    whole = next((b for b in near if b.has(sort, need)), None)
    for part in group:
        near = [whole] if whole is not None else _nearest(table, [part])
        fits = next((b for b in near if b.has(sort, len(table.open_tabs(part)))), None)
        for board in [fits] if fits is not None else near:
            table.fill(board, part, sort)


def _nearest(table: _Table, parts: Sequence[Placed]) -> list[_Board]:
    def far(board: _Board) -> float:
        return sum(math.dist((p.x, p.y), (board.placed.x, board.placed.y)) for p in parts)

    return sorted(table.boards, key=lambda b: (far(b), natural(b.placed.id)))
