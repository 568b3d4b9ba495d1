"""Signs that may stand for a word: plain shapes of our own, and public symbols for equipment by their number.

Each is drawn here from lines and circles, 1 high, its strokes a seventh of that. Of a public symbol the number and how
sure we are of it are told; whoever needs it to be right looks it up in the standard.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Final, Literal

from msgspec import Struct

from app.errors import CatalogueError
from app.geometry.contours import Contour, arc, band, box_ring, disc, ring

_STROKE: Final = 1.0 / 7.0
"""Between a sixth, for dark on light, and an eighth, for light on dark (DOD-HDBK-791, 6-5.3.2)."""

_ROUND: Final = 0.46
"""Radius of a circle that a bar stands out of."""

Sure = Literal["", "seen", "from memory"]


class Sign(Struct, frozen=True):
    """A sign.

    Args:
        name: in a design file, as ``arrow-right``.
        words: what a builder calls it.
        number: of the public symbol it shows; empty for a shape of our own.
        sure: whether a page with that number was ``seen``, or it is ``from memory``; empty for a shape of our own.
        draw: its rings, from x = 0 and y = 0, 1 high.
    """

    name: str
    words: str
    draw: Callable[[], tuple[Contour, ...]]
    number: str = ""
    sure: Sure = ""

    @property
    def source(self) -> str:
        """Where it comes from, in words."""
        return f"{self.number}, {self.sure}" if self.number else "a plain shape of our own"


def _turned(contours: tuple[Contour, ...], quarters: int) -> tuple[Contour, ...]:
    """Shapes in the unit square, turned about its middle by quarters, anticlockwise."""
    for _ in range(quarters):
        contours = tuple(
            Contour((1 - c.start[1], c.start[0]), tuple(tuple((1 - y, x) for x, y in p) for p in c.pieces))
            for c in contours
        )
    return contours


def _arrow(quarters: int) -> Callable[[], tuple[Contour, ...]]:
    def draw() -> tuple[Contour, ...]:
        h = _STROKE / 2
        head = ((0.5, 0.5 - h), (0.5, 0.06), (1, 0.5), (0.5, 0.94), (0.5, 0.5 + h))
        right = ring(((0, 0.5 - h), *head, (0, 0.5 + h)))
        return _turned((right,), quarters)

    return draw


def _annulus() -> tuple[Contour, ...]:
    return (disc(0.5, 0.5, 0.5), disc(0.5, 0.5, 0.5 - _STROKE, hole=True))


def _cross() -> tuple[Contour, ...]:
    h, s = _STROKE / 2, 1.0
    m = s / 2
    plus = ((m - h, 0), (m + h, 0), (m + h, m - h), (s, m - h), (s, m + h), (m + h, m + h), (m + h, s), (m - h, s),
            (m - h, m + h), (0, m + h), (0, m - h), (m - h, m - h))  # fmt: skip
    return (ring(plus),)


def _house() -> tuple[Contour, ...]:
    door = ring(((0.4, 0), (0.4, 0.36), (0.6, 0.36), (0.6, 0)))  # its foot lies on the wall's, so it is a notch
    points = ((0, 0.46), (0.14, 0.46), (0.14, 0), *door.polygon(), (0.86, 0), (0.86, 0.46), (1, 0.46), (0.5, 1))
    return (ring(points),)


def _square() -> tuple[Contour, ...]:
    s = _STROKE
    return (box_ring(0, 0, 1, 1), ring(((s, s), (s, 1 - s), (1 - s, 1 - s), (1 - s, s))))


def _bars(many: int) -> Callable[[], tuple[Contour, ...]]:
    wide, gap = 1.6 * _STROKE, 1.6 * _STROKE
    return lambda: tuple(box_ring(k * (wide + gap), 0, k * (wide + gap) + wide, 1) for k in range(many))


def _standby() -> tuple[Contour, ...]:
    """A circle broken at the top, and a bar through the gap."""
    h = _STROKE / 2
    open_at = 33.0
    return (
        band(_ROUND, _ROUND, _ROUND - h, _STROKE, 90 + open_at, 360 - 2 * open_at),
        box_ring(_ROUND - h, _ROUND, _ROUND + h, 1.0),
    )


def _push() -> tuple[Contour, ...]:
    h = _STROKE / 2
    return (*_annulus(), box_ring(0.5 - h, 0.28, 0.5 + h, 0.72))


def _run() -> tuple[Contour, ...]:
    return (ring(((0, 0), (0.87, 0.5), (0, 1))),)


def _loudspeaker() -> tuple[Contour, ...]:
    return (ring(((0, 0.32), (0.22, 0.32), (0.58, 0), (0.58, 1), (0.22, 0.68), (0, 0.68))),)


def _volume() -> tuple[Contour, ...]:
    waves = tuple(band(0.42, 0.5, r, 0.75 * _STROKE, -38, 76) for r in (0.36, 0.58))
    return (*_loudspeaker(), *waves)


def _earth() -> tuple[Contour, ...]:
    h = _STROKE / 2
    stem = ((0.5 - h, 1), (0.5 - h, 0.5 + h), (0, 0.5 + h), (0, 0.5 - h), (1, 0.5 - h), (1, 0.5 + h))
    return (
        ring((*stem, (0.5 + h, 0.5 + h), (0.5 + h, 1))),
        box_ring(0.2, 0.28 - h, 0.8, 0.28 + h),
        box_ring(0.37, 0, 0.63, 2 * h),
    )


def _coin() -> tuple[Contour, ...]:
    """A disc with an upright slot left out."""
    return (disc(0.5, 0.5, 0.5), ring(((0.44, 0.24), (0.44, 0.76), (0.56, 0.76), (0.56, 0.24))))


def _person() -> tuple[Contour, ...]:
    start, over = arc(0.36, 0.02, 0.36, 0, 180)
    return (Contour((0.0, 0.0), (((0.72, 0.0),), (start,), *over)), disc(0.36, 0.74, 0.26))


def _people() -> tuple[Contour, ...]:
    one = _person()
    beside = tuple(
        Contour((c.start[0] + 0.86, c.start[1]), tuple(tuple((x + 0.86, y) for x, y in p) for p in c.pieces))
        for c in one
    )
    return (*one, *beside)


_SIGNS: Final = (
    Sign("arrow-right", "Arrow to the right", _arrow(0)),
    Sign("arrow-back", "Arrow to the back", _arrow(1)),
    Sign("arrow-left", "Arrow to the left", _arrow(2)),
    Sign("arrow-front", "Arrow to the front", _arrow(3)),
    Sign("dot", "Dot", lambda: (disc(0.5, 0.5, 0.5),)),
    Sign("ring", "Ring", _annulus),
    Sign("cross", "Cross", _cross),
    Sign("bar", "Bar", lambda: (box_ring(0, 0, _STROKE * 1.6, 1),)),
    Sign("two-bars", "Two bars", _bars(2)),
    Sign("square", "Square", _square),
    Sign("house", "House", _house),
    Sign("coin", "Coin", _coin),
    Sign("one-player", "One player", _person),
    Sign("two-players", "Two players", _people),
    Sign("on", "On", lambda: (box_ring(0, 0, _STROKE, 1),), "IEC 60417-5007", "seen"),
    Sign("off", "Off", _annulus, "IEC 60417-5008", "seen"),
    Sign("stand-by", "Stand-by", _standby, "IEC 60417-5009", "seen"),
    Sign("on-off", "On and off by one push", _push, "IEC 60417-5010", "seen"),
    Sign("run", "Run", _run, "IEC 60417-5107B", "from memory"),
    Sign("stop", "Stop", lambda: (box_ring(0, 0, 1, 1),), "IEC 60417-5110A", "from memory"),
    Sign("pause", "Pause", _bars(2), "IEC 60417-5111B", "from memory"),
    Sign("loudspeaker", "Loudspeaker", _loudspeaker, "IEC 60417-5080", "from memory"),
    Sign("volume", "Sound volume", _volume),
    Sign("earth", "Earth", _earth, "IEC 60417-5017", "seen"),
)

SIGNS: Final = {sign.name: sign for sign in _SIGNS}
"""Every sign by its name, in the order they are offered."""


@lru_cache(maxsize=64)
def sign_contours(name: str) -> tuple[Contour, ...]:
    """The rings of a sign.

    Raises:
        CatalogueError: there is none of that name.
    """
    if name not in SIGNS:
        raise CatalogueError(f"There is no sign “{name[:40]}”. Use one of: {', '.join(SIGNS)}.")
    return SIGNS[name].draw()
