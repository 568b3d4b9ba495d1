"""What two placements ask of each other, each kind of thing with each other, on both sides of its limits.

Limits are the defaults of the fit table (common practice, no source) and those of the materials made up for tests;
distances are plain geometry.
"""

from __future__ import annotations

import math

import pytest

from app.fit.report.report import check
from app.geometry.shapes import circle, slot
from app.model.material import Layer
from app.model.part import Part, ScrewFixing
from app.model.resolved import Placed, Recess
from app.values import replace
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, HAND, MDF, at, board, button, found, near, plate, stick
from tests.unit.fit.things_of_each_kind import HAIR, PARTS, PLAIN, domed, only, put, reach, screwed, told

T = 18.0  # mm of board
TOP = ("flange", "plate on top", "screw head on top")
BELOW = ("body", "plate", "screw head")
CUTS = ("counterbore", "recess")


def each(ones: tuple[str, ...], others: tuple[str, ...]) -> list[tuple[str, str]]:
    """Every kind of the one with every kind of the other, each two once."""
    return list(dict.fromkeys((min(a, b), max(a, b)) for a in ones for b in others))


ASKED = [
    *(("flange-overlap", a, b, 0.0, 0.5) for a, b in [*each(TOP, TOP), *each(TOP, ("hole",))]),
    *(("under-clash", a, b, 0.0, 1.0) for a, b in each(("hole",), (*BELOW, "nut"))),
    *(("under-clash", a, b, 0.0, 2.0) for a, b in [*each(BELOW, BELOW), *each(BELOW, CUTS)]),
    *(("under-clash", a, b, 0.0, 3.0) for a, b in each(("nut",), ("nut", *BELOW, *CUTS))),
    *(("under-clash", a, b, 3.0, 5.0) for a, b in [*each(CUTS, CUTS), *each(CUTS, ("hole",))]),
]


def facing(one: str, other: str, gap: float) -> tuple[Placed, Placed]:
    """Two placements whose things of these kinds face each other."""
    return put(one, 200, 150), put(other, 200 + reach(one) + gap + reach(other), 150, "b", angle=180)


@pytest.mark.parametrize(("rule", "one", "other", "stop", "caution"), ASKED)
def test_things_keep_their_gap(rule: str, one: str, other: str, stop: float, caution: float) -> None:
    for gap, want in (
        (caution, ()),
        (caution - HAIR, ("caution", near(caution - HAIR), caution)),
        (stop, ("caution", near(stop), caution)),
        (stop - HAIR, ("stop", near(stop - HAIR), stop)),
    ):
        assert only(board(*facing(one, other, gap)), rule) == want
        # in the worst case both are 1 mm off toward each other
        assert only(board(*facing(one, other, gap + 2 * HAND.position), allowance=HAND), rule) == want
    (finding,) = found(board(*facing(one, other, stop - HAIR)), rule)
    assert (finding.detail.what, finding.detail.other) == (told(one), told(other))
    assert finding.subjects == ("a", "b")


MET = {(a, b) for _, a, b, *_ in ASKED} | {("hole", "hole")}


@pytest.mark.parametrize(("one", "other"), [pair for pair in each(tuple(PARTS), tuple(PARTS)) if pair not in MET])
def test_what_the_board_lies_between_may_be_over_each_other(one: str, other: str) -> None:
    checked = board(*facing(one, other, -HAIR))
    rules = ("flange-overlap", "under-clash", "web", "lever-sweep")
    assert [f for rule in rules for f in found(checked, rule)] == []


@pytest.mark.parametrize(("rule", "one", "other", "stop", "caution"), ASKED[::4])
def test_what_is_not_drilled_brings_nothing(rule: str, one: str, other: str, stop: float, caution: float) -> None:
    first, second = facing(one, other, stop - HAIR)
    alone = check(board(first), CATALOGUE).findings
    assert check(board(first, replace(second, drill=False)), CATALOGUE).findings == alone


