"""Annular plates, loaded symmetrically: the exact solution of the plate equation.

Source: the equation of circular plates (Timoshenko and Woinowsky-Krieger, *Theory of Plates and Shells*, 2nd ed.,
chapter 3), with the supports and coefficients of Roark's *Formulas for Stress and Strain*, 7th ed., table 11.2.
Valid for flat plates of even thickness, no thicker than about a quarter of their width, that bend by no more than
about half their thickness.

With the slope ``φ`` (positive where the plate falls outward), Poisson's ratio ``ν`` and stiffness ``D``::

    d/dr[(1/r)·d(rφ)/dr] = −Q/D      M_r = D(φ′ + νφ/r)      M_t = D(φ/r + νφ′)
    φ = A·r + B/r − S·r·ln r − q·r³/16D,    S = (P₀ − π·q·b²)/4πD

``Q`` is the shear force of all load inside ``r``, ``P₀`` the load on the inner edge.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Literal

import numpy as np
import numpy.typing as npt
from msgspec import Struct

Floats = npt.NDArray[np.float64]
Support = Literal["free", "guided", "supported", "fixed"]

CASES: dict[str, tuple[Support, Support]] = {
    "1a": ("supported", "free"),
    "1b": ("supported", "guided"),
    "1e": ("fixed", "free"),
    "1f": ("fixed", "guided"),
    "2b": ("supported", "guided"),
    "2d": ("supported", "fixed"),
    "2e": ("fixed", "free"),
}
"""Outer and inner edge of Roark's cases: 1 with a line load on the inner edge, 2 with an even load all over."""


class Coefficients(Struct, frozen=True):
    """Coefficients of an annular plate, as Roark's: of ``w·a³/D`` and ``w·a`` (case 1), ``q·a⁴/D`` and ``q·a²`` (2).

    Args:
        deflection: of the inner edge, positive with the load.
        radial_inner, tangential_inner: bending moments at the inner edge, positive where they sag.
        radial_outer, tangential_outer: at the outer edge.
    """

    deflection: float
    radial_inner: float
    tangential_inner: float
    radial_outer: float
    tangential_outer: float

    @property
    def largest(self) -> float:
        """The largest bending moment at an edge, whatever its sign."""
        moments = (self.radial_inner, self.tangential_inner, self.radial_outer, self.tangential_outer)
        return max(abs(moment) for moment in moments)


@lru_cache(maxsize=4096)
def coefficients(case: str, ratio: float, poisson: float) -> Coefficients:
    """The coefficients of one of ``CASES``.

    Args:
        case: Roark's name of it, as ``1e``.
        ratio: inner over outer radius, above 0 and below 1.
        poisson: Poisson's ratio.
    """
    outer, inner = CASES[case]
    even = 1.0 if case.startswith("2") else 0.0
    held = inner == "fixed"  # its reaction is what the other edge does not carry: one unknown more
    b = ratio
    rows = [_edge(outer, 1.0, poisson), _edge(inner, b, poisson), _deflection(1.0)]
    known = [_edge_load(outer, 1.0, poisson, even), _edge_load(inner, b, poisson, even), _deflection_load(1.0, even)]
    rows.append(_deflection(b) if held else np.array((0.0, 0.0, 0.0, 1.0)))
    strength = -b * b / 4 if even else b / 2  # S for q = 1, or for w = 1 where P₀ = 2πb·w
    known.append(_deflection_load(b, even) if held else -strength)
    found = np.linalg.solve(np.array(rows), -np.array(known))
    return Coefficients(
        deflection=float(_deflection(b) @ found + _deflection_load(b, even)),
        radial_inner=float(_radial(b, poisson) @ found + _radial_load(b, poisson, even)),
        tangential_inner=float(_tangential(b, poisson) @ found + _tangential_load(b, poisson, even)),
        radial_outer=float(_radial(1.0, poisson) @ found + _radial_load(1.0, poisson, even)),
        tangential_outer=float(_tangential(1.0, poisson) @ found + _tangential_load(1.0, poisson, even)),
    )


# Each row below gives a quantity as multiples of A, B, C and S, for a = D = 1; what the even load adds stands apart.


def _slope(r: float) -> Floats:
    return np.array((r, 1 / r, 0.0, -r * math.log(r)))


def _deflection(r: float) -> Floats:
    return np.array((-r * r / 2, -math.log(r), 1.0, r * r / 2 * math.log(r) - r * r / 4))


def _radial(r: float, nu: float) -> Floats:
    return np.array((1 + nu, -(1 - nu) / (r * r), 0.0, -((1 + nu) * math.log(r) + 1)))


def _tangential(r: float, nu: float) -> Floats:
    return np.array((1 + nu, (1 - nu) / (r * r), 0.0, -((1 + nu) * math.log(r) + nu)))


def _slope_load(r: float, even: float) -> float:
    return -even * r**3 / 16


def _deflection_load(r: float, even: float) -> float:
    return even * r**4 / 64


def _radial_load(r: float, nu: float, even: float) -> float:
    return -even * (3 + nu) * r * r / 16


def _tangential_load(r: float, nu: float, even: float) -> float:
    return -even * (1 + 3 * nu) * r * r / 16


def _edge(support: Support, r: float, nu: float) -> Floats:
    """What is nought at an edge: its moment if it can turn, its slope if it cannot."""
    return _radial(r, nu) if support in ("free", "supported") else _slope(r)


def _edge_load(support: Support, r: float, nu: float, even: float) -> float:
    return _radial_load(r, nu, even) if support in ("free", "supported") else _slope_load(r, even)
