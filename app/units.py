"""The one unit table: millimetres inside, inches and fractions only at the edges.

A length is a float in millimetres. It is parsed once, from text, and formatted once, for a person;
between the two it is never rounded, so switching the display between units changes nothing.
"""

from __future__ import annotations

import math
import re
import unicodedata
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final

from app.errors import LengthError

MM: Final = 1.0
INCH: Final = 25.4
"""Millimetres in an inch, exact since the international inch of 1959."""

LONGEST: Final = 100_000.0
"""Largest length that is read, either side of zero [mm]; a hundred metres is no board."""

FRACTION = 64
"""Parts of an inch that lengths are said in: the finest on a steel rule."""

SAID = 0.005
"""A fraction that is no further off says a length in full [mm]."""

_INCH = Fraction(254, 10)
_LONGEST_TEXT = 64
_SHOWN = 24
_HOW = 'Write it like 38, 38.5 mm, 1 1/2, 1-1/2" or 1.5 in.'

_MARKS = str.maketrans({
    "″": '"', "“": '"', "”": '"', "„": '"', "＂": '"', "′": "'", "’": "'", "‘": "'",
    "−": "-", "–": "-", "‐": "-", "‑": "-", "⁄": "/", "∕": "/",
})  # fmt: skip

_DECIMAL = r"(?P<decimal>[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)"
_FRACTION = r"(?:(?P<whole>[0-9]+)(?:\s+|-))?(?P<over>[0-9]+)\s*/\s*(?P<under>[0-9]+)"
_UNIT = r"(?P<unit>mm|millimet(?:er|re)s?|in\.?|inch(?:es)?|\"|'')?"
_LENGTH = re.compile(rf"(?P<sign>[+-])?\s*(?:{_FRACTION}|{_DECIMAL})\s*{_UNIT}", re.IGNORECASE)


class Unit(StrEnum):
    """A unit lengths are shown and typed in."""

    MM = "mm"
    INCH = "inch"


def parse_length(text: str, default: Unit, *, what: str = "Length") -> float:
    """Length written in ``text`` [mm].

    Read are whole and decimal numbers (point or comma), fractions and mixed numbers (``1 1/2``, ``1-1/2``),
    each with or without ``mm``, ``in``, ``inch`` or an inch mark. A fraction without a unit is in inches
    whatever ``default`` is, because nobody measures in fractions of a millimetre.

    Args:
        text: what was typed.
        default: unit of a number that names none.
        what: what the length is, to begin an error message with.

    Returns:
        The float nearest to the length [mm]; the arithmetic before it is exact.

    Raises:
        LengthError: the text is empty, too long, no length, divided by zero or beyond ±100 000 mm.
    """
    if len(text) > _LONGEST_TEXT:
        raise LengthError(f"{what} {_shown(text)} is {len(text)} characters long; {_LONGEST_TEXT} are allowed. {_HOW}")
    plain = _plain(text)
    if not plain:
        raise LengthError(f"{what} is empty; a number is needed. {_HOW}")
    match = _LENGTH.fullmatch(plain)
    if match is None:
        raise LengthError(f"{what} {_shown(text)} {_why(plain)}. {_HOW}")
    number = _number(match, what, text)
    length = number * (_INCH if _unit(match, default) is Unit.INCH else 1)
    if abs(length) > LONGEST:
        raise LengthError(
            f"{what} {_shown(text)} is beyond ±{LONGEST:,.0f} mm. Check the number and the unit, and write less."
        )
    return float(-length if match["sign"] == "-" else length)


@lru_cache(maxsize=8192)
def format_length(mm: float, unit: Unit, *, denominator: int = 32, decimals: int = 1, suffix: bool = True) -> str:
    """Length for a person to read: ``38.0 mm`` or ``1 1/2"``, rounded half away from zero.

    Args:
        mm: the length [mm].
        unit: unit to show it in.
        denominator: finest fraction of an inch, a power of two up to 128; the rounding error is at most
            25.4 / (2 · denominator) mm: 0.40 mm at 32, 0.79 mm at 16.
        decimals: places after the point for millimetres.
        suffix: whether to write the unit behind the number.

    Raises:
        LengthError: ``mm`` is not a finite number, or the denominator is not one a rule has.
    """
    if unit is Unit.INCH:
        text = _mixed(_in_parts(mm, denominator), denominator)
        return f'{text}"' if suffix else text
    text = _decimal(_exact(mm), decimals)
    return f"{text} mm" if suffix else text


def format_inches(mm: float, *, exactly: bool = False, decimals: int = 3) -> str:
    """Inches as a woodworker reads them: ``1 1/2"``, and ``0.512"`` only where no fraction can say it.

    This is the one place that chooses between the two. A fraction is to the nearest 1/64. A decimal, to the nearest
    thousandth as a rule, is for a length shorter than 1/64, and for one to be set or typed that no fraction says.

    Args:
        mm: the length [mm].
        exactly: whether it is to be set or typed, so that a fraction has to say it within :data:`SAID`.
        decimals: places of a decimal.

    Raises:
        LengthError: as :func:`format_length`.
    """
    off = abs(fraction_error(mm, FRACTION))
    if off > SAID and (exactly or abs(mm) < INCH / FRACTION):
        return f'{_decimal(_exact(mm) / _INCH, decimals)}"'
    return format_length(mm, Unit.INCH, denominator=FRACTION)


def format_inches_twice(mm: float) -> str:
    """A size that has to be exact, to read as well: ``45/64" (0.709")``; the fraction alone where it says it in full.

    Raises:
        LengthError: as :func:`format_length`.
    """
    near, full = format_inches(mm), format_inches(mm, exactly=True)
    return near if near == full else f"{near} ({full})"


