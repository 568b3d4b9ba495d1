"""Plates under a load in their middle: circular, elliptic and rectangular, in bending and in shear.

Deflection is positive with the load, stress is ``6M/t²`` and positive where the far face is in tension. All valid for
flat, isotropic plates of even thickness, no thicker than about a quarter of their least width, that bend by no more
than about half their thickness (Roark's *Formulas for Stress and Strain*, 7th ed., chapter 11).
"""

from __future__ import annotations

import math
from bisect import bisect_right
from typing import Final, Literal

from msgspec import Struct

from app.fit.strength.annulus import coefficients

Rim = Literal["supported", "fixed"]

# Roark, 7th ed., table 11.4, case 1b (all edges supported) and 8b (all edges fixed), a load on a small circle in the
# middle, ν = 0.3: at these ratios of the long side to the short one. The value for an endless strip is used from 3
# on; there the true one is lower by less than half a hundredth.
_RATIOS: Final = (1.0, 1.2, 1.4, 1.6, 1.8, 2.0, 3.0)
_ALPHA: Final = {
    "supported": (0.1267, 0.1478, 0.1621, 0.1715, 0.1770, 0.1805, 0.1851),
    "fixed": (0.0611, 0.0706, 0.0754, 0.0777, 0.0786, 0.0788, 0.0791),
}
_BETA: Final = {
    "supported": (0.435, 0.650, 0.789, 0.875, 0.927, 0.958, 1.000),
    "fixed": (-0.238, -0.078, 0.011, 0.053, 0.068, 0.067, 0.067),
}
_BETA_EDGE: Final = (0.7542, 0.8940, 0.9624, 0.9906, 1.000, 1.004, 1.008)
_NU: Final = 0.3

# An elliptic plate whose edge is supported and can turn, ν = 0.3, at the same ratios of its diameters: solved as a
# series of biharmonic functions, as tests/validation/test_elliptic_plates.py does anew. The first is the circle; the
# last the endless strip, as for the rectangle; at 3 the true ones are lower, by 0.010 and 0.006.
_ROUND_ALPHA: Final = (0.5515, 0.6371, 0.6830, 0.7052, 0.7157, 0.7209, 0.7404)
_ROUND_BETA: Final = (1.0000, 1.1944, 1.2799, 1.3098, 1.3164, 1.3153, 1.3141)


class Bent(Struct, frozen=True):
    """How a plate bends.

    Args:
        deflection: where it is largest [mm].
        stress: in the middle, or where it is largest for an annular plate [MPa].
        edge_stress: at the edge [MPa]; 0 if it can turn.
    """

    deflection: float
    stress: float
    edge_stress: float = 0.0

    @property
    def worst(self) -> float:
        """The larger stress, whatever its sign [MPa]."""
        return max(abs(self.stress), abs(self.edge_stress))


def stiffness(modulus: float, thickness: float, poisson: float) -> float:
    """Stiffness ``E·t³/12(1−ν²)`` of a plate [N·mm] from modulus [MPa] and thickness [mm]."""
    return modulus * thickness**3 / (12 * (1 - poisson**2))


def load_radius(radius: float, thickness: float) -> float:
    """Equivalent radius ``r₀′`` of a load on a circle of ``radius`` [mm].

    For ``r₀ < 0.5 t`` it is ``√(1.6 r₀² + t²) − 0.675 t`` (Westergaard, in Roark, 7th ed., section 11.3), else ``r₀``.
    """
    if radius >= 0.5 * thickness:
        return radius
    return math.sqrt(1.6 * radius**2 + thickness**2) - 0.675 * thickness


def circle_centre_load(
    load: float, outer: float, thickness: float, modulus: float, poisson: float, radius: float, rim: Rim = "supported"
) -> Bent:
    """A solid circular plate with a load on a small circle in its middle.

    Source: Timoshenko and Woinowsky-Krieger, 2nd ed., section 19; Roark, 7th ed., table 11.2, cases 16 and 17.
    Valid for a load much smaller than the plate.

    Args:
        load: in all [N].
        outer: radius of the plate [mm].
        thickness: [mm].
        modulus: of elasticity [MPa].
        poisson: Poisson's ratio.
        radius: of the loaded circle [mm].
        rim: whether the edge can turn.
    """
    D = stiffness(modulus, thickness, poisson)
    spread = (1 + poisson) * math.log(outer / load_radius(radius, thickness))
    per_moment = 6 / thickness**2 * load / (4 * math.pi)
    if rim == "fixed":
        return Bent(load * outer**2 / (16 * math.pi * D), per_moment * spread, -per_moment)
    deflection = load * outer**2 * (3 + poisson) / (16 * math.pi * D * (1 + poisson))
    return Bent(deflection, per_moment * (spread + 1))


