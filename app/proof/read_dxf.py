"""DXF read tag by tag, by a reader of our own that shares nothing with the library that wrote the file.

The package index has no fit second reader: besides the library that writes, the general ones are no longer
maintained or in their first release, and those of mapping programs break circles into chords. So this reads what the
public DXF reference (release 2010) says of a text file: pairs of lines, a group code and a value; sections HEADER,
TABLES and ENTITIES; and of entities CIRCLE, ARC, LINE, LWPOLYLINE and TEXT in the plane. Anything else in the file
is an error, because it could not be vouched for. In the tests two other programs read the same files.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from msgspec import Struct

from app.errors import ProofError
from app.proof.curves import Bow, Curve, Point, Straight, Trace, joined

READER = "a separate reader, after the public DXF reference"

_Tags = list[tuple[int, str]]

# What says nothing about where a line is: handles, owners, layer, colour, widths, classes, text style and so on.
_SILENT = frozenset({5, 6, 7, 8, 43, 48, 60, 62, 67, 72, 73, 100, 330, 370, 410, 420})


class DxfFile(Struct, frozen=True):
    """What a DXF file says.

    Args:
        header: header variables that have a single value, by name.
        layers: names in the layer table.
        traces: every line.
        texts: every line of text, with its layer.
    """

    header: dict[str, str]
    layers: tuple[str, ...]
    traces: tuple[Trace, ...]
    texts: tuple[tuple[str, str], ...]


def read_dxf(data: bytes) -> DxfFile:
    """Read a text DXF file.

    Raises:
        ProofError: it is broken, or holds something that this reader does not know.
    """
    try:
        return _read(data)
    except (ValueError, IndexError) as error:
        raise _broken(f"a value is missing or no number ({str(error)[:60]})") from error


def _read(data: bytes) -> DxfFile:
    sections = _sections(_tags(data))
    traces: list[Trace] = []
    texts: list[tuple[str, str]] = []
    for kind, tags in _entities(sections.get("ENTITIES", [])):
        values = dict(tags)
        layer = values.get(8, "0")
        if kind == "TEXT":
            texts.append((layer, values.get(1, "")))
        else:
            traces.append(_trace(kind, tags, values, layer))
    header = _header(sections.get("HEADER", []))
    layers = tuple(_layer_names(sections.get("TABLES", [])))
    return DxfFile(header, layers, tuple(traces), tuple(texts))


def _tags(data: bytes) -> _Tags:
    # Not splitlines(): a word may hold another character that is a line break elsewhere.
    lines = data.decode("utf-8").replace("\r\n", "\n").removesuffix("\n").split("\n")
    if len(lines) % 2:
        raise _broken("it has an odd number of lines")
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def _sections(tags: _Tags) -> dict[str, _Tags]:
    found: dict[str, _Tags] = {}
    name = ""
    for k, (code, value) in enumerate(tags):
        if (code, value) == (0, "SECTION"):
            name = tags[k + 1][1]
            found[name] = []
        elif (code, value) == (0, "ENDSEC"):
            name = ""
        elif name:
            found[name].append((code, value))
    if not tags or tags[-1] != (0, "EOF"):
        raise _broken("its end is missing")
    return found


def _header(tags: _Tags) -> dict[str, str]:
    found: dict[str, str] = {}
    for (code, name), (_, value) in pairwise(tags):
        if code == 9:
            found[name] = value.strip()
    return found


def _layer_names(tags: _Tags) -> Iterator[str]:
    inside = False
    for code, value in tags:
        if code == 0:
            inside = value == "LAYER"
        elif inside and code == 2:
            yield value


def _entities(tags: _Tags) -> Iterator[tuple[str, _Tags]]:
    kind = ""
    own: _Tags = []
    for code, value in tags[1:]:  # the first is the section's name
        if code == 0:
            if kind:
                yield kind, own
            kind, own = value, []
        else:
            own.append((code, value))
    if kind:
        yield kind, own


def _trace(kind: str, tags: _Tags, values: dict[int, str], layer: str) -> Trace:
    _check_plane(kind, values)
    if kind == "CIRCLE":
        _known(kind, values, {10, 20, 30, 40})
        return Trace((Bow(_point(values), _number(values, 40), 0.0, 2 * math.pi),), True, layer)
    if kind == "ARC":
        _known(kind, values, {10, 20, 30, 40, 50, 51})
        start, end = (math.radians(_number(values, code)) for code in (50, 51))
        return Trace((Bow(_point(values), _number(values, 40), start, (end - start) % (2 * math.pi)),), False, layer)
    if kind == "LINE":
        _known(kind, values, {10, 20, 30, 11, 21, 31})
        return Trace((Straight(_point(values), (_number(values, 11), _number(values, 21))),), False, layer)
    if kind == "LWPOLYLINE":
        _known(kind, values, {10, 20, 38, 40, 41, 42, 70, 90})
        return _polyline(tags, values, layer)
    raise _broken(f"it holds a {kind[:30]}, which this program does not write")


def _polyline(tags: _Tags, values: dict[int, str], layer: str) -> Trace:
    corners: list[list[float]] = []
    for code, value in tags:
        if code == 10:
            corners.append([float(value), 0.0, 0.0])
        elif code in (20, 42) and corners:
            corners[-1][1 if code == 20 else 2] = float(value)
    if len(corners) != int(values.get(90, "0")) or len(corners) < 2:
        raise _broken("a polyline has another number of corners than it says")
    closed = bool(int(values.get(70, "0")) & 1)
    ends = [*corners[1:], corners[0]] if closed else corners[1:]
    pieces = [_piece((x, y), bulge, (end[0], end[1])) for (x, y, bulge), end in zip(corners, ends, strict=False)]
    return Trace(joined(pieces), closed, layer)


def _piece(a: Point, bulge: float, b: Point) -> Curve:
    """A straight piece, or an arc whose bulge is tan(sweep / 4)."""
    if bulge == 0.0:
        return Straight(a, b)
    sweep = 4 * math.atan(bulge)
    # The centre is on the chord's bisector, this many chords to the left of its middle.
    across = 1 / (2 * math.tan(sweep / 2)) if abs(abs(sweep) - math.pi) > 1e-12 else 0.0
    centre = (
        (a[0] + b[0]) / 2 - across * (b[1] - a[1]),
        (a[1] + b[1]) / 2 + across * (b[0] - a[0]),
    )
    return Bow(centre, math.dist(centre, a), math.atan2(a[1] - centre[1], a[0] - centre[0]), sweep)


def _check_plane(kind: str, values: dict[int, str]) -> None:
    """Everything lies in the plane z = 0, seen from above."""
    for code, flat in ((30, 0.0), (31, 0.0), (38, 0.0), (39, 0.0), (210, 0.0), (220, 0.0), (230, 1.0)):
        if code in values and float(values[code]) != flat:
            raise _broken(f"a {kind[:30]} is not in the plane of the drawing")


def _known(kind: str, values: dict[int, str], codes: set[int]) -> None:
    strange = set(values) - codes - _SILENT - {39, 210, 220, 230}
    if strange:
        raise _broken(f"a {kind} has the unknown group {min(strange)}")


def _point(values: dict[int, str]) -> Point:
    return (_number(values, 10), _number(values, 20))


def _number(values: dict[int, str], code: int) -> float:
    if code not in values:
        raise _broken(f"group {code} is missing")
    return float(values[code])


def _broken(what: str) -> ProofError:
    return ProofError(f"The DXF file cannot be read back: {what}. It is withheld; please report this with the design.")
