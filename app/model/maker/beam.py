"""How far a plate between two supports bends: a beam, simply supported, with a load in its middle.

Deflection W l³ / (48 E I), moment W l / 4: any handbook's first case (Roark's Formulas, table 8.1, case 1e, from
memory). It is the worst way a plate can lie, flat; upright, most of the weight is in its own plane.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.model.material import Layer

GRAVITY: Final = 9.80665  # m/s²: standard acceleration of free fall, by definition


def stiffness(layers: Sequence[Layer], net: float) -> float | None:
    """E I of layers that are not glued together, ``net`` mm wide [N mm²]; None where one's modulus is not known."""
    found = 0.0
    for layer in layers:
        strength = layer.material.strength(layer.thickness)
        if strength is None:
            return None
        found += strength.modulus * net * layer.thickness**3 / 12
    return found


def bend(grams: float, span: float, stiff: float) -> float:
    """How far it bends in the middle [mm].

    Args:
        grams: the load [g].
        span: between the supports [mm].
        stiff: E I [N mm²].
    """
    return grams / 1000 * GRAVITY * span**3 / (48 * stiff)
