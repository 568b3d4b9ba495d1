"""Laws of the fit report: what must hold for any board, found by trying many."""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import partial

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.fit.changes.changed_board import with_fix
from app.fit.finding import SEVERITIES, Finding
from app.fit.registry import RULES, rule_named
from app.fit.report.report import check
from app.geometry.outline import Corner, EdgeName, Outline, rectangle_outline
from app.geometry.shapes import Point, Shape, circle, rectangle, rotate, slot
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.material import Layer, Strength
from app.model.part import Flange, Part, ScrewFixing, SnapFixing
from app.model.resolved import Placed, Recess, ResolvedBoard
from app.model.tooling import Allowance, Bit
from app.values import replace
from tests.long_run import examples
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, FORSTNER, MDF, SOURCE, at, board, button, nut, stick

LOPSIDED = ScrewFixing(((-30.0, -14.0), (38.0, 11.0)), 4, "under", Shape(((-40, -20), (45, -20), (20, 25)), 2.0), 2)
PARTS = (
    button(28, depth=40, wiring=True),
    button(24, body=rectangle(40, 26, 3, 2), depth=50, fixing=nut(22), flange=30),
    button(28, fixing=LOPSIDED, more=(slot(30, 8, 35, 20, 30), rectangle(9, 14, -30, 12)), depth=45, mount="under"),
    button(30, fixing=SnapFixing(1.5, 5), flange=35, depth=30, wiring=True),
    button(26, smallest=25.5, largest=26.5, fixing=nut(27, washer=1)),  # no bit is that wide
    button(15, fixing=nut(27)),  # the bit is too short
    stick(60, screws=ScrewFixing(((-35.0, -15.0), (30.0, 10.0)), 4, "under", rectangle(80, 40, 2, 1), 2, 19)),
    replace(button(20, fixing=nut(27)), flange=Flange(circle(56), 26)),  # as high as a lever's knob comes down
)
# So weak that a slap breaks a ledge and a hand a deck.
WEAK = (Strength(100, 3, 0.35, 2500, 0.3, SOURCE),)
SOFT_MDF, SOFT_ACRYLIC = (replace(m, strengths=WEAK) for m in (MDF, ACRYLIC))
BITS = (*FORSTNER, Bit("forstner", 15, 8), Bit("router", 8, 7))
STACKS = ((Layer(SOFT_MDF, 18),), (Layer(SOFT_ACRYLIC, 3), Layer(SOFT_MDF, 15)))
REFLEX = Outline(
    (
        Corner(0, 0),
        Corner(320, 0, (50, 50)),
        Corner(320, 140, (30, 55)),
        Corner(230, 140, (20, 20)),
        Corner(230, 220),
        Corner(0, 220, (40, 40)),
    )
)
OPENING = Outline((Corner(150, 60, (6, 6)), Corner(200, 70), Corner(190, 100), Corner(140, 90, (8, 8))))
WINDOW = Outline(tuple(Corner(x, y) for x, y in ((17, 12), (60, 11), (55, 34), (20, 30))))

coordinate = st.integers(-200, 3400).map(lambda v: v / 10)


@st.composite
def boards(draw: st.DrawFn, edges: bool = True) -> ResolvedBoard:
    """A crowded board with something of everything; without ``edges``, none of them has a slot or a rail."""
    placements = []
    for k in range(draw(st.integers(1, 7))):
        bore = draw(st.sampled_from([None, None, (40.0, 8.0), (30.0, 14.0)]))
        placements.append(
            at(
                draw(coordinate),
                draw(coordinate) * 0.66,
                draw(st.sampled_from([*PARTS, *PARTS[-2:]])),  # levers, and what they meet, twice as often
                name=f"p{k}",
                angle=draw(st.sampled_from([0, 0, 90, 180, 37.5, 200])),
                bore=bore,
                recess=draw(st.sampled_from([None, None, None, Recess(90, 50, 5, 8), Recess(60, 60, 2, 5)])),
                shop=board(bits=BITS).tooling,
                drill=draw(st.integers(0, 5)) > 0,
            )
        )
    return board(
        *placements,
        outline=draw(st.sampled_from([rectangle_outline(320, 220, 35), REFLEX])),
        openings=draw(st.sampled_from([(), (OPENING,), (OPENING, WINDOW)])),
        layers=draw(st.sampled_from(STACKS)),
        edges=(EdgeFeature("front", 10), EdgeFeature("left", 0, 19), EdgeFeature("back", 6, 12)) if edges else (),
        depth=DepthPlane(20, 0.02, 0.15),
        keep_clear=(
            KeepClear("under", rectangle(60, 30, 100, 150), "hinge"),
            KeepClear("top", rectangle(40, 20, 250, 40), ""),
        ),
        allowance=Allowance("hand", "Hand drill", 1.0, 0.5, SOURCE),
        bits=BITS,
        paint=draw(st.sampled_from([0.0, 0.0, 0.15])),
    )


