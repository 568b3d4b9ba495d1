"""What rules about strength say alike: factors of safety and stresses. Each says that it is an estimate."""

from __future__ import annotations

import math

ESTIMATE = "An estimate for choosing a depth, not a structural approval."


def factor_words(factor: float) -> str:
    """A factor of safety, rounded down so that it never looks enough when it is not: “2.9 times”."""
    return f"{math.floor(factor * 10 + 1e-9) / 10:g} times"


def stress_words(stress: float, strength: float) -> str:
    """A stress beside the strength it is judged by [MPa]."""
    return f"{stress:.3g} of {strength:.3g} MPa"
