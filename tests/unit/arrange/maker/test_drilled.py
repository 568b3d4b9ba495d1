"""Holes as makers drill them, and the figures that follow."""

from __future__ import annotations

import math

import pytest

from app.arrange.maker.checked import checked
from app.arrange.maker.figured import figures_of
from app.arrange.maker.grille import SCREW_HOLES
from app.arrange.maker.made import Made
from app.arrange.maker.registry import maker_named
from app.catalogue.load import catalogue
from app.model.maker.measure import Value
from app.model.open_area import hole_area
from tests.validation.test_published_sizes import ISO_273


def made(name: str, **measures: Value) -> Made:
    maker = maker_named(name)
    given = {key.replace("_", "-"): value for key, value in measures.items()}
    return maker.make(checked(maker, given), catalogue())


def figures(name: str, **measures: Value) -> dict[str, float]:
    hand = catalogue().allowances["hand"]
    return {f.name: f.value for f in figures_of(made(name, **measures), hand, 10)}


def test_a_wide_grille_is_as_open_as_was_asked() -> None:
    """A field of 480 mm with holes of 4 mm: only those at its rim are missing, a pitch of its width at most."""
    got = figures("grille", outer=500.0, cone=480.0, fixing="glue", hole=4.0, open_area=30.0)
    assert got["pitch"] == pytest.approx(4 * math.sqrt(90.69 / 30), rel=1e-3)
    assert 30 * (1 - got["pitch"] / 240) ** 2 < got["open-area"] < 30 * (1 + got["pitch"] / 240) ** 2


def test_figures_follow_from_the_measures() -> None:
    got = figures("grille", hole=10.0, pitch=17.5)
    many = 1 + 6 + 6 + 6  # in the middle, and at 1, √3 and 2 pitches: 35 mm, and 39 is the most that is inside
    assert got["holes"] == many
    assert got["web"] == pytest.approx(17.5 - 10)
    assert got["web-at-worst"] == pytest.approx(17.5 - 10 - 2 * catalogue().allowances["hand"].position)
    assert got["open-area"] == pytest.approx(100 * many * 10**2 / 88**2)
    assert got["minutes"] == pytest.approx((many + 4) * 10 / 60), "four for the screws"


def test_a_fan_wants_as_much_open_elsewhere_as_its_bore() -> None:
    """Published: a bore of 116 mm has 10,568 mm², as much as 538 holes of 5 mm."""
    wanted = figures("fan")["intake"]
    assert wanted == pytest.approx(10_568, abs=0.5)
    assert wanted / hole_area(5) == pytest.approx(538, abs=0.5)
    assert "outlet" in figures("fan", air="in") and "intake" not in figures("fan", air="in")


@pytest.mark.parametrize("screw", SCREW_HOLES)
def test_screws_of_a_driver_go_through_holes_of_iso_273(screw: str) -> None:
    size, *holes = SCREW_HOLES[screw]
    assert tuple(holes) == tuple(ISO_273[size])
    driver = made("grille", screw=screw, screws=6).hardware["magnet"]
    across = [math.hypot(c.x, c.y) for c in driver.cutouts]
    assert len(across) == 6 and across == pytest.approx([115 / 2] * 6, abs=1e-5)
    assert {getattr(c, "diameter", 0.0) for c in driver.cutouts} == {holes[1]}


def test_a_driver_is_as_wide_as_the_wider_of_rim_and_magnet_all_the_way_down() -> None:
    for magnet, wide in ((70.0, 125.0), (140.0, 140.0)):
        driver = made("grille", magnet=magnet, depth=50.0).hardware["magnet"]
        assert (getattr(driver.body, "diameter", 0.0), driver.body.depth) == (wide, 50.0)


def test_a_glued_driver_brings_no_hole_of_its_own_and_an_opening_is_as_wide_as_the_cone() -> None:
    assert made("grille", fixing="glue").hardware["magnet"].cutouts == ()
    opened = made("grille", fixing="glue", holes="opening", cone=92.0)
    (hole,) = opened.hardware["magnet"].cutouts
    assert getattr(hole, "diameter", 0.0) == 92.0 and opened.patterns == {}
    flange = opened.hardware["magnet"].flange
    assert flange is not None and getattr(flange, "diameter", 0.0) == 92.0 + 2 * 8


@pytest.mark.parametrize("frame", ["40", "60", "80", "92", "120", "140"])
def test_a_guard_lies_within_the_bore_and_the_fan_keeps_its_screws(frame: str) -> None:
    got = made("fan", frame=frame, holes="staggered-60")
    part = catalogue().parts[f"fan-{frame}"]
    (pattern,) = got.patterns.values()
    assert pattern.boundary.width == part.cutouts[0].smallest
    fan = got.hardware["fan"]
    assert len(fan.cutouts) == 4 and fan.body.depth == part.body.depth
    assert made("fan", frame=frame).pieces[0].part == part.id, "with one opening it is the catalogue's"
    assert made("fan", frame=frame, thickness=part.body.depth + 1).hardware["fan"].body.depth == part.body.depth + 1
