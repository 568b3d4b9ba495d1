"""Circles in a photograph: where they are likely, and each fitted through the edges along rays from its middle."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.photo.camera import Camera
from app.photo.picture import Grey
from app.photo.profiles import PEAK, EdgeProfiles, sampled, steps_of

Floats = NDArray[np.float64]

STEP: Final = 10.0
"""Least step of brightness at a rim, of 255."""

_RAYS: Final = 96
_BESIDE: Final = 1.3  # how far beside a rim it is looked whether it is a line [mm]: pencils draw half of it


class Fit(Struct, frozen=True):
    """A circle through what was found along rays: its centre and radius [mm], which rays, and how well.

    Args:
        seen: share of the rays on which it was.
        gap: largest share of them in one piece without.
        off: root mean square of how far they are off [mm].
        parted: share of the rays seen on which brightness is another inside than outside, and not only on the line.
        blur: of the rim [px].
        step: how much brighter it is outside, in the middle of all rays.
    """

    x: float
    y: float
    radius: float
    seen: float
    gap: float
    off: float
    parted: float
    blur: float
    step: float


def directions(many: int) -> Floats:
    """So many directions all round, of length 1, shape (many, 2)."""
    angles = np.arange(many) * (2 * math.pi / many)
    return np.column_stack([np.cos(angles), np.sin(angles)])


def likely_circles(
    grey: Grey, camera: Camera, centre: Floats, radius: float, search: float, spread: float, scale: float
) -> list[tuple[Floats, float]]:
    """Middles and radii of the circles near a place that most of all follow edges, the likeliest first [mm]."""
    fine = min(scale, 5.0, 90.0 / (radius + search))  # samples to a millimetre
    reach = radius + spread + search + 2 / fine
    many = math.ceil(reach * fine)
    axis = np.arange(-many, many + 1) / fine
    places = centre + np.stack(np.meshgrid(axis, axis), axis=-1)
    patch = sampled(grey, camera.seen(places.reshape(-1, 2))).reshape(len(axis), len(axis))
    patch = _blurred(patch)
    down, across = np.gradient(patch)
    usual = 3.0 * float(np.median(np.hypot(down, across)))
    strong = max(2.0, usual)
    ring = math.floor(search * fine)
    best: list[tuple[float, Floats, float]] = []
    rays = directions(32)
    for r in np.arange(max(radius - spread, 0.5), radius + spread + 1e-9, max(1 / fine, spread / 5)):
        votes = np.zeros((2 * ring + 1, 2 * ring + 1))
        for c, s in rays:
            u, v = many - ring + round(r * c * fine), many - ring + round(r * s * fine)
            part = slice(v, v + 2 * ring + 1), slice(u, u + 2 * ring + 1)
            votes += np.minimum(np.abs(across[part] * c + down[part] * s), strong)
        for v, u in _peaks(votes):
            shift = np.array([axis[many - ring + u], axis[many - ring + v]])
            best.append((float(votes[v, u]), centre + shift, float(r)))
    best.sort(key=lambda found: -found[0])
    chosen: list[tuple[Floats, float]] = []
    for votes_of, middle, r in best:
        if votes_of < 0.4 * best[0][0] or len(chosen) == 6:
            break
        if all(math.dist(middle, m) + abs(r - q) > max(0.6, 2 / fine) for m, q in chosen):
            chosen.append((middle, r))
    return chosen


def _peaks(votes: Floats) -> list[tuple[int, int]]:
    """The three largest votes, each with its neighbourhood left out for the next."""
    left = votes.copy()
    found = []
    for _ in range(3):
        v, u = np.unravel_index(int(left.argmax()), left.shape)
        found.append((int(v), int(u)))
        left[max(0, v - 3) : v + 4, max(0, u - 3) : u + 4] = -1
    return found


def _blurred(patch: Floats) -> Floats:
    kernel = np.array([1.0, 4.0, 6.0, 4.0, 1.0]) / 16
    for axis in (0, 1):
        pads = [(2, 2) if k == axis else (0, 0) for k in (0, 1)]
        wide = np.pad(patch, pads, mode="edge")
        patch = sum(w * np.take(wide, range(k, k + patch.shape[axis]), axis=axis) for k, w in enumerate(kernel))
    return patch


class Look(Struct, frozen=True):
    """How a photograph is looked at near a place: pixels to a millimetre, and how broad an edge may be [px]."""

    grey: Grey
    camera: Camera
    scale: float
    sharp: float


def fitted_circle(look: Look, start: tuple[Floats, float], spread: float, known: Sequence[Fit] = ()) -> Fit | None:
    """A circle through the edges along rays from a middle, looked for ever closer to it.

    Args:
        look: how the photograph is looked at.
        start: middle and radius to begin with [mm].
        spread: how far from there edges may be at first [mm].
        known: circles that were fitted already.

    Returns:
        The circle; None where there are few edges, or where it comes to one that is known.
    """
    (middle, radius), scale = start, look.scale
    window = max(3.0 / scale, min(spread, 2.0))
    for turn in range(5):
        along, values, found = _edges(look, middle, radius, window)
        offset = found.offset / scale
        strongest = STEP / (PEAK * math.hypot(max(float(np.median(found.blur)), 0.6), 0.7))
        near = found.found & (np.abs(found.slope) > strongest) & (np.abs(offset) <= window)
        if near.sum() < _RAYS // 3:
            return None
        centre, radius, keep, off = _circle(directions(_RAYS), radius + offset, near, scale)
        middle = middle + centre
        if turn == 1 and any(math.dist(middle, (k.x, k.y)) + abs(radius - k.radius) < 0.4 / scale for k in known):
            return None
        window = max(1.8 / scale, 0.15) if turn else max(2.5 / scale, 0.3)
    blur = float(np.median(found.blur[keep]))
    parts = _parts(values[keep], along - found.offset[keep, None], min(blur, look.sharp), scale)
    return Fit(
        float(middle[0]), float(middle[1]), radius, float(keep.mean()), _longest_gap(keep), off,
        float(parts.mean()), blur, float(np.median(found.step[keep])),
    )  # fmt: skip


def _edges(look: Look, middle: Floats, radius: float, window: float) -> tuple[Floats, Floats, EdgeProfiles]:
    """Where brightness was read along each ray [px], brightness, and the edges within a window of the circle [mm]."""
    scale = look.scale
    wide = max(window, (2.0 * look.sharp + 6.0) / scale, _BESIDE)  # so far that one sees what lies beside an edge
    many = math.ceil(wide * scale * 3)
    along = np.arange(-many, many + 1) / 3.0
    rays = directions(_RAYS)
    places = middle + (radius + along[None, :, None] / scale) * rays[:, None, :]
    values = sampled(look.grey, look.camera.seen(places.reshape(-1, 2))).reshape(_RAYS, len(along))
    return along, values, steps_of(values, along, np.zeros((_RAYS, 2)), rays, window * scale)


def _parts(values: Floats, along: Floats, blur: float, scale: float) -> NDArray[np.bool_]:
    """On which rays an edge parts two brightnesses: beyond a drawn line it is as it was before it.

    Args:
        values: brightness along each ray, shape (n, m).
        along: how far from the edge it was read [px], likewise.
        blur: of the edge [px].
        scale: pixels to a millimetre.
    """
    near, far = 2.0 * blur + 0.5, max(_BESIDE * scale - 1.0, 2.0 * blur + 3.0)
    inside = np.where((along < -near) & (along > -far), values, np.nan)
    outside = np.nanmedian(np.where((along > near) & (along < far), values, np.nan), axis=1)
    low, high = np.nanmin(inside, axis=1), np.nanmax(inside, axis=1)
    darker = (outside - high >= 0.5 * (outside - low)) & (outside - high >= 0.55 * STEP)
    lighter = (low - outside >= 0.5 * (high - outside)) & (low - outside >= 0.55 * STEP)
    both: NDArray[np.bool_] = darker | lighter
    return both


def _circle(
    rays: Floats, far: Floats, near: NDArray[np.bool_], scale: float
) -> tuple[Floats, float, NDArray[np.bool_], float]:
    """The circle through places so far out along rays; those that are off most are left out one after the other."""
    keep = near.copy()
    points = rays * far[:, None]
    solved = np.zeros(3)
    off = np.zeros(len(rays))
    for _ in range(6):
        rows = np.column_stack([2 * points[keep], np.ones(int(keep.sum()))])
        solved = np.linalg.lstsq(rows, (points[keep] ** 2).sum(axis=1), rcond=None)[0]
        radius = math.sqrt(max(solved[2] + solved[0] ** 2 + solved[1] ** 2, 1e-9))
        off = np.hypot(points[:, 0] - solved[0], points[:, 1] - solved[1]) - radius
        usual = float(np.median(np.abs(off[keep])))
        then = near & (np.abs(off) <= max(3.0 * usual, 0.35 / scale))
        if (then == keep).all() or then.sum() < len(rays) // 3:
            break
        keep = then
    return solved[:2], radius, keep, float(np.sqrt((off[keep] ** 2).mean()))


def _longest_gap(keep: NDArray[np.bool_]) -> float:
    if keep.all():
        return 0.0
    run = longest = 0
    for here in np.concatenate([keep, keep]):
        run = 0 if here else run + 1
        longest = max(longest, run)
    return min(longest, len(keep)) / len(keep)
