"""Wiring figures against the outside: conductor tables, worked voltage drops, preferred values, least trees."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise

import numpy as np
import pytest

from app.catalogue.load import catalogue
from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.model.resolved import ResolvedBoard
from app.shop.wiring.bundles import bundles, stretches
from app.shop.wiring.cutting import crimps, cut_list
from app.shop.wiring.harness import MOST_ROUTED, Harness, harness_of
from app.shop.wiring.lights import lights_of, preferred, resistor, voltage_drop
from app.shop.wiring.orders import shortened
from app.shop.wiring.proposals import proposals
from app.values import replace
from tests.unit.fit.boards import at
from tests.unit.fit.wired_boards import encoder, hemmed, row, wired, wired_board

KNOWN = catalogue()


def made(checked: ResolvedBoard) -> Harness:
    harness = harness_of(checked, KNOWN)
    assert harness is not None
    return harness


def usual(count: int = 5, **more: float) -> ResolvedBoard:
    return wired_board(*row(count, wired(**more)), at(300, 220, encoder(), name="x"))  # type: ignore[arg-type]


@pytest.mark.parametrize("gauge", [18, 20, 22, 24, 26, 28])
def test_conductors_by_gauge_are_as_the_standard_works_them_out(gauge: int) -> None:
    """ASTM B258: d = 0.127 mm · 92^((36 − n)/39); annealed copper 0.017241 Ω·mm²/m at 20 °C (IEC 60028)."""
    row_ = KNOWN.conductors[f"awg-{gauge}"]
    area = math.pi / 4 * (0.127 * 92 ** ((36 - gauge) / 39)) ** 2
    assert row_.area == pytest.approx(area, rel=0.004)
    assert row_.resistance == pytest.approx(17.241 / area, rel=0.001)


@pytest.mark.parametrize(("size", "ohms"), [("0.5", 39.0), ("0.75", 26.0), ("1", 19.5)])
def test_conductors_by_area_are_as_iec_60228_has_them(size: str, ohms: float) -> None:
    """IEC 60228, class 5, plain copper: largest resistance at 20 °C [Ω/km]."""
    assert KNOWN.conductors[f"mm2-{size}"].resistance == ohms
    assert KNOWN.conductors[f"mm2-{size}"].area == float(size)


@pytest.mark.parametrize(
    ("gauge", "metres", "amps", "volts"), [(22, 1.0, 0.5, 0.053), (26, 1.5, 0.5, 0.201), (24, 2.0, 20 * 0.020, 0.135)]
)
def test_a_voltage_drop_is_that_of_the_worked_examples(gauge: int, metres: float, amps: float, volts: float) -> None:
    """ΔV = 2·L·r·I, worked by hand from the published table of resistances: 52.96, 133.9 and 84.2 Ω/km."""
    assert voltage_drop(KNOWN.conductors[f"awg-{gauge}"], metres * 1000, amps * 1000) == pytest.approx(volts, abs=5e-4)


def test_supplies_give_what_usb_says() -> None:
    """USB 2.0, 7.2.1: five unit loads of 100 mA, 4.75 V at worst, 4.40 V at the device; USB 3: six of 150 mA."""
    two, three = KNOWN.supplies["usb-2"], KNOWN.supplies["usb-3"]
    assert (two.current, two.volts, two.least) == (5 * 100, 4.75, 4.40)
    assert (three.current, three.volts, three.least) == (6 * 150, 4.45, 4.00)


@pytest.mark.parametrize(
    ("volts", "current", "ohms"),
    [(2.0, 20, 150), (3.2, 20, 91), (3.2, 10, 180), (1.8, 20, 160), (0.0, 20, None)],
)
def test_a_bare_light_has_the_next_preferred_resistor_up(volts: float, current: float, ohms: float | None) -> None:
    """(5 − Vf)/I = 150, 90, 180, 160 Ω; IEC 60063, E24: 91 follows 82. One that is built in asks for none."""
    assert resistor(at(0, 0, wired(light=current, volts=volts))) == ohms


def test_preferred_values_run_on_through_decades() -> None:
    assert [preferred(v) for v in (1.0, 9.2, 95.0, 101.0, 4700.0, 9200.0)] == [1.0, 10.0, 100.0, 110.0, 4700.0, 10000.0]


def nodal(harness: Harness, net: str, loads: dict[str, float]) -> dict[str, float]:
    """Volts from the encoder board to the last tab of each part, by Kirchhoff's laws: a linear system, solved whole."""
    wires = [w for w in harness.wires if w.net == net]
    nodes = {end: k for k, end in enumerate(dict.fromkeys(e for w in wires for e in (w.one, w.other)))}
    root = {k for end, k in nodes.items() if end.placement == "x"}
    table, drawn = np.zeros((len(nodes), len(nodes))), np.zeros(len(nodes))
    for wire in wires:
        a, b, g = nodes[wire.one], nodes[wire.other], 1 / harness.plan.conductor.ohms(wire.cut or 0.0)
        table[[a, b], [a, b]] += g
        table[[a, b], [b, a]] -= g
    last = {end.placement: k for end, k in nodes.items() if end.name.startswith("light")}
    for part, k in last.items():
        drawn[k] = loads[part] / 1000
    free = [k for k in range(len(nodes)) if k not in root]
    volts = np.zeros(len(nodes))
    volts[free] = np.linalg.solve(table[np.ix_(free, free)], drawn[free])
    return {part: float(volts[k]) for part, k in last.items()}


