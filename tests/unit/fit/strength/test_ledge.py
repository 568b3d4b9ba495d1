"""Ledges by themselves and on a board; expected numbers are formulas, strengths are rows of the catalogue."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.fit.features.layout import layout_of
from app.fit.finding import FindingOf
from app.fit.judging.counterbore_check import propose
from app.fit.report.report import check
from app.fit.rules import ledge as rule
from app.fit.strength.ledge import LedgeStrength, ledge_needed, ledge_strength, remaining, shares_of, stack_strength
from app.fit.words.messages import message, remedy
from app.fit.words.strength import factor_words
from app.model.material import Layer
from app.model.resolved import Recess, ResolvedBoard
from app.units import Unit
from app.values import replace
from tests.unit.fit.boards import CATALOGUE, at, board, button, near, nut

REAL = catalogue()
MDF = REAL.materials["mdf"]
ACRYLIC = REAL.materials["acrylic"]
NAMES = sorted(REAL.materials)
SLAP = REAL.rule("slap-load")
SLENDER = REAL.rule("plate-slender")


def of(layer: Layer, hole: float, bore: float, ledge: float, load: float = SLAP) -> LedgeStrength:
    """The strength of a ledge that there is."""
    strength = ledge_strength(layer, hole, bore, ledge, load, SLENDER)
    assert strength is not None
    return strength


def test_the_worked_ledge_of_mdf() -> None:
    # Roark, 7th ed., table 11.2, case 1e, computed from the plate equation: 40 mm counterbore, 30 mm hole, 5 mm left,
    # 100 N, ν = 0.3: σ = 0.9700884784451181 MPa. Bending strength 20 MPa of an 18 mm board: EN 622-5, table 3.
    strength = of(Layer(MDF, 18), 15, 20, 5, 100)
    assert strength.stress == pytest.approx(0.9700884784451181, rel=1e-9)
    assert strength.bending_factor == pytest.approx(20 / 0.9700884784451181, rel=1e-9)
    assert strength.shear == pytest.approx(100 / (math.pi * 30 * 5), rel=1e-12)
    assert strength.shear_factor == pytest.approx(MDF.strengths[0].shear / strength.shear, rel=1e-12)
    # 5 mm wide and 5 mm thick: too short for a plate, so shear alone counts.
    assert (strength.in_plate_range, strength.governed_by) == (False, "shear")
    assert strength.factor == strength.shear_factor


def test_a_wide_thin_ledge_bends_first() -> None:
    strength = of(Layer(MDF, 18), 10, 60, 5)
    assert (strength.in_plate_range, strength.governed_by) == (True, "bending")
    assert strength.factor == strength.bending_factor < strength.shear_factor


@pytest.mark.parametrize(("wide", "plate"), [(20, True), (19.999, False)])
def test_plate_theory_starts_at_four_thicknesses(wide: float, plate: bool) -> None:
    assert of(Layer(MDF, 18), 10, 10 + wide, 5).in_plate_range is plate


def test_the_board_s_own_thickness_says_how_strong_its_material_is() -> None:
    """EN 622-5: 22 MPa to 12 mm, 20 to 19 mm, 18 to 30 mm, whatever is left of it."""
    assert [of(Layer(MDF, t), 12, 20, 6).bending for t in (12, 18, 25)] == [22, 20, 18]


def test_what_is_not_known_or_not_there_has_no_strength() -> None:
    unknown = replace(MDF, strengths=())
    assert ledge_strength(Layer(unknown, 18), 15, 20, 5, SLAP) is None
    assert ledge_strength(Layer(MDF, 18), 20, 20, 5, SLAP) is None
    assert ledge_strength(Layer(MDF, 18), 15, 20, 0, SLAP) is None
    assert stack_strength((Layer(ACRYLIC, 3), Layer(unknown, 15)), 15, 20, 8, SLAP, SLENDER) is None


lengths = st.floats(1, 60)


@given(st.sampled_from(NAMES), lengths, st.floats(1.01, 20), lengths, st.floats(1, 3))
def test_a_thicker_ledge_is_never_weaker(name: str, hole: float, wider: float, ledge: float, more: float) -> None:
    layer = Layer(REAL.materials[name], 60)
    thin, thick = (of(layer, hole, hole * wider, t) for t in (ledge, ledge * more))
    assert thick.factor >= thin.factor * (1 - 1e-9)
    assert thick.bending_factor >= thin.bending_factor * (1 - 1e-9)
    assert thick.shear_factor >= thin.shear_factor * (1 - 1e-9)


@given(st.sampled_from(NAMES), lengths, st.floats(1.01, 20), lengths, st.floats(1, 3))
def test_a_larger_bore_is_never_stronger(name: str, hole: float, wider: float, ledge: float, more: float) -> None:
    layer = Layer(REAL.materials[name], 60)
    narrow, wide = (of(layer, hole, hole * w, ledge) for w in (wider, wider * more))
    assert wide.factor <= narrow.factor * (1 + 1e-9)
    assert wide.bending_factor <= narrow.bending_factor * (1 + 1e-9)
    assert wide.shear_factor == pytest.approx(narrow.shear_factor, rel=1e-12)


@given(st.sampled_from(NAMES), lengths, st.floats(1.01, 20), lengths, st.floats(1, 10))
def test_twice_the_load_is_half_the_factor(name: str, hole: float, wider: float, ledge: float, times: float) -> None:
    layer = Layer(REAL.materials[name], 60)
    one, more = (of(layer, hole, hole * wider, ledge, load) for load in (SLAP, SLAP * times))
    assert more.factor * times == pytest.approx(one.factor, rel=1e-9)


@given(st.floats(1, 40), st.floats(1, 40), st.floats(0.01, 0.99))
def test_what_stays_of_the_layers_is_the_ledge(top: float, under: float, share: float) -> None:
    ledge = share * (top + under)
    kept = remaining((Layer(ACRYLIC, top), Layer(MDF, under)), ledge)
    assert sum(left for _, left in kept) == pytest.approx(ledge, rel=1e-9)
    assert all(0 < left <= layer.thickness for layer, left in kept)


@given(st.floats(12, 60), st.floats(8, 40))
def test_depth_and_ledge_are_the_thickness(thickness: float, thread: float) -> None:
    """Also with the counterbore that is proposed for a nut, rounded up to a step."""
    checked = board(at(200, 150, button(fixing=nut(thread, height=3, width=20))), layers=(Layer(MDF, thickness),))
    layout = layout_of(checked, REAL)
    proposal = propose(layout, checked.placements[0].part)
    assume(proposal.depth is not None)
    assert proposal.depth is not None
    assert proposal.depth + proposal.ledge == pytest.approx(thickness, abs=1e-9)
    assert sum(t for _, t in remaining(checked.layers, proposal.ledge)) == pytest.approx(proposal.ledge, abs=1e-9)


def test_layers_share_the_load_by_their_stiffness_and_the_weakest_counts() -> None:
    # Et³/12(1−ν²) of 3 mm acrylic and of the 6 mm that stay of 15 mm MDF.
    layers = (Layer(ACRYLIC, 3), Layer(MDF, 15))
    a, m = 2760 * 27 / (1 - 0.35**2), 2200 * 216 / (1 - 0.3**2)
    kept = remaining(layers, 9)
    assert shares_of(kept) == [near(a / (a + m)), near(m / (a + m))]
    both = stack_strength(layers, 12, 20, 9, SLAP, SLENDER)
    alone = of(Layer(MDF, 15), 12, 20, 6, SLAP * m / (a + m))
    assert both == alone


@pytest.mark.parametrize(("hole", "bore", "factor"), [(10, 60, 3), (6, 12, 12), (12, 100, 5)])
def test_the_ledge_that_is_needed_is_the_thinnest_that_bears(hole: float, bore: float, factor: float) -> None:
    layers = (Layer(MDF, 18),)
    needed = ledge_needed(layers, hole, bore, SLAP, SLENDER, factor)
    assert needed is not None
    enough, less = (stack_strength(layers, hole, bore, needed + d, SLAP, SLENDER) for d in (0.001, -0.001))
    assert enough and less and less.factor < factor <= enough.factor
    assert ledge_needed(layers, hole, bore, SLAP * 1000, SLENDER, factor) is None


# -- the rule


def judged(checked: ResolvedBoard) -> list[FindingOf[rule.LedgeDetail]]:
    """What the rule finds with the catalogue that ships."""
    return rule.find(layout_of(checked, REAL))


def bored(hole: float, bore: float, ledge: float, *, name: str = "mdf", thickness: float = 18) -> ResolvedBoard:
    """A board of the real material with one part, counterbored to leave a ledge."""
    part = button(hole, flange=bore + 10, fixing=nut(40, width=hole + 4))
    placed = at(200, 150, part, bore=(bore, thickness - ledge))
    return board(placed, layers=(Layer(REAL.materials[name], thickness),))


def test_an_everyday_ledge_is_no_finding() -> None:
    assert judged(bored(28, 45, 8)) == []
    assert judged(bored(24, 35, 5)) == []


def test_a_wide_cut_that_leaves_little_is_a_caution_below_the_factor_and_a_stop_below_one() -> None:
    wide = of(Layer(MDF, 18), 10, 60, 5)
    assert 1 < wide.factor < 3
    (caution,) = judged(bored(20, 120, 5))
    assert (caution.severity, caution.subjects, caution.measured) == ("caution", ("a",), near(5))
    assert caution.detail.factor == pytest.approx(wide.factor, rel=1e-9)
    needed = ledge_needed((Layer(MDF, 18),), 10, 60, SLAP, SLENDER, 3)
    assert needed and caution.required == near(needed)
    assert judged(bored(20, 120, needed + 0.001)) == []
    thin = of(Layer(REAL.materials["aluminium"], 6), 5, 100, 1)
    assert thin.factor < 1
    (stop,) = judged(bored(10, 200, 1, name="aluminium", thickness=6))
    assert stop.severity == "stop"
    assert stop.detail.factor == pytest.approx(thin.factor, rel=1e-9)


def test_a_ledge_below_its_floor_is_left_to_the_rule_that_stops_it() -> None:
    assert judged(bored(20, 120, 4.99)) == []


def test_a_recess_counts_as_the_circle_through_its_corners() -> None:
    part = button(24, flange=30)
    placed = replace(at(200, 150, part), recess=Recess(120, 90, 6, 13))
    (finding,) = judged(board(placed, layers=(Layer(MDF, 18),)))
    assert finding.detail.cut == "recess"
    assert finding.detail.factor == pytest.approx(of(Layer(MDF, 18), 12, 75, 5).factor, rel=1e-9)


def test_a_ledge_too_short_for_a_plate_says_so() -> None:
    short = bored(6, 12, 5, name="mdf")
    layout = layout_of(
        short, replace(REAL, rules={**REAL.rules, "slap-load": replace(REAL.rules["slap-load"], value=900)})
    )
    (finding,) = rule.find(layout)
    text = message(finding, short, Unit.MM)
    assert "too short to bend as a plate: only shear is checked" in text
    assert finding.detail.governed_by == "shear"


@pytest.mark.parametrize("unit", list(Unit))
def test_every_sentence_says_that_it_is_an_estimate_and_has_no_other_unit(unit: Unit) -> None:
    checked = bored(20, 120, 5)
    (finding,) = judged(checked)
    text, mend = message(finding, checked, unit), remedy(finding, check(checked, CATALOGUE), unit)
    assert text.endswith("An estimate for choosing a depth, not a structural approval.")
    assert factor_words(finding.detail.factor) in text and "250 N" in text and mend.endswith(".")
    assert {Unit.MM: '"', Unit.INCH: " mm"}[unit] not in text + mend


def test_a_factor_is_never_rounded_up() -> None:
    assert [factor_words(f) for f in (2.999, 3.0, 0.96, 12.34)] == ["2.9 times", "3 times", "0.9 times", "12.3 times"]


def test_of_two_layers_every_ledge_from_the_one_needed_on_bears_enough() -> None:
    """A little of the lower layer is stiff enough to take the load and too thin to bear it: 5.4 mm bear less than 2.2.

    So the thinnest that bears is not the one needed.
    """
    dips = 0
    for top, below, hole, bore in ((3.0, 18.0, 12.0, 51.0), (3.0, 15.0, 14.0, 40.0), (2.0, 16.0, 12.0, 50.0)):
        layers = (Layer(ACRYLIC, top), Layer(MDF, below))

        def factor(ledge: float, layers: tuple[Layer, ...] = layers, hole: float = hole, bore: float = bore) -> float:
            strength = stack_strength(layers, hole, bore, ledge, SLAP, SLENDER)
            return strength.factor if strength else 0.0

        for wanted in (1.0, 2.0, 3.0):
            ledges = [k / 20 for k in range(1, int(20 * (top + below)) + 1)]
            low = [ledge for ledge in ledges if factor(ledge) < wanted]
            needed = ledge_needed(layers, hole, bore, SLAP, SLENDER, wanted)
            assert needed is not None and all(ledge <= needed for ledge in low)
            assert factor(needed) >= wanted > factor(needed - 0.001)
            dips += any(factor(ledge) >= wanted for ledge in ledges if ledge < max(low))
    assert dips, "none of them bears more when it is thinner"
