"""Numbers as they come from outside, typed or in a file: read in one place, and never an error of Python's own.

Python refuses to read a whole number of more than 4,300 digits and cannot make a float of one of 309; both come in a
form or file as easily as 12 does.
"""

from __future__ import annotations

import math

_LONGEST = 400
"""Longest text of a number that is read; the longest float that is written out in full has 325 characters."""


def finite(value: object) -> float | None:
    """A number read from a file, as a float; None if it is none, or none that is finite.

    Args:
        value: whole number or float. True and false are no numbers, nor is text that reads like one.
    """
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if math.isfinite(number) else None


def typed(text: str) -> float | None:
    """A number typed as text, as a float; None if it is none, or none that is finite."""
    if len(text) > _LONGEST:
        return None
    try:
        return finite(float(text))
    except ValueError:
        return None


def whole(text: str, low: int, high: int) -> int | None:
    """A whole number from ``low`` to ``high``, typed in the digits 0 to 9; None if it is none.

    Args:
        text: what was typed; zeros in front count for nothing.
        low: smallest that is taken, 0 or more.
        high: largest that is taken.
    """
    digits = text.lstrip("0") or text[:1]
    if not (digits.isascii() and digits.isdigit()) or len(digits) > len(str(high)):
        return None
    number = int(digits)
    return number if low <= number <= high else None
