"""Laws of wiring, on boards thrown by dice: every input once, no pin twice, no wire too short, a ring bears a cut."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.wiring_schema import WiringPlanEntry
from app.model.resolved import Placed, ResolvedBoard
from app.shop.wiring.cutting import cut_list
from app.shop.wiring.harness import Harness, harness_of
from app.shop.wiring.wire import Wire, straight
from app.values import replace
from tests.unit.fit.boards import at
from tests.unit.fit.wired_boards import encoder, wired, wired_board

CELLS = [(55.0 + 62 * i, 45.0 + 60 * j) for i in range(9) for j in range(3)]


@st.composite
def boards(draw: st.DrawFn) -> ResolvedBoard:
    """Up to 27 parts of any kind on a board, and one to three encoder boards behind them."""
    cells = draw(st.lists(st.sampled_from(CELLS), unique=True, max_size=14))
    parts: list[Placed] = []
    for k, (x, y) in enumerate(cells):
        part = wired(
            draw(st.integers(1, 4)), signal=draw(st.sampled_from(["switch", "turning"])),
            light=draw(st.sampled_from([0.0, 20.0])), draws=draw(st.sampled_from([0.0, 15.0])),
        )  # fmt: skip
        grounds = draw(st.integers(0, 3))
        assert part.wiring is not None
        part = replace(part, wiring=replace(part.wiring, ground_tabs=grounds))
        shift = draw(st.floats(-8, 8)), draw(st.floats(-8, 8))
        parts.append(
            replace(at(x + shift[0], y + shift[1], part, name=f"p{k}"), station=draw(st.sampled_from(["", "s1", "s2"])))
        )
    many = draw(st.integers(1, 3))
    read = [
        encoder(draw(st.integers(0, 20)), draw(st.integers(0, 8)), grounds=draw(st.integers(1, 4))) for _ in range(many)
    ]
    placed = [at(110 + 180 * k, 245, part, name=f"x{k}") for k, part in enumerate(read)]
    entry = WiringPlanEntry(
        grounds=draw(st.sampled_from(["ring", "tree"])), slack=draw(st.floats(0, 50)), service=draw(st.floats(0, 300)),
        step=draw(st.sampled_from([1.0, 10.0, 50.0])),
    )  # fmt: skip
    return wired_board(*parts, *placed, entry=entry)


def harness_made(board: ResolvedBoard) -> Harness:
    made = harness_of(board, catalogue())
    assert made is not None
    return made


@given(boards())
def test_every_input_is_connected_once_and_no_pin_twice(board: ResolvedBoard) -> None:
    harness = harness_made(board)
    tabs = [
        (p.id, tab)
        for p in harness.face.parts
        for tab in range(1, (p.part.wiring.signal_tabs if p.part.wiring else 0) + 1)
    ]
    told = [(pin.part, pin.tab) for pin in harness.pinned.pins] + [(part, tab) for part, tab, _ in harness.pinned.left]
    assert sorted(told) == sorted(tabs)
    pins = Counter((pin.encoder, pin.sort, pin.number) for pin in harness.pinned.pins)
    assert set(pins.values()) <= {1}
    signals = [w for w in harness.wires if w.net == "signal"]
    assert len(signals) == len(harness.pinned.pins)
    assert set(Counter(w.one for w in signals).values()) <= {1}
    assert set(Counter(w.other for w in signals).values()) <= {1}
    for sort in ("switch", "turning"):
        room = sum(
            (e.part.encoder.inputs if sort == "switch" else 2 * e.part.encoder.turnings)
            for e in harness.face.encoders
            if e.part.encoder
        )
        wanted = sum(
            p.part.wiring.signal_tabs for p in harness.face.parts if p.part.wiring and p.part.wiring.signal == sort
        )
        assert sum(s == sort for *_, s in harness.pinned.left) == max(0, wanted - room), (
            "as many pins as tabs are enough"
        )


@given(boards())
def test_no_wire_is_shorter_than_its_way_nor_that_than_the_straight_line_and_its_bends(board: ResolvedBoard) -> None:
    harness = harness_made(board)
    where = {p.id: p for p in board.placements}
    for wire in harness.wires:
        assert wire.way is not None and wire.cut is not None, "nothing stands in the way on these boards"
        assert wire.cut >= wire.way + 2 * harness.plan.crimp
        one, other = where[wire.one.placement], where[wire.other.placement]
        assert wire.way >= straight(board, one, other) - 1e-6
        route = harness.route(wire)
        if route:
            along = sum(math.dist(a, b) for a, b in pairwise(route))
            assert wire.way >= along - 1e-6
            ends = {(round(x, 6), round(y, 6)) for x, y in (one.body.centre, other.body.centre)}
            assert {(round(x, 6), round(y, 6)) for x, y in (route[0], route[-1])} == ends


def reached(wires: list[Wire], root: str) -> set[tuple[str, str]]:
    """Terminals that hang together with an encoder board, by their placement and name."""
    at_: dict[tuple[str, str], set[tuple[str, str]]] = {}
    for wire in wires:
        a, b = ((e.placement, "" if e.placement == root else e.name) for e in (wire.one, wire.other))
        at_.setdefault(a, set()).add(b)
        at_.setdefault(b, set()).add(a)
    seen, stack = {(root, "")}, [(root, "")]
    while stack:
        for there in at_.get(stack.pop(), set()) - seen:
            seen.add(there)
            stack.append(there)
    return seen


@given(boards())
def test_every_ground_hangs_together_and_a_ring_bears_any_one_cut_and_any_one_joint(board: ResolvedBoard) -> None:
    harness = harness_made(board)
    for feed in harness.fed:
        for net in ("ground", "supply"):
            wires = [w for w in harness.wires if w.net == net and w.encoder == feed.encoder.id]
            ends = {(e.placement, e.name) for w in wires for e in (w.one, w.other) if e.placement != feed.encoder.id}
            root = feed.encoder.id
            assert reached(wires, root) == ends | {(root, "")}
            if net == "supply" or harness.plan.grounds == "tree":
                assert len(wires) == len(ends), "a tree has a wire for each of its tabs"
                continue
            for cut in wires:
                assert ends <= reached([w for w in wires if w is not cut], root), "any one wire"
            for joint in ends:
                left = [
                    w for w in wires if joint not in ((w.one.placement, w.one.name), (w.other.placement, w.other.name))
                ]
                assert ends - {joint} <= reached(left, root), "any one joint loses itself alone"


@given(boards())
def test_the_cut_list_sums_to_the_table(board: ResolvedBoard) -> None:
    harness = harness_made(board)
    cuts = cut_list(harness.wires)
    assert sum(c.count for c in cuts) == len(harness.wires)
    by_colour: Counter[str] = Counter()
    for wire in harness.wires:
        by_colour[wire.colour] += round(wire.cut or 0.0)
    told: Counter[str] = Counter()
    for cut in cuts:
        told[cut.colour] += round(cut.total)
        assert cut.length / (harness.plan.step or 10.0) == round(cut.length / (harness.plan.step or 10.0))
    assert told == by_colour