@examples(40)
@given(boards(), st.floats(-5000, 5000), st.floats(-5000, 5000))
def test_a_board_can_be_moved(checked: ResolvedBoard, dx: float, dy: float) -> None:
    assert_same(checked, transformed(checked, move=(dx, dy)))


@examples(40)
@given(boards(), st.floats(-500, 500))
def test_a_board_can_be_mirrored(checked: ResolvedBoard, axis: float) -> None:
    swap: dict[EdgeName, EdgeName] = {"left": "right", "right": "left", "front": "front", "back": "back"}
    assert_same(checked, transformed(checked, mirror_x=axis, edges=swap))


@examples(40)
@given(boards(edges=False), st.floats(-360, 360))
def test_a_board_can_be_turned_by_any_angle(checked: ResolvedBoard, turn: float) -> None:
    deck = "deck-strength"  # judged as the rectangle round it along x and y, which does not turn with it
    assert_same(checked, transformed(checked, turn=turn), without=deck)


@examples(40)
@given(boards().map(lambda b: replace(b, outline=rectangle_outline(320, 220))))
def test_a_board_can_be_turned_by_quarters_and_its_edges_go_along(checked: ResolvedBoard) -> None:
    on: dict[EdgeName, EdgeName] = {"front": "right", "right": "back", "back": "left", "left": "front"}
    assert_same(checked, transformed(checked, turn=90, edges=on))
    half = {name: on[on[name]] for name in on}
    assert_same(checked, transformed(checked, turn=180, edges=half))


@examples(40)
@given(boards(), st.randoms(use_true_random=False))
def test_the_order_of_placements_does_not_matter(checked: ResolvedBoard, chance: object) -> None:
    order = list(checked.placements)
    chance.shuffle(order)  # type: ignore[attr-defined]
    assert_same(checked, replace(checked, placements=tuple(order)))


@examples(40)
@given(boards(), st.integers(0, 6))
def test_switching_a_placement_off_adds_nothing(checked: ResolvedBoard, which: int) -> None:
    k = which % len(checked.placements)
    off = replace(checked.placements[k], drill=False)
    fewer = replace(checked, placements=(*checked.placements[:k], off, *checked.placements[k + 1 :]))
    before = check(checked, CATALOGUE).findings
    for finding in check(fewer, CATALOGUE).findings:
        assert off.id not in finding.subjects
        assert any(covers(old, finding) for old in before), finding


@examples(40)
@given(boards(), st.floats(0, 3), st.floats(0, 3), st.floats(0, 3), st.floats(0, 3))
def test_a_larger_allowance_finds_no_less(checked: ResolvedBoard, p: float, e: float, dp: float, de: float) -> None:
    found = []
    for position, edge in ((p, e), (p + dp, e + de)):
        allowance = Allowance("some", "Some", position, edge, SOURCE)
        found.append(check(replace(checked, tooling=replace(checked.tooling, drilling=allowance)), CATALOGUE).findings)
    for finding in found[0]:
        same = [f for f in found[1] if f.rule == finding.rule and f.subjects == finding.subjects]
        assert same, finding
        assert min(SEVERITIES.index(f.severity) for f in same) <= SEVERITIES.index(finding.severity)


@examples(10)  # each tries several changes, and judges the whole board after each
@given(boards(), st.integers(0, 3))
def test_a_fix_clears_its_finding_and_makes_nothing_worse(checked: ResolvedBoard, skip: int) -> None:
    report = check(checked, CATALOGUE)
    for finding in report.findings[skip::4][:3]:
        fix = report.fix_for(finding)
        if fix is None:
            continue
        after = check(with_fix(checked, fix, CATALOGUE), CATALOGUE).findings
        grave = [f for f in after if f.severity != "note"]
        assert len(grave) < len(report.stops) + len(report.cautions)
        for new in grave:
            assert any(covers(old, new) for old in report.findings), (finding, fix, new)


def test_the_same_board_gives_the_same_report() -> None:
    checked = board(at(20, 150), at(200, 150, PARTS[1], name="b"), at(230, 150, PARTS[2], name="c"))
    assert check(checked, CATALOGUE).findings == check(checked, CATALOGUE).findings


OF_MAKERS = (
    {"cone-area", "cone-cover", "finger-guard", "air-flow"}
    | {"door-clearance", "door-swing", "hinge-screw"}
    | {"display-fit", "mount-screw", "plate-bending", "plug-room"}
)
"""Rules about what makers made, which these boards have nothing of."""

OF_LEGENDS = {"legend-clear", "legend-room", "legend-overlap", "legend-size"}
"""Likewise; their laws are in ``test_legend_laws.py``."""

OF_WIRING = {"inputs", "light-current", "wire-way"}
"""Likewise of encoder boards; their laws are in ``test_wiring_laws.py``."""


def test_the_boards_tried_break_every_rule() -> None:
    """So that no law above holds for want of anything to find."""
    broken: dict[str, int] = {}

    @examples(100)
    @given(boards())
    def count(checked: ResolvedBoard) -> None:
        for finding in check(checked, CATALOGUE).findings:
            broken[finding.rule] = broken.get(finding.rule, 0) + 1

    count()
    assert set(broken) == {rule.name for rule in RULES} - OF_MAKERS - OF_LEGENDS - OF_WIRING, broken


