"""Primitives and groups of an inline drawing as text, letter for letter as svgwrite has them.

A board of thousands of parts is tens of thousands of circles and lines with nothing in them; an object and a sorted
list of attributes for each take four times as long as the text. Whatever holds a sign that would have to be written in
another way goes the long way.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache

from app.scene.primitives import Arc, Circle, Group, Line, Path, Style, Text
from app.writers.guard import words
from app.writers.svg_pen import SvgPen, attributes, number

_MARKUP = re.compile('[&<>"\\x00-\\x1f]')
_PEN = SvgPen()


def has_markup(text: str) -> bool:
    """Whether a text holds a sign that is written in another way in an attribute."""
    return _MARKUP.search(text) is not None


def plain(item: Line | Circle | Arc | Path | Text, pen: SvgPen = _PEN) -> str | None:
    """A primitive as an element, placed by the pen; None if it has to go the long way."""
    match item:
        case Circle():
            parts = _around(item.style, ("class",), ("fill", "fill-opacity"))
            if parts is None:
                return None
            head, middle, tail = parts
            x, y = pen.xy(item.centre)
            return f'<circle{head} cx="{x}" cy="{y}"{middle} r="{number(item.radius)}"{tail} />'
        case Line():
            parts = _around(item.style, ("class", "fill", "fill-opacity"), ())
            if parts is None:
                return None
            (x1, y1), (x2, y2) = pen.xy(item.a), pen.xy(item.b)
            return f'<line{parts[0]}{parts[2]} x1="{x1}" x2="{x2}" y1="{y1}" y2="{y2}" />'
        case Arc() | Path():
            parts = _around(item.style, ("class",), ())
            return None if parts is None else f'<path{parts[0]} d="{pen.path(item)}"{parts[2]} />'
        case Text():
            return _text(item, pen)


def opened(values: Mapping[str, str]) -> str | None:
    """The beginning of a group's element, without the bracket that ends it; None if it has to go the long way."""
    if has_markup("".join(values.values())):
        return None
    return "<g" + _said(values)


def titled(group: Group) -> str | None:
    """The title of a group as an element; None if it has to go the long way."""
    title = words(group.title)
    return None if has_markup(title) or not title else f"<title>{title}</title>"


def _text(item: Text, pen: SvgPen) -> str | None:
    said = words(item.text)
    if not said or has_markup(said):
        return None
    parts = _worded(item.style)
    if parts is None:
        return None
    bold = ' font-weight="bold"' if item.bold else ""
    anchor = f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
    x, y = pen.xy(item.at)
    turn = f' transform="rotate({number(-item.angle)},{x},{y})"' if item.angle % 360.0 else ""
    adjust = wide = ""
    if width := pen.width(said, item):
        adjust, wide = ' lengthAdjust="spacingAndGlyphs"', f' textLength="{width}"'
    head = f'<text{parts} font-size="{number(item.size)}"{bold}{adjust}{anchor}{wide}{turn}'
    return f'{head} x="{x}" y="{y}">{said}</text>'


@lru_cache(maxsize=512)
def _around(style: Style, first: tuple[str, ...], second: tuple[str, ...]) -> tuple[str, str, str] | None:
    """The attributes of a style in the order of their names: those of ``first``, of ``second``, and the others."""
    values = attributes(style, True)
    if has_markup("".join(values.values())):
        return None
    rest = {key: value for key, value in values.items() if key not in first and key not in second}
    some = ({key: values[key] for key in keys if key in values} for keys in (first, second))
    head, middle = (_said(part) for part in some)
    return head, middle, _said(rest)


@lru_cache(maxsize=512)
def _worded(style: Style) -> str | None:
    values = attributes(style, False)
    return None if has_markup("".join(values.values())) else _said(values)


def _said(values: Mapping[str, str]) -> str:
    return "".join([f' {key}="{values[key]}"' for key in sorted(values)])
