"""What reads an exchange drawing back, format by format: everything in which one format differs from another."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from msgspec import Struct

from app.proof import read_dxf, read_svg
from app.proof.compare import ProofTally
from app.proof.curves import Trace

Texts = Sequence[tuple[str, str]]
"""Lines of text, each with its layer first."""


class DrawingReader(Struct, frozen=True):
    """A reader of exchange drawings.

    Args:
        name: what a builder calls such a drawing, as ``SVG``.
        by: what does the reading, in words.
        read: every line and every text of a file in mm; it refuses, by the tally, a file of another unit or size.
        placed: whether the files have an origin; else lines count from the lower left corner of the drawing.
    """

    name: str
    by: str
    read: Callable[[bytes, ProofTally], tuple[Sequence[Trace], Texts]]
    placed: bool


def _dxf(data: bytes, tally: ProofTally) -> tuple[Sequence[Trace], Texts]:
    file = read_dxf.read_dxf(data)
    for name, value, meaning in (("$INSUNITS", "4", "millimetres"), ("$MEASUREMENT", "1", "metric")):
        if file.header.get(name) != value:
            raise tally.refuse(f"its header says {name} {file.header.get(name)}, not {value}, {meaning}")
    used = {trace.layer for trace in file.traces} | {layer for layer, _ in file.texts}
    if set(file.layers) - {"0"} != used:
        raise tally.refuse(f"its layers are not those used: {', '.join(sorted(set(file.layers) ^ (used | {'0'})))}")
    return file.traces, file.texts


def _svg(data: bytes, tally: ProofTally) -> tuple[Sequence[Trace], Texts]:
    file = read_svg.read_svg(data)
    # Width and viewBox are written to 0.0001 mm.
    if any(abs(scale - 1) > 1e-5 for scale in file.scale):
        raise tally.refuse(f"a user unit is {file.scale[0]:.5f} × {file.scale[1]:.5f} mm, not 1")
    return file.traces, file.texts


DXF_READER = DrawingReader("DXF", read_dxf.READER, _dxf, placed=True)
SVG_READER = DrawingReader("SVG", read_svg.READER, _svg, placed=False)
