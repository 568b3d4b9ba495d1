"""Elliptic plates under a load in their middle, against the plate equation solved anew.

A supported edge that can turn: ``w = 0`` and no bending moment across the edge. The solution is that of the load,
``W·r²·ln r/8πD`` (Timoshenko and Woinowsky-Krieger, 2nd ed., section 19), and functions that the plate equation allows
without a load, ``Re z²ᵐ`` and ``r²·Re z²ᵐ``, fitted to the edge by least squares.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest

from app.fit.strength.plates import circle_centre_load, ellipse_centre_load, rectangle_centre_load

NU = 0.3
TERMS, PLACES = 14, 400
Values = npt.NDArray[np.float64]
Complex = npt.NDArray[np.complex128]


def across(lap: Values, second: Complex, normal: Complex) -> Values:
    """``w_nn + ν·w_tt``, to which the moment across the edge is as D: from ∇²w and ∂²w/∂z²."""
    turned: Values = 2 * (second * normal**2).real
    return lap / 2 * (1 + NU) + turned * (1 - NU)


def solved(ratio: float) -> tuple[float, float]:
    """α and β of a plate whose short half diameter is 1: deflection ``αWb²/Et³``, stress as in the module."""
    t = (np.arange(PLACES) + 0.5) * math.pi / 2 / PLACES
    z, normal = ratio * np.cos(t) + 1j * np.sin(t), np.cos(t) / ratio + 1j * np.sin(t)
    normal /= np.abs(normal)
    r, none = np.abs(z), np.zeros(PLACES)
    rows, scales = [], []
    for m in range(0, 2 * TERMS, 2):
        scale = ratio**-m
        plain = m * (m - 1) / 2 * z ** max(m - 2, 0)
        rows.append(np.concatenate(((z**m).real, across(none, plain, normal))) * scale)
        raised = m * (m + 1) / 2 * z.conj() * z ** max(m - 1, 0)
        bent = across(4 * (m + 1) * (z**m).real, raised, normal)
        rows.append(np.concatenate((r**2 * (z**m).real, bent)) * scale)
        scales += [scale, scale]
    load = np.concatenate((r**2 * np.log(r), across(4 * (np.log(r) + 1), z.conj() / (2 * z), normal))) / (8 * math.pi)
    found, *_ = np.linalg.lstsq(np.stack(rows, axis=1), -load, rcond=None)
    assert np.abs(np.stack(rows, axis=1) @ found + load).max() < 2e-4, "the edge is not met"
    lift, bowl, saddle = found[0], found[1], found[2] * scales[2]
    # Of a circle of that radius the moment is W/4π·((1+ν)·ln(b/r₀) + 1); another bowl and a saddle add to it.
    circle = -(3 + NU) / (1 + NU) / (16 * math.pi)
    beta = 1 - 8 * math.pi * ((1 + NU) * (bowl - circle) - (1 - NU) * saddle)
    return 12 * (1 - NU**2) * lift, beta


def coefficients(ratio: float) -> tuple[float, float]:
    """Ours: W = E = t = 1, b = 100; r₀ = b leaves σ = 3/2π·β."""
    bent = ellipse_centre_load(1, 200 * ratio, 200, 1, 1, 100)
    return bent.deflection / 100**2, bent.stress * 2 * math.pi / 3


@pytest.mark.parametrize("ratio", [1.0, 1.2, 1.4, 1.6, 1.8, 2.0])
def test_the_coefficients_are_the_solutions(ratio: float) -> None:
    assert coefficients(ratio) == pytest.approx(solved(ratio), abs=6e-5)


@pytest.mark.parametrize("ratio", [1.05, 1.1, 1.3, 1.5, 1.7, 1.9])
def test_between_them_they_are_a_little_low(ratio: float) -> None:
    (alpha, beta), (true_alpha, true_beta) = coefficients(ratio), solved(ratio)
    assert true_alpha * (1 - 0.011) <= alpha <= true_alpha + 1e-4
    assert true_beta - 0.018 <= beta <= true_beta + 1e-3


@pytest.mark.parametrize("ratio", [2.5, 3.0, 4.0])
def test_of_long_ones_they_are_no_lower(ratio: float) -> None:
    (alpha, beta), (true_alpha, true_beta) = coefficients(ratio), solved(ratio)
    assert true_alpha <= alpha <= true_alpha + 0.01
    assert true_beta <= beta <= true_beta + 0.006


def test_the_first_is_timoshenkos_circle_and_the_last_roarks_strip() -> None:
    plate = (250.0, 300.0, 12.0, 2200.0)
    ours = ellipse_centre_load(250, 300, 300, 12, 2200, 15)
    load, wide, thickness, modulus = plate
    circle = circle_centre_load(load, wide / 2, thickness, modulus, NU, 15)
    assert (ours.deflection, ours.stress) == pytest.approx((circle.deflection, circle.stress), rel=1e-4)
    strip = rectangle_centre_load(load, 1e6, wide, thickness, modulus, 15)
    long = ellipse_centre_load(load, 1e6, wide, thickness, modulus, 15)
    assert (long.deflection, long.stress) == pytest.approx((strip.deflection, strip.stress), rel=1e-4)


@pytest.mark.parametrize("radius", [2.0, 15.0, 75.0, 400.0])
def test_a_circle_is_stressed_more_than_the_square_round_it(radius: float) -> None:
    plate = (250.0, 300.0, 300.0, 12.0, 2200.0, radius)
    circle, square = ellipse_centre_load(*plate), rectangle_centre_load(*plate)
    assert circle.stress > square.stress and circle.deflection > square.deflection
