"""The rim of a hole in a photograph: looked for near where it should be, fitted as a circle, and doubted.

A hole is seen as its rim on the face, a circle; below it one looks at the wall on the far side and at what lies under
the board, whose border is another circle, seen in part. A knot, a pencilled circle or the head of a screw have rims of
their own. So a rim counts only where it is sharp, runs round nearly whole as one circle of about the right width, parts
two brightnesses, and no other circle is as likely.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final, Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.photo.camera import Camera
from app.photo.circles import Fit, Look, directions, fitted_circle, likely_circles
from app.photo.hollow import is_hollow
from app.photo.ink_and_paper import InkAndPaper
from app.photo.picture import Grey

Floats = NDArray[np.float64]

Doubt = Literal["", "not seen", "small", "vague", "two", "not dark", "soft", "line", "off the picture"]
"""Why no hole was found: nothing there; too few pixels; its rim in parts or uneven; two rims that may be it; not dark
inside; a blurred border as of a knot; a drawn line; not in the picture."""

LEAST_PIXELS: Final = 20.0
"""A hole has to be so wide [px]; below that its rim is a handful of pixels."""

_ROUND: Final = 0.65  # of a rim has to be seen
_NEARLY: Final = 0.8  # of less than that the rest has to be the more even
_PARTLY: Final = 0.4  # of a rim that is seen outside of another makes that doubtful
_GAP: Final = 0.2  # of a rim may be missing in one piece


class FoundRim(Struct, frozen=True):
    """What was found at a place.

    Args:
        doubt: why nothing was; empty if a hole was.
        x, y: its centre on the face [mm].
        diameter: of its rim [mm].
        noise: deviation of its centre for how its rim was found [mm].
        scale: pixels to a millimetre there.
    """

    doubt: Doubt
    x: float = 0.0
    y: float = 0.0
    diameter: float = 0.0
    noise: float = 0.0
    scale: float = 0.0


def find_rim(
    grey: Grey, camera: Camera, paper: InkAndPaper, at: tuple[float, float], width: float, search: float, blur: float
) -> FoundRim:
    """The hole near a place, or why there is none to be sure of.

    Args:
        grey: the photograph.
        camera: how the face is seen in it.
        paper: how bright the cards are in it.
        at: where the hole should be on the face [mm].
        width: how wide it should be [mm].
        search: how far from there it may be [mm].
        blur: how broad a sharp edge is in this photograph, as a deviation [px].
    """
    centre = np.array(at)
    least, most = camera.scale(centre)
    scale = math.sqrt(least * most)
    if width * least < LEAST_PIXELS:
        return FoundRim("small", scale=scale)
    spread = 0.1 * width + 0.5  # a bit of another size, or a worn one
    if not _inside(grey, camera, centre, width / 2 + spread + search):
        return FoundRim("off the picture", scale=scale)
    fits: list[Fit] = []
    look = Look(grey, camera, scale, _soft(blur))
    for start in likely_circles(grey, camera, centre, width / 2, search, spread / 2, scale):
        found = fitted_circle(look, start, spread / 2, fits)
        if found is not None and math.dist((found.x, found.y), at) <= search + 0.5:
            fits.append(found)
    whole = [f for f in fits if _is_whole(f, scale) and abs(2 * f.radius - width) <= spread]
    if not whole:
        return FoundRim("vague" if any(f.seen > 0.5 for f in fits) else "not seen", scale=scale)
    sharp = [f for f in whole if f.blur <= _soft(blur)]
    if not sharp:
        return FoundRim("soft", scale=scale)
    parted = [f for f in sharp if _is_edge(f, blur)]
    if not parted:
        return FoundRim("line", scale=scale)
    best = _outermost(max(parted, key=lambda f: f.seen - f.off * scale / 4), parted, scale)
    round_it = [f for f in _round(look, best, fits) if _is_edge(f, blur) and f.blur <= _soft(blur)]
    best = _outermost(best, [f for f in round_it if _is_whole(f, scale)], scale)
    if any(_is_other(best, f, scale) and not _lies_in(f, best, scale) for f in (*parted, *round_it)):
        return FoundRim("two", scale=scale)
    if abs(2 * best.radius - width) > spread:
        return FoundRim("vague", scale=scale)
    if not is_hollow(grey, camera, paper, best):
        return FoundRim("not dark", scale=scale)
    noise = best.off / math.sqrt(12 * best.seen) + 0.12 / scale  # neighbouring rays err together
    noise = math.hypot(noise, 0.1 * blur / scale)  # the rim below runs into it where both are closer than the blur
    return FoundRim("", best.x, best.y, 2 * best.radius, noise, scale)


def _soft(blur: float) -> float:
    """How broad the rim of a hole may be in a photograph where sharp edges are so broad [px]."""
    return 1.5 * blur + 0.6


def _is_edge(fit: Fit, blur: float) -> bool:
    """Whether a circle parts two brightnesses, and is no thin line: that looks sharper than any edge."""
    return fit.parted >= 0.85 and fit.blur >= 0.45 * blur


def _round(look: Look, fit: Fit, known: Sequence[Fit]) -> list[Fit]:
    """Circles that are seen in part at least, a little larger than one: it may be the other end of a deep hole."""
    step = max(1.0, 0.035 * fit.radius)
    found: list[Fit] = []
    for radius in np.arange(fit.radius + step, 1.2 * fit.radius + step, step):
        more = fitted_circle(look, (np.array([fit.x, fit.y]), float(radius)), 1.2 * step, (*known, *found))
        if (
            more is not None
            and more.radius > fit.radius + 0.3
            and more.seen >= _PARTLY
            and more.off <= 0.35 / look.scale
        ):
            found.append(more)
    return found


def _is_whole(fit: Fit, scale: float) -> bool:
    even = fit.off <= (max(0.35 / scale, 0.07) if fit.seen >= _NEARLY else max(0.2 / scale, 0.045))
    return fit.seen >= _ROUND and fit.gap <= _GAP and even


def _outermost(fit: Fit, fits: list[Fit], scale: float) -> Fit:
    """The rim that others lie in: below the rim on the face one sees the other end of the hole, never past it."""
    for other in fits:
        if other.radius > fit.radius and _lies_in(fit, other, scale):
            fit = other
    return fit


def _lies_in(inner: Fit, outer: Fit, scale: float) -> bool:
    """Whether one circle is a little smaller than another, in it, and both are darker inside."""
    apart = math.hypot(inner.x - outer.x, inner.y - outer.y)
    nested = apart + inner.radius <= outer.radius + 1.0 / scale and inner.radius > 0.85 * outer.radius
    return nested and inner.step > 0 and outer.step > 0


def _is_other(one: Fit, other: Fit, scale: float) -> bool:
    apart = math.hypot(one.x - other.x, one.y - other.y) + abs(one.radius - other.radius)
    return apart > max(0.5, 2.0 / scale)


def _inside(grey: Grey, camera: Camera, centre: Floats, reach: float) -> bool:
    around = camera.seen(centre + reach * directions(24))
    height, width = grey.shape
    return bool(((around > 2) & (around < (width - 3, height - 3))).all())
