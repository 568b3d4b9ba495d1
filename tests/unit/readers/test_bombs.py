"""Short files that stand for more than any machine can draw are refused before anything of them is drawn."""

from __future__ import annotations

import io
import time
from collections.abc import Callable
from typing import Any

import pytest
from ezdxf import filemanagement

from app.errors import DocumentError
from app.readers.outline_file import read_outline

SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300">{}</svg>'
RECT = '<rect width="50" height="20"/>'
SOON = 10.0
"""Seconds after which a refusal is no refusal; a busy machine needs one or two."""


def dxf(fill: Callable[[Any, Any], None]) -> bytes:
    document = filemanagement.new("R2010")
    document.header["$INSUNITS"] = 4
    fill(document.modelspace(), document)
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue().encode()


def blocks_in_blocks(space: Any, document: Any) -> None:
    """4²⁴ lines."""
    document.blocks.new("B0").add_line((0, 0), (1, 0))
    for k in range(1, 25):
        block = document.blocks.new(f"B{k}")
        for j in range(4):
            block.add_blockref(f"B{k - 1}", (j, 0))
    space.add_blockref("B24", (0, 0))


def empty_blocks_in_blocks(space: Any, document: Any) -> None:
    """Nothing, 4²⁴ times over."""
    document.blocks.new("B0")
    for k in range(1, 25):
        block = document.blocks.new(f"B{k}")
        for j in range(4):
            block.add_blockref(f"B{k - 1}", (j, 0))
    space.add_blockref("B24", (0, 0))


def a_grid_of_blocks(space: Any, document: Any) -> None:
    """One block reference of 30 000 rows and columns."""
    document.blocks.new("A").add_line((0, 0), (1, 0))
    grid = {"row_count": 30_000, "column_count": 30_000, "row_spacing": 2, "column_spacing": 2}
    space.add_blockref("A", (0, 0), dxfattribs=grid)


def blocks_that_hold_each_other(space: Any, document: Any) -> None:
    document.blocks.new("A").add_blockref("B", (0, 0))
    document.blocks.new("B").add_blockref("A", (0, 0))
    space.add_blockref("A", (0, 0))


def blocks_nested_deep(space: Any, document: Any) -> None:
    document.blocks.new("B0").add_line((0, 0), (1, 0))
    for k in range(1, 200):
        document.blocks.new(f"B{k}").add_blockref(f"B{k - 1}", (0, 0))
    space.add_blockref("B199", (0, 0))


def many_loose_lines(space: Any, document: Any) -> None:
    for k in range(12_000):
        space.add_line((k, 0), (k + 0.5, 1))


@pytest.mark.parametrize(
    ("fill", "said"),
    [
        (blocks_in_blocks, "more than 10,000 lines"),
        (empty_blocks_in_blocks, "more than 10,000 lines"),
        (a_grid_of_blocks, "more than 10,000 lines"),
        (blocks_that_hold_each_other, "contains itself"),
        (blocks_nested_deep, "nested more than"),
        (many_loose_lines, "more than 10,000 lines"),
    ],
)
def test_a_dxf_that_stands_for_too_much(fill: Callable[[Any, Any], None], said: str) -> None:
    data = dxf(fill)
    began = time.process_time()
    with pytest.raises(DocumentError, match=said):
        read_outline(data)
    assert time.process_time() - began < SOON


USES = f'<g id="u0">{RECT}</g>' + "".join(
    f'<g id="u{k}">' + f'<use href="#u{k - 1}"/>' * 10 + "</g>" for k in range(1, 9)
)


