"""All wires of a board: signals to their pins, grounds as a ring or tree, 5 V as a tree."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Final

from msgspec import Struct, field
from propcache.api import cached_property

from app.catalogue.load import Catalogue
from app.fit.judging.feeding import Fed, fed
from app.fit.judging.pins import Pinned, pinned
from app.fit.judging.wired_face import WiredFace, wire_obstacles, wired_face
from app.geometry.wire_trees import WireTree, ways_to
from app.geometry.wire_ways import Ways, ways_among
from app.model.resolved import Placed, ResolvedBoard
from app.model.wiring import WiringPlan
from app.shop.wiring import terminals
from app.shop.wiring.orders import ring_of, tree_of
from app.shop.wiring.wire import Net, Route, Terminal, Wire, across, cut_length, drop

MOST_ROUTED: Final = 200
"""Parts among which ways are looked for: it takes about 2 s for so many, and grows faster than their square."""


class Harness(Struct, frozen=True):
    """The wiring of a board.

    Args:
        board: the board.
        plan: what was chosen.
        face: what is joined.
        pinned: which tab is on which pin.
        fed: what each encoder board feeds.
        wires: every wire, signals first.
        ways: the graph that their ways run in; None where none were looked for.
    """

    board: ResolvedBoard
    plan: WiringPlan
    face: WiredFace
    pinned: Pinned
    fed: tuple[Fed, ...]
    wires: tuple[Wire, ...]
    ways: Ways | None

    @property
    def routed(self) -> bool:
        """Whether ways were looked for."""
        return self.ways is not None

    def route(self, wire: Wire) -> Route:
        """Where a wire runs along the underside [mm]; nowhere where it has no way, or stays within one part."""
        return self.ways.path(wire.nodes) if self.ways is not None and wire.nodes else ()

    @property
    def lost(self) -> tuple[Wire, ...]:
        """Wires without a way."""
        return tuple(w for w in self.wires if w.way is None) if self.routed else ()


class _Board:
    """A board and a catalogue, the same only if they are the very same objects: both are long to compare."""

    def __init__(self, board: ResolvedBoard, catalogue: Catalogue) -> None:
        self.board, self.catalogue = board, catalogue

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Board) and other.board is self.board and other.catalogue is self.catalogue

    def __hash__(self) -> int:
        return hash((id(self.board), id(self.catalogue)))


def harness_of(board: ResolvedBoard, catalogue: Catalogue) -> Harness | None:
    """The wiring of a board; None where nobody resolved it from a design.

    That of the last two boards is kept: a page, its card on the bench and its sheet ask for the same one after another.
    """
    return _harness(_Board(board, catalogue))


@lru_cache(maxsize=2)
def _harness(asked: _Board) -> Harness | None:
    board, catalogue = asked.board, asked.catalogue
    plan = board.wiring
    if plan is None:
        return None
    face = wired_face(board)
    pins = pinned(face, plan.pins)
    ways = None
    if face.encoders and face.parts and len(board.drilled) <= MOST_ROUTED:
        ways = ways_among(board.outline, board.openings, wire_obstacles(board, face), face.points, plan.gap)
    feeds = fed(face, pins)
    made = _Making(board, plan, face, pins, ways, catalogue)
    for feed in feeds:
        made.signals(feed.encoder)
    for feed in feeds:
        made.joined(feed, "ground", terminals.ground_tabs, terminals.ground_pin, plan.ground_colour)
        made.joined(feed, "supply", terminals.supply_tabs, terminals.supply_pin, plan.supply_colour)
    return Harness(board, plan, face, pins, feeds, tuple(made.wires), ways)


Tabs = Callable[[Placed], tuple[Terminal, ...]]
Pins = Callable[[Placed, int], Terminal]


class _Making(Struct, dict=True):
    """Wires as they are made."""

    board: ResolvedBoard
    plan: WiringPlan
    face: WiredFace
    pinned: Pinned
    ways: Ways | None
    catalogue: Catalogue
    wires: list[Wire] = field(default_factory=list)

    @cached_property
    def _where(self) -> dict[str, int]:
        return {placed.id: k for k, placed in enumerate(self.face.joined)}

    @cached_property
    def _down(self) -> list[float]:
        return [drop(self.board, placed) for placed in self.face.joined]

    @cached_property
    def _step(self) -> float:
        usual = self.catalogue.rule("wire-step-inch" if self.board.units == "inch" else "wire-step")
        return self.plan.step or usual

    @cached_property
    def _colours(self) -> list[str]:
        taken = {self.plan.ground_colour, self.plan.supply_colour}
        free = [colour for colour in self.catalogue.wire_colours if colour not in taken]
        return [self.plan.signal_colour] if self.plan.signal_colour else free

    def signals(self, encoder: Placed) -> None:
        """A wire from every tab that is on a pin of this board."""
        pins = [pin for pin in self.pinned.pins if pin.encoder == encoder.id]
        root, share = self._where[encoder.id], self.catalogue.rule("wire-share")
        ends = {self._where[pin.part] for pin in pins}
        found = ways_to(self.ways, root, ends, share) if self.ways is not None else {}
        for k, pin in enumerate(pins):
            part = self.face.joined[self._where[pin.part]]
            length, nodes = found.get(self._where[pin.part], (None, ()))
            one, other = terminals.signal_tab(part, pin.tab), terminals.input_pin(encoder, pin)
            self._wire("signal", one, other, self._colours[k % len(self._colours)], encoder, length, nodes)

    def joined(self, feed: Fed, net: Net, tabs: Tabs, pins: Pins, colour: str) -> None:
        """Every tab of what a board feeds that belongs to a net, joined to it."""
        of = {self._where[part.id]: tabs(part) for part in feed.parts if tabs(part)}
        if not of:
            return
        root = self._where[feed.encoder.id]
        ring = net == "ground" and self.plan.grounds == "ring"
        turns: dict[int, int] = {}
        for leg in self._legs(root, sorted(of), ring=ring):
            one, other = self._ends(leg, feed.encoder, of, pins, turns, ring=ring)
            self._wire(net, one, other, colour, feed.encoder, leg.length if leg.path else None, leg.path)
        for point, own in of.items():
            for one, other in pairwise(own):
                self._jumper(net, one, other, colour, feed.encoder, self.face.joined[point])

    def _legs(self, root: int, points: Sequence[int], *, ring: bool) -> list[WireTree]:
        """The legs from point to point; those to a point without a way have none either."""
        legs = []
        if self.ways is not None:
            legs = ring_of(self.ways, root, points) if ring else tree_of(self.ways, root, points)
        reached = {leg.one for leg in legs} | {leg.other for leg in legs}
        chain = [root, *(k for k in points if k not in reached)]
        if ring and not reached:
            chain.append(root)
        return [*legs, *(WireTree(a, b, 0.0, ()) for a, b in pairwise(chain))]

    def _ends(
        self,
        leg: WireTree,
        encoder: Placed,
        of: dict[int, tuple[Terminal, ...]],
        pins: Pins,
        turns: dict[int, int],
        *,
        ring: bool,
    ) -> tuple[Terminal, Terminal]:
        """The terminals of a leg: of a ring, in by the first tab of a part and out by its last; else by turns."""
        found = []
        for point, out in ((leg.one, True), (leg.other, False)):
            turn = turns.get(point, 0)
            turns[point] = turn + 1
            own = of.get(point)
            if own is None:
                found.append(pins(encoder, turn))
            else:
                found.append((own[-1] if out else own[0]) if ring else own[turn % len(own)])
        return found[0], found[1]

    def _wire(
        self,
        net: Net,
        one: Terminal,
        other: Terminal,
        colour: str,
        encoder: Placed,
        length: float | None,
        nodes: tuple[int, ...],
    ) -> None:
        down = [self._down[self._where[end.placement]] for end in (one, other)]
        tied = encoder.id in (one.placement, other.placement)
        way = None if length is None else length + (sum(down) if tied else abs(down[0] - down[1]))
        cut = None if way is None else cut_length(way, self.plan, self._step, service=tied)
        self.wires.append(Wire(len(self.wires) + 1, net, one, other, colour, encoder.id, way, cut, nodes))

    def _jumper(self, net: Net, one: Terminal, other: Terminal, colour: str, encoder: Placed, part: Placed) -> None:
        way = across(part)
        cut = cut_length(way, self.plan, self._step, service=False)
        self.wires.append(Wire(len(self.wires) + 1, net, one, other, colour, encoder.id, way, cut))


def ends_of(wires: Sequence[Wire]) -> Iterator[Terminal]:
    """Both ends of every wire."""
    for wire in wires:
        yield wire.one
        yield wire.other
