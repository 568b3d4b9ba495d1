"""Boards with encoder boards and what is wired to them, for what the rules say of wiring."""

from __future__ import annotations

from app.catalogue.load import catalogue
from app.document.wiring import wiring_plan
from app.document.wiring_schema import WiringPlanEntry
from app.geometry.shapes import rectangle
from app.model.board import KeepClear
from app.model.part import Body, Connection, Encoder, Part, Signal, Wiring
from app.model.resolved import Placed, ResolvedBoard
from app.values import replace
from tests.unit.fit.boards import SOURCE, at, board, button


def encoder(
    inputs: int = 12, turnings: int = 0, *, grounds: int = 2, current: float = 40, part_id: str = "enc"
) -> Part:
    """An encoder board 60 × 40 mm, glued on."""
    connection: Connection = "pin"
    return Part(
        id=part_id, name="Encoder board", kind="encoder", mount="under", cutouts=(), flange=None, fixing=None,
        body=Body(rectangle(60, 40), 18), lever=None, wiring=None, source=SOURCE,
        encoder=Encoder(inputs, turnings, grounds, 1, connection, current),
    )  # fmt: skip


def wired(tabs: int = 1, *, signal: Signal = "switch", light: float = 0, draws: float = 0, volts: float = 0) -> Part:
    """A button 28 mm wide with so many signal tabs, 30 mm deep."""
    wiring = Wiring(tabs, 1, 4.8, light, signal, int(draws > 0), draws, volts)
    return replace(button(28, body=27, depth=48), wiring=wiring)


def wired_board(*placements: Placed, entry: WiringPlanEntry | None = None, **more: object) -> ResolvedBoard:
    """A board 600 × 300 mm with a plan for its wires."""
    made = board(*placements, **more)  # type: ignore[arg-type]
    return replace(made, wiring=wiring_plan(entry, made.placements, catalogue()))


def row(count: int, part: Part | None = None, *, y: float = 60, first: float = 60, pitch: float = 50) -> list[Placed]:
    """So many parts in a row, called a, b, c and so on."""
    return [at(first + pitch * k, y, part or wired(), name=chr(ord("a") + k)) for k in range(count)]


def hemmed(x: float, y: float, room: float) -> tuple[KeepClear, ...]:
    """Four areas to keep clear below, 5 mm wide, that hem a place in, ``room`` from its middle to each."""
    long = 2 * room + 10
    sides = (
        (long, 5, x, y - room - 2.5),
        (long, 5, x, y + room + 2.5),
        (5, long, x - room - 2.5, y),
        (5, long, x + room + 2.5, y),
    )
    return tuple(KeepClear("under", rectangle(w, h, cx, cy), "batten") for w, h, cx, cy in sides)
