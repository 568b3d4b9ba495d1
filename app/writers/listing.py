"""Scenes as plain text, one draw call a line: for reading, for comparing two drawings, and for stored samples.

Grammar; numbers are in mm and degrees, to 0.001, y up, after the shifts of all groups around an item::

    scene   = "scene" x0 y0 x1 y1 title note
    line    = "line" x y x y ink
    circle  = "circle" x y radius ink
    arc     = "arc" x y radius start sweep ink
    path    = "path" ("open" | "closed") x y { step } ink
    step    = "L" x y | "A" x y centre-x centre-y sweep | "C" x y x y x y
    text    = "text" x y size anchor angle ("plain" | "bold") words ink
    group   = "group" name role { key=value } title [ "clip" x0 y0 x1 y1 ]
              { item }, indented by two more spaces
    ink     = "stroke" colour width [ "dash" length { length } ] | "stroke" "none"
              "fill" (colour | "none") [ "opacity" value ] [ "role" words ] [ "layer" words ]

Words (title, note, name, role, key=value, text, layer) stand in JSON string quotes, so that a line break,
a control character or a quote in them cannot be mistaken for the grammar.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from json import dumps

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
    Step,
    Style,
    Text,
)
from app.writers.guard import check_scene


def write(scene: Scene) -> str:
    """The drawing as lines of text (see the grammar above).

    Raises:
        WriterError: the scene has an empty window or a number that cannot be drawn.
    """
    check_scene(scene)
    head = f"scene {_numbers(scene.x0, scene.y0, scene.x1, scene.y1)} {_words(scene.title)} {_words(scene.note)}"
    return "\n".join([head, *_items(scene.items, (0.0, 0.0), "")]) + "\n"


def _items(items: Iterable[Item], shift: Point, indent: str) -> Iterator[str]:
    for item in items:
        if isinstance(item, Group):
            inner = shift[0] + item.shift[0], shift[1] + item.shift[1]
            yield indent + _group(item, inner)
            yield from _items(item.items, inner, indent + "  ")
        else:
            yield f"{indent}{_call(item, shift)} {_ink(item.style)}{_mark('layer', item.layer)}"


def _call(item: Line | Circle | Arc | Path | Text, shift: Point) -> str:
    match item:
        case Line():
            return f"line {_at(item.a, shift)} {_at(item.b, shift)}"
        case Circle():
            return f"circle {_at(item.centre, shift)} {_numbers(item.radius)}"
        case Arc():
            return f"arc {_at(item.centre, shift)} {_numbers(item.radius, item.start, item.sweep)}"
        case Path():
            kind = "closed" if item.closed else "open"
            return " ".join(["path", kind, _at(item.start, shift), *(_step(step, shift) for step in item.steps)])
        case Text():
            weight = "bold" if item.bold else "plain"
            size, angle = _numbers(item.size), _numbers(item.angle)
            return f"text {_at(item.at, shift)} {size} {item.anchor} {angle} {weight} {_words(item.text)}"


def _step(step: Step, shift: Point) -> str:
    match step:
        case LineTo():
            return f"L {_at(step.end, shift)}"
        case ArcTo():
            return f"A {_at(step.end, shift)} {_at(step.centre, shift)} {_numbers(step.sweep)}"
        case MoveTo():
            return f"M {_at(step.end, shift)}"
        case CubicTo():
            return f"C {_at(step.control1, shift)} {_at(step.control2, shift)} {_at(step.end, shift)}"


def _group(group: Group, shift: Point) -> str:
    data = [_words(f"{key}={value}") for key, value in group.data.items()]
    parts = ["group", _words(group.name), _words(group.role), *data, _words(group.title)]
    if group.clip is not None:
        x0, y0, x1, y1 = group.clip
        parts += ["clip", _at((x0, y0), shift), _at((x1, y1), shift)]
    return " ".join(parts)


def _ink(style: Style) -> str:
    stroke = "stroke none"
    if style.stroke is not None:
        dash = f" dash {_numbers(*style.dash)}" if style.dash else ""
        stroke = f"stroke {style.stroke} {_numbers(style.width)}{dash}"
    opacity = f" opacity {_numbers(style.opacity)}" if style.opacity < 1.0 else ""
    return f"{stroke} fill {style.fill or 'none'}{opacity}{_mark('role', style.role)}"


def _mark(key: str, words: str) -> str:
    return f" {key} {_words(words)}" if words else ""


def _words(text: str) -> str:
    # Halves of surrogate pairs have no UTF-8; everything else reads better as itself.
    plain = text.isprintable()
    return dumps(text, ensure_ascii=not plain)


def _at(point: Point, shift: Point) -> str:
    return _numbers(point[0] + shift[0], point[1] + shift[1])


def _numbers(*values: float) -> str:
    return " ".join(f"{round(value, 3) + 0.0:.3f}" for value in values)
