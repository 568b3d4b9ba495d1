"""Strength of the ledge above a counterbore: an estimate for choosing a depth, not a structural approval.

The ledge is taken as an annular plate: fixed at the counterbore, free at the hole, the whole load along the hole's
edge (Roark, 7th ed., table 11.2, case 1e). A real flange spreads the load outward, so this is the worst case. Beside
it stands the shear on the ring that would be punched out. A ledge less than four thicknesses wide is too short to
bend as a plate does: there shear alone is judged, and the material's floor.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate
from typing import Final, Literal

from msgspec import Struct

from app.fit.strength.plates import annulus_inner_load, ring_shear, stiffness
from app.model.material import Layer

NOTHING: Final = 1e-3
"""A layer no thicker than this bears nothing [mm]; its stiffness would be none in floating point."""

_CASE = "1e"
_HALVINGS = 24  # of a slice of the board, until the ledge needed is known to a millionth of it
_SLICES = 48  # of the board, that are looked at from the whole downward


class LedgeStrength(Struct, frozen=True):
    """How strong a ledge is.

    Args:
        layer: the layer that is nearest to failing.
        stress: largest bending stress, by plate theory [MPa].
        bending: bending strength of the layer's material [MPa].
        bending_factor: how many times the load it would take to bend it to breaking, by plate theory.
        shear: shear stress round the hole [MPa].
        shear_strength: of the layer's material, through the thickness [MPa].
        shear_factor: how many times the load it would take to punch it out.
        factor: the one that counts.
        governed_by: ``bending`` or ``shear``: which of the two that is.
        in_plate_range: whether the ledge is wide enough for plate theory; if not, only shear counts.
    """

    layer: Layer
    stress: float
    bending: float
    bending_factor: float
    shear: float
    shear_strength: float
    shear_factor: float
    factor: float
    governed_by: Literal["bending", "shear"]
    in_plate_range: bool


def ledge_strength(
    layer: Layer, hole_radius: float, bore_radius: float, ledge: float, load: float, slender: float = 4.0
) -> LedgeStrength | None:
    """Strength of what a counterbore leaves of one layer.

    Valid for a round hole in the middle of a round counterbore.

    Args:
        layer: the layer, with its thickness before it was bored: boards have their strength by thickness.
        hole_radius: [mm]; below the bore's.
        bore_radius: [mm].
        ledge: thickness that is left [mm].
        load: on the flange, in all [N].
        slender: least width in thicknesses that bends as a plate.

    Returns:
        None if the strength of the material is not known, or there is no ledge.
    """
    strength = layer.material.strength(layer.thickness)
    if strength is None or not 0 < hole_radius < bore_radius or ledge <= 0:
        return None
    bent = annulus_inner_load(_CASE, load, bore_radius, hole_radius, ledge, strength.modulus, strength.poisson)
    shear = ring_shear(load, 2 * hole_radius, ledge)
    plate = bore_radius - hole_radius >= slender * ledge
    bending_factor, shear_factor = strength.bending / bent.stress, strength.shear / shear
    bends = plate and bending_factor < shear_factor
    return LedgeStrength(
        layer=layer,
        stress=bent.stress,
        bending=strength.bending,
        bending_factor=bending_factor,
        shear=shear,
        shear_strength=strength.shear,
        shear_factor=shear_factor,
        factor=bending_factor if bends else shear_factor,
        governed_by="bending" if bends else "shear",
        in_plate_range=plate,
    )


@lru_cache(maxsize=1024)
def stack_strength(
    layers: tuple[Layer, ...], hole_radius: float, bore_radius: float, ledge: float, load: float, slender: float
) -> LedgeStrength | None:
    """Strength of the ledge that a counterbore leaves of a stack of layers: that of its weakest layer.

    Layers lie on each other and are not counted as glued: each bends by itself, and bears of the load as much as it
    has of the stiffness.

    Args:
        layers: of the whole board, top to underside.
        hole_radius: [mm].
        bore_radius: [mm].
        ledge: thickness that is left, from the top face [mm].
        load: on the flange, in all [N].
        slender: least width in thicknesses that bends as a plate.

    Returns:
        None if the strength of one of the materials is not known, or there is no ledge.
    """
    kept = remaining(layers, ledge)
    shares = shares_of(kept)
    if shares is None:
        return None
    found = [
        ledge_strength(layer, hole_radius, bore_radius, left, load * share, slender)
        for (layer, left), share in zip(kept, shares, strict=True)
    ]
    known = [strength for strength in found if strength is not None]
    return min(known, key=lambda s: s.factor) if known and len(known) == len(found) else None


def remaining(layers: Sequence[Layer], ledge: float) -> list[tuple[Layer, float]]:
    """The layers of which a ledge of that thickness [mm] from the top face keeps more than nothing, and how much."""
    tops = accumulate((layer.thickness for layer in layers), initial=0.0)
    left = ((layer, min(layer.thickness, ledge - top)) for layer, top in zip(layers, tops, strict=False))
    return [(layer, thickness) for layer, thickness in left if thickness > NOTHING]


def shares_of(kept: Sequence[tuple[Layer, float]]) -> list[float] | None:
    """Share of the load that each layer bears: as much as it has of the stiffness; None if one is not known."""
    each = []
    for layer, thickness in kept:
        strength = layer.material.strength(layer.thickness)
        if strength is None:
            return None
        each.append(stiffness(strength.modulus, thickness, strength.poisson))
    total = sum(each)
    if not total:
        return None
    return [d / total for d in each]


def ledge_needed(
    layers: tuple[Layer, ...],
    hole_radius: float,
    bore_radius: float,
    load: float,
    slender: float,
    factor: float,
    failing: float = 0.0,
) -> float | None:
    """The ledge [mm] from which on the factor of safety is at least ``factor``; None if the whole board is too thin.

    Of several layers a thinner ledge may bear more: one of the top layer alone, where what is left of the next one is
    stiff enough to take the load and too thin to bear it. So it is looked for from the whole board downward.

    Args:
        layers: of the whole board, top to underside.
        hole_radius: [mm].
        bore_radius: [mm].
        load: on the flange, in all [N].
        slender: least width in thicknesses that bends as a plate.
        factor: of safety.
        failing: a ledge known to bear less [mm].
    """

    def holds(ledge: float) -> bool:
        strength = stack_strength(layers, hole_radius, bore_radius, ledge, load, slender)
        return strength is not None and strength.factor >= factor

    whole = sum(layer.thickness for layer in layers)
    if not holds(whole):
        return None
    slices = [whole - (whole - failing) * k / _SLICES for k in range(_SLICES + 1)]
    below = next((k for k, ledge in enumerate(slices) if not holds(ledge)), _SLICES)
    low, high = slices[below], slices[below - 1]
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high