def circle_even_load(
    pressure: float, outer: float, thickness: float, modulus: float, poisson: float, rim: Rim = "supported"
) -> Bent:
    """A solid circular plate under an even ``pressure`` [MPa]; else as ``circle_centre_load``.

    Source: Timoshenko and Woinowsky-Krieger, 2nd ed., section 16.
    """
    D = stiffness(modulus, thickness, poisson)
    per_moment = 6 / thickness**2 * pressure * outer**2
    if rim == "fixed":
        return Bent(pressure * outer**4 / (64 * D), per_moment * (1 + poisson) / 16, -per_moment / 8)
    deflection = (5 + poisson) * pressure * outer**4 / (64 * (1 + poisson) * D)
    return Bent(deflection, per_moment * (3 + poisson) / 16)


def annulus_inner_load(
    case: str, load: float, outer: float, inner: float, thickness: float, modulus: float, poisson: float
) -> Bent:
    """An annular plate with a line load along its inner edge: Roark, 7th ed., table 11.2, cases 1a, 1b, 1e, 1f.

    Args:
        case: Roark's name: ``1a`` outer edge supported and inner free, ``1b`` guided, ``1e`` fixed and free, ``1f``.
        load: in all, not per length [N].
        outer: outer radius [mm].
        inner: inner radius [mm].
        thickness: [mm].
        modulus: of elasticity [MPa].
        poisson: Poisson's ratio.

    Returns:
        the deflection of the inner edge, and the largest bending stress at either edge, without sign.
    """
    k = coefficients(case, inner / outer, poisson)
    line = load / (2 * math.pi * inner)
    deflection = k.deflection * line * outer**3 / stiffness(modulus, thickness, poisson)
    return Bent(deflection, 6 * k.largest * line * outer / thickness**2)


def rectangle_centre_load(
    load: float, long: float, short: float, thickness: float, modulus: float, radius: float, rim: Rim = "supported"
) -> Bent:
    """A rectangular plate with a load on a small circle in its middle: Roark, 7th ed., table 11.4, cases 1b and 8b.

    Between the printed ratios of the sides the coefficients are interpolated, up to 1 % low. For ν = 0.3.

    Args:
        load: in all [N].
        long: long side [mm].
        short: short side [mm].
        thickness: [mm].
        modulus: of elasticity [MPa].
        radius: of the loaded circle [mm]; at most half the short side counts.
        rim: whether the edges can turn.
    """
    ratio = long / short
    deflection = _between(_ALPHA[rim], ratio) * load * short**2 / (modulus * thickness**3)
    spread = math.log(2 * short / (math.pi * load_radius(min(radius, short / 2), thickness)))
    centre = 3 * load / (2 * math.pi * thickness**2) * ((1 + _NU) * spread + _between(_BETA[rim], ratio))
    edge = -_between(_BETA_EDGE, ratio) * load / thickness**2 if rim == "fixed" else 0.0
    return Bent(deflection, centre, edge)


def ellipse_centre_load(
    load: float, long: float, short: float, thickness: float, modulus: float, radius: float
) -> Bent:
    """An elliptic plate with a load on a small circle in its middle; its edge is supported and can turn. For ν = 0.3.

    Stress and deflection are ``3W/2πt²·((1+ν)·ln(b/r₀′) + β)`` and ``αWb²/Et³``, b half the short diameter; for a
    circle those of Timoshenko and Woinowsky-Krieger, 2nd ed., section 19. Between the ratios of the diameters that are
    solved, coefficients are interpolated, deflections up to 1.1 % low and β up to 0.018.

    Args:
        load: in all [N].
        long: long diameter [mm].
        short: short diameter [mm].
        thickness: [mm].
        modulus: of elasticity [MPa].
        radius: of the loaded circle [mm]; at most half the short diameter counts.
    """
    ratio, half = long / short, short / 2
    deflection = _between(_ROUND_ALPHA, ratio) * load * half**2 / (modulus * thickness**3)
    spread = math.log(half / load_radius(min(radius, half), thickness))
    per_moment = 3 * load / (2 * math.pi * thickness**2)
    return Bent(deflection, per_moment * ((1 + _NU) * spread + _between(_ROUND_BETA, ratio)))


def _between(values: tuple[float, ...], ratio: float) -> float:
    if ratio >= _RATIOS[-1]:
        return values[-1]
    k = max(1, bisect_right(_RATIOS, ratio))
    low, high = _RATIOS[k - 1], _RATIOS[k]
    return values[k - 1] + (values[k] - values[k - 1]) * (ratio - low) / (high - low)


def ring_shear(load: float, diameter: float, thickness: float) -> float:
    """Shear stress ``F/(π·d·t)`` on the cylinder that a load would punch out of a plate [MPa].

    By definition: the load [N] over the area of the cylinder of that diameter and thickness [mm], as if evenly
    spread. Valid for a load along the whole ring.
    """
    return load / (math.pi * diameter * thickness)


def ligament(pitch: float, diameter: float) -> float:
    """Share of a section that a row of holes leaves: ``(C − D)/C`` of their pitch and diameter [mm], at least 0.

    Source: strength of perforated metal along its weak line, from memory of a perforators' handbook.
    """
    return max(0.0, (pitch - diameter) / pitch)