@pytest.mark.parametrize("grounds", ["tree", "ring"])
def test_what_lights_lose_is_what_kirchhoff_s_laws_say(grounds: str) -> None:
    """Of a tree just that; of a ring no less, since one of its joints may be lost."""
    entry = WiringPlanEntry(grounds="tree" if grounds == "tree" else "ring", conductor="awg-28")
    parts = [*row(4, wired(light=20)), at(430, 130, wired(light=35), name="k"), at(150, 150, wired(light=5), name="m")]
    harness = made(wired_board(*parts, at(60, 240, encoder(), name="x"), entry=entry))
    loads = {p.id: p.part.wiring.light_current for p in parts if p.part.wiring}
    there, back = nodal(harness, "supply", loads), nodal(harness, "ground", loads)
    lights = lights_of(harness)
    assert {light.placed.id for light in lights} == set(loads)
    for light in lights:
        true = there[light.placed.id] + back[light.placed.id]
        assert light.drop is not None and light.drop > 0
        assert light.volts == pytest.approx(4.75 - light.drop)
        if grounds == "tree":
            assert light.drop == pytest.approx(true, rel=1e-9)
        else:
            assert true - 1e-12 <= light.drop <= 4 * true


def test_pins_of_the_builder_s_choice_are_kept_and_the_others_go_round_them() -> None:
    entry = WiringPlanEntry(pins=(FixedPinEntry(placement="b", tab=1, encoder="x", pin=1),))
    pins = made(wired_board(*row(5), at(300, 220, encoder(), name="x"), entry=entry)).pinned.pins
    assert {pin.part: pin.number for pin in pins} == {"a": 2, "b": 1, "c": 3, "d": 4, "e": 5}
    assert [pin.part for pin in pins if pin.fixed] == ["b"]


def test_a_station_stays_on_one_board_and_on_the_nearer_one() -> None:
    left = [replace(p, station="s1") for p in row(3, first=60)]
    right = [replace(p, id=f"r{p.id}", station="s2") for p in row(3, first=450)]
    boards = at(120, 220, encoder(6), name="x"), at(480, 220, encoder(6), name="y")
    pins = made(wired_board(*left, *right, *boards)).pinned.pins
    assert Counter((p.part[0] == "r", p.encoder) for p in pins) == {(False, "x"): 3, (True, "y"): 3}


def test_wires_between_parts_have_no_service_length_and_those_to_an_encoder_board_have_one() -> None:
    harness = made(usual())
    plan = harness.plan
    for wire in harness.wires:
        assert wire.way is not None and wire.cut is not None
        ends = {wire.one.placement, wire.other.placement}
        service = plan.service if "x" in ends else 0.0
        long = wire.way * 1.1 + 2 * plan.crimp + service
        assert wire.cut == math.ceil(long / 10 - 1e-9) * 10, "slack 10 %, to the next 10 mm"


def test_in_inches_lengths_are_rounded_to_half_inches_unless_a_step_was_chosen() -> None:
    inch = replace(usual(), units="inch")
    assert all(w.cut is not None and (w.cut / 12.7) == pytest.approx(round(w.cut / 12.7)) for w in made(inch).wires)
    assert inch.wiring is not None
    own = replace(inch, wiring=replace(inch.wiring, step=100.0))
    assert {w.cut for w in made(own).wires if w.cut} <= {100.0, 200.0, 300.0, 400.0, 500.0}


