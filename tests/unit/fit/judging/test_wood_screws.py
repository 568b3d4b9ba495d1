"""Screws: their pilots within the published band, where they end, and what they hold in."""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue as real_catalogue
from app.fit.changes.changed_board import with_fix
from app.fit.judging.wood_screws import pilot_diameter
from app.fit.report.report import check
from app.fit.words.messages import remedy
from app.geometry.shapes import rectangle
from app.model.fix import RecessAt
from app.model.material import Layer
from app.model.part import Part, ScrewFixing
from app.model.resolved import Recess
from app.units import INCH, Unit
from app.values import replace
from tests.unit.fit.boards import ACRYLIC, CATALOGUE, HAND, MDF, at, board, found, near, plate, stick

HAIR = 0.01  # mm past a limit: what is said to that; less is not short


def driven(length: float, diameter: float = 4.0) -> Part:
    """A stick on a plate 2 mm thick below the board, on screws of that length and diameter."""
    screws = plate("under", 90, 60, (-40, -25), (40, 25))
    return stick(screws=replace(screws, screw_length=length, screw_diameter=diameter))


@pytest.mark.parametrize(
    ("gauge", "shank", "root"),
    # Root diameters of wood screws by gauge [in], as in published tables; shank = 0.060 + 0.013 × gauge.
    [(4, 0.112, 0.075), (6, 0.138, 0.094), (8, 0.164, 0.112), (10, 0.190, 0.130)],
)
def test_a_pilot_is_70_to_90_per_cent_of_the_published_root(gauge: int, shank: float, root: float) -> None:
    assert shank == pytest.approx(0.060 + 0.013 * gauge, abs=1e-9)
    pilot = pilot_diameter(shank * INCH, real_catalogue().rule)
    assert 0.70 <= pilot / (root * INCH) <= 0.90


@pytest.mark.parametrize("diameter", [2.0, 2.5, 3.0, 3.5, 4.0, 4.5, 5.0, 6.0])
def test_a_metric_pilot_is_a_bit_that_is_sold_and_within_the_band(diameter: float) -> None:
    pilot = pilot_diameter(diameter, real_catalogue().rule)
    assert pilot % 0.5 == near(0.0)
    assert 0.7 <= pilot / (diameter * 2 / 3) <= 0.9 + 1e-6


def test_where_no_step_is_within_the_band_the_pilot_is_in_its_middle() -> None:
    assert pilot_diameter(0.7, real_catalogue().rule) == pytest.approx(0.8 * 2 / 3 * 0.7, abs=1e-6)


@pytest.mark.parametrize(
    ("length", "want", "left", "required"),
    [
        (17, None, 0, 0),  # 2 mm of plate, 15 mm in the wood, 3 mm left of 18
        (17 + HAIR, "caution", 3 - HAIR, 3),
        (20, "caution", 0, 3),
        (20 + HAIR, "stop", -HAIR, 0),
    ],
)
def test_a_screw_ends_short_of_the_other_face(length: float, want: str | None, left: float, required: float) -> None:
    findings = found(board(at(200, 150, driven(length))), "screw-hold")
    assert [(f.severity, f.detail.cause) for f in findings] == ([(want, "through")] if want else [])
    if want:
        assert findings[0].measured == near(left) and findings[0].required == required


@pytest.mark.parametrize(("length", "fails"), [(10, False), (10 - HAIR, True)])
def test_a_screw_holds_in_two_diameters_of_wood(length: float, fails: bool) -> None:
    # Common practice, no source: 2 · 4 mm in the wood, under 2 mm of plate.
    findings = found(board(at(200, 150, driven(length))), "screw-hold")
    assert [(f.severity, f.required) for f in findings] == ([("caution", 8)] if fails else [])


@pytest.mark.parametrize(("depth", "fails"), [(7, False), (7 + HAIR, True)])
def test_a_recess_leaves_the_screws_their_hold(depth: float, fails: bool) -> None:
    # 18 − 7 = 11 mm stays; less the 3 mm beyond the tips, 8 mm hold: 2 · 4 mm.
    recess = Recess(100, 70, 6, depth)
    findings = found(board(at(200, 150, stick(), recess=recess)), "screw-hold")
    assert [(f.measured, f.required) for f in findings] == ([(near(18 - depth - 3), 8)] if fails else [])