def test_a_hole_wholly_under_another_s_flange_or_plate_is_a_stop() -> None:
    """Covered, the parts do not both go in, however far the holes are from each other."""
    small = button(10, flange=0)
    wide = board(at(200, 150, button(20, flange=100)), at(230, 150, small, name="b"))
    assert only(wide, "flange-overlap") == ("stop", near(30 - 50 - 5), 0)
    assert not found(wide, "web")  # 30 − 10 − 5 = 15 mm of board between them
    plated = board(at(200, 150, PARTS["plate"][0]), at(230, 150, small, name="b"))
    assert only(plated, "under-clash") == ("stop", near(30 - 40 - 5), 0)
    topped = board(at(200, 150, PARTS["plate on top"][0]), at(230, 150, small, name="b"))
    assert only(topped, "flange-overlap") == ("stop", near(30 - 40 - 5), 0)


def test_a_hole_beside_the_only_hole_of_a_part_is_asked_for_by_itself() -> None:
    """Its flange covers the first hole, and not the slot beside it: that is what the neighbour's flange lies over."""
    slotted = button(20, more=(slot(20, 6, 40, 0),))
    checked = board(at(200, 150, slotted), at(200 + 50 + 30 - HAIR, 150, button(20, flange=60), name="b"))
    assert only(checked, "flange-overlap") == ("stop", near(-HAIR), 0)


@pytest.mark.parametrize(("gap", "want"), [(5, None), (5 - HAIR, "caution"), (3, "caution"), (3 - HAIR, "stop")])
@pytest.mark.parametrize("side", ["top", "under"])
def test_a_screw_leaves_the_web_of_mdf_to_holes_cuts_and_screws(gap: float, want: str | None, side: str) -> None:
    part = screwed(side, (40, 0))
    tip = 200 + 40 + 2  # mm: where the shank's rim is
    for other in (
        at(tip + gap + 10, 150, PLAIN, name="b"),
        at(tip + gap + 40 + 2, 150, part, name="b", angle=180),
        *((at(tip + gap + 20, 150, PLAIN, name="b", bore=(40, T - 5)),)),
        *((at(tip + gap + 25, 150, PLAIN, name="b", recess=Recess(50, 30, 6, T - 5)),)),
    ):
        limit = 3 if want == "stop" else 5
        assert only(board(at(200, 150, part), other), "screw-distance") == ((want, near(gap), limit) if want else ())
        off = replace(other, x=other.x + 2, holes=())  # both 1 mm off
        worst = board(at(200, 150, part), at(off.x, 150, off.part, name="b", angle=off.angle), allowance=HAND)
        if not other.counterbore and not other.recess:
            assert only(worst, "screw-distance") == ((want, near(gap), limit) if want else ())


@pytest.mark.parametrize(
    ("layers", "side", "length", "stop", "caution"),
    [
        # The web of acrylic is a multiple of its thickness: of as much of it as the screw goes into, 2 · 4 mm where its
        # length is not known, else what is left of it under 2 mm of plate, but no less than the screw is wide.
        ((Layer(ACRYLIC, 18),), "under", None, 8, 12),
        ((Layer(ACRYLIC, 18),), "under", 7, 5, 7.5),
        ((Layer(ACRYLIC, 18),), "top", 7, 5, 7.5),
        ((Layer(ACRYLIC, 18),), "under", 5, 4, 6),
        ((Layer(ACRYLIC, 3),), "under", None, 3, 4.5),
        # The layer it enters counts, whatever it is glued to.
        ((Layer(ACRYLIC, 3), Layer(MDF, 15)), "top", None, 3, 4.5),
        ((Layer(ACRYLIC, 3), Layer(MDF, 15)), "under", None, 3, 5),
        ((Layer(MDF, 15), Layer(ACRYLIC, 3)), "top", None, 3, 5),
        ((Layer(MDF, 15), Layer(ACRYLIC, 3)), "under", None, 3, 4.5),
    ],
)
def test_a_screw_asks_for_the_web_of_the_layer_it_enters(
    layers: tuple[Layer, ...], side: str, length: float | None, stop: float, caution: float
) -> None:
    part = screwed(side, length=length)
    for gap, want in (
        (caution, ()),
        (caution - HAIR, ("caution", near(caution - HAIR), caution)),
        (stop, ("caution", near(stop), caution)),
        (stop - HAIR, ("stop", near(stop - HAIR), stop)),
    ):
        checked = board(at(200, 150, part), at(242 + gap + 5, 150, button(10, flange=0), name="b"), layers=layers)
        assert only(checked, "screw-distance") == want


