"""Weights of lines, for a drawing that is shown larger or smaller than it was thought for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from app.scene.primitives import Arc, Circle, Group, Item, Line, Path, Style, Text
from app.values import replace

_ALREADY = frozenset({"ruler", "halo-hatch"})
"""Roles of lines whose width is a length of the drawing, not a weight."""

THINNEST = 0.13
"""No line is made thinner than this, if it was not before: ISO 128-20 begins there [mm]."""


def weighted(items: Iterable[Item], times: float) -> tuple[Item, ...]:
    """Every item with lines and dashes ``times`` as heavy and long; its geometry stays."""
    kept = tuple(items)
    return kept if times == 1.0 else tuple(_item(item, times) for item in kept)


def _item(item: Item, times: float) -> Item:
    match item:  # of a large board there are tens of thousands, and replacing a field takes three times as long
        case Circle():
            return Circle(item.centre, item.radius, _style(item.style, times), item.layer)
        case Path():
            return Path(item.start, item.steps, _style(item.style, times), item.closed, item.layer)
        case Line():
            return Line(item.a, item.b, _style(item.style, times), item.layer)
        case Group():
            return replace(item, items=weighted(item.items, times))
        case Arc():
            return replace(item, style=_style(item.style, times))
        case Text():
            return item


@lru_cache(maxsize=1024)
def _style(style: Style, times: float) -> Style:
    if style.role in _ALREADY:
        return style
    width = max(times * style.width, min(style.width, THINNEST))
    return replace(style, width=width, dash=tuple(times * part for part in style.dash))


def shrunk(items: Iterable[Item], times: float) -> tuple[Item, ...]:
    """As :func:`weighted`, those lines too whose width is a length: for a drawing of another size altogether."""
    return tuple(_shrunk(item, times) for item in items)


def _shrunk(item: Item, times: float) -> Item:
    if isinstance(item, Group):
        return replace(item, items=shrunk(item.items, times))
    if isinstance(item, Text):
        return item
    if item.style.role not in _ALREADY:
        return _item(item, times)
    dash = tuple(times * part for part in item.style.dash)
    return replace(item, style=replace(item.style, width=times * item.style.width, dash=dash))