def test_what_is_crimped_is_counted_by_tab_and_by_wires_in_it() -> None:
    """Five buttons: five signals and a ring of six; 2n − 1 = 9 ends of a chain of n, and one more that closes it."""
    harness = made(usual())
    found, branches = crimps(harness.wires)
    assert branches == 0
    assert {(c.tab_width, c.connection, c.wires): c.count for c in found} == {
        (4.8, None, 1): 5, (4.8, None, 2): 5, (0.0, "pin", 1): 7,
    }  # fmt: skip
    ends = sum(c.wires * c.count for c in found)
    assert ends == 2 * len(harness.wires)


def test_a_branch_of_three_wires_is_told_and_never_crimped() -> None:
    entry = WiringPlanEntry(grounds="tree")
    spots = [(300, 60), (180, 60), (420, 60), (300, 150)]
    parts = [at(x, y, wired(), name=n) for n, (x, y) in zip("abcd", spots, strict=True)]
    harness = made(wired_board(*parts, at(300, 240, encoder(), name="x"), entry=entry))
    met = Counter(end for w in harness.wires for end in (w.one, w.other))
    found, branches = crimps(harness.wires)
    assert branches == sum(many > 2 for many in met.values())
    assert all(c.wires <= 2 for c in found)


def test_bundles_hold_the_same_wires_and_are_tied_at_both_ends_and_between() -> None:
    harness = made(usual())
    pieces = stretches(harness)
    for bundle in bundles(pieces, 100.0):
        assert len(bundle.wires) > 1
        assert bundle.ties == math.ceil(bundle.length / 100.0 - 1e-9) + 1
    along = Counter[int]()
    for piece in pieces:
        for number in piece.wires:
            along[number] += piece.length  # type: ignore[assignment]
    for wire in harness.wires:
        route = harness.route(wire)
        long = sum(math.dist(a, b) for a, b in pairwise(route))
        assert along[wire.number] == pytest.approx(long)


def test_a_wire_without_a_way_has_no_length_and_is_in_no_cut_list() -> None:
    checked = wired_board(*row(3), at(300, 220, encoder(), name="x"), keep_clear=hemmed(60, 60, 20))
    harness = made(checked)
    lost = {end.placement for wire in harness.lost for end in (wire.one, wire.other)}
    assert lost == {"a", "x"}
    assert all(wire.cut is None for wire in harness.lost)
    assert sum(c.count for c in cut_list(harness.wires)) == len(harness.wires) - len(harness.lost)


def test_more_parts_than_ways_are_looked_for_among_have_connections_and_no_lengths() -> None:
    spots = [(15.0 + 22 * (k % 26), 15.0 + 22 * (k // 26)) for k in range(MOST_ROUTED)]
    parts = [at(x, y, replace(wired(), body=replace(wired().body)), name=f"p{k}") for k, (x, y) in enumerate(spots)]
    checked = wired_board(*parts, at(300, 280, encoder(200), name="x"), at(500, 280, encoder(200), name="y"))
    harness = made(checked)
    assert not harness.routed
    assert len([w for w in harness.wires if w.net == "signal"]) == MOST_ROUTED
    assert {w.cut for w in harness.wires if w.one.placement != w.other.placement} == {None}


def test_an_order_that_crosses_itself_is_bettered_until_it_does_not() -> None:
    """A square visited across: 2 + 2·√2 sides become 4."""
    square = [(0.0, 0.0), (1.0, 1.0), (1.0, 0.0), (0.0, 1.0)]
    order = [square[k] for k in shortened(square)]
    assert order[0] == (0.0, 0.0)
    assert sum(math.dist(a, b) for a, b in zip(order, [*order[1:], order[0]], strict=True)) == pytest.approx(4.0)


@pytest.mark.parametrize(
    ("switches", "axes", "first"), [(12, 0, "encoder-12-screw"), (13, 0, "encoder-20-pin"), (30, 3, "encoder-32-screw")]
)
def test_what_would_do_is_the_fewest_boards_and_then_the_fewest_spare_pins(
    switches: int, axes: int, first: str
) -> None:
    turning = [at(300, 150, wired(2 * axes, signal="turning"), name="t")] if axes else []
    face = made(wired_board(at(60, 60, wired(switches), name="a"), *turning)).face
    found = proposals(face, KNOWN.parts)
    assert found[0].boards == ((KNOWN.parts[first], 1),)
    for proposal in found:
        inputs = sum(part.encoder.inputs * many for part, many in proposal.boards if part.encoder)
        pairs = sum(part.encoder.turnings * many for part, many in proposal.boards if part.encoder)
        assert (inputs >= switches, pairs >= axes) == (True, True)
        assert proposal.spare >= 0


def test_nothing_to_read_asks_for_no_board() -> None:
    assert proposals(made(wired_board()).face, KNOWN.parts) == ()
