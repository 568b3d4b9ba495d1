"""What was checked, in words."""

from __future__ import annotations

import pytest

from app.fit.features.features import KINDS, PLACES
from app.fit.report.report import check
from app.fit.report.tightest import Nearest
from app.geometry.outline import Corner, Outline
from app.model.tooling import Allowance
from app.service.checks.judged import MarginFigures, figures_of, kind_words, none_near, rests_on, total_of
from app.units import INCH, Unit
from app.values import replace
from tests.unit.fit.boards import CATALOGUE, SOURCE, at, board, stick


def test_every_kind_and_place_has_words_for_one_and_for_many() -> None:
    called = [kind_words(kind) for kind in (*KINDS, *PLACES)]
    assert len(set(called)) == len(KINDS) + len(PLACES)
    assert [kind_words(k, many=True) for k in ("hole", "body", "recess", "screw head on top", "wire room", "edge")] == [
        "holes",
        "bodies",
        "recesses",
        "screw heads on top",
        "wires",
        "the edge",
    ]


@pytest.mark.parametrize(
    ("measured", "required", "unit", "said"),
    [
        (11.0, 5.0, Unit.MM, MarginFigures("11 mm", "5 mm", "6 mm", short=False)),
        (-6.0, 12.0, Unit.MM, MarginFigures("−6 mm", "12 mm", "18 mm", short=True)),
        (2.99, 3.0, Unit.MM, MarginFigures("2.99 mm", "3 mm", "a shade", short=True)),
        (2.9999, 3.0, Unit.MM, MarginFigures("3 mm", "3 mm", "0 mm", short=False)),  # no less than can be said
        (INCH / 2, INCH / 4, Unit.INCH, MarginFigures('1/2"', '1/4"', '1/4"', short=False)),
        # Off by less than the rules look at (a thousandth of a nanometre): just enough, and never "−0".
        (3.0 - 1e-12, 3.0, Unit.MM, MarginFigures("3 mm", "3 mm", "0 mm", short=False)),
    ],
)
def test_figures_tell_what_there_is_from_what_is_needed(
    measured: float, required: float, unit: Unit, said: MarginFigures
) -> None:
    assert figures_of(Nearest(("a",), measured, required), unit) == said


def test_where_there_is_no_figure_it_says_why() -> None:
    corner = Outline(tuple(Corner(x, y) for x, y in ((480, 220), (580, 220), (580, 280), (480, 280))))
    apart = board(at(30, 100), at(300, 150, stick(), name="s"), at(570, 30, name="b"), openings=(corner,))
    found = {(t.what, t.other): t for t in check(apart, CATALOGUE).tightest()}
    # A knob that swings higher than a flange of 4 mm stands has nothing to meet.
    assert none_near(found["flange", "lever"]) == "all clear by height"
    assert found["flange", "lever"].nearest == ()
    # Each part is nearer to the left, the front or the back edge than to the opening at the back right.
    assert found["hole", "opening"].nearest == () and found["hole", "opening"].tried == 3
    assert none_near(found["hole", "opening"]) == "each is nearer another edge"
    assert total_of(tuple(found.values())) == sum(t.tried for t in found.values())


def test_what_fits_rests_on_says_how_far_off_work_may_end_up() -> None:
    sloppy = Allowance("hand", "Hand drill", 1.0, 0.5, SOURCE)
    said = rests_on(board(allowance=sloppy), Unit.MM)
    assert "each hole up to 1 mm out of place" in said and "each edge up to 0.5 mm off" in said
    exact = rests_on(board(allowance=replace(sloppy, position=0.0, edge=0.0)), Unit.MM)
    assert "each hole where it is drawn" in exact and "each edge where it is drawn" in exact
