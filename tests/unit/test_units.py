"""Lengths: the inch is exactly 25.4 mm (international yard and pound agreement, 1959)."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import LengthError
from app.units import (
    INCH,
    LONGEST,
    Unit,
    format_area,
    format_exact,
    format_length,
    format_named,
    fraction_error,
    parse_length,
)

# Inch fractions and their exact millimetres, as printed on drill charts.
CHART = {
    "1/16": "1.5875", "5/64": "1.984375", "3/32": "2.38125", "7/64": "2.778125",
    "1/8": "3.175", "9/64": "3.571875", "5/32": "3.96875", "11/64": "4.365625",
    "3/16": "4.7625", "7/32": "5.55625", "1/4": "6.35", "17/64": "6.746875",
    "9/32": "7.14375", "5/16": "7.9375", "3/8": "9.525", "1/2": "12.7",
    "5/8": "15.875", "3/4": "19.05", "7/8": "22.225", "15/16": "23.8125",
    "31/32": "24.60625", "63/64": "25.003125", "1": "25.4", "1-1/16": "26.9875",
    "1-1/8": "28.575", "1-3/16": "30.1625", "1-1/4": "31.75", "1-3/8": "34.925",
}  # fmt: skip

lengths = st.floats(-LONGEST, LONGEST, allow_nan=False)
denominators = st.sampled_from([16, 32, 64])


@pytest.mark.parametrize(("inches", "mm"), CHART.items())
def test_reads_the_drill_chart_exactly(inches: str, mm: str) -> None:
    assert parse_length(f'{inches}"', Unit.MM) == float(mm)
    assert parse_length(f"{mm} mm", Unit.INCH) == float(mm)


@pytest.mark.parametrize(("inches", "mm"), CHART.items())
def test_writes_the_drill_chart_exactly(inches: str, mm: str) -> None:
    assert format_length(float(mm), Unit.INCH, denominator=64) == inches.replace("-", " ") + '"'
    assert abs(fraction_error(float(mm), 64)) < 1e-14
    assert format_exact(float(mm)) == mm


@pytest.mark.parametrize(
    ("text", "default", "mm"),
    [
        ("38", Unit.MM, 38.0),
        ("38", Unit.INCH, 965.2),
        ("38mm", Unit.INCH, 38.0),
        ("38 MM", Unit.INCH, 38.0),
        ("38,5", Unit.MM, 38.5),
        ("38.5 millimetres", Unit.INCH, 38.5),
        (".5", Unit.MM, 0.5),
        ("5.", Unit.MM, 5.0),
        ("1 1/2", Unit.INCH, 38.1),
        ("1 1/2", Unit.MM, 38.1),
        ("1-1/2", Unit.INCH, 38.1),
        ('1-1/2"', Unit.MM, 38.1),
        ('1 3/8"', Unit.MM, 34.925),
        ("1.5in", Unit.MM, 38.1),
        ('1.5"', Unit.MM, 38.1),
        ("1.5''", Unit.MM, 38.1),
        ("1 1/8 in", Unit.MM, 28.575),
        ("1 1/8 in.", Unit.MM, 28.575),
        ("2 inches", Unit.MM, 50.8),
        ("11/4", Unit.INCH, 69.85),
        ("1 1/4", Unit.INCH, 31.75),
        ("-3/4", Unit.INCH, -19.05),
        ("- 3/4 in", Unit.MM, -19.05),
        ("-1-1/2", Unit.INCH, -38.1),
        ("+2", Unit.MM, 2.0),
        ("1½", Unit.INCH, 38.1),
        ("¾″", Unit.MM, 19.05),
        ("1 ⅜”", Unit.MM, 34.925),
        ("1 1⁄2", Unit.INCH, 38.1),
        ("1–1/2″", Unit.MM, 38.1),
        ("−5", Unit.MM, -5.0),
        ("  7\t", Unit.MM, 7.0),
        ("1/2 mm", Unit.INCH, 0.5),
        ("100000", Unit.MM, 100_000.0),
    ],
)
def test_reads_what_people_type(text: str, default: Unit, mm: float) -> None:
    assert parse_length(text, default) == mm


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "is empty"),
        (" \t ", "is empty"),
        ("nan", "not a finite number"),
        ("-inf", "not a finite number"),
        ("infinity", "not a finite number"),
        ("1e3", "not a length"),
        ("1/0", "divides by zero"),
        ("1 0/0", "divides by zero"),
        ("wide", "not a length"),
        ("12 cm", "not a length"),
        ("3 4", "not a length"),
        ("1 - 1/2", "not a length"),
        ("--3", "not a length"),
        ("1.5 1/2", "not a length"),
        ("1 5/4", "must be less than 1"),
        ("1,000.5", "both a comma and a point"),
        ("5' 3\"", "foot mark"),
        ("100000.1", "beyond ±100,000 mm"),
        ("-3938 in", "beyond ±100,000 mm"),
        ("9" * 60, "beyond ±100,000 mm"),
        ("9" * 65, "65 characters long; 64 are allowed"),
        ("1" * 1_000_000, "1000000 characters long"),
        ("٣", "not a length"),
        ("<b>5</b>", "not a length"),
        ("5\x00", "not a length"),
    ],
)
def test_refuses_with_what_and_remedy(text: str, why: str) -> None:
    with pytest.raises(LengthError, match=re.escape(why)) as caught:
        parse_length(text, Unit.MM, what="Board width")
    message = str(caught.value)
    assert message.startswith("Board width")
    assert message.rstrip(".").endswith(("1.5 in", "write less"))
    assert len(message) < 250
    assert message.isprintable()


@given(st.text(max_size=80))
def test_any_text_is_a_length_or_a_length_error(text: str) -> None:
    try:
        value = parse_length(text, Unit.INCH)
    except LengthError:
        return
    assert abs(value) <= LONGEST


@given(lengths, denominators)
def test_a_printed_fraction_is_within_half_a_part(mm: float, denominator: int) -> None:
    printed = format_length(mm, Unit.INCH, denominator=denominator)
    half_a_part = INCH / denominator / 2  # 1/32 gives 0.397 mm, 1/16 gives 0.794 mm
    assert abs(fraction_error(mm, denominator)) <= half_a_part + 1e-9
    assert _exact_inches(printed) * Fraction(254, 10) - Fraction(mm) == pytest.approx(
        fraction_error(mm, denominator), abs=1e-9
    )


def test_the_worst_fraction_errors_reach_the_bound_and_no_more() -> None:
    assert abs(fraction_error(INCH / 64, 32)) == pytest.approx(0.40, abs=0.005)
    assert abs(fraction_error(INCH / 32, 16)) == pytest.approx(0.79, abs=0.005)


@given(lengths, denominators)
def test_reading_a_printed_fraction_gives_it_again(mm: float, denominator: int) -> None:
    printed = format_length(mm, Unit.INCH, denominator=denominator)
    if abs(_exact_inches(printed) * Fraction(254, 10)) <= LONGEST:
        assert format_length(parse_length(printed, Unit.MM), Unit.INCH, denominator=denominator) == printed


@given(lengths, denominators)
def test_a_fraction_is_reduced_and_proper(mm: float, denominator: int) -> None:
    printed = format_length(mm, Unit.INCH, denominator=denominator, suffix=False)
    if "/" in printed:
        over, under = (int(part) for part in printed.lstrip("-").split(" ")[-1].split("/"))
        assert over < under <= denominator
        assert Fraction(over, under).denominator == under


@given(lengths, denominators)
def test_mirroring_a_length_mirrors_its_text(mm: float, denominator: int) -> None:
    there = format_length(abs(mm), Unit.INCH, denominator=denominator)
    back = format_length(-abs(mm), Unit.INCH, denominator=denominator)
    assert back == (there if there == '0"' else f"-{there}")


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (0.999 * INCH, '1"'),
        (1.9999 * INCH, '2"'),
        (-0.999 * INCH, '-1"'),
        (1.5 * INCH, '1 1/2"'),
        (-1.5 * INCH, '-1 1/2"'),
        (0.75 * INCH, '3/4"'),
        (0.0, '0"'),
        (-0.0, '0"'),
        (-0.001, '0"'),
        (24 * INCH, '24"'),
    ],
)
def test_inches_carry_reduce_and_keep_the_sign(mm: float, text: str) -> None:
    assert format_length(mm, Unit.INCH) == text


@pytest.mark.parametrize(
    ("mm", "decimals", "text"),
    [
        (38.0, 1, "38.0 mm"),
        (38.05, 1, "38.1 mm"),  # although the float nearest 38.05 lies just below it
        (19.05, 1, "19.1 mm"),
        (38.25, 1, "38.3 mm"),
        (-38.25, 1, "-38.3 mm"),
        (0.96, 1, "1.0 mm"),
        (-0.04, 1, "0.0 mm"),
        (19.05, 2, "19.05 mm"),
        (299.6, 0, "300 mm"),
    ],
)
def test_millimetres_round_half_away_from_zero(mm: float, decimals: int, text: str) -> None:
    assert format_length(mm, Unit.MM, decimals=decimals) == text


def test_the_suffix_can_be_left_out() -> None:
    assert format_length(38.1, Unit.INCH, suffix=False) == "1 1/2"
    assert format_length(38.1, Unit.MM, suffix=False) == "38.1"


@pytest.mark.parametrize("mm", [float("nan"), float("inf"), float("-inf")])
def test_what_is_not_a_number_is_not_written(mm: float) -> None:
    for write in (format_exact, lambda v: format_length(v, Unit.MM), lambda v: format_length(v, Unit.INCH)):
        with pytest.raises(LengthError, match="a finite number is needed"):
            write(mm)


@pytest.mark.parametrize("denominator", [0, -8, 3, 10, 256])
def test_a_denominator_no_rule_has_is_refused(denominator: int) -> None:
    with pytest.raises(LengthError, match="Choose one of them"):
        format_length(10.0, Unit.INCH, denominator=denominator)


@given(lengths)
def test_the_exact_text_reads_back_and_is_short(mm: float) -> None:
    text = format_exact(mm)
    assert abs(parse_length(text, Unit.MM) - mm) <= 5e-10 + abs(mm) * 1e-15
    assert format_exact(parse_length(text, Unit.MM)) == text
    assert not ("." in text and text.endswith(("0", ".")))
    assert "e" not in text


@pytest.mark.parametrize(
    ("mm", "text"),
    [(300.0, "300"), (19.05, "19.05"), (0.1 + 0.2, "0.3"), (-0.0, "0"), (1e-12, "0"), (1e5, "100000")],
)
def test_the_exact_text_has_no_noise(mm: float, text: str) -> None:
    assert format_exact(mm) == text


@pytest.mark.parametrize(
    ("mm", "in_mm", "in_inches"),
    [
        (28.0, "28 mm", "28 mm"),  # 1 7/64" is the nearest fraction, 0.18 mm off: no hole is called that
        (13.6, "13.6 mm", "13.6 mm"),
        (4.0, "4 mm", "4 mm"),
        (25.4, "25.4 mm", '1"'),
        (12.7, "12.7 mm", '1/2"'),
        (28.575, "28.575 mm", '1 1/8"'),
        (28.17, "28.17 mm", '1.109"'),  # measured with callipers: neither a tenth nor a fraction
    ],
)
def test_metric_hardware_keeps_its_name_in_inches(mm: float, in_mm: str, in_inches: str) -> None:
    assert (format_named(mm, Unit.MM), format_named(mm, Unit.INCH)) == (in_mm, in_inches)


@pytest.mark.parametrize("mm", [19.05, 17.4625, 0.1, 1 / 3, 99_999.999])
def test_a_thousand_unit_switches_change_nothing(mm: float) -> None:
    first = format_length(mm, Unit.MM), format_length(mm, Unit.INCH), format_exact(mm)
    value = parse_length(format_exact(mm), Unit.MM)
    for _ in range(500):
        assert (format_length(value, Unit.MM), format_length(value, Unit.INCH), format_exact(value)) == first
        value = parse_length(f"{format_exact(value)} mm", Unit.INCH)
        value = parse_length(format_exact(value), Unit.MM)


def _exact_inches(printed: str) -> Fraction:
    """Value of ``-1 1/2"`` by plain arithmetic, apart from the code under test."""
    body = printed.rstrip('"')
    total = sum((Fraction(part) for part in body.lstrip("-").split(" ")), Fraction(0))
    return -total if body.startswith("-") else total


def test_an_area_is_said_in_the_unit_of_the_page() -> None:
    """1 in is 2.54 cm, so a square inch 6.4516 cm²."""
    assert format_area(645.16, Unit.INCH) == "1.0 sq in"
    assert format_area(645.16, Unit.MM) == "6.5 cm²"
    assert format_area(100 * 645.16, Unit.INCH, 0) == "100 sq in"
