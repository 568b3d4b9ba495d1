"""The tightest of two kinds is that with the least left over, not the nearest; kinds on two faces keep their names."""

from __future__ import annotations

from app.fit.report.report import check
from app.model.material import Layer, MaterialLimit
from tests.unit.fit.boards import CATALOGUE, at, board, button, material, near, plate


def test_what_asks_for_more_is_tightest_though_it_is_further_off() -> None:
    """As much web as the wider hole is wide: 30 mm holes 31 mm apart have 1 mm left over, 10 mm holes 12 mm apart 2."""
    asking = material(web_stop=MaterialLimit(1), web_caution=MaterialLimit(per_diameter=1))
    small = [at(20 + 22 * k, 30, button(10, flange=12, body=9), name=f"s{k}") for k in range(4)]
    wide = [at(300 + 61 * k, 200, button(30), name=f"w{k}") for k in range(2)]
    report = check(board(*small, *wide, layers=(Layer(asking, 18),)), CATALOGUE)
    (holes,) = [t for t in report.tightest() if (t.what, t.other) == ("hole", "hole")]
    assert holes.tried == 6 * 5 / 2
    assert [n.subjects for n in holes.nearest] == [("w0", "w1"), ("s0", "s1"), ("s1", "s2")]
    assert [(n.measured, n.required) for n in holes.nearest] == [(near(31), near(30)), *[(near(12), near(10))] * 2]


def test_the_tightest_are_of_three_different_pairs_however_many_screws_a_part_has() -> None:
    holed = [at(x, y, name=f"b{k}") for k, (x, y) in enumerate(((300, 120), (60, 60), (540, 60)))]
    screwed = at(300, 200, button(28, fixing=plate("under", 90, 60, (-40, -25), (40, -25), (40, 25))), name="p")
    report = check(board(*holed, screwed), CATALOGUE)
    (found,) = [t for t in report.tightest() if (t.what, t.other) == ("hole", "screw")]
    assert found.tried == 3 * 3
    assert sorted(n.subjects for n in found.nearest) == [("b0", "p"), ("b1", "p"), ("b2", "p")]


def test_plates_on_top_and_below_are_two_kinds() -> None:
    above = at(150, 150, button(24, flange=0, fixing=plate("top")), name="t")
    below = at(400, 150, button(24, flange=0, fixing=plate("under")), name="u")
    found = check(board(above, below), CATALOGUE).tightest()
    assert len({(t.what, t.other) for t in found}) == len(found)
    assert {("plate on top", "edge"), ("plate", "edge")} <= {(t.what, t.other) for t in found}
