"""What a file costs grows no faster than the file: ten times as many lines, at most fifteen times the work."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest

from app.errors import DocumentError
from app.readers.outline_file import read_outline
from tests.reading.counting import calls

WIDE, DEEP = 1000.0, 500.0


def svg(body: str, style: str = "") -> bytes:
    head = f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDE}mm" height="{DEEP}mm" viewBox="0 0 {WIDE} {DEEP}">'
    return f'{head}{style}<rect width="{WIDE}" height="{DEEP}"/>{body}</svg>'.encode()


def circles(count: int, kind: str = "") -> str:
    columns = math.ceil(math.sqrt(2 * count))
    pitch = WIDE / (columns + 1)
    return "".join(
        f'<circle{kind} cx="{(k % columns + 1) * pitch:.3f}" cy="{(k // columns + 1) * pitch:.3f}" r="2"/>'
        for k in range(count)
    )


@pytest.mark.parametrize(
    "made",
    [
        lambda n: svg(circles(n)),
        lambda n: svg(circles(n, ' class="a"'), "<style>" + ".a{stroke:#000;display:inline}" * n + "</style>"),
        lambda n: svg(circles(n, ' class="a"'), "<style>" + "".join(f".a{k}{{r:3}}" for k in range(n)) + "</style>"),
    ],
    ids=["circles", "one style said again and again", "a style for each"],
)
def test_ten_times_as_many_shapes_are_at_most_fifteen_times_the_work(made: Callable[[int], bytes]) -> None:
    read_outline(made(5), "warm.svg")
    few, many = (calls(lambda n=n: read_outline(made(n), "drawing.svg")) for n in (40, 400))  # type: ignore[misc]
    assert many <= 15 * few


def test_a_style_sheet_hides_what_it_hid() -> None:
    hidden = "<style>/* a */ .a { stroke: #000; display: none } .b, .c { fill: red }</style>"
    found = read_outline(svg(circles(3, ' class="a"') + '<circle class="b" cx="500" cy="250" r="9"/>', hidden), "a.svg")
    assert len(found.inner) == 1
    # What is said last counts (CSS Cascade 4, section 6.1).
    shown = "<style>.a { display: none } .a { display: inline }</style>"
    assert len(read_outline(svg(circles(3, ' class="a"'), shown), "a.svg").inner) == 3


def test_rules_in_rules_stay_as_they_are_or_are_refused() -> None:
    nested = "<style>@media print { .a { display: none } }</style>"
    assert len(read_outline(svg(circles(3, ' class="a"'), nested), "a.svg").inner) == 3
    with pytest.raises(DocumentError, match="style sheet"):
        read_outline(svg("", "<style>" + "@media print { .a { display: none } }" * 200 + "</style>"), "a.svg")


def test_a_curve_is_as_large_as_it_is() -> None:
    # Half axes 400 and 250 mm; a quarter as one cubic, with arms of 4/3·(√2 − 1), is within 0.03 % of the ellipse.
    k = 4 / 3 * (math.sqrt(2) - 1)
    x, y = 400 * k, 250 * k
    body = (
        f"M900,250c0,{y} {x - 400},250 -400,250s-400,{y - 250} -400,-250s{400 - x},-250 400,-250s400,{250 - y} 400,250z"
    )
    data = svg("").replace(b'<rect width="1000.0" height="500.0"/>', f'<path d="{body}"/>'.encode())
    found = read_outline(data, "a.svg")
    assert found.mm is not None
    assert (found.size[0] * found.mm, found.size[1] * found.mm) == pytest.approx((800.0, 500.0), abs=0.3)
