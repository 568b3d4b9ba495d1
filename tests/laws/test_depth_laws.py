"""Laws of depth: thicker boards, larger spanners, nearer edges; and fixes, on many random decks."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.arrange.design.apply_fix import apply_fix
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import (
    ArrangementEntry,
    BitEntry,
    BoardEntry,
    CornerEntry,
    CounterboreEntry,
    DepthBelowEntry,
    Design,
    EdgeEntry,
    EdgesEntry,
    LayerEntry,
    OutlineEntry,
    PlacementEntry,
    RecessEntry,
    ShopEntry,
)
from app.fit.changes.changed_board import with_fix
from app.fit.finding import SEVERITIES, Finding
from app.fit.judging.recess_check import recess_depth
from app.fit.limits.cut_depths import (
    SLIGHT,
    bore_width,
    depth_needed,
    grip_range,
    held_thickness,
    ledge_below,
    rounded_up,
)
from app.fit.report.report import Report, check
from app.geometry.outline import EdgeName, rectangle_outline
from app.model.board import EdgeFeature
from app.model.material import Layer, Material
from app.model.part import Part, SnapFixing
from app.model.resolved import Recess, ResolvedBoard
from app.model.tooling import Bit, Tooling
from app.units import Unit
from app.values import replace
from tests.long_run import examples, long
from tests.unit.fit.boards import CATALOGUE, FORSTNER, HAND, MDF, at, board, button, nut, stick

STEPS = (0.5, 25.4 / 64)
thick = st.floats(1.0, 40.0)
threads = st.floats(8.0, 45.0).map(lambda length: button(fixing=nut(length, height=3, width=20)))
clips = st.tuples(st.floats(0.5, 10.0), st.floats(0.1, 20.0)).map(lambda g: button(fixing=SnapFixing(g[0], sum(g))))
materials = st.sampled_from(tuple(catalogue().materials.values()))
real = st.sampled_from(tuple(catalogue().parts.values()))
any_part = st.one_of(threads, clips, real)
films = st.sampled_from([0.0, 0.1, 0.25, 0.5])


@given(any_part, materials, thick, st.floats(0.0, 10.0), st.sampled_from(STEPS), films)
def test_a_thicker_board_never_needs_a_shallower_counterbore(
    part: Part, material: Material, thickness: float, more: float, step: float, paint: float
) -> None:
    thin, thicker = (depth_needed((Layer(material, t),), part, step, paint) for t in (thickness, thickness + more))
    assume(thin is not None and thicker is not None)
    assert thin is not None and thicker is not None and thicker >= thin - 1e-9


stacks = st.lists(st.tuples(materials, st.floats(1.0, 20.0)), min_size=2, max_size=4)


@given(any_part, materials, stacks, st.integers(0, 3), st.floats(0.0, 8.0), st.booleans(), films)
def test_nor_does_a_thicker_layer(
    part: Part, only: Material, stack: list[tuple[Material, float]], which: int, more: float, mixed: bool, paint: float
) -> None:
    """In a stack of several materials but for one case: a ledge too thin for the one below, bored right away.

    Acrylic 3 on MDF 15.25 with clips that hold 3 to 5.2 mm: 13.5 mm deep would leave 4.75 mm, less than MDF may
    stand, so all of the MDF goes. A quarter of a millimetre more of it, and 13.5 mm leave enough.
    """
    thin = tuple(Layer(material if mixed else only, t) for material, t in stack)
    grown = tuple(
        replace(layer, thickness=layer.thickness + (more if k == which % len(thin) else 0.0))
        for k, layer in enumerate(thin)
    )
    first, second = (depth_needed(layers, part, 0.5, paint) for layers in (thin, grown))
    grip = grip_range(part)
    assume(grip and first is not None and second is not None)
    assert grip and first is not None and second is not None
    least = sum(layer.thickness for layer in thin) + 2 * paint - grip[1]
    spared = mixed and not ledge_below(thin, rounded_up(least, 0.5)).carries
    assert second >= first - 1e-9 or spared
    assert second >= least - SLIGHT, "nor is what its thread or clips ask for ever less"


@given(stacks, st.floats(0.0, 60.0))
def test_depth_and_ledge_are_the_board(stack: list[tuple[Material, float]], depth: float) -> None:
    layers = tuple(Layer(material, t) for material, t in stack)
    whole = sum(layer.thickness for layer in layers)
    assert depth + ledge_below(layers, depth).thickness == pytest.approx(whole, abs=1e-9)


@given(any_part, materials, thick, st.sampled_from(STEPS), films)
def test_the_counterbore_proposed_holds_with_its_ledge(
    part: Part, material: Material, thickness: float, step: float, paint: float
) -> None:
    """Depth, ledge and board add up, the ledge carries, and what is held is what the nut or clips can hold."""
    layers = (Layer(material, thickness),)
    depth, grip = depth_needed(layers, part, step, paint), grip_range(part)
    assume(depth and grip)
    assert depth and grip
    ledge = ledge_below(layers, depth)
    assert depth + ledge.thickness == pytest.approx(thickness, abs=1e-9)
    assert ledge.carries and ledge.thickness >= material.limits.ledge_floor - 1e-6
    assert grip[0] - 1e-6 <= held_thickness(thickness, depth, paint) <= grip[1] + 1e-6


@given(any_part, st.floats(0.0, 10.0), st.floats(0.0, 10.0))
def test_a_larger_spanner_or_clip_room_never_asks_for_a_smaller_counterbore(
    part: Part, room: float, more: float
) -> None:
    widths = [bore_width(part, r, r) for r in (room, room + more)]
    assert widths[1] >= widths[0]
    shop = Tooling(HAND, FORSTNER, board().tooling.paper)
    bits = [shop.counterbore_bit(width, 8.0) for width in widths]
    if bits[0] is None or bits[1] is None:
        assert bits[1] is None
    else:
        assert bits[1].diameter >= bits[0].diameter


@given(st.floats(40.0, 100.0), materials, thick, st.floats(0.0, 10.0), films)
def test_a_thicker_board_never_needs_a_shallower_recess(
    lever: float, material: Material, thickness: float, more: float, paint: float
) -> None:
    part = stick(lever, 50, 65)
    thin, thicker = (recess_depth((Layer(material, t),), part, 0.5, paint) for t in (thickness, thickness + more))
    assume(thin is not None and thicker is not None)
    assert thin is not None and thicker is not None and thicker >= thin


@given(
    st.one_of(real, st.sampled_from([button(28), button(fixing=nut(14, height=3, width=20)), stick(76)])),
    st.one_of(materials, st.just(MDF)),
    st.sampled_from([None, (40.0, 8.0)]),
    st.sampled_from([None, Recess(96, 66, 6, 4)]),
    st.floats(-20.0, 300.0),
    st.floats(0.0, 100.0),
    st.sampled_from(["left", "front", "right", "back"]),
    st.sampled_from([(0.0, 0.0), (8.0, 0.0), (0.0, 18.0)]),
)
def test_severity_never_improves_when_a_part_moves_toward_an_edge(
    part: Part,
    material: Material,
    bore: tuple[float, float] | None,
    recess: Recess | None,
    off: float,
    step: float,
    edge: EdgeName,
    made: tuple[float, float],
) -> None:
    """Of every part of the catalogue, in every material, toward an edge that is plain, slotted or railed."""

    def gravity(distance: float) -> int:
        along = 800 - distance if edge in ("right", "back") else distance
        x, y = (along, 400.0) if edge in ("left", "right") else (400.0, along)
        placed = at(x, y, part, bore=bore, recess=recess)
        square = board(
            placed,
            outline=rectangle_outline(800, 800),
            allowance=HAND,
            layers=(Layer(material, 18.0),),
            edges=(EdgeFeature(edge, *made),),
        )
        worst = check(square, CATALOGUE).worst
        return SEVERITIES.index(worst) if worst else len(SEVERITIES)

    assert gravity(off) <= gravity(off + step)


MATERIALS = tuple(catalogue().materials)


@lru_cache(maxsize=1)
def part_ids() -> tuple[str, ...]:
    return tuple(catalogue().parts)


@st.composite
def decks(draw: st.DrawFn) -> Design:
    """A deck with the catalogue's parts anywhere on it, layers, paint, cuts from below, slots, rails and few bits."""
    placements = []
    for k in range(draw(st.integers(1, 6))):
        bore = draw(st.sampled_from([None, None, None, (35.0, 6.0), (50.0, 13.0)]))
        recess = draw(st.sampled_from([None, None, None, None, (110.0, 70.0, 6.0, 4.0), (60.0, 60.0, 1.0, 9.0)]))
        placements.append(
            PlacementEntry(
                id=f"p{k}",
                part=draw(st.sampled_from(part_ids())),
                x=draw(st.integers(0, 500)) * 1.0,
                y=draw(st.integers(0, 250)) * 1.0,
                angle=draw(st.sampled_from([0.0, 90.0, 30.0])),
                label=f"P{k}",
                counterbore=CounterboreEntry(diameter=bore[0], depth=bore[1]) if bore else None,
                recess=RecessEntry(width=recess[0], height=recess[1], corner=recess[2], depth=recess[3])
                if recess
                else None,
            )
        )
    layers = [
        LayerEntry(material=draw(st.sampled_from(MATERIALS)), thickness=draw(st.sampled_from([3.0, 12.7, 18.0, 25.0])))
    ]
    if draw(st.booleans()):
        layers.insert(0, LayerEntry(material="acrylic", thickness=3.0))
    few = tuple(
        BitEntry(kind="forstner", diameter=d, reach=draw(st.sampled_from([8.0, 15.0, 55.0])))
        for d in (24.0, 28.0, 35.0)
    )
    corners = ((0.0, 0.0), (500.0, 0.0), (500.0, 250.0), (0.0, 250.0))
    deck = BoardEntry(
        id="deck",
        name="Deck",
        outline=OutlineEntry(corners=tuple(CornerEntry(x=x, y=y) for x, y in corners)),
        layers=tuple(layers),
        edges=EdgesEntry(front=EdgeEntry(slot_depth=8.0), left=EdgeEntry(rail=18.0)),
        depth_below=DepthBelowEntry(front=50.0, back=110.0),
        paint=draw(st.sampled_from([0.0, 0.0, 0.15])),
        arrangements=(ArrangementEntry(id="one", placements=tuple(placements)),),
    )
    return Design(
        title="Random",
        units=draw(st.sampled_from(["mm", "inch"])),
        shop=ShopEntry(bits=draw(st.sampled_from([(), few]))),
        boards=(deck,),
    )


