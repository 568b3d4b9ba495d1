"""What every writer asks of a scene first: numbers that can be drawn and words that can be stored."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import lru_cache
from math import hypot
from typing import Any, Final
from unicodedata import normalize

from app.errors import WriterError
from app.scene.primitives import (
    Arc,
    ArcTo,
    Circle,
    CubicTo,
    Group,
    Item,
    Line,
    LineTo,
    MoveTo,
    Path,
    Point,
    Scene,
    Style,
    Text,
)

Primitive = Line | Circle | Arc | Path | Text

LARGEST = 1_000_000.0
"""No coordinate of a board or a sheet is farther out [mm]; beyond it the files' decimals run out."""

LOOSEST_ARC = 0.01
"""The start and the end of an arc step may lie on radii that differ by this much [mm]; more is not an arc."""

_UNSAFE = {
    **dict.fromkeys((*range(0x20), *range(0x7F, 0xA0), *range(0xD800, 0xE000)), "\N{REPLACEMENT CHARACTER}"),
    **dict.fromkeys(
        (plane + code for plane in range(0, 0x110000, 0x10000) for code in (0xFFFE, 0xFFFF)),
        "\N{REPLACEMENT CHARACTER}",
    ),
    # Marks that reorder the words around them.
    **dict.fromkeys((*range(0x202A, 0x202F), *range(0x2066, 0x206A)), "\N{REPLACEMENT CHARACTER}"),
    **dict.fromkeys(map(ord, "\t\n\r\v\f\x85\u2028\u2029"), " "),
}


def words(text: str) -> str:
    """``text`` on one line, with a visible mark for every character that no file format may carry.

    Line breaks and tabs become spaces; control characters, halves of surrogate pairs, non-characters
    (Unicode 15, section 23.7) and marks that change the writing direction become U+FFFD. Accents are joined to
    their letters (NFC).
    """
    if text.isascii() and text.isprintable():
        return text  # nothing of what is exchanged is in it
    return normalize("NFC", text.translate(_UNSAFE))


def check_scene(scene: Scene) -> None:
    """Raise WriterError if ``scene`` has an empty or endless window or an item that cannot be drawn."""
    check_scenes((scene,))


def check_scenes(scenes: Sequence[Scene]) -> None:
    """The same of several; a group or a style that more than one has is looked at once."""
    known: set[int] = set()
    for scene in scenes:
        _check_window(scene)
        _check_items(scene.items, set(), known)


def check_shell(scene: Scene) -> None:
    """The same of its window and groups alone, for who looks at each primitive as it is written."""
    _check_window(scene)
    check_groups(scene.items)


def _check_window(scene: Scene) -> None:
    _check_numbers("the window of the drawing", scene.x0, scene.y0, scene.x1, scene.y1)
    if scene.width <= 0.0 or scene.height <= 0.0:
        raise WriterError(f"The drawing is {scene.width:g} × {scene.height:g} mm; both must be more than 0.")


def check_items(items: Iterable[Item]) -> None:
    """Raise WriterError if an item has a number that cannot be drawn, or a name is used twice."""
    _check_items(items, set(), set())


def check_groups(items: Iterable[Item]) -> None:
    """The same of groups alone, for who looks at each primitive with :func:`check_primitive` as it is written."""
    _check_items(items, set(), None)


def _check_items(items: Iterable[Item], names: set[str], known: set[int] | None) -> None:
    """``known`` are the ids of groups and styles that were looked at; None if no primitive is to be."""
    for item in items:
        if isinstance(item, Group):
            _check_group(item, names)
            if known is None or id(item) in known:
                _check_items(item.items, names, None)
            else:
                known.add(id(item))
                _check_items(item.items, names, known)
        elif known is not None:
            if id(item.style) not in known:
                known.add(id(item.style))
                _check_style(item.style)
            _CHECKS[type(item)](item)


