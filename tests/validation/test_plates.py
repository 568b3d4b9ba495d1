"""Plates and shear against published coefficients, published worked examples, and examples worked by hand.

Where a check says “computed”, it was worked from the formula named beside it by a separate program.
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from app.fit.strength.annulus import coefficients
from app.fit.strength.plates import (
    Rim,
    annulus_inner_load,
    circle_centre_load,
    circle_even_load,
    ligament,
    load_radius,
    rectangle_centre_load,
    ring_shear,
    stiffness,
)

BOTH: tuple[Rim, ...] = ("supported", "fixed")
RATIOS = (0.1, 0.3, 0.5, 0.7)
# Roark's Formulas for Stress and Strain, 7th ed., table 11.2, cases 2b, 2d, 2e, ν = 0.3, as printed.
PRINTED = [
    ("2b", "deflection", ("0.0575", "0.0314", "0.0103", "0.0015")),
    ("2b", "radial_inner", ("0.3003", "0.2185", "0.1223", "0.0456")),
    ("2d", "radial_inner", ("-0.2459", "-0.0939", "-0.0393", "-0.01257")),
    ("2e", "deflection", ("0.0166", "0.0132", "0.0053", "0.0009")),
    ("2e", "radial_outer", ("-0.1246", "-0.1135", "-0.0800", "-0.0361")),
]
# The same table, cases 1a to 1f, at b/a = 0.1, 0.3, 0.5, 0.7, 0.9: computed from the plate equation.
LINE = [
    ("1a", "deflection", ("0.03639", "0.12656", "0.19335", "0.19273", "0.09381")),
    ("1a", "tangential_inner", ("0.3374", "0.6210", "0.7757", "0.8814", "0.9638")),
    ("1b", "deflection", ("0.02691", "0.04168", "0.02523", "0.00722", "0.00032")),
    ("1b", "radial_inner", ("0.2555", "0.4146", "0.3944", "0.2736", "0.0981")),
    ("1e", "deflection", ("0.01433", "0.03299", "0.02330", "0.00705", "0.00031")),
    ("1e", "radial_outer", ("-0.0528", "-0.1687", "-0.2379", "-0.2124", "-0.0911")),
    ("1f", "deflection", ("0.00970", "0.01262", "0.00684", "0.00185", "0.00008")),
    ("1f", "radial_inner", ("0.1826", "0.2469", "0.2121", "0.1396", "0.0491")),
]


def half_a_digit(printed: str) -> float:
    """Half of the last printed digit, and a hair for its own rounding."""
    return 0.5 * 10.0 ** -len(printed.split(".")[1]) + 1e-9


@pytest.mark.parametrize(("case", "name", "row"), PRINTED)
def test_annular_coefficients_are_roarks_to_the_last_printed_digit(case: str, name: str, row: tuple[str, ...]) -> None:
    for ratio, printed in zip(RATIOS, row, strict=True):
        assert getattr(coefficients(case, ratio, 0.3), name) == pytest.approx(float(printed), abs=half_a_digit(printed))


@pytest.mark.parametrize(("case", "name", "row"), LINE)
def test_annular_coefficients_under_a_line_load(case: str, name: str, row: tuple[str, ...]) -> None:
    for ratio, printed in zip((*RATIOS, 0.9), row, strict=True):
        assert getattr(coefficients(case, ratio, 0.3), name) == pytest.approx(float(printed), abs=half_a_digit(printed))


@pytest.mark.parametrize("case", ["1a", "1b", "1e", "1f", "2b", "2d", "2e"])
@pytest.mark.parametrize("ratio", [0.05, 0.4, 0.85])
def test_annular_coefficients_keep_what_holds_at_the_edges(case: str, ratio: float) -> None:
    k = coefficients(case, ratio, 0.33)
    outer_turns, inner = case[1] in "abd", {"a": "free", "e": "free", "d": "fixed"}.get(case[1], "guided")
    if outer_turns:
        assert k.radial_outer == pytest.approx(0, abs=1e-12)
    else:  # no slope: the hoop moment is what Poisson's ratio makes of the radial one
        assert k.tangential_outer == pytest.approx(0.33 * k.radial_outer, abs=1e-12)
    if inner == "free":
        assert k.radial_inner == pytest.approx(0, abs=1e-12)
    else:
        assert k.tangential_inner == pytest.approx(0.33 * k.radial_inner, abs=1e-12)
    assert (k.deflection == pytest.approx(0, abs=1e-12)) == (inner == "fixed")


# Computed from the plate equation: load N, outer and inner radius, thickness mm, modulus MPa, ν; mm, MPa.
RINGS = [
    ("1a", 50, 25, 3200, 0.35, 0.41787510338621225, 6.007137519414057),
    ("1b", 50, 25, 3200, 0.35, 0.051893137613428494, 2.9787458773954008),
    ("1e", 50, 25, 3200, 0.35, 0.05011027942487241, 1.8477271875502042),
    ("1f", 50, 25, 3200, 0.35, 0.014323194917653841, 1.6203102853396825),
    ("1a", 20, 15, 2200, 0.30, 0.060071537829271146, 4.602099109931221),
    ("1b", 20, 15, 2200, 0.30, 0.0014807768017394494, 1.188734087436109),
    ("1e", 20, 15, 2200, 0.30, 0.0014542035924237577, 0.9700884784451181),
    ("1f", 20, 15, 2200, 0.30, 0.0003751532450897507, 0.6018311351736404),
]


@pytest.mark.parametrize(("case", "a", "b", "modulus", "nu", "deflection", "stress"), RINGS)
def test_annular_worked_examples(
    case: str, a: float, b: float, modulus: float, nu: float, deflection: float, stress: float
) -> None:
    bent = annulus_inner_load(case, 100, a, b, 5, modulus, nu)
    assert bent.deflection == pytest.approx(deflection, rel=1e-6)
    assert bent.stress == pytest.approx(stress, rel=1e-6)


def test_an_annular_load_is_the_whole_load_not_the_load_per_half_turn() -> None:
    # A published example divides by πb where 2πb is meant (a 33.25, b 13, t 2.5 mm, 3.86 N: K = 0.7015, σ from
    # M = 2.204, so 2.116 MPa). Its K is Roark's 1a; for the whole load, M is half of that: 1.100, and σ 1.056 MPa.
    a, b, t, load = 33.25, 13.0, 2.5, 3.86
    k = coefficients("1a", b / a, 0.3)
    assert k.largest == pytest.approx(0.7015, abs=0.002)
    stress = annulus_inner_load("1a", load, a, b, t, 200_000, 0.3).stress
    assert stress == pytest.approx(1.056, rel=0.005)
    assert stress * t**2 / 6 == pytest.approx(1.100, rel=0.005)
    assert abs(stress / 2.116 - 1) > 0.4


# Computed from the formulas of Timoshenko and Roark, as in the function's text. The first is the published example.
CIRCLES: list[dict[str, Any]] = [
    {
        "plate": (100 * math.pi, 150, 1.5, 200_000, 0.29, 10),
        "turns": (5.83975, 299.55898396145665),
        "held": (2.28975, 232.89231729479002, -66.66666666666666),
    },
    {
        "plate": (100, 50, 5, 3200, 0.35, 5),
        "turns": (0.3248998955461894, 7.846637668026109),
        "held": (0.13092980865294201, 5.936778350923365, -1.909859317102744),
    },
    {
        "plate": (200, 75, 3, 70_300, 0.33, 10),
        "turns": (0.31569220619872657, 39.04411364000786),
        "held": (0.12608727755084276, 28.43378410054817, -10.610329539459688),
    },
    {
        "plate": (150, 60, 6, 2200, 0.3, 12),
        "turns": (0.6266725884243378, 6.1518742783037474),
        "held": (0.24687101968231492, 4.162437489655056, -1.9894367886486917),
    },
]


@pytest.mark.parametrize("example", CIRCLES, ids=["sheet", "acrylic", "aluminium", "MDF"])
def test_circular_worked_examples(example: dict[str, Any]) -> None:
    turns = circle_centre_load(*example["plate"])
    plate: tuple[float, float, float, float, float, float] = example["plate"]
    held = circle_centre_load(*plate, "fixed")
    assert (turns.deflection, turns.stress) == pytest.approx(example["turns"], rel=1e-6)
    assert (held.deflection, held.stress, held.edge_stress) == pytest.approx(example["held"], rel=1e-6)


def test_the_published_circular_sheet_and_the_figures_of_it_that_are_wrong() -> None:
    # A published spreadsheet: clamped 233 and −67 MPa, deflections 5.854 and 2.295 mm (finite elements 5.787 and
    # 2.238). Its stress and moment of the supported plate, 1000 MPa and 374 N, do not follow from its own formula.
    sheet = (100 * math.pi, 150, 1.5, 200_000, 0.29, 10)
    turns, held = (circle_centre_load(*sheet, rim) for rim in BOTH)
    assert turns.deflection == pytest.approx(5.854, rel=0.003)
    assert turns.deflection == pytest.approx(5.787, rel=0.01)
    assert held.deflection == pytest.approx(2.295, rel=0.003)
    assert held.deflection == pytest.approx(2.238, rel=0.025)
    assert held.stress == pytest.approx(233, abs=0.5)
    assert held.edge_stress == pytest.approx(-67, abs=0.5)
    moment = turns.stress * 1.5**2 / 6
    assert moment == pytest.approx(112.3, abs=0.05)
    assert turns.stress == pytest.approx(299.6, abs=0.05)
    assert abs(moment - 374) > 200


def test_a_supported_circle_under_an_even_load_sags_about_four_times_as_far_as_a_fixed_one() -> None:
    # 4.077 for ν = 0.3: (5 + ν)/(1 + ν); “approximately four times” in a civil engineering handbook.
    turns, held = (circle_even_load(0.01, 100, 5, 2200, 0.3, rim=rim) for rim in BOTH)
    assert turns.deflection / held.deflection == pytest.approx(5.3 / 1.3, rel=1e-12)
    assert turns.deflection / held.deflection == pytest.approx(4.077, abs=0.0005)
    D = stiffness(2200, 5, 0.3)
    assert held.deflection == pytest.approx(0.01 * 100**4 / 64 / D, rel=1e-12)
    # moments of the handbook, at the rim and in the middle: qa²/8, qa²(1+ν)/16, qa²(3+ν)/16
    assert held.edge_stress == pytest.approx(-6 / 25 * 0.01 * 1e4 / 8, rel=1e-12)
    assert held.stress == pytest.approx(6 / 25 * 0.01 * 1e4 * 1.3 / 16, rel=1e-12)
    assert turns.stress == pytest.approx(6 / 25 * 0.01 * 1e4 * 3.3 / 16, rel=1e-12)


def test_an_annulus_with_a_pinhole_sags_as_the_solid_plate() -> None:
    # Case 2e tends to the solid fixed plate, qa⁴/64D and −qa²/8, as the hole closes.
    k = coefficients("2e", 1e-5, 0.3)
    assert k.deflection == pytest.approx(1 / 64, rel=1e-6)
    assert k.radial_outer == pytest.approx(-1 / 8, rel=1e-6)


@pytest.mark.parametrize(
    ("radius", "thickness", "expected"),
    [(10, 1.5, 10), (3, 6, 3), (2.999, 6, math.sqrt(1.6 * 2.999**2 + 36) - 4.05), (0, 8, 0.325 * 8)],
)
def test_a_small_load_counts_as_wider_than_it_is(radius: float, thickness: float, expected: float) -> None:
    assert load_radius(radius, thickness) == pytest.approx(expected, rel=1e-12)


SIDES = (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 1e6)
# Roark, 7th ed., table 11.4, cases 1b and 8b, as printed.
ROARK_1B = {
    "alpha": (0.1267, 0.1478, 0.1621, 0.1715, 0.1770, 0.1805, 0.1851),
    "beta": (0.435, 0.650, 0.789, 0.875, 0.927, 0.958, 1.000),
}
ROARK_8B = {
    "alpha": (0.0611, 0.0706, 0.0754, 0.0777, 0.0786, 0.0788, 0.0791),
    "beta": (-0.238, -0.078, 0.011, 0.053, 0.068, 0.067, 0.067),
    "edge": (0.7542, 0.8940, 0.9624, 0.9906, 1.000, 1.004, 1.008),
}


@pytest.mark.parametrize("k", range(len(SIDES)))
def test_rectangular_coefficients_are_roarks(k: int) -> None:
    # W = E = t = 1 leave y = α·b²; r₀ = b/π leaves σ = 3/2π·(1.3·ln 2 + β).
    for rim, printed in zip(BOTH, (ROARK_1B, ROARK_8B), strict=True):
        wide = rectangle_centre_load(1, 100 * SIDES[k], 100, 1, 1, 200 / math.pi * 0.5, rim)
        assert wide.deflection == pytest.approx(printed["alpha"][k] * 100**2, rel=1e-9)
        beta = wide.stress / (3 / (2 * math.pi)) - 1.3 * math.log(2)
        assert beta == pytest.approx(printed["beta"][k], abs=1e-9)
    assert -wide.edge_stress == pytest.approx(ROARK_8B["edge"][k], rel=1e-9)


@pytest.mark.parametrize("ratio", [1.0, 1.1, 1.3, 1.5, 1.7, 1.9, 2.5, 3.0, 5.0])
def test_rectangular_deflections_between_the_printed_ones_are_naviers(ratio: float) -> None:
    """Navier's series for a point load in the middle: y = 4W/(π⁴Dab)·Σ 1/(m²/a² + n²/b²)², m and n odd."""
    series = sum(1 / (m**2 / ratio**2 + n**2) ** 2 for m in range(1, 400, 2) for n in range(1, 400, 2))
    alpha = 4 / (math.pi**4 * ratio) * series * 12 * (1 - 0.3**2)
    ours = rectangle_centre_load(1, 100 * ratio, 100, 1, 1, 1).deflection / 100**2
    assert ours == pytest.approx(alpha, rel=0.01)


