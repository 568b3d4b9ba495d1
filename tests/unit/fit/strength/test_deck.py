"""The whole deck under a leaning hand; expected numbers are formulas, strengths are rows of the catalogue."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.fit.features.layout import layout_of
from app.fit.finding import FindingOf
from app.fit.report.groups import grouped
from app.fit.report.report import check
from app.fit.rules import deck_strength as rule
from app.fit.strength.deck import Voids, deck_strength, thickness_needed
from app.fit.strength.ledge import stack_strength
from app.fit.strength.plates import circle_centre_load, rectangle_centre_load
from app.fit.words.figures import figures
from app.fit.words.messages import message, remedy
from app.geometry.outline import Outline, rectangle_outline
from app.geometry.shapes import rectangle
from app.model.board import EdgeFeature
from app.model.material import Layer
from app.model.resolved import Placed, ResolvedBoard
from app.units import Unit
from app.values import replace
from tests.boards.round_boards import ROUND
from tests.unit.fit.boards import CATALOGUE, at, board, button, near

REAL = catalogue()
MDF = REAL.materials["mdf"]
ACRYLIC = REAL.materials["acrylic"]


def test_the_worked_panel_of_mdf() -> None:
    # Roark, 7th ed., table 11.4, case 1b: 100 N on 10 mm radius, 600 × 300 × 18 mm, E 2200 MPa (EN 622-5): 0.12661 mm,
    # 0.70625 MPa; two thirds of the section left raises both by half.
    whole = deck_strength((Layer(MDF, 18),), 600, 300, 1.0, 100, 10)
    assert whole and whole.linear
    assert whole.deflection == pytest.approx(0.12661335578002245, rel=1e-9)
    assert whole.stress == pytest.approx(0.7062499242884139, rel=1e-9)
    assert whole.factor == pytest.approx(20 / 0.7062499242884139, rel=1e-9)
    holed = deck_strength((Layer(MDF, 18),), 600, 300, 2 / 3, 100, 10)
    assert holed and holed.factor == pytest.approx(whole.factor * 2 / 3, rel=1e-9)


def test_acrylic_beyond_linear_theory_says_so() -> None:
    # 200 × 200 × 3 mm under 50 N: with E 3200 MPa y = 2.9329 mm, about its thickness; so with the catalogue's 2760.
    panel = deck_strength((Layer(ACRYLIC, 3),), 200, 200, 1.0, 50, 5)
    assert panel and panel.deflection == pytest.approx(2.9328703703703702 * 3200 / 2760, rel=1e-9)
    assert not panel.linear
    thick = deck_strength((Layer(ACRYLIC, 6),), 200, 200, 1.0, 50, 5)
    assert thick and thick.linear


spans = st.floats(100, 1500)


@given(st.sampled_from(sorted(REAL.materials)), spans, st.floats(0.2, 1), st.floats(0.1, 1), st.floats(1, 2))
def test_a_thicker_deck_is_never_weaker_and_holes_never_help(
    name: str, long: float, share: float, net: float, more: float
) -> None:
    layers = (Layer(REAL.materials[name], 12),)
    thin = deck_strength(layers, long, long * share, net, 250, 15)
    thick = deck_strength(layers, long, long * share, net, 250, 15, scale=more)
    whole = deck_strength(layers, long, long * share, 1.0, 250, 15)
    assert thin and thick and whole
    assert thick.factor >= thin.factor * (1 - 1e-9) and thick.deflection <= thin.deflection * (1 + 1e-9)
    assert thin.factor == pytest.approx(whole.factor * net, rel=1e-9)


def test_the_thickness_needed_is_the_thinnest_that_bears() -> None:
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 6))
    needed = thickness_needed(layers, 600, 250, 0.5, 250, 15, 3.0)
    assert needed is not None
    enough, less = (deck_strength(layers, 600, 250, 0.5, 250, 15, scale=needed / 9 + d) for d in (0.001, -0.001))
    assert enough and less and less.factor < 3 <= enough.factor
    assert thickness_needed(layers, 600, 250, 1e-9, 250, 15, 3.0) is None


def test_what_is_not_known_has_no_strength() -> None:
    assert deck_strength((Layer(replace(MDF, strengths=()), 18),), 600, 300, 1.0, 250, 15) is None
    assert deck_strength((Layer(MDF, 18),), 600, 300, 0.0, 250, 15) is None
    assert deck_strength((Layer(MDF, 1e-200),), 600, 300, 1.0, 250, 15) is None


def test_a_layer_of_nothing_bears_nothing() -> None:
    bare = deck_strength((Layer(MDF, 18),), 600, 300, 1.0, 250, 15)
    assert deck_strength((Layer(MDF, 18), Layer(MDF, 1e-200)), 600, 300, 1.0, 250, 15) == bare
    assert stack_strength((Layer(MDF, 1e-200), Layer(MDF, 18)), 14, 17.5, 5.0, 250, 4) == stack_strength(
        (Layer(MDF, 18),), 14, 17.5, 5.0, 250, 4
    )


# -- the weakest row


def test_a_row_of_holes_takes_their_diameters_and_a_stepped_one_its_chords() -> None:
    # Three holes of 28 mm in a row along x take 84 mm of it; of a fourth, 10 mm off that line, a chord is cut.
    x, y = np.array([100.0, 140, 180, 220]), np.array([50.0, 50, 50, 60])
    half, one = np.full(4, 14.0), np.ones(4)
    along, at_y = Voids(x, y, half, half, one, one).worst_along()
    assert (along, at_y) == (near(84 + 2 * math.sqrt(14**2 - 10**2)), 50)
    across, at_x = Voids(x, y, half, half, one, one).worst_across()
    assert (across, at_x) == (28, 100)


@given(st.lists(st.tuples(st.floats(0, 600), st.floats(0, 300), st.floats(1, 60), st.booleans()), max_size=25))
def test_the_worst_line_is_found_as_by_trying_every_centre(holes: list[tuple[float, float, float, bool]]) -> None:
    x, y, half, circular = (np.array([h[k] for h in holes], np.float64) for k in range(4))
    gaps = Voids(x, y, half, half, circular, np.ones(len(holes)))

    def chord(off: float, hole: tuple[float, float, float, bool]) -> float:
        if abs(off) >= hole[2]:
            return 0.0
        return 2 * (math.sqrt(hole[2] ** 2 - off**2) if hole[3] else hole[2])

    tried = [sum(chord(h[0] - line[0], h) for h in holes) for line in holes]
    assert gaps.worst_across()[0] == pytest.approx(max(tried, default=0.0), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(("n", "least"), [(100, 1 - 1e-9), (200, 1 - 1e-9), (700, 0.99)])
def test_of_many_rows_a_line_within_a_hundredth_of_the_worst_is_found(n: int, least: float) -> None:
    rng = np.random.default_rng(7)
    x, y = rng.uniform(0, 3000, n), rng.uniform(0, 2000, n)
    half, one = rng.uniform(10, 30, n), np.ones(n)
    worst = max(float((2 * np.sqrt(np.maximum(half**2 - (x - line) ** 2, 0))).sum()) for line in x)
    found, at_x = Voids(x, y, half, half, one, one).worst_across()
    assert least * worst <= found <= worst * (1 + 1e-9)
    assert at_x in x


# -- the rule


def judged(checked: ResolvedBoard) -> list[FindingOf[rule.DeckDetail]]:
    """What the rule finds with the catalogue that ships."""
    return rule.find(layout_of(checked, REAL))


def deck(*placed: Placed, name: str = "mdf", thickness: float = 18, **more: object) -> ResolvedBoard:
    """A deck of the real material, 600 × 300 mm."""
    return board(*placed, layers=(Layer(REAL.materials[name], thickness),), **more)  # type: ignore[arg-type]


def row(count: int, hole: float, pitch: float) -> list[Placed]:
    """Buttons in a row from left to right."""
    return [at(60 + pitch * i, 150, button(hole, flange=hole + 4, body=hole - 1), name=f"p{i}") for i in range(count)]


def test_an_ordinary_deck_is_no_finding() -> None:
    assert judged(deck()) == []
    assert judged(deck(*row(8, 28, 60))) == []


def test_a_thin_deck_is_a_caution_about_the_board_itself_with_the_thickness_that_would_do() -> None:
    thin = deck(*row(8, 28, 60), name="mdf", thickness=6)
    (finding,) = judged(thin)
    net = 1 - 8 * 28 / 600
    strength = deck_strength((Layer(MDF, 6),), 600, 300, net, 250, 15)
    assert strength and finding.detail.factor == pytest.approx(strength.factor, rel=1e-9)
    assert (finding.severity, finding.subjects, finding.measured) == ("caution", (), 6)
    assert finding.where == (300, 150)
    assert finding.required and finding.required > 6
    scale = finding.required / 6
    enough = deck_strength((Layer(MDF, 6),), 600, 300, net, 250, 15, scale=scale)
    assert enough and enough.factor == pytest.approx(3, rel=1e-5)


def test_rails_narrow_the_span_and_an_edge_without_one_rests_on_the_box() -> None:
    edges = (EdgeFeature("left", rail=18), EdgeFeature("right", rail=18), EdgeFeature("back", rail=30))
    assert rule._spans(layout_of(deck(edges=edges), REAL)) == (600 - 36, 300 - 30)


def test_a_counterbore_takes_of_the_section_what_it_takes_of_its_modulus() -> None:
    # 18 mm with 9 mm left bears (9/18)² = 1/4 per width: the 12 mm of counterbore beside the hole take 9 mm.
    checked = deck(at(300, 150, button(28, flange=50), bore=(40, 9)))
    net, _ = rule._weakest_row(layout_of(checked, REAL), (600, 300))
    assert net == pytest.approx(1 - (28 + 12 * 0.75) / 300, rel=1e-9)


def test_an_opening_across_the_deck_weakens_it() -> None:
    slot = rectangle_outline(560, 6)
    moved = Outline(tuple(replace(c, x=c.x + 20, y=c.y + 200) for c in slot.corners))
    assert judged(deck()) == []
    (finding,) = judged(deck(openings=(moved,)))
    assert finding.detail.net == near(1 - 560 / 600)


def test_only_a_deck_is_leant_on_and_only_where_its_strength_is_known() -> None:
    thin = deck(thickness=3)
    assert judged(thin)
    assert judged(replace(thin, role="companion")) == []
    assert judged(replace(thin, layers=(Layer(replace(MDF, strengths=()), 3),))) == []


def test_metal_is_judged_on_its_yield_by_a_lower_factor() -> None:
    sheet = deck(name="steel", thickness=3)
    strength = deck_strength(sheet.layers, 600, 300, 1.0, 250, 15)
    assert strength and strength.factor > 1.5
    assert judged(sheet) == []


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize("thickness", [1.0, 3.0, 6.0])
def test_every_sentence_says_that_it_is_an_estimate(unit: Unit, thickness: float) -> None:
    thin = deck(
        *row(8, 28, 60), at(300, 60, button(28, more=(rectangle(10, 10, 40, 0),)), name="z"), thickness=thickness
    )
    (finding,) = judged(thin)
    text, mend = message(finding, thin, unit), remedy(finding, check(thin, CATALOGUE), unit)
    assert text.endswith("An estimate for choosing a depth, not a structural approval.")
    assert "250 N" in text and "3 times is wanted" in text and mend.endswith(".") and "None" not in text + mend
    assert {Unit.MM: '"', Unit.INCH: " mm"}[unit] not in text + mend
    assert "plate theory covers" in text


def test_a_row_that_leaves_nothing_bears_nothing() -> None:
    slot = rectangle_outline(600, 6)
    moved = Outline(tuple(replace(c, y=c.y + 200) for c in slot.corners))
    cut = deck(openings=(moved,))
    (finding,) = judged(cut)
    assert finding.detail.factor == 0
    text, mend = message(finding, cut, Unit.MM), remedy(finding, check(cut, CATALOGUE), Unit.MM)
    assert "leave nothing to bear" in text and mend.startswith("Put fewer holes")
    assert (finding.required, figures(finding, Unit.MM)) == (None, None)  # no thickness helps, so none is asked for
    assert [group.title for group in grouped([finding], cut, Unit.MM)] == ["The board: nothing left to lean on"]


def test_a_row_that_leaves_too_little_for_any_thickness_asks_for_none() -> None:
    # 1 of 600 mm is left: 8 times as thick bears 64 times as much, which is too little.
    slot = rectangle_outline(599, 6)
    moved = Outline(tuple(replace(c, x=c.x + 1, y=c.y + 200) for c in slot.corners))
    cut = deck(openings=(moved,), thickness=3)
    (finding,) = judged(cut)
    assert 0 < 64 * finding.detail.factor < 3
    assert (finding.required, figures(finding, Unit.MM)) == (None, None)
    (group,) = grouped([finding], cut, Unit.MM)
    assert group.title == "The board: deck too weak to lean on at any thickness"


# -- a round deck


def test_a_round_deck_is_a_circle_where_it_is_weaker_than_the_square_round_it() -> None:
    # A thickness between what the square bears three times and what the circle does; ν = 0.3, as in the tables.
    strength = MDF.strength(6)
    assert strength
    bending, modulus = strength.bending, strength.modulus

    def of_square(thickness: float) -> float:
        return bending / rectangle_centre_load(250, 300, 300, thickness, modulus, 15).stress

    def of_circle(thickness: float) -> float:
        return bending / circle_centre_load(250, 150, thickness, modulus, 0.3, 15).stress

    thickness = next(t for t in np.arange(4, 12, 0.05).tolist() if of_square(t) > 3)
    assert of_circle(thickness) < 3 < of_square(thickness)
    square = deck(outline=rectangle_outline(300, 300), thickness=thickness)
    circle = deck(outline=Outline(ROUND["circle"]), thickness=thickness)
    assert judged(square) == []
    (finding,) = judged(circle)
    assert finding.detail.factor == pytest.approx(of_circle(thickness), rel=1e-4)
    assert finding.required and of_circle(finding.required) == pytest.approx(3, rel=1e-4)
    assert judged(deck(outline=Outline(ROUND["circle"]), thickness=finding.required + 0.01)) == []


@pytest.mark.parametrize("name", sorted(ROUND))
def test_no_round_deck_is_taken_for_stronger_than_the_rectangle_round_it(name: str) -> None:
    outline = Outline(ROUND[name])
    x0, y0, x1, y1 = outline.bounds
    (rounded,) = judged(deck(outline=outline, thickness=3))
    (box,) = judged(deck(outline=rectangle_outline(x1 - x0, y1 - y0), thickness=3))
    spans = [[f.detail.long, f.detail.short] for f in (rounded, box)]
    assert spans[0] == pytest.approx(spans[1], rel=1e-9)
    assert rounded.detail.factor <= box.detail.factor
    assert rounded.detail.bent and box.detail.bent
    assert rounded.detail.bent.deflection >= box.detail.bent.deflection


def test_a_deck_with_set_back_corners_is_still_a_rectangle() -> None:
    # 20 mm straight on every side is as little as a square is held to; less, and the side is round.
    for straight, rounded in ((20, False), (19.9, True)):
        setback = ((300 - straight) / 2,) * 2
        set_back = Outline(tuple(replace(c, setback=setback) for c in rectangle_outline(300, 300).corners))
        (finding,) = judged(deck(outline=set_back, thickness=3))
        same = deck_strength((Layer(MDF, 3),), 300, 300, 1.0, 250, 15, rounded=rounded)
        assert same and finding.detail.factor == pytest.approx(same.factor, rel=1e-12)