def resolved(design: Design) -> ResolvedBoard:
    return resolve(design, None, None, catalogue())


def grave(report: Report) -> Counter[tuple[str, str, tuple[str, ...]]]:
    return Counter((f.rule, f.detail.cause, f.subjects) for f in report.findings if f.severity != "note")


def varied(report: Report) -> list[Finding]:
    """One finding of each rule and cause."""
    return list({(f.rule, f.detail.cause): f for f in reversed(report.findings)}.values())


def holds(design: Design) -> None:
    """Each offered fix of one finding of each kind, made to the document, clears its finding and adds none."""
    before = check(resolved(design), catalogue())
    for finding in varied(before):
        fix = before.fix_for(finding)
        if finding.severity == "note":
            assert fix is None
            continue
        if fix is None:
            continue
        after = check(resolved(apply_fix(design, None, None, fix, catalogue()).design), catalogue())
        tried = check(with_fix(resolved(design), fix, catalogue()), catalogue())
        assert [(f.rule, f.severity, f.subjects) for f in after.findings] == [
            (f.rule, f.severity, f.subjects) for f in tried.findings
        ], "what was tried is what is made"
        assert no_worse(before, after), (finding, fix)
        same = [f for f in after.findings if f.severity != "note" and f.rule == finding.rule]
        alike = [f for f in same if f.detail.cause == finding.detail.cause]
        assert not [f for f in alike if set(f.subjects) == set(finding.subjects) and near_edge(f) == near_edge(finding)]


