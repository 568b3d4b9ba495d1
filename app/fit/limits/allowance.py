"""The worst case: what is left when every hole is as far off its place as the drilling method allows.

A hole's own size is already the bit's, so a bit oversize by ``o`` has taken ``o/2`` from every distance.
"""

from __future__ import annotations

from typing import TypeVar

import numpy as np
import numpy.typing as npt

from app.model.tooling import Allowance

Distance = TypeVar("Distance", float, npt.NDArray[np.float64])


def worst_between(nominal: Distance, allowance: Allowance) -> Distance:
    """Least distance between two features that each follow a hole: both may be off toward each other [mm]."""
    return nominal - 2 * allowance.position


def worst_to_edge(nominal: Distance, allowance: Allowance) -> Distance:
    """Least distance from something that follows a hole to a cut edge, which may be off too [mm]."""
    return nominal - allowance.position - allowance.edge


def worst_to_area(nominal: Distance, allowance: Allowance) -> Distance:
    """Least distance from something that follows a hole to what stands where it was drawn [mm]."""
    return nominal - allowance.position