def test_a_bolt_through_its_own_hole_is_judged_by_that_hole() -> None:
    bolted = screwed("under", (0, 0))
    checked = board(at(200, 150, bolted), at(200 + 10 + 10 + 4, 150, PLAIN, name="b"))
    assert not found(checked, "screw-distance")
    assert only(checked, "web") == ("caution", near(4), 5)


def flanged(length: float) -> Part:
    """Held from the top by screws through its flange, 4 mm high, into the board."""
    return button(20, flange=60, fixing=ScrewFixing(((25, 0),), 4, "top", None, 0, length))


# Board from the tip of a screw to what is cut below it: 3 mm will do (screw-pilot-floor).
LET_OFF = [
    # A screw of 9 mm under 2 mm of plate goes 7 mm in; 8 mm are cut away below: 18 − 7 − 8 = 3.
    *((screwed("top", length=9 + more), 42, 8.0, more > 0) for more in (0, HAIR)),
    # Of unknown length it goes 2 · 4 mm in: 18 − 8 − 7 = 3.
    *((screwed("top"), 42, 7.0 + more, more > 0) for more in (0, HAIR)),
    # Through a flange 4 mm high, 11 mm go 7 mm in.
    *((flanged(11 + more), 27, 8.0, more > 0) for more in (0, HAIR)),
    # From below it enters beside the cut, however shallow that is.
    (screwed("under", length=6), 42, 1.0, True),
]


@pytest.mark.parametrize(("part", "tip", "depth", "asked"), LET_OFF)
def test_a_screw_from_the_top_may_end_above_what_is_cut_from_below(
    part: Part, tip: float, depth: float, asked: bool
) -> None:
    for middle in (tip + 20 + 2, tip + 20 - 30):  # 2 mm beside the cut, and over it
        cuts = (
            at(200 + middle, 150, PLAIN, name="b", bore=(40, depth)),
            at(200 + middle, 150, PLAIN, name="b", recess=Recess(40, 40, 6, depth)),
        )
        for other in cuts:
            checked = board(at(200, 150, part), other)
            found_ = [f for f in found(checked, "screw-distance") if {"counterbore", "recess"} & set(f.detail.things)]
            assert bool(found_) == asked
            assert all(f.severity == "stop" and f.required == 3 for f in found_)


@pytest.mark.parametrize(("more", "asked"), [(0, False), (HAIR, True)])
def test_screws_from_both_faces_may_end_3_mm_apart(more: float, asked: bool) -> None:
    # 10 and 9 mm under 2 mm of plate each: 18 − 8 − 7 = 3.
    above, below = screwed("top", length=10), screwed("under", length=9 + more)
    checked = board(at(200, 150, above), at(200 + 80, 150, below, name="b", angle=180))
    assert only(checked, "screw-distance") == (("stop", near(0 - 4), 3) if asked else ())


@pytest.mark.parametrize(("more", "asked"), [(0, False), (HAIR, True)])
def test_a_screw_in_its_own_recess_begins_at_its_floor(more: float, asked: bool) -> None:
    sunk = at(200, 150, screwed("under"), recess=Recess(110, 70, 6, 6))
    other = at(200 + 57, 150, PLAIN, name="b", bore=(40, 3 + more))  # 6 − 3 = 3 mm between cut and screw
    findings = found(board(sunk, other), "screw-distance")
    assert [(f.severity, f.measured) for f in findings] == ([("stop", near(57 - 40 - 2 - 20))] if asked else [])


SWEEP, THROW = 35 / 2 + 76 * math.sin(math.radians(15)), 76 * math.sin(math.radians(15))
LOW = (76 - T) * math.cos(math.radians(15)) - 35
LEVER = stick(screws=plate("under", 30, 60, (0, -25), (0, 25)))


@pytest.mark.parametrize(
    ("apart", "want"),
    [(2 * SWEEP, None), (2 * SWEEP - HAIR, "caution"), (35, "caution"), (35 - HAIR, "stop")],
)
def test_levers_lean_clear_of_each_other(apart: float, want: str | None) -> None:
    """A caution where two meet that both lean to each other, a stop where their knobs, 35 mm wide, meet at rest."""
    for off, allowance in ((0, board().tooling.drilling), (2, HAND)):
        checked = board(at(200, 150, LEVER), at(200 + apart + off, 150, LEVER, name="b"), allowance=allowance)
        limit = -2 * THROW if want == "stop" else 0
        assert only(checked, "lever-sweep") == ((want, near(apart - 2 * SWEEP), near(limit)) if want else ())


