"""Shear round a hole, and what a row of holes leaves of a section."""

from __future__ import annotations

import math


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
