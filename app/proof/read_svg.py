"""SVG read by svgelements as another program would: by its size in mm, its viewBox, every transform applied."""

from __future__ import annotations

import io
import math
from collections.abc import Iterator
from functools import cache
from typing import Any, Final

from msgspec import Struct

from app.errors import ProofError
from app.proof.curves import Bezier, Bow, Curve, Point, Straight, Trace, joined

READER: Final = "a second program"

_PPI: Final = 96.0
"""CSS pixels to an inch: 1 in = 25.4 mm = 96 px (CSS Values and Units, 6.2)."""


class SvgFile(Struct, frozen=True):
    """What an SVG file says, in mm with y up from the lower left corner of the drawing.

    Args:
        width, height: of the drawing.
        scale: millimetres to a user unit along both axes.
        traces: every line.
        texts: every line of text, with its layer.
    """

    width: float
    height: float
    scale: tuple[float, float]
    traces: tuple[Trace, ...]
    texts: tuple[tuple[str, str], ...]


def read_svg(data: bytes) -> SvgFile:
    """Read an SVG file.

    Raises:
        ProofError: it is broken, or holds something other than circles, paths, words and groups.
    """
    import svgelements

    try:
        # 96 px to the inch is what the standard says; nothing about the file is assumed.
        root = svgelements.SVG.parse(io.BytesIO(data), reify=True, ppi=_PPI)
    except Exception as error:
        raise _broken(f"{type(error).__name__}, {error}") from error
    box = root.viewbox
    if box is None or not box.width or not box.height:
        raise _broken("it has no viewBox")
    pixel = _pixel()
    width, height = float(root.width) * pixel, float(root.height) * pixel
    traces: list[Trace] = []
    texts: list[tuple[str, str]] = []
    for element in root.elements():
        layer = str(element.values.get("data-layer") or "") if hasattr(element, "values") else ""
        match element:
            case svgelements.Text():
                texts.append((layer, str(element.text or "")))
            case svgelements.Circle() if element.transform.is_identity() and element.rx == element.ry:
                traces.append(_circle(element, layer, height))
            case svgelements.Circle() | svgelements.Path():
                path = svgelements.Path(element)
                traces += _traces(path, layer, height)
            case svgelements.Shape():
                raise _broken(f"it holds a {type(element).__name__}, which this program does not write")
            case _:
                pass
    return SvgFile(width, height, (width / float(box.width), height / float(box.height)), tuple(traces), tuple(texts))


def _traces(path: Any, layer: str, height: float) -> Iterator[Trace]:
    import svgelements

    for part in path.as_subpaths():
        pieces: list[Curve] = []
        closed = False
        for step in part:
            match step:
                case svgelements.Move():
                    pass
                case svgelements.Close():
                    pieces.append(Straight(_seen(step.start, height), _seen(step.end, height)))
                    closed = True
                case svgelements.Line():
                    pieces.append(Straight(_seen(step.start, height), _seen(step.end, height)))
                case svgelements.Arc():
                    pieces.append(_bow(step, height))
                case svgelements.CubicBezier():
                    pieces.append(
                        Bezier(*(_seen(p, height) for p in (step.start, step.control1, step.control2, step.end)))
                    )
                case _:
                    raise _broken(f"it holds a {type(step).__name__}, which this program does not write")
        kept = joined(pieces)
        if kept:
            yield Trace(kept, closed, layer)


def _circle(circle: Any, layer: str, height: float) -> Trace:
    """A circle with every transform applied, as one piece: four quarters of it would be the same four times."""
    centre = _seen(circle.implicit_center, height)
    return Trace((Bow(centre, float(circle.rx) * _pixel(), 0.0, -2 * math.pi),), closed=True, layer=layer)


def _bow(arc: Any, height: float) -> Bow:
    """An arc of equal radii; y points down in the file, so it turns the other way here."""
    radii = float(arc.rx) * _pixel(), float(arc.ry) * _pixel()
    if abs(radii[0] - radii[1]) > 1e-6:
        raise _broken("an arc is elliptic, which this program does not write")
    centre, start = _seen(arc.center, height), _seen(arc.start, height)
    return Bow(
        centre,
        math.dist(centre, start),
        math.atan2(start[1] - centre[1], start[0] - centre[0]),
        -float(arc.sweep),
    )


def _seen(point: Any, height: float) -> Point:
    pixel = _pixel()
    return (float(point.x) * pixel, height - float(point.y) * pixel)


@cache
def _pixel() -> float:
    """The pixel by which the library takes a millimetre [mm].

    It reckons 0.0393701 in to the millimetre, 5 × 10⁻⁷ too much: of 100 m that would be 0.05 mm.
    """
    import svgelements

    return 1.0 / float(svgelements.Length("1mm").value(ppi=_PPI))


def _broken(what: str) -> ProofError:
    return ProofError(f"The SVG file cannot be read back: {what}. It is withheld; please report this with the design.")