@pytest.mark.parametrize(("gap", "want"), [(0, None), (-HAIR, "caution"), (-THROW, "caution"), (-THROW - HAIR, "stop")])
@pytest.mark.parametrize("height", [LOW + HAIR, LOW - HAIR])
def test_a_lever_leans_clear_of_flanges_as_high_as_its_knob_comes_down(
    gap: float, want: str | None, height: float
) -> None:
    checked = board(at(200, 150, LEVER), at(200 + SWEEP + gap + 30, 150, domed(height), name="b"))
    limit = -THROW if want == "stop" else 0
    met = want and height > LOW
    assert only(checked, "lever-sweep") == ((want, near(gap), near(limit)) if met else ())


def test_a_lever_raised_by_a_recess_leans_over_higher_flanges() -> None:
    """6 mm deeper in the board its knob comes down 6 · cos 15° mm less."""
    dome = at(200 + SWEEP + 29, 150, domed(LOW + HAIR), name="b")
    assert found(board(at(200, 150, LEVER), dome), "lever-sweep")
    assert not found(board(at(200, 150, LEVER, recess=Recess(100, 70, 6, 6)), dome), "lever-sweep")
    higher = domed(LOW + 6 * math.cos(math.radians(15)) + HAIR)
    raised = board(at(200, 150, LEVER, recess=Recess(100, 70, 6, 6)), at(200 + SWEEP + 29, 150, higher, name="b"))
    assert found(raised, "lever-sweep")


def test_a_lever_does_not_meet_its_own_flange_nor_a_plate_that_lies_flat() -> None:
    own = replace(LEVER, flange=domed(LOW + 20, 30).flange)
    assert not found(board(at(200, 150, own)), "lever-sweep")
    flat = board(at(200, 150, LEVER), at(240, 150, PARTS["plate on top"][0], name="b"))
    assert not found(flat, "lever-sweep")


def test_a_screw_head_within_its_plate_is_not_asked_for_by_itself() -> None:
    for side, rule, kind in (("top", "flange-overlap", "flange"), ("under", "under-clash", "body")):
        inside, proud = (plate(side, 60, 30, (x, 0)) for x in (26 - HAIR, 26 + HAIR))  # its head is 4 mm about it
        for fixing, reached in ((inside, 30.0), (proud, 30 + HAIR)):
            part = replace(PARTS["plate" if side == "under" else "plate on top"][0], fixing=fixing)
            other = put(kind, 200 + reached + reach(kind) - HAIR, 150, "b")
            (finding,) = found(board(at(200, 150, part), other), rule)
            assert finding.severity == "stop"
            assert finding.detail.what == ("plate" if fixing is inside else "screw head")


def test_a_body_of_another_shape_is_measured_by_its_nearest_point() -> None:
    one = button(20, flange=0, body=slot(60, 20, 0, 0, 90), depth=22, mount="under")
    checked = board(
        at(200, 150, one), at(200 + 10 + 15 + 1, 160, replace(one, body=replace(one.body, shape=circle(30))), name="b")
    )
    assert only(checked, "under-clash") == ("caution", near(1), 2)  # beside the straight side of the slot


@pytest.mark.parametrize("deep", [1e-9, 1e-6, 0.5])
def test_counterbores_however_shallow_ask_for_the_web_of_the_lowest_layer(deep: float) -> None:
    """Two of 40 mm, 42 mm apart: 2 mm of the lowest layer are left, and MDF needs 3 (fit table, no source)."""
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 18))
    checked = board(*(at(x, 150, name=name, bore=(40, deep)) for x, name in ((200, "a"), (242, "b"))), layers=layers)
    (finding,) = [f for f in found(checked, "under-clash") if f.detail.what == f.detail.other == "counterbore"]
    assert (finding.severity, finding.measured, finding.required) == ("stop", near(2), 3)
    assert finding.source == MDF.limits.source.text
