"""Scenes as SVG: true size in a file, or inline on a page.

A *document* is for other programs. Its width and height are in mm and its viewBox has the same numbers from
0 0, so that one user unit is one millimetre whatever resolution the reader assumes (CSS Values and Units:
1 in = 25.4 mm = 96 px). Nothing is added around it.

What stands *inline* on a page keeps the board's coordinates: x as in the model, y negated, so that a pointer
position read in user units is a position on the board, and a part of the drawing can be exchanged without
knowing the rest. It holds no ``style`` attribute and no script, as a strict content policy wants.

Each primitive carries its role as class and its style as presentation attributes, which any rule of a page's
stylesheet overrides. Numbers are rounded to 0.0001 mm.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import lru_cache
from xml.etree.ElementTree import tostring

from svgwrite.base import BaseElement, Desc, Title
from svgwrite.container import SVG
from svgwrite.container import Group as Container
from svgwrite.drawing import Drawing
from svgwrite.path import Path as PathElement
from svgwrite.shapes import Circle as CircleElement
from svgwrite.shapes import Line as LineElement

from app.scene.primitives import (
    Arc,
    Circle,
    Group,
    Item,
    Line,
    Path,
    Scene,
    Text,
)
from app.writers.guard import check_groups, check_primitive, check_scene, check_shell, words
from app.writers.svg_pen import SvgPen, identifier, number
from app.writers.svg_plain import has_markup, opened, plain, titled

_FONTS = "system-ui, sans-serif"
_PLAIN = (CircleElement, Container, LineElement, PathElement)
"""Elements that are no more than their attributes, unless something is put in them."""

_Writer = Callable[[Line | Circle | Arc | Path | Text], str]
_INLINE = SvgPen()
_MANY = 600
"""Items of a group, beyond which a drawing has more primitives than are remembered."""


def write(scene: Scene) -> str:
    """A complete SVG file of ``scene``, true size [mm].

    Raises:
        WriterError: the scene has an empty window or a number that cannot be drawn.
    """
    check_scene(scene)
    width, height = number(scene.width), number(scene.height)
    drawing = Drawing(size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False)
    drawing["font-family"] = _FONTS
    _describe(drawing, scene.title, scene.note)
    pen = SvgPen(x0=scene.x0, y1=scene.y1, fitted=True)
    inner = "".join(_drawn(pen, scene.items, lambda item: _placed(item, pen)))
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + _filled(drawing, inner) + "\n"


def embed(
    scene: Scene,
    *,
    ident: str = "",
    role: str = "drawing",
    prefix: str = "",
    names: bool = True,
    interactive: bool = False,
) -> str:
    """``scene`` as an inline ``<svg>`` element as wide as its container.

    Args:
        scene: the drawing; its ``title`` names it to a screen reader.
        ident: ``id`` of the element; empty for none.
        role: class of the element.
        prefix: put before every id, so that several drawings can stand on one page.
        names: whether groups get an ``id``; False for a thumbnail.
        interactive: whether groups with data and a title can be reached by the keyboard.

    Raises:
        WriterError: the scene has an empty window or a number that cannot be drawn.
    """
    if large := _is_large(scene):
        check_scene(scene)
    else:
        check_shell(scene)  # each primitive is looked at where it is not remembered
    root = SVG(debug=False)
    root["width"] = "100%"
    box = (scene.x0, -scene.y1, scene.width, scene.height)
    root["viewBox"] = " ".join(number(value) for value in box)
    root["preserveAspectRatio"] = "xMidYMid meet"
    root["class"] = role
    root["text-rendering"] = "geometricPrecision"  # else small letters are fitted to whole pixels
    root["role"] = "group" if interactive else "img"
    if ident:
        root["id"] = identifier(ident)
    if scene.title:
        root["aria-label"] = words(scene.title)
    pen = SvgPen(prefix=prefix, names=names, interactive=interactive)
    primitive = _written if large else _primitive
    return _filled(root, "".join(_drawn(pen, scene.items, primitive)))


def symbols(scenes: Mapping[str, Scene]) -> str:
    """One file of many small drawings: each a ``<symbol>`` by its id, which pages show by ``<use>``.

    Raises:
        WriterError: a scene has an empty window or a number that cannot be drawn.
    """
    drawn = []
    for ident, scene in scenes.items():
        check_scene(scene)
        box = " ".join(map(number, (scene.x0, -scene.y1, scene.width, scene.height)))
        drawn.append(f'<symbol id="{identifier(ident)}" viewBox="{box}">{fragment(scene.items, names=False)}</symbol>')
    head = '<?xml version="1.0" encoding="UTF-8"?>\n<svg xmlns="http://www.w3.org/2000/svg">'
    return f"{head}{''.join(drawn)}</svg>\n"


def fragment(items: Iterable[Item], *, prefix: str = "", names: bool = True, interactive: bool = False) -> str:
    """``items`` as SVG elements one after another, without a root, in the coordinates of ``embed``.

    Raises:
        WriterError: an item has a number that cannot be drawn.
    """
    items = tuple(items)
    check_groups(items)
    pen = SvgPen(prefix=prefix, names=names, interactive=interactive)
    return "".join(_drawn(pen, items, _primitive))


def swap(scene: Scene, name: str, *, prefix: str = "", interactive: bool = False) -> str:
    """What is in the group ``name`` of ``scene``, ready to replace what an earlier ``embed`` put there.

    The ``<svg>`` around it keeps the elements in the SVG namespace while the page takes them over; it does
    not stay. A group that is not in the scene empties its place on the page. The group's own shift and data
    are on the element that stays; move what is inside instead.
    """
    found = _find(scene.items, name)
    inner = ""
    if found:
        check_groups(found.items)
        pen = SvgPen(prefix=prefix, interactive=interactive)
        inner = _contents(pen, found, _primitive)
    return f'<svg hx-swap-oob="innerHTML:#{prefix}{identifier(name)}">{inner}</svg>'


def _is_large(scene: Scene) -> bool:
    """Whether there is more in a scene than is remembered."""
    return any(isinstance(item, Group) and len(item.items) > _MANY for item in scene.items)


def _find(items: Iterable[Item], name: str) -> Group | None:
    for item in items:
        if isinstance(item, Group):
            found = item if item.name == name else _find(item.items, name)
            if found:
                return found
    return None


def _serialise(element: BaseElement) -> str:
    # A drawing of many parts is mostly lines with nothing in them, and building a tree for each takes half the time.
    plain = isinstance(element, _PLAIN) and not element.elements
    values: dict[str, str] = element.attribs if plain else {}
    if isinstance(element, PathElement):
        values = {**values, "d": " ".join(element.commands)}
    if not plain or has_markup("".join(values.values())):
        return tostring(element.get_xml(), encoding="unicode")
    said = "".join([f' {key}="{values[key]}"' for key in sorted(values)])
    return f"<{element.elementname}{said} />"


def _filled(shell: BaseElement, inner: str) -> str:
    """An element as text, with ``inner`` at its end."""
    text, name = _serialise(shell), shell.elementname
    head = f"{text.removesuffix('/>').rstrip()}>" if text.endswith("/>") else text.removesuffix(f"</{name}>")
    return f"{head}{inner}</{name}>" if inner else text


def _contents(pen: SvgPen, group: Group, primitive: _Writer) -> str:
    title = titled(group) if group.title else ""
    title = _serialise(Title(words(group.title))) if title is None else title
    inner = "".join(_drawn(pen, group.items, primitive))
    if group.clip is None:
        return title + inner
    clip, clipped = pen.clip(group.name, group.clip)
    return title + _serialise(clip) + _filled(clipped, inner)


def _drawn(pen: SvgPen, items: Iterable[Item], primitive: _Writer) -> Iterator[str]:
    """Items of an inline drawing as text, one after another."""
    for item in items:
        yield _grouped(pen, item, primitive) if isinstance(item, Group) else primitive(item)


def _grouped(pen: SvgPen, group: Group, primitive: _Writer) -> str:
    head, inner = opened(pen.attributes_of(group)), _contents(pen, group, primitive)
    if head is None:
        return _filled(pen.shell(group), inner)
    return f"{head}>{inner}</g>" if inner else f"{head} />"


def _primitive(item: Line | Circle | Arc | Path | Text) -> str:
    # Writing a circle or a line takes no longer than looking it up.
    return _checked(item) if isinstance(item, Circle | Line) else _remembered(item)


@lru_cache(maxsize=20_000)
def _remembered(item: Line | Circle | Arc | Path | Text) -> str:
    # While one part is dragged, all but a few of the primitives are those of the answer before.
    return _checked(item)


def _checked(item: Line | Circle | Arc | Path | Text) -> str:
    check_primitive(item)
    return _written(item)


def _written(item: Line | Circle | Arc | Path | Text) -> str:
    return _placed(item, _INLINE)


def _placed(item: Line | Circle | Arc | Path | Text, pen: SvgPen) -> str:
    text = plain(item, pen)
    return "".join(map(_serialise, pen.draw((item,)))) if text is None else text


def _describe(drawing: Drawing, title: str, note: str) -> None:
    # Title and desc come first, where readers look for them (SVG 1.1, 5.4).
    for text, kind in ((note, Desc), (title, Title)):
        if text:
            drawing.elements.insert(0, kind(words(text)))
