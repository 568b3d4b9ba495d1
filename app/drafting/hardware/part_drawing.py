"""A part by itself, from above and from the front, with every measure that can be taken of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Final

from app.arrange.hardware.measures import PartMeasure, caliper
from app.drafting.facing import Facing
from app.drafting.forms import Box, box_path, shape_item
from app.drafting.hardware.elevation_parts import height_above, profile
from app.drafting.hardware.measure_places import MeasurePlace, place_of
from app.drafting.hardware.part_faces import top_view
from app.drafting.hardware.side_frame import SideFrame
from app.model.part import NutFixing, Part, ScrewFixing
from app.model.resolved import Hole, Placed
from app.scene.metrics import text_box, text_width
from app.scene.palette import HIDDEN, INK, LIGHT, MUTED, PILOT, TEAL_DEEP
from app.scene.primitives import Circle, Group, Item, Line, Scene, Style, Text, walk
from app.units import Unit

_BOARD = Style(stroke=LIGHT["mdf-edge"], width=0.25, fill=LIGHT["mdf"], opacity=0.55, role="board-cut")
_LETTERS: Final = 0.022
"""Size of the letters against the height of the drawing: 13 px where it is 600 px tall."""
_ROW: Final = 2.15
_STEP: Final = 1.5


def part_drawing(
    part: Part, measures: Sequence[PartMeasure], *, thickness: float, unit: Unit, highlight: str = ""
) -> Scene:
    """The part from above, and below that from the front, in a board, with all its measures.

    Each measure is a group ``dim-<name>`` with its name in its data, so that a screen can bring it out.

    Args:
        part: the part.
        measures: its measures.
        thickness: of the board it is in [mm].
        unit: for the figures.
        highlight: name of the measure to bring out; empty for none.
    """
    placed = Placed(
        "part", part, 0.0, 0.0, 0.0, "", "", drill=True, holes=tuple(Hole(c, c.shape, None) for c in part.cutouts)
    )
    top, foot = height_above(placed, thickness), _foot(part, thickness)
    below, left, right, above = _plan_box(part)
    places = {m.name: place_of(m.name, m.value, part, thickness) for m in measures}
    rows = {zone: _ordered(places, zone) for zone in ("top", "middle", "bottom")}
    size = _letter_size(top - foot + above - below, sum(map(len, rows.values())))
    up = top + (len(rows["middle"]) * _ROW + 3.0) * size - below
    side: list[Item] = [*_board(part, thickness, left, right, size), *profile(placed, _frame(thickness))]
    items: list[Item] = [Group(tuple(side), name="side"), Group(_plan(placed), name="plan", shift=(0.0, up))]
    gap = 0.6 * size
    lines = {"top": (above + up + gap, 1), "middle": (below + up - gap, -1), "bottom": (foot - gap, -1)}
    pen = _Pen({m.name: f"{m.words} {caliper(m.value, unit)}" for m in measures}, size, highlight)
    for zone, names in rows.items():
        start, sense = lines[zone]
        # The outermost first: its lines pass the words of those nearer, which are set on top of them.
        for index, name in reversed(tuple(enumerate(names))):
            items.append(pen.across(name, places[name].raised(up), start + sense * (index + 1) * _ROW * size))
    for zone, edge, sense in (("left", left, -1), ("right", right, 1)):
        items += pen.upright({n: p.raised(up) for n, p in places.items() if p.zone == zone}, edge, sense)
    x0, y0, x1, y1 = _bounds(items, (left, foot, right, above + up))
    edge = 0.8 * size
    title = f"{part.name}: from above and from the front, with its measures"
    return Scene(x0 - edge, y0 - edge, x1 + edge, y1 + edge, tuple(items), title=title, note="drawn in mm")


def _letter_size(height: float, rows: int) -> float:
    """Letters so large that they are one share of the whole, rows of figures included [mm]."""
    return _LETTERS * max(height, 30.0) / max(1.0 - _LETTERS * (rows * _ROW + 6.0), 0.35)


def _frame(thickness: float) -> SideFrame:
    return SideFrame(Facing("top", 0.0), 0.0, thickness, fine=True)


def _foot(part: Part, thickness: float) -> float:
    ends = [thickness, part.body.depth + (thickness if part.mount == "under" else 0.0)]
    if isinstance(part.fixing, NutFixing):
        f = part.fixing
        ends += [f.thread_length, thickness + f.washer + f.nut_height + f.spare_thread]
    return -max(ends)


def _plan_box(part: Part) -> Box:
    """Front, left, right and back of what is seen from above [mm]."""
    shapes = [c.shape for c in part.cutouts] + [part.body.shape]
    shapes += [part.flange.shape] if part.flange else []
    reach = [part.lever.knob / 2] if part.lever else []
    if isinstance(part.fixing, NutFixing):
        reach.append(part.fixing.nut_width / 2)
    if isinstance(part.fixing, ScrewFixing) and part.fixing.plate:
        shapes.append(part.fixing.plate)
    boxes = [s.bounds for s in shapes] + [(-r, -r, r, r) for r in reach]
    return (min(b[1] for b in boxes), min(b[0] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes))


def _board(part: Part, thickness: float, left: float, right: float, size: float) -> list[Item]:
    """The board it is in, cut through the middle of the part."""
    x0, _, x1, _ = part.cutouts[0].shape.bounds if part.cutouts else (0.0, 0.0, 0.0, 0.0)
    more = 2.0 * size
    sides = [(left - more, -thickness, x0, 0.0), (x1, -thickness, right + more, 0.0)]
    return [box_path(side, _BOARD) for side in sides if side[2] - side[0] > 0.1]


def _plan(placed: Placed) -> tuple[Item, ...]:
    """From above: what is seen, and dashed what the rim or the board hides."""
    part, fixing = placed.part, placed.part.fixing
    items: list[Item] = [*top_view(placed, 1.0)]
    items += [shape_item(c.shape, HIDDEN) for c in part.cutouts]
    items.append(shape_item(part.body.shape, HIDDEN))
    if isinstance(fixing, NutFixing):
        items.append(Circle((0.0, 0.0), fixing.nut_width / 2, HIDDEN))
    if isinstance(fixing, ScrewFixing):
        items += [Circle(at, fixing.screw_diameter / 2, PILOT) for at in fixing.holes]
    return tuple(items)


def _ordered(places: dict[str, MeasurePlace], zone: str) -> list[str]:
    """Names of the measures of a zone, short ones first, so that their lines do not cross."""
    return sorted((n for n, p in places.items() if p.zone == zone), key=lambda n: (places[n].span, n))


class _Pen:
    """Draws measures with letters of one size.

    Args:
        texts: what is written, by name.
        size: of the letters [mm].
        highlight: name of the measure to bring out.
    """

    def __init__(self, texts: dict[str, str], size: float, highlight: str) -> None:
        self._texts = texts
        self._size = size
        self._highlight = highlight

    def across(self, name: str, place: MeasurePlace, level: float) -> Group:
        """A measure from left to right, its line at the height ``level`` and its words above that."""
        size, at = self._size, Style(stroke=self._ink(name), width=self._width(name), role="dimension")
        past = 0.4 * size if level > place.at else -0.4 * size
        items: list[Item] = [Line((x, place.at), (x, level + past), self._thin(name)) for x in (place.a, place.b)]
        items.append(Line((place.a, level), (place.b, level), at))
        items += [self._tick((x, level), at) for x in (place.a, place.b)]
        items.append(self._text(name, ((place.a + place.b) / 2, level + 0.35 * size), "middle"))
        return self._group(name, items)

    def upright(self, places: dict[str, MeasurePlace], edge: float, sense: int) -> Iterable[Group]:
        """Measures from bottom to top beside the part, and their words in a column farther out."""
        size = self._size
        names = sorted(places, key=lambda n: (places[n].span, n))
        levels = {n: edge + sense * (3.0 + _STEP * i) * size for i, n in enumerate(names)}
        column = edge + sense * (3.6 + _STEP * len(names)) * size
        heights = _spread({n: (places[n].a + places[n].b) / 2 for n in names}, 1.55 * size)
        for name in names:
            place, x = places[name], levels[name]
            line = Style(stroke=self._ink(name), width=self._width(name), role="dimension")
            past, middle = sense * 0.4 * size, (place.a + place.b) / 2
            items: list[Item] = [Line((place.at, y), (x + past, y), self._thin(name)) for y in (place.a, place.b)]
            items.append(Line((x, place.a), (x, place.b), line))
            items += [self._tick((x, y), line) for y in (place.a, place.b)]
            items.append(Line((x, middle), (column - sense * 0.3 * size, heights[name]), self._thin(name)))
            at = (column, heights[name] - 0.33 * size)
            items.append(self._text(name, at, "start" if sense > 0 else "end"))
            yield self._group(name, items)

    def _group(self, name: str, items: list[Item]) -> Group:
        role = "dim on" if name == self._highlight else "dim"
        return Group(tuple(items), name=f"dim-{name}", data={"measure": name}, title=self._texts[name], role=role)

    def _text(self, name: str, at: tuple[float, float], anchor: str) -> Text:
        style = Style(stroke=None, fill=self._ink(name), role="text")
        bold = name == self._highlight
        if anchor == "middle":
            return Text(at, self._texts[name], self._size, style, "middle", bold=bold)
        return Text(at, self._texts[name], self._size, style, "start" if anchor == "start" else "end", bold=bold)

    def _tick(self, at: tuple[float, float], style: Style) -> Line:
        half = 0.3 * self._size
        return Line((at[0] - half, at[1] - half), (at[0] + half, at[1] + half), style)

    def _ink(self, name: str) -> str:
        return TEAL_DEEP if name == self._highlight else INK

    def _width(self, name: str) -> float:
        return (0.17 if name == self._highlight else 0.07) * self._size

    def _thin(self, name: str) -> Style:
        ink = TEAL_DEEP if name == self._highlight else MUTED
        return Style(stroke=ink, width=0.5 * self._width(name), role="extension")


def _spread(wanted: dict[str, float], apart: float) -> dict[str, float]:
    """Heights near those wanted, in the same order, at least ``apart`` from each other [mm]."""
    rows: list[tuple[list[str], float]] = []
    for name in sorted(wanted, key=lambda n: (wanted[n], n)):
        names, middle = [name], wanted[name]
        # Neighbours that would touch stand together about their common middle.
        while rows and middle - (len(names) - 1) * apart / 2 < rows[-1][1] + (len(rows[-1][0]) + 1) * apart / 2:
            others, centre = rows.pop()
            total = len(others) + len(names)
            names, middle = others + names, (centre * len(others) + middle * len(names)) / total
        rows.append((names, middle))
    return {
        name: middle + (index - (len(names) - 1) / 2) * apart
        for names, middle in rows
        for index, name in enumerate(names)
    }


def _bounds(items: Iterable[Item], box: Box) -> Box:
    """A rectangle round the views and all words [mm]; a screen's own font may be wider by a fifth."""
    xs, ys = [box[0], box[2]], [box[1], box[3]]
    for item, _ in walk(tuple(items)):
        if isinstance(item, Text):
            corners = text_box(item)
            more = 0.2 * text_width(item.text, item.size, item.bold)
            xs += [corners[0][0] - more, corners[2][0] + more]
            ys += [corners[0][1], corners[2][1]]
    return (min(xs), min(ys), max(xs), max(ys))