def covers(old: Finding, new: Finding) -> bool:
    """Whether ``new`` was there before, for at least these subjects, and is no worse."""
    return (
        old.rule == new.rule
        and set(new.subjects) <= set(old.subjects)
        and SEVERITIES.index(old.severity) <= SEVERITIES.index(new.severity)
        and (old.severity != new.severity or _margin(old) <= _margin(new) + 1e-5)
    )


def _margin(finding: Finding) -> float:
    """What is left over; of a deck by how much it bears, for which there is no thickness where nothing stays."""
    factor = rule_named(finding.rule).factor
    return factor(finding) if factor else finding.margin or 0.0


def assert_same(one: ResolvedBoard, other: ResolvedBoard, without: str = "") -> None:
    """The same findings with the same numbers; edges may be called differently."""
    both = ([f for f in check(x, CATALOGUE).findings if f.rule != without] for x in (one, other))
    a, b = (sorted(findings, key=place) for findings in both)
    assert [(f.rule, f.severity, f.subjects) for f in a] == [(f.rule, f.severity, f.subjects) for f in b]
    for p, q in zip(a, b, strict=True):
        assert p.measured == pytest.approx(q.measured, abs=1e-6)
        assert p.required == pytest.approx(q.required)


def place(finding: Finding) -> tuple[object, ...]:
    margin = round(finding.margin or 0.0, 4)
    return (finding.rule, finding.subjects, finding.severity, str(getattr(finding.detail, "index", "")), margin)


def transformed(
    given_board: ResolvedBoard,
    move: Point = (0.0, 0.0),
    mirror_x: float | None = None,
    turn: float = 0.0,
    edges: dict[EdgeName, EdgeName] | None = None,
) -> ResolvedBoard:
    """The whole board mirrored about ``x = mirror_x``, then turned about the origin, then moved."""

    def point(p: Point) -> Point:
        x, y = rotate((p[0] if mirror_x is None else 2 * mirror_x - p[0], p[1]), turn)
        return (x + move[0], y + move[1])

    def shape(s: Shape) -> Shape:
        core = tuple(point(p) for p in s.core)
        return Shape(core if mirror_x is None else core[::-1], s.radius)

    outline: Callable[[Outline], Outline] = lambda o: o.mapped(move, mirror_x, turn)  # noqa: E731
    names = edges or {}
    return replace(
        given_board,
        outline=outline(given_board.outline),
        openings=tuple(map(outline, given_board.openings)),
        edges=tuple(replace(e, edge=names.get(e.edge, e.edge)) for e in given_board.edges),
        free_depth=plane(given_board.free_depth, point),
        keep_clear=tuple(replace(k, shape=shape(k.shape)) for k in given_board.keep_clear),
        placements=tuple(partial(placed, point, shape, mirror_x is not None, turn)(p) for p in given_board.placements),
    )


def placed(
    point: Callable[[Point], Point], shape: Callable[[Shape], Shape], mirror: bool, turn: float, p: Placed
) -> Placed:
    x, y = point((p.x, p.y))
    part = mirrored(p.part) if mirror else p.part
    holes = tuple(replace(h, cutout=c, shape=shape(h.shape)) for h, c in zip(p.holes, part.cutouts, strict=True))
    return replace(p, part=part, x=x, y=y, angle=turn + (-p.angle if mirror else p.angle), holes=holes)


_MIRRORED: dict[int, Part] = {}


def mirrored(part: Part) -> Part:
    """The part's mirror image; the same object for the same part, as parts of a catalogue are."""
    if id(part) not in _MIRRORED:
        fixing = part.fixing
        if isinstance(fixing, ScrewFixing):
            holes = tuple((-x, y) for x, y in fixing.holes)
            fixing = replace(fixing, holes=holes, plate=fixing.plate.mirrored(0) if fixing.plate else None)
        _MIRRORED[id(part)] = replace(
            part,
            cutouts=tuple(replace(c, shape=c.shape.mirrored(0)) for c in part.cutouts),
            flange=replace(part.flange, shape=part.flange.shape.mirrored(0)) if part.flange else None,
            fixing=fixing,
            body=replace(part.body, shape=part.body.shape.mirrored(0)),
        )
    return _MIRRORED[id(part)]


def plane(depth: DepthPlane | None, point: Callable[[Point], Point]) -> DepthPlane | None:
    """The plane that is as deep at each moved point as the given one is at the point itself."""
    if depth is None:
        return None
    (ox, oy), (ax, ay), (bx, by) = point((0, 0)), point((1, 0)), point((0, 1))
    sx = depth.slope_x * (ax - ox) + depth.slope_y * (bx - ox)
    sy = depth.slope_x * (ay - oy) + depth.slope_y * (by - oy)
    assert math.hypot(sx, sy) == pytest.approx(math.hypot(depth.slope_x, depth.slope_y))
    return DepthPlane(depth.at_origin - sx * ox - sy * oy, sx, sy)