def check_primitive(item: Primitive) -> None:
    """Raise WriterError if a primitive has a number that cannot be drawn."""
    _check_style(item.style)
    _CHECKS[type(item)](item)


def _check_line(line: Line) -> None:
    if not hypot(*line.a, *line.b) <= LARGEST:  # asked here first: it is all right of nearly all that is drawn
        _check_numbers("a line", *line.a, *line.b)


def _check_circle(circle: Circle) -> None:
    _check_radius("a circle", circle.centre, circle.radius)


def _check_whole_arc(arc: Arc) -> None:
    _check_radius("an arc", arc.centre, arc.radius)
    _check_numbers("an arc", arc.start, arc.sweep)


def _check_text(text: Text) -> None:
    if not hypot(*text.at, text.size, text.angle) <= LARGEST:
        _check_numbers("a text", *text.at, text.size, text.angle)
    if text.size <= 0.0:
        raise WriterError(f"The text “{words(text.text)}” is {text.size:g} mm tall; give more than 0.")


def _check_group(group: Group, names: set[str]) -> None:
    if group.name:
        if group.name in names:
            raise WriterError(f"Two groups are named “{words(group.name)}”; a name is unique in a drawing.")
        names.add(group.name)
    _check_numbers("the shift of a group", *group.shift)
    if group.clip is not None:
        _check_numbers("the clip of a group", *group.clip)
        x0, y0, x1, y1 = group.clip
        if x1 <= x0 or y1 <= y0:
            raise WriterError(f"The clip {group.clip} is empty; give (x0, y0, x1, y1), x0 < x1, y0 < y1.")


def _check_path(path: Path) -> None:
    here = path.start
    _check_numbers("a path", *here)
    for step in path.steps:
        if isinstance(step, LineTo | MoveTo):
            if not hypot(*step.end) <= LARGEST:
                _check_numbers("a path", *step.end)
        elif isinstance(step, CubicTo):
            _check_numbers("a path", *step.end, *step.control1, *step.control2)
        else:
            _check_numbers("a path", *step.end, *step.centre, step.sweep)
            _check_arc(here, step)
        here = step.end


def _check_arc(start: Point, step: ArcTo) -> None:
    one = hypot(start[0] - step.centre[0], start[1] - step.centre[1])
    other = hypot(step.end[0] - step.centre[0], step.end[1] - step.centre[1])
    if one <= 0.0 or other <= 0.0 or abs(one - other) > LOOSEST_ARC:
        raise WriterError(
            f"An arc about {step.centre} starts {one:g} mm and ends {other:g} mm from its centre; "
            f"both must be the same within {LOOSEST_ARC} mm and more than 0."
        )


_CHECKS: Final[Mapping[type, Callable[[Any], None]]] = {
    Line: _check_line,
    Circle: _check_circle,
    Arc: _check_whole_arc,
    Path: _check_path,
    Text: _check_text,
}


def _check_radius(what: str, centre: Point, radius: float) -> None:
    if not hypot(*centre, radius) <= LARGEST:
        _check_numbers(what, *centre, radius)
    if radius <= 0.0:
        raise WriterError(f"The radius of {what} at {centre} is {radius:g} mm; it must be more than 0.")


@lru_cache(maxsize=1024)
def _check_style(style: Style) -> None:
    _check_numbers("a line style", style.width, style.opacity, *style.dash)
    if style.width < 0.0 or any(length < 0.0 for length in style.dash) or not 0.0 <= style.opacity <= 1.0:
        raise WriterError(f"The style {style} has a negative length or an opacity outside 0 to 1.")
    if style.dash and sum(style.dash) <= 0.0:
        raise WriterError(f"The style {style} has dashes without length; use () for a continuous line.")


def _check_numbers(what: str, *values: float) -> None:
    if hypot(*values) <= LARGEST:
        return
    for value in values:
        if not -LARGEST <= value <= LARGEST:  # nor is what is no number
            raise WriterError(f"The number {value} in {what} cannot be drawn; it must be within ±{LARGEST:g}.")
