"""An exchange drawing read back: units, size, check squares, layers, and every cut in its place."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from typing import Final

from app.catalogue.load import catalogue
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.proof.compare import ProofTally, Round, match_rims, match_rings
from app.proof.curves import Bezier, Bow, Point, Trace, mapped
from app.proof.drawing_reader import DrawingReader
from app.proof.result import TOLERANCE, Proof
from app.proof.rims import RimLine, board_rims, cut_rim
from app.proof.rings import rings
from app.proof.wanted import WantedCut, wanted_cuts
from app.units import format_exact
from app.values import replace

_LAYER: Final = re.compile(
    r"(?P<side>TOP|UNDER)_(?P<operation>THROUGH|COUNTERBORE|RECESS|PILOT)"
    r"_(?P<size>[0-9.]+)(?:_BY_(?P<other>[0-9.]+))?(?:_DEPTH_(?P<depth>[0-9.]+))?"
)
_RIMS: Final = {"OUTLINE": "outline", "OPENING": "opening"}
_SQUARES, _NOTES = "CHECK_SQUARE", "NOTES"
_NAMED = 0.00051  # names of layers have three decimals of a mm


def prove_drawing(data: bytes, reader: DrawingReader, board: ResolvedBoard, face: Face, kerf: float = 0.0) -> Proof:
    """Read an exchange drawing again with another library, and compare it with the model.

    Args:
        data: the file.
        reader: what reads files of its format.
        board: the model.
        face: the face it should show.
        kerf: full width of the cut it should be drawn for [mm].

    Raises:
        ProofError: it does not show what the model asks for, all of it and nothing else, within ``TOLERANCE``.
    """
    tally = ProofTally(f"The {reader.name} drawing")
    traces, texts = reader.read(data, tally)
    rims = board_rims(board, face, kerf)
    if not reader.placed:
        traces = _from_corner(traces, board, kerf, tally)
    squares = [t for t in traces if t.layer == _SQUARES]
    _check_squares(squares, tally)
    _check_notes([text for layer, text in texts if layer == _NOTES], board, tally)
    drawn = [t for t in traces if t.layer != _SQUARES]
    asked = wanted_cuts(board, face, kerf=kerf)
    openings = _compare(drawn, asked, rims, face, tally)
    cuts = [cut for cut in asked if not cut.again]
    kinds = [(kind, sum(c.operation == kind for c in cuts)) for kind in ("through", "counterbore", "recess", "pilot")]
    return Proof(len(cuts) + openings, tally.largest, 1, reader.by, (*kinds, ("opening", openings)))


def _from_corner(traces: Sequence[Trace], board: ResolvedBoard, kerf: float, tally: ProofTally) -> list[Trace]:
    """The lines of a file without an origin, moved so that its outline begins where the model's does."""
    outline = [t for t in traces if t.layer == "OUTLINE"]
    if len(outline) != 1:
        raise tally.refuse(f"it has {len(outline)} outlines")
    points = _outmost(outline[0])
    x0, y0, _, _ = board.outline.bounds
    by = (x0 - kerf / 2 - min(x for x, _ in points), y0 - kerf / 2 - min(y for _, y in points))
    return [replace(t, curves=tuple(mapped(c, (1.0, 1.0), by) for c in t.curves)) for t in traces]


def _outmost(trace: Trace) -> list[Point]:
    """Points of a line among which its leftmost and lowest are."""
    points = [c.a for c in trace.curves]
    for curve in trace.curves:
        if isinstance(curve, Bow):
            low, high = sorted((curve.start, curve.start + curve.sweep))
            quarters = range(math.ceil(low / (math.pi / 2)), math.floor(high / (math.pi / 2)) + 1)
            points += [replace(curve, start=q * math.pi / 2).a for q in quarters]
        elif isinstance(curve, Bezier):
            points += [curve.at(k / 256) for k in range(1, 256)]
    return points


def _check_squares(squares: Sequence[Trace], tally: ProofTally) -> None:
    """Both check squares are there, square and true: what is measured where the file is opened."""
    rule = catalogue().rule
    wanted = [rule("reference-square-mm"), rule("reference-square-inch")]
    sides = []
    for square in squares:
        corners = [c.a for c in square.curves]
        xs, ys = [x for x, _ in corners], [y for _, y in corners]
        width, height = max(xs) - min(xs), max(ys) - min(ys)
        if len(corners) != 4 or not square.closed or abs(square.area - width * height) > TOLERANCE:
            raise tally.refuse("a check square is not square")
        sides += [width, height]
    want = sorted([*wanted, *wanted])
    if len(sides) != len(want) or max(abs(a - b) for a, b in zip(sorted(sides), want, strict=True)) > TOLERANCE:
        raise tally.refuse(f"the check squares are {', '.join(f'{side:.2f}' for side in sides) or 'missing'} mm")
    tally.note(max(abs(a - b) for a, b in zip(sorted(sides), want, strict=True)))


def _check_notes(notes: Iterable[str], board: ResolvedBoard, tally: ProofTally) -> None:
    size = " x ".join(format_exact(round(v, 3)) for v in (board.width, board.depth_front_to_back)) + " mm"
    if not any(size in note for note in notes):
        raise tally.refuse(f"no note says its size, {size}")


def _compare(
    traces: Sequence[Trace], cuts: Sequence[WantedCut], rims: Sequence[RimLine], face: Face, tally: ProofTally
) -> int:
    """Pair every line with a cut or a rim on the layer it belongs to; returns how many openings there are."""
    for trace in traces:
        if not trace.closed:
            x, y = trace.curves[0].a
            raise tally.refuse(f"a line on layer {trace.layer[:60]} at x {x:.2f}, y {y:.2f} mm is open")
    # An opening or a board may be round, and is a rim all the same.
    lines = [trace for trace in traces if trace.layer in _RIMS]
    holes = [trace for trace in traces if trace.layer not in _RIMS]
    fitted = rings(holes, TOLERANCE / 2)
    lines += [trace for trace, one in zip(holes, fitted, strict=True) if one is None]
    circles = [one for one in fitted if one is not None]
    others = [cut_rim(cut) for cut in cuts if not cut.is_circle]
    for one, cut in match_rings(circles, Round(cuts), tally):
        _check_layer(one.layer, cut, face, tally)
    for trace, rim in match_rims(lines, [*rims, *others], tally):
        if rim.cut is not None:
            _check_layer(trace.layer, rim.cut, face, tally)
        elif _RIMS.get(trace.layer) != rim.operation:
            raise tally.refuse(f"the {rim.words} is on the layer {trace.layer[:60]}")
    return sum(rim.operation == "opening" and not rim.again for rim in rims)


def _check_layer(layer: str, cut: WantedCut, face: Face, tally: ProofTally) -> None:
    """A layer's name says the face, the operation, the size before the kerf and the depth."""
    said = _LAYER.fullmatch(layer)
    sizes = [float(v) for v in (said["size"], said["other"]) if v] if said else []
    if (
        said is None
        or said["side"] != ("TOP" if face == "top" else "UNDER")
        or said["operation"].lower() != cut.operation
        or len(sizes) != len(cut.size)
        or any(abs(a - b) > _NAMED for a, b in zip(sizes, cut.size, strict=True))
        or abs(float(said["depth"] or 0.0) - cut.depth) > _NAMED
    ):
        raise tally.refuse(f"the {cut.words} is on the layer {layer[:60]}")