# Computed from Roark's coefficients: W, long, short, t, E, r₀; y supported, σ supported, y fixed.
RECTANGLES = [
    ((100, 600, 300, 18, 2200, 10), 0.12661335578002245, 0.7062499242884139, 0.05527497194163861),
    ((100, 600, 300, 18, 3590, 10), 0.07759035730252072, 0.7062499242884139, 0.03387324185838578),
    ((150, 480, 300, 12, 7000, 15), 0.19140625, 2.0801523402692013, 0.08671875000000001),
    ((50, 200, 200, 3, 3200, 5), 2.9328703703703702, 12.317228567082234, 1.4143518518518519),
]


@pytest.mark.parametrize(("plate", "sag", "stress", "sag_fixed"), RECTANGLES)
def test_rectangular_worked_examples(
    plate: tuple[float, float, float, float, float, float], sag: float, stress: float, sag_fixed: float
) -> None:
    turns = rectangle_centre_load(*plate)
    assert turns.deflection == pytest.approx(sag, rel=1e-6)
    assert turns.stress == pytest.approx(stress, rel=1e-6)
    assert rectangle_centre_load(*plate, "fixed").deflection == pytest.approx(sag_fixed, rel=1e-6)


@pytest.mark.parametrize(
    ("load", "diameter", "thickness", "expected"),
    [
        (500, 25, 12, 0.5305164769729844),
        (1000, 30, 18, 0.589462752192205),
        (300, 20, 5, 0.954929658551372),
    ],
)
def test_ring_shear(load: float, diameter: float, thickness: float, expected: float) -> None:
    """By definition F/πdt; to four digits 0.5305, 0.5895 and 0.9549 MPa."""
    assert ring_shear(load, diameter, thickness) == pytest.approx(expected, rel=1e-12)


@pytest.mark.parametrize(
    ("pitch", "diameter", "expected"),
    [(36, 30, 6 / 36), (38, 30, 8 / 38), (32, 24, 8 / 32), (40, 28.575, 11.425 / 40), (30, 30, 0), (20, 30, 0)],
)
def test_a_row_of_holes_leaves_its_ligaments(pitch: float, diameter: float, expected: float) -> None:
    """(C − D)/C; by definition."""
    assert ligament(pitch, diameter) == pytest.approx(expected, abs=1e-12)