@pytest.mark.parametrize(
    ("inside", "said"),
    [
        (USES, "more than 5,000 shapes"),  # 10⁸ rectangles
        (f'<g id="a"><use href="#a"/>{RECT}</g>', "uses itself"),
        (f'<g id="a"><use href="#b"/></g><g id="b"><use href="#a"/>{RECT}</g>', "uses itself"),
        ("<g>" * 3000 + RECT + "</g>" * 3000, "Line 1: groups are nested"),
        (RECT * 6_000, "more than 5,000 shapes"),
        (RECT * 60_000, "more than 20,000 elements"),
        ('<path d="M0,0 ' + "L1,2 " * 40_000 + 'Z"/>', "60,000"),
        ('<path d="M0,0 ' + "".join(f"C{k},9 {k},{-k % 11} {k + 1},{k % 13} " for k in range(3000)) + 'Z"/>', "10,000"),
    ],
)
def test_an_svg_that_stands_for_too_much(inside: str, said: str) -> None:
    began = time.process_time()
    with pytest.raises(DocumentError, match=said):
        read_outline(SVG.format(inside).encode())
    assert time.process_time() - began < 3 * SOON


@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_entities_are_refused_in_any_encoding_with_their_line(encoding: str) -> None:
    text = f'<?xml version="1.0" encoding="{encoding}"?>\n<!DOCTYPE l [\n<!ENTITY a "aaaa">\n]>' + SVG.format("&a;")
    with pytest.raises(DocumentError, match="Line 3: it declares its own entities"):
        read_outline(text.encode(encoding))


@pytest.mark.parametrize("system", ["file:///etc/hostname", "http://127.0.0.1:9/x.dtd"])
def test_an_external_document_type_is_not_read(system: str) -> None:
    """It may be named, as drawing programs do, and only names the standard."""
    text = f'<!DOCTYPE svg SYSTEM "{system}">' + SVG.format(RECT)
    found = read_outline(text.encode())
    assert found.mm is not None
    assert found.size[0] * found.mm == pytest.approx(50)


def test_other_encodings_are_read() -> None:
    text = SVG.format(f"<desc>Maß</desc>{RECT}")
    for data in (
        ('<?xml version="1.0" encoding="iso-8859-1"?>' + text).encode("latin-1"),
        ('<?xml version="1.0" encoding="utf-16"?>' + text).encode("utf-16"),
        text.encode("utf-8-sig"),
    ):
        found = read_outline(data)
        assert found.size[0] * (found.mm or 0) == pytest.approx(50)
    with pytest.raises(DocumentError):
        read_outline(('<?xml version="1.0" encoding="no-such-encoding"?>' + text).encode())


def test_numbers_that_are_none_are_told_with_their_layer() -> None:
    for bulge, x in ((float("nan"), 0.0), (0.0, float("nan")), (0.0, float("inf")), (0.0, 1e200)):

        def fill(space: Any, _: Any, bulge: float = bulge, x: float = x) -> None:
            points = [(x, 0, bulge), (100, 0, 0), (50, 50, 0)]
            space.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": "cut"})

        with pytest.raises(DocumentError, match="Layer “cut”"):
            read_outline(dxf(fill))


@pytest.mark.parametrize("spoilt", [b"24515SRT", b"0.5.5", b"", b"1,5"])
def test_a_damaged_number_is_not_guessed(spoilt: bytes) -> None:
    """The library would read 24515 from the first of these; the outline would be wrong, and nobody told."""

    def fill(space: Any, _: Any) -> None:
        space.add_lwpolyline([(0, 0), (24515, 0), (24515, 300), (0, 300)], close=True)

    data = dxf(fill)
    lines = data.splitlines()
    (index,) = [k for k, line in enumerate(lines) if line == b"24515.0"][:1]
    lines[index] = spoilt
    with pytest.raises(DocumentError, match=f"Line {index + 1}: .* is not a number"):
        read_outline(b"\n".join(lines))


@pytest.mark.parametrize("bulge", [1e-12, 1e-18, 1e18, 1e300])
def test_bulges_beyond_reckoning(bulge: float) -> None:
    """One that is nothing is a straight line; one that is next to a full turn reaches where no board is."""

    def fill(space: Any, _: Any) -> None:
        space.add_lwpolyline([(0, 0, bulge), (600, 0, 0), (600, 300, 0), (0, 300, 0)], format="xyb", close=True)

    if bulge > 1:
        with pytest.raises(DocumentError, match="far outside any board"):
            read_outline(dxf(fill))
        return
    assert [c.setback for c in read_outline(dxf(fill)).corners(1.0, [])[0]] == [None] * 4