def near_edge(finding: Finding) -> str:
    """The edge or area of a rule that judges each by itself."""
    return finding.detail.mark if finding.rule in ("edge-slot", "rail-clash") else ""


def no_worse(before: Report, after: Report) -> bool:
    """Whether every stop and caution was there before, about these parts at least, no milder and lacking no less."""
    return all(
        any(
            old.rule == new.rule
            and set(new.subjects) <= set(old.subjects)
            and SEVERITIES.index(old.severity) <= SEVERITIES.index(new.severity)
            and (old.severity != new.severity or old.lack >= new.lack - 1e-5)
            for old in before.findings
        )
        for new in after.findings
        if new.severity != "note"
    )


@examples(8)
@given(decks())
def test_every_offered_fix_clears_its_finding_and_creates_none(design: Design) -> None:
    holds(design)


def sort_of(finding: Finding) -> tuple[object, ...]:
    """What tells a finding from others of its rule about the same parts: a part's own holes from those of two."""
    return finding.detail.cause, near_edge(finding), finding.detail.own


@examples(8)
@given(decks())
def test_one_fix_for_a_group_clears_it_but_for_whom_it_says_and_creates_none(design: Design) -> None:
    before = check(resolved(design), catalogue())
    for group in before.groups(Unit.MM)[:2]:
        found = before.fix_for_all(group) if group.severity != "note" else None
        if found is None:
            continue
        after = check(resolved(apply_fix(design, None, None, found.fix, catalogue()).design), catalogue())
        assert no_worse(before, after), (group, found)
        about = [(sort_of(one), set(one.subjects)) for one in group.findings]
        left = {
            s
            for f in after.findings
            if (f.rule, f.severity != "note") == (group.rule, True)
            and any(sort_of(f) == sort and ids >= set(f.subjects) for sort, ids in about)
            for s in f.subjects
        }
        assert left == set(found.stays), (group, found)


@long
def test_the_decks_tried_are_offered_every_kind_of_fix() -> None:
    """So that the laws of fixes do not hold for want of fixes."""
    offered: Counter[str] = Counter()

    @examples(25)
    @given(decks())
    def count(design: Design) -> None:
        report = check(resolved(design), catalogue())
        offered.update(type(report.fix_for(f)).__name__ for f in varied(report))

    count()
    assert {"MoveBy", "CounterboreAt", "RecessAt", "BuyBit"} <= set(offered), offered


def test_a_bit_is_only_ever_added_never_swapped_for_another_order_of_layers() -> None:
    """No fix touches the layers: their order is the builder's."""
    made = board(at(200, 150, button(fixing=nut(9, height=3, width=20))), bits=(*FORSTNER, Bit("router", 6, 30)))
    report = check(made, CATALOGUE)
    for finding in report.findings:
        fix = report.fix_for(finding)
        if fix is not None:
            assert with_fix(made, fix, CATALOGUE).layers == made.layers
            assert replace(with_fix(made, fix, CATALOGUE), placements=(), tooling=made.tooling) == replace(
                made, placements=()
            )