def format_named(mm: float, unit: Unit) -> str:
    """A size that hardware, or the hole for it, is known by: ``28 mm`` in inches too, for no fraction is its name.

    In inches a fraction only where one says it in full, and a decimal where it is no tenth of a millimetre either.

    Raises:
        LengthError: as :func:`format_length`.
    """
    said = format_inches(mm, exactly=True) if unit is Unit.INCH else ""
    if said and (abs(mm - round(mm, 1)) > SAID or abs(fraction_error(mm, FRACTION)) <= SAID):
        return said
    return f"{format_exact(round(mm, 3) + 0.0)} mm"


def format_area(square_mm: float, unit: Unit, decimals: int = 1) -> str:
    """An area in cm² or square inches: ``105.7 cm²``, ``16.4 sq in``."""
    of, name = (INCH * INCH, "sq in") if unit is Unit.INCH else (100.0, "cm²")
    return f"{square_mm / of:,.{decimals}f} {name}"


def fraction_error(mm: float, denominator: int) -> float:
    """How much longer the printed fraction is than the length itself [mm]; negative if shorter.

    Args:
        mm: the length [mm].
        denominator: finest fraction of an inch that is printed.

    Raises:
        LengthError: as :func:`format_length`.
    """
    return float(Fraction(_in_parts(mm, denominator), denominator) * _INCH - _exact(mm))


@lru_cache(maxsize=8192)
def format_exact(mm: float) -> str:
    """Length [mm] as a short decimal without unit or trailing zeros, true to 1e-9 mm: ``19.05``, ``300``.

    Raises:
        LengthError: ``mm`` is not a finite number.
    """
    text = _decimal(_exact(mm), 9)
    return text.rstrip("0").rstrip(".")


def _plain(text: str) -> str:
    """``text`` in ASCII where it has a plain meaning: marks, minus signs and vulgar fractions."""
    spaced = "".join(f" {c}" if unicodedata.category(c) == "No" else c for c in text.translate(_MARKS))
    return unicodedata.normalize("NFKC", spaced).translate(_MARKS).strip()


def _number(match: re.Match[str], what: str, text: str) -> Fraction:
    if match["decimal"] is not None:
        return Fraction("0" + match["decimal"].replace(",", "."))
    over, under = int(match["over"]), int(match["under"])
    if under == 0:
        raise LengthError(f"{what} {_shown(text)} divides by zero; the lower number must be 1 or more. {_HOW}")
    if match["whole"] is None:
        return Fraction(over, under)
    if over >= under:
        raise LengthError(
            f"{what} {_shown(text)} has a whole number before {over}/{under}, which is 1 or more by itself; "
            f"after a whole number the fraction must be less than 1. {_HOW}"
        )
    return int(match["whole"]) + Fraction(over, under)


def _unit(match: re.Match[str], default: Unit) -> Unit:
    if match["unit"] is None:
        return Unit.INCH if match["over"] is not None else default
    return Unit.MM if match["unit"].lower().startswith("m") else Unit.INCH


def _why(plain: str) -> str:
    if "'" in plain:
        return "has a foot mark; use millimetres or inches"
    if plain.lower().lstrip("+-") in {"nan", "inf", "infinity", "∞"}:
        return "is not a finite number"
    if "," in plain and "." in plain:
        return "has both a comma and a point; use only one, before the decimals"
    return "is not a length; a number, in mm or inches, is needed"


def _shown(text: str) -> str:
    """``text`` in quotes, short and without characters that would spoil a line."""
    clean = "".join(c if c.isprintable() else "�" for c in text)
    return f"“{clean}”" if len(clean) <= _SHOWN else f"“{clean[:_SHOWN]}…”"


def _exact(mm: float) -> Fraction:
    if not math.isfinite(mm):
        raise LengthError(f"Length {mm} mm cannot be written; a finite number is needed. Check where it came from.")
    return Fraction(repr(float(mm)))  # 38.05 is meant, not the binary number just below it


def _half_away(value: Fraction) -> int:
    """Nearest whole number, a half away from zero: rounding a mirrored board mirrors the rounding."""
    whole = math.floor(abs(value) + Fraction(1, 2))
    return -whole if value < 0 else whole


def _in_parts(mm: float, denominator: int) -> int:
    if denominator not in {1, 2, 4, 8, 16, 32, 64, 128}:
        raise LengthError(
            f"An inch is not divided into {denominator} parts on a rule; "
            "1, 2, 4, 8, 16, 32, 64 or 128 are allowed. Choose one of them."
        )
    return _half_away(_exact(mm) / _INCH * denominator)


def _mixed(parts: int, denominator: int) -> str:
    whole, rest = divmod(abs(parts), denominator)
    words = [str(whole)] if whole or not rest else []
    if rest:
        words.append(str(Fraction(rest, denominator)))
    return ("-" if parts < 0 else "") + " ".join(words)


def _decimal(value: Fraction, decimals: int) -> str:
    if not 0 <= decimals <= 12:
        raise LengthError(f"{decimals} decimals cannot be written; 0 to 12 are allowed. Choose one of them.")
    steps = _half_away(value * 10**decimals)
    digits = str(abs(steps)).rjust(decimals + 1, "0")
    whole, rest = (digits[:-decimals], digits[-decimals:]) if decimals else (digits, "")
    return ("-" if steps < 0 else "") + (f"{whole}.{rest}" if rest else whole)