@pytest.mark.parametrize(
    ("part", "made", "fix"),
    [
        # 4 mm screws hold in 8 mm, 3 mm beyond: 11 of 18 mm stay with a recess 7 mm deep.
        (stick(), 8.2, 7.0),
        (stick(), 7.1, 7.0),
        # A screw of 14 mm under 2 mm of plate goes 12 mm in, 3 mm beyond: 15 of 18 mm stay with a recess 3 mm deep.
        (driven(14), 5.0, 3.0),
    ],
)
def test_a_shallower_recess_is_offered_where_it_leaves_screws_their_hold(part: Part, made: float, fix: float) -> None:
    recess = Recess(100, 70, 6, made)
    checked = board(at(200, 150, part, recess=recess))
    report = check(checked, CATALOGUE)
    (finding,) = [f for f in report.findings if f.rule == "screw-hold"]
    offered = report.fix_for(finding)
    assert offered == RecessAt(("a",), 100, 70, 6, fix)
    after = check(with_fix(checked, offered, CATALOGUE), CATALOGUE)
    assert not [f for f in after.findings if f.rule == "screw-hold"]
    assert f"only {fix:g} mm deep" in remedy(finding, report, Unit.MM)


def test_where_only_other_screws_help_no_fix_is_offered_and_the_words_say_so() -> None:
    checked = board(at(200, 150, driven(19)))
    report = check(checked, CATALOGUE)
    (finding,) = [f for f in report.findings if f.rule == "screw-hold"]
    assert report.fix_for(finding) is None
    assert remedy(finding, report, Unit.MM) == "Use 17 mm screws for A."  # 18 + 2 − 19 leaves 1 of 3 mm


@pytest.mark.parametrize(
    ("thickness", "want"),
    [
        (11, None),  # less the 3 mm beyond their tips, 8 mm hold: 2 · 4 mm
        (11 - HAIR, "caution"),
        (9, "caution"),
        (3 + HAIR, "caution"),
        (3, "stop"),  # nothing is left to hold in
        (2, "stop"),
    ],
)
def test_screws_of_no_known_length_hold_in_what_the_board_allows(thickness: float, want: str | None) -> None:
    # The longest that end 3 mm short of the other face are bought, and may still be too short to hold.
    for part in (stick(), stick(screws=plate("top", 90, 60, (-40, -25), (40, 25)))):
        findings = found(board(at(200, 150, part), layers=(Layer(MDF, thickness),)), "screw-hold")
        assert [(f.severity, f.measured, f.required) for f in findings] == (
            [(want, near(max(0.0, thickness - 3)), 2 * 4)] if want else []
        )


def test_a_bolt_through_a_hole_of_the_part_s_own_is_no_screw() -> None:
    bolted = driven(60)
    fixing = bolted.fixing
    assert isinstance(fixing, ScrewFixing)
    hole = bolted.cutouts[0].shape.centre
    bolted = replace(bolted, fixing=replace(fixing, holes=(hole,)))
    assert not found(board(at(200, 150, bolted)), "screw-hold")


def test_only_wood_is_asked_to_hold_a_wood_screw() -> None:
    assert not found(board(at(200, 150, driven(6)), layers=(Layer(ACRYLIC, 18),)), "screw-hold")


@pytest.mark.parametrize(
    ("x", "y", "edge", "measured", "required"),
    [(12, 150, None, 0, 0), (12 - HAIR, 150, "left", 12 - HAIR, 12), (15, 19, "corner", (15**2 + 19**2) ** 0.5, 25)],
)
def test_a_screw_in_mdf_keeps_its_distance(
    x: float, y: float, edge: str | None, measured: float, required: float
) -> None:
    # A trade body's advice: 12 mm from an edge, 25 mm from a corner.
    part = stick(screws=ScrewFixing(((x - 300, y - 150),), 4, "under", rectangle(10, 10), 2))
    findings = [f for f in found(board(at(300, 150, part)), "edge-distance") if f.detail.what == "screw"]
    assert [f.detail.edge for f in findings] == ([edge] if edge else [])
    if edge:
        assert findings[0].measured == near(measured) and findings[0].required == required
    worst = [f for f in found(board(at(300, 150, part), allowance=HAND), "edge-distance") if f.detail.what == "screw"]
    assert worst  # 1 mm of the hole and 0.5 mm of the edge take it below
