"""A part's own measures agree with each other: each way they may not, on both sides of its limit."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue as real_catalogue
from app.geometry.shapes import Shape, circle, rectangle, slot
from app.model.material import Layer
from app.model.part import NutFixing, Part, ScrewFixing
from app.model.resolved import Recess
from app.values import replace
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, HAND, MDF, at, board, button, catalogue, found, hanging, near, nut
from tests.unit.fit.boards import plate as plated

HAIR = 0.01  # mm past a limit: what is said to that; less is not short
RULE = "part-measures"


def told(part: Part) -> list[tuple[object, ...]]:
    """What the rule says of a part, drilled just as large as it says."""
    assert part.cutouts
    return [(f.detail.cause, f.severity, f.measured) for f in found(board(at(200, 150, part)), RULE)]


@pytest.mark.parametrize(
    ("part", "open_"),
    [
        (button(28, flange=28), 0),
        (button(28, flange=28 - HAIR), HAIR / 2),
        (replace(button(28), flange=replace(button(28, flange=30).flange, shape=circle(30, 1, 0))), 0),  # type: ignore[type-var]
        (replace(button(28), flange=replace(button(28, flange=30).flange, shape=circle(30, 1.2, 0))), 0.2),  # type: ignore[type-var]
        (button(28, flange=0), 0),  # it has none
    ],
)
def test_a_flange_covers_the_main_hole(part: Part, open_: float) -> None:
    assert told(part) == ([("flange", "stop", near(-open_))] if open_ else [])


def test_a_flange_covers_the_hole_as_the_bit_makes_it() -> None:
    """The hole is asked for as 27 mm wide, and made with the 28 mm bit."""
    part = button(27, flange=27.5, smallest=27, largest=28.5)
    assert [f.measured for f in found(board(at(200, 150, part)), RULE)] == [near((27.5 - 28) / 2)]


@pytest.mark.parametrize(
    ("body", "fixing", "want"),
    [
        (28, None, []),
        (28 + HAIR, None, [("body", "stop", near(-HAIR / 2))]),
        (28 + HAIR, nut(), [("body", "caution", near(-HAIR / 2))]),  # its body may come apart to go through
        (rectangle(19.7, 19.7), None, []),  # its diagonal is 27.9
        (rectangle(20, 20), None, [("body", "stop", near(14 - 10 * 2**0.5))]),
    ],
)
def test_a_body_mounted_on_top_goes_through_the_main_hole(
    body: float | Shape, fixing: NutFixing | None, want: list[tuple[object, ...]]
) -> None:
    assert told(button(28, body=body, fixing=fixing)) == want


@pytest.mark.parametrize(("width", "pulls"), [(28 + HAIR, False), (28, True), (27, True)])
def test_a_nut_is_wider_than_the_main_hole(width: float, pulls: bool) -> None:
    findings = found(board(at(200, 150, button(28, fixing=nut(width=width)))), RULE)
    assert [(f.detail.cause, f.severity, f.measured, f.required) for f in findings] == (
        [("nut", "stop", near(width), near(28))] if pulls else []
    )


def bolted(screw: float, *at_: tuple[float, float]) -> Part:
    """A part below the board with a hole 10 mm wide beside its main one, by default bolted through it."""
    fixing = ScrewFixing(at_ or ((16.0, 0.0),), screw, "under", None, 0)
    return hanging(50, hole=20, flange=0, more=(circle(10, 16, 0),), fixing=fixing)


@pytest.mark.parametrize(("screw", "pulls"), [(5 + HAIR, False), (5, True), (4, True)])
def test_the_head_of_a_bolt_is_wider_than_its_hole(screw: float, pulls: bool) -> None:
    # It is twice as wide as its shank: DIN 7997, from memory.
    findings = found(board(at(200, 150, bolted(screw))), RULE)
    assert [(f.detail.cause, f.severity, f.required, f.measured) for f in findings] == (
        [("head", "stop", 10, near(2 * screw))] if pulls else []
    )
    assert told(bolted(screw, (0.0, 18.0))) == [], "a screw beside the hole is no bolt"


HOLDERS = [
    (plated("under", 40, 30, (20, 0)), 20, "plate"),
    (plated("top", 40, 30, (20, 0)), 20, "plate"),
    (ScrewFixing(((30.0, 0.0),), 4, "top", None, 0), 30, "flange"),
]


@pytest.mark.parametrize(("fixing", "half", "holder"), HOLDERS)
@pytest.mark.parametrize(("more", "loose"), [(0, False), (HAIR, True)])
def test_a_screw_goes_through_what_it_holds(
    fixing: ScrewFixing, half: float, holder: str, more: float, loose: bool
) -> None:
    part = button(20, flange=60, fixing=replace(fixing, holes=((half + more, 0.0), (0.0, 12.0))))
    findings = found(board(at(200, 150, part)), RULE)
    assert [(f.detail.cause, f.severity, f.detail.holder) for f in findings] == (
        [("screw", "stop", holder)] if loose else []
    )


@pytest.mark.parametrize(("more", "loose"), [(0, False), (HAIR, True)])
def test_without_a_plate_a_screw_from_below_goes_through_the_body(more: float, loose: bool) -> None:
    part = hanging(40, hole=20, flange=60, fixing=ScrewFixing(((20 + more, 0.0),), 4, "under", None, 0))
    assert [cause for cause, *_ in told(part)] == (["screw"] if loose else [])


@pytest.mark.parametrize(
    ("part", "falls"),
    [
        (hanging(20 + HAIR, hole=20), False),
        (hanging(20, hole=20), True),
        (hanging(12, hole=20), True),
        (hanging(rectangle(10, 24), hole=20), False),
        (hanging(12, hole=20, fixing=plated("under", 30, 10)), False),  # its plate rests on the board
        (hanging(12, hole=20, fixing=plated("under", 10, 10)), True),
        (button(20, body=12), False),  # on top its flange holds it
    ],
)
def test_what_is_mounted_below_does_not_fall_through_the_main_hole(part: Part, falls: bool) -> None:
    assert [(cause, severity) for cause, severity, _ in told(part)] == ([("drop", "stop")] if falls else [])


def test_placements_of_a_part_share_what_is_wrong_with_it() -> None:
    part = button(28, flange=20)
    checked = board(at(100, 150, part), at(200, 150, part, name="b"), at(300, 150, part, name="c", drill=False))
    (finding,) = found(checked, RULE)
    assert (finding.subjects, finding.detail.part, finding.required) == (("a", "b"), "button", 0)
    worst = board(*checked.placements, allowance=HAND)
    assert found(worst, RULE)[0].measured == finding.measured, "nothing that is off its place changes a part"


def test_every_part_of_the_catalogue_agrees_with_itself() -> None:
    known = real_catalogue()
    rows = enumerate(known.parts.values())
    shop = board(bits=known.bit_sets["metric"]).tooling
    placed = [at(300.0 * k, 0, part, name=f"p{k}", shop=shop) for k, part in rows]
    checked = board(*placed, bits=shop.bits)
    assert [(f.subjects, f.detail) for f in found(checked, RULE, known)] == []


# --- its own screws, holes and what is cut for it -------------------------------------------------------------------


def screwed(x: float, length: float | None = None, side: str = "under") -> Part:
    fixing = ScrewFixing(((x, 0.0),), 4, side, rectangle(100, 60), 2, length)  # type: ignore[arg-type]
    part = button(20, flange=0, fixing=fixing)
    return part if side == "top" else replace(part, mount="under", body=replace(part.body, shape=rectangle(24, 24)))


@pytest.mark.parametrize(
    ("gap", "want"), [(3, None), (3 - HAIR, "caution"), (0, "caution"), (-HAIR, "stop"), (-4, "stop")]
)
def test_a_screw_leaves_a_web_to_its_own_hole(gap: float, want: str | None) -> None:
    """A caution below the least web of MDF, as drawn; where they overlap it holds in nothing."""
    for allowance in (board().tooling.drilling, HAND):
        findings = found(board(at(200, 150, screwed(10 + gap + 2)), allowance=allowance), "screw-distance")
        assert [(f.severity, f.measured, f.required) for f in findings] == (
            [(want, near(gap), 0 if want == "stop" else 3)] if want else []
        )
    if want:
        assert findings[0].subjects == ("a",)
        assert findings[0].detail.own


@pytest.mark.parametrize(("length", "layer", "web"), [(None, ACRYLIC, 8), (7, ACRYLIC, 5), (None, MDF, 3)])
def test_its_own_web_is_that_of_the_layer_a_screw_enters(length: float | None, layer: object, web: float) -> None:
    # 18 mm of acrylic ask for as much as a screw goes in: 2 · 4 mm, or 7 mm less 2 mm of plate.
    layers = (Layer(layer, 18),)  # type: ignore[arg-type]
    for gap, want in ((web, []), (web - HAIR, ["caution"])):
        checked = board(at(200, 150, screwed(10 + gap + 2, length)), layers=layers)
        assert [f.severity for f in found(checked, "screw-distance")] == want


@pytest.mark.parametrize(
    ("side", "length", "depth", "asked"),
    [
        ("under", None, 1.0, True),  # from below it enters beside the counterbore
        ("top", 9, 8.0, False),  # 7 of 18 mm in, 8 cut away: 3 mm between them will do
        ("top", 9 + HAIR, 8.0, True),
        ("top", None, 7.0, False),  # 2 · 4 mm in
        ("top", None, 7.0 + HAIR, True),
    ],
)
def test_a_screw_keeps_clear_of_its_own_counterbore(side: str, length: float | None, depth: float, asked: bool) -> None:
    for gap, want in ((3, []), (3 - HAIR, ["caution"]), (-HAIR, ["stop"])):
        part = screwed(20 + gap + 2, length, side)
        checked = board(at(200, 150, part, bore=(40, depth)))
        assert [f.severity for f in found(checked, "screw-distance")] == (want if asked else [])


def test_a_screw_from_the_top_keeps_clear_of_its_own_recess_and_one_from_below_goes_into_its_floor() -> None:
    recess = Recess(110, 70, 6, 8)
    assert not found(board(at(200, 150, screwed(40), recess=recess)), "screw-distance")
    for length, want in ((9, []), (9 + HAIR, ["stop"])):
        checked = board(at(200, 150, screwed(40, length, "top"), recess=recess))
        assert [f.severity for f in found(checked, "screw-distance")] == want


@pytest.mark.parametrize(("gap", "want"), [(3, []), (3 - HAIR, ["caution"]), (HAIR, ["caution"]), (-HAIR, [])])
def test_holes_and_counterbores_of_one_part_leave_the_least_web_where_they_do_not_overlap(
    gap: float, want: list[str]
) -> None:
    holes = button(20, flange=80, more=(slot(20, 6, 10 + gap + 10, 0),))
    assert [f.severity for f in found(board(at(200, 150, holes)), "web")] == want
    beside = button(20, flange=80, more=(slot(20, 6, 20 + gap + 10, 0),))
    assert [f.severity for f in found(board(at(200, 150, beside, bore=(40, 5))), "web")] == want


def test_another_ratio_of_heads_is_taken_from_the_catalogue() -> None:
    checked = board(at(200, 150, bolted(4)))
    wider = catalogue({**{name: row.value for name, row in CATALOGUE.rules.items()}, "screw-head-ratio": 2.6})
    assert found(checked, RULE)
    assert not found(checked, RULE, wider)  # 10.4 mm
