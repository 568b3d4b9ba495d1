"""What is cut and crimped: wires of one colour and length together, and what goes on their ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from msgspec import Struct

from app.model.part import Connection
from app.shop.wiring.harness import ends_of
from app.shop.wiring.wire import Terminal, Wire

MOST_IN_ONE = 2
"""Wires that go into one crimp; of more, a branch is made with a bought connector."""


class WireCut(Struct, frozen=True):
    """Wires to cut alike: id of the colour, length of each [mm], how many."""

    colour: str
    length: float
    count: int

    @property
    def total(self) -> float:
        """Length of all of them [mm]."""
        return self.length * self.count


class Crimp(Struct, frozen=True):
    """What goes on ends of wires.

    Args:
        tab_width: of the flat tab [mm]; 0 where it is a pin or a screw.
        connection: of an encoder board; None for tabs.
        wires: how many wires go into it: 1 or 2.
        count: how many.
    """

    tab_width: float
    connection: Connection | None
    wires: int
    count: int


def cut_list(wires: Sequence[Wire]) -> tuple[WireCut, ...]:
    """Every wire that has a length, by colour in their first order, the longest first."""
    counted = Counter((w.colour, w.cut) for w in wires if w.cut is not None)
    colours = list(dict.fromkeys(w.colour for w in wires))
    rows = [WireCut(colour, length, count) for (colour, length), count in counted.items()]
    return tuple(sorted(rows, key=lambda row: (colours.index(row.colour), -row.length)))


def crimps(wires: Sequence[Wire]) -> tuple[tuple[Crimp, ...], int]:
    """What to crimp, and how many branches there are: terminals that more wires meet at than go into one crimp."""
    met = Counter(ends_of(wires))
    branches = sum(many > MOST_IN_ONE for many in met.values())
    counted = Counter(_sort(terminal, many) for terminal, many in met.items())
    rows = [Crimp(wide, connection, many, count) for (connection, wide, many), count in counted.items()]
    return tuple(sorted(rows, key=lambda c: (c.connection or "", c.tab_width, c.wires))), branches


def _sort(terminal: Terminal, many: int) -> tuple[Connection | None, float, int]:
    """A branch leads on from a terminal by one wire of its own."""
    return terminal.connection, terminal.tab_width, 1 if many > MOST_IN_ONE else many
