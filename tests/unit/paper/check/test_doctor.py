"""The print doctor: every cause by the arithmetic of papers, and the laws a correction obeys."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.errors import LengthError
from app.model.printing import PrintCorrection, Printing
from app.model.tooling import Paper
from app.paper.check.check_frame import CheckBar, check_frame
from app.paper.check.doctor import Diagnosis, diagnose
from app.paper.check.doctor_causes import settings_for
from app.units import Unit
from tests.unit.drafting.boards import A4, LETTER

INCH = 25.4  # international inch of 1959, exact
READING = 0.25


def bars(paper: Paper = A4, unit: Unit = Unit.MM) -> dict[str, CheckBar]:
    return {bar.name: bar for bar in check_frame(Printing(paper), unit).bars}


def seen(x: float, y: float, paper: Paper = A4, *, names: str = "ABCDEF") -> dict[str, float]:
    """What is measured on a sheet printed x and y times as large."""
    found = {}
    for name, bar in bars(paper).items():
        along = (bar.b[0] - bar.a[0], bar.b[1] - bar.a[1])
        found[name] = math.hypot(x * along[0], y * along[1])
    return {name: found[name] for name in names}


def judged(
    x: float, y: float, paper: Paper = A4, *, correction: PrintCorrection | None = None, checked: bool = False
) -> Diagnosis:
    printing = Printing(paper, correction=correction or PrintCorrection())
    return diagnose(tuple(bars(paper).values()), seen(x, y, paper), printing, settings_checked=checked)


# Ratios by the sizes of ISO 216 (A4 210 × 297 mm) and ASME Y14.1 (size A 215.9 × 279.4 mm).
@pytest.mark.parametrize(
    ("paper", "ratio", "cause"),
    [
        (A4, 279.4 / 297, "a4-onto-letter"),  # 94.07 %
        (LETTER, 210 / 215.9, "letter-onto-a4"),  # 97.27 %
        (A4, (210 - 2 * 4) / 210, "fit-to-page"),  # 4 mm left white: laser printers
        (LETTER, (215.9 - 2 * 4.23) / 215.9, "fit-to-page"),  # 1/6 in
        (A4, (279.4 - 2 * 6.35) / 297, "a4-fitted-into-letter"),  # 1/4 in
        (LETTER, (210 - 2 * 6.35) / 215.9, "letter-fitted-into-a4"),
        (A4, (210 + 2 * 2) / 210, "borderless"),  # 2 mm over each side
        (A4, 72 / 96, "dots-72-96"),
        (LETTER, 96 / 72, "dots-96-72"),
        (A4, 1 / math.sqrt(2), "two-a-sheet"),  # ISO 216: half an A sheet is the next size down
        (LETTER, 139.7 / 215.9, "two-a-sheet"),
        (A4, 0.5, "four-a-sheet"),
        (A4, 0.87, "unknown"),
        (A4, 1.06, "unknown"),
    ],
)
def test_a_wrong_setting_is_named_and_not_corrected(paper: Paper, ratio: float, cause: str) -> None:
    found = judged(ratio, ratio, paper)
    assert found.cause == cause
    assert not found.correctable and found.correction is None and not found.true
    assert re.search("[Nn]o correction is offered|tick the box", found.words)
    assert len(found.advice) > 20
    assert (found.ratio_x, found.ratio_y) == pytest.approx((ratio, ratio))


@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda p: p.id)
@pytest.mark.parametrize("factor", [0.998, 1.002])
def test_every_setting_is_found_in_spite_of_a_printers_own_error(paper: Paper, factor: float) -> None:
    for setting in settings_for(paper):
        x, y = (sum(at) / 2 * factor for at in (setting.x, setting.y))
        if max(abs(x - 1), abs(y - 1)) > 0.01:
            found = judged(x, y, paper)
            assert setting.name in (*found.others, found.title[:1].lower() + found.title[1:], found.title), setting
            assert found.correction is None


@pytest.mark.parametrize("paper", list(catalogue().papers.values()), ids=lambda p: p.id)
def test_every_setting_has_a_range_on_both_axes_a_source_and_advice(paper: Paper) -> None:
    found = settings_for(paper)
    assert len({s.id for s in found}) == len(found) >= 8
    for s in found:
        for low, high in (s.x, s.y):
            assert 0.3 < low <= high < 3.0
        assert not s.even or s.x == s.y
        assert s.source and "again" in s.advice


def test_what_else_it_may_be_is_said() -> None:
    # A printer that leaves 6.2 mm white shrinks A4 to (210 − 12.4) / 210 = 94.1 % as well.
    found = judged(279.4 / 297, 279.4 / 297)
    assert any("fit to page" in other for other in found.others)
    # 97.27 % is within what a printer may be corrected by, so the printer itself is among the rest.
    assert any("printer itself" in other for other in judged(210 / 215.9, 210 / 215.9, LETTER).others)


def test_inside_three_per_cent_only_the_builder_can_clear_a_setting() -> None:
    ratio = 210 / 215.9
    assert judged(ratio, ratio, LETTER).correction is None
    cleared = judged(ratio, ratio, LETTER, checked=True)
    assert cleared.cause == "printer" and cleared.correction is not None
    assert cleared.correction.x == pytest.approx(1 / ratio, abs=1e-12)


def test_beyond_three_per_cent_nobody_can() -> None:
    for ratio in (0.9699, 1.0301, 279.4 / 297):
        assert judged(ratio, ratio, checked=True).correction is None
        assert judged(ratio, 1.0, checked=True).correction is None


@pytest.mark.parametrize(("x", "y"), [(0.996, 1.002), (1.0, 0.994), (0.98, 1.0), (1.009, 1.0085)])
def test_a_printers_own_error_is_corrected_along_each_axis(x: float, y: float) -> None:
    found = judged(x, y)
    assert found.cause == "printer" and found.correctable
    assert found.correction == PrintCorrection(1 / x if x != 1 else 1.0, 1 / y if y != 1 else 1.0) or (
        found.correction is not None
        and (found.correction.x, found.correction.y) == pytest.approx((1 / x, 1 / y), abs=1e-12)
    )


@given(st.floats(-READING, READING), st.floats(-READING, READING))
def test_what_a_rule_cannot_tell_from_true_is_left_alone(dx: float, dy: float) -> None:
    a = bars()
    measured = {"A": a["A"].length + dx, "C": a["C"].length + dy}
    found = diagnose(tuple(a.values()), measured, Printing(A4))
    assert found.true and found.correction is None and found.others == ()


own = st.floats(0.972, 1.029)


@given(own, own)
def test_a_correction_undoes_the_error_it_was_made_for(x: float, y: float) -> None:
    found = judged(x, y, checked=True)
    lengths = (bars()["A"].length, bars()["C"].length)
    assume(max(abs(x - 1) * lengths[0], abs(y - 1) * lengths[1]) > READING + 1e-6)
    assert found.correction is not None
    for factor, error, length in zip((found.correction.x, found.correction.y), (x, y), lengths, strict=True):
        if abs(error - 1) * length > READING + 1e-6:
            assert factor * error == pytest.approx(1.0, abs=1e-9)
        else:
            assert factor == 1.0


@given(st.floats(0.985, 1.015), st.floats(0.985, 1.015), st.floats(0.99, 1.01), st.floats(0.99, 1.01))
def test_corrections_compose(x: float, y: float, cx: float, cy: float) -> None:
    """A sheet printed with a correction in force, by a printer with another error: the next one is true."""
    before = PrintCorrection(cx, cy, "study")
    found = judged(cx * x, cy * y, correction=before, checked=True)
    if found.correction is None:
        assert found.cause in {"true", "too-far"}
        return
    assert found.correction.printer == "study"
    for factor, error, length in zip((found.correction.x, found.correction.y), (x, y), (190.0, 250.0), strict=True):
        # As good as the reading: an axis that measures true keeps its factor.
        assert abs(factor * error - 1) * length <= READING + 1e-6


@given(st.floats(0.3, 3.0), st.floats(0.3, 3.0), st.booleans())
def test_every_possible_print_gets_words_and_never_a_correction_beyond_three_per_cent(
    x: float, y: float, checked: bool
) -> None:
    found = judged(x, y, checked=checked)
    assert found.title and found.words and found.advice
    assert found.correctable == (found.correction is not None)
    if max(abs(x - 1), abs(y - 1)) > 0.03 + 1e-6:
        assert found.correction is None


def test_a_correction_on_top_of_another_may_be_too_much() -> None:
    found = judged(0.98, 0.98, correction=PrintCorrection(1.02, 1.02), checked=True)  # 1.02 / 0.98 = 1.041
    assert found.cause == "too-far" and found.correction is None


def test_the_error_at_the_farthest_hole_is_what_the_ratios_make_of_its_distance() -> None:
    a = tuple(bars().values())
    found = diagnose(a, seen(0.99, 1.02, names="AC"), Printing(A4), reach=(100.0, 50.0))
    assert found.error == pytest.approx(math.hypot(1.0, 1.0))  # 1 % of 100 mm and 2 % of 50 mm
    assert found.per_100 == pytest.approx((-1.0, 2.0))
    assert diagnose(a, seen(1, 1), Printing(A4), reach=(0.0, 0.0)).error == pytest.approx(0.0)
    assert judged(0.99, 1.0).error is None


def test_uneven_sides_are_skew_and_count_at_their_worst() -> None:
    a = bars()
    measured = {"A": a["A"].length, "B": a["B"].length + 0.8, "C": a["C"].length, "D": a["D"].length}
    found = diagnose(tuple(a.values()), measured, Printing(A4), reach=(190.0, 0.0))
    assert found.cause == "skew" and found.skew == pytest.approx(0.8) and found.correction is None
    assert found.error == pytest.approx(0.8)


def test_a_sheet_out_of_square_is_told_by_its_diagonals() -> None:
    """Sheared by g, the upper edge moves h·g to the right: diagonals √((w ± hg)² + h²)."""
    a, g = bars(), 0.004
    w, h = a["A"].length, a["C"].length
    measured = {"A": w, "C": h * math.hypot(1, g), "E": math.hypot(w + h * g, h), "F": math.hypot(w - h * g, h)}
    found = diagnose(tuple(a.values()), measured, Printing(A4), reach=(0.0, 100.0))
    assert found.cause == "skew"
    assert found.out_of_square == pytest.approx(100 * g, rel=1e-4)
    assert found.error == pytest.approx(100 * g, rel=1e-3)


def test_slips_of_the_hand_are_told_from_prints() -> None:
    a = tuple(bars().values())
    true = seen(1, 1)
    cases = {
        "typed-inches": {n: v / INCH for n, v in true.items()},
        "typed-mm": {n: v * INCH for n, v in true.items()},
        "exchanged": {"A": true["C"], "C": true["A"]},
        "misread": true | {"B": true["B"] - 10.0},
    }
    for cause, measured in cases.items():
        found = diagnose(a, measured, Printing(A4), reach=(50.0, 50.0))
        assert (found.cause, found.correction, found.error) == (cause, None, None)
    swapped = true | {"E": true["E"] + 40.0, "F": true["F"] + 40.0}
    assert diagnose(a, swapped, Printing(A4)).cause == "misread"


@pytest.mark.parametrize(
    ("measured", "said"),
    [
        ({"A": 0.0, "C": 250.0}, "above 0 is needed"),
        ({"A": -190.0, "C": 250.0}, "above 0 is needed"),
        ({"A": math.nan, "C": 250.0}, "above 0 is needed"),
        ({"A": math.inf, "C": 250.0}, "above 0 is needed"),
        ({"A": 19.0, "C": 25.0}, "centimetres"),
        ({"A": 1900.0, "C": 250.0}, "point may be missing"),
        ({"A": 190 / INCH, "C": 250.0}, "inches"),
        ({"A": 190.0}, "Nothing was measured along y"),
        ({"C": 250.0}, "Nothing was measured along x"),
        ({}, "Nothing was measured along x"),
        ({"A": 190.0, "C": 250.0, "K": 1.0}, "no bar K"),
    ],
)
def test_lengths_no_print_can_have_are_refused_with_what_to_do(measured: dict[str, float], said: str) -> None:
    with pytest.raises(LengthError, match=said):
        diagnose(tuple(bars().values()), measured, Printing(A4))


@pytest.mark.parametrize("reach", [(-1.0, 0.0), (math.nan, 0.0), (0.0, math.inf)])
def test_a_reach_that_cannot_be_is_refused(reach: tuple[float, float]) -> None:
    with pytest.raises(LengthError, match="finite and 0 or more"):
        diagnose(tuple(bars().values()), seen(1, 1), Printing(A4), reach=reach)


def test_a_margin_that_is_known_narrows_the_causes() -> None:
    ratio = (210 - 2 * 4) / 210
    a = tuple(bars().values())
    known = diagnose(a, seen(ratio, ratio), Printing(A4), edges=(4.0, 4.0))
    other = diagnose(a, seen(ratio, ratio), Printing(A4), edges=(6.35, 6.35))
    assert known.cause == "fit-to-page"
    assert other.cause == "unknown"


def test_words_follow_the_unit() -> None:
    a = tuple(bars().values())
    found = diagnose(a, seen(1, 1), Printing(A4), reach=(10.0, 10.0), unit=Unit.INCH)
    assert '0.010"' in found.words and " mm" not in found.words
