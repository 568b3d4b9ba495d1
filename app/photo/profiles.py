"""Brightness along short lines across an edge: where it steps, how far, and how broad the step is."""

from __future__ import annotations

from typing import Final

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from app.photo.opencv import opencv
from app.photo.picture import Grey

Floats = NDArray[np.float64]

_FINE: Final = 4  # samples to a pixel
_SMOOTH: Final = 0.7  # standard deviation of what they are smoothed by [px]
PEAK: Final = float(np.sqrt(2 * np.pi))
"""A blurred step of height h and deviation s rises by h / (s PEAK) to a pixel."""


class EdgeProfiles(Struct, frozen=True):
    """An edge where it crosses each of n lines.

    Args:
        points: where it was found [px], shape (n, 2).
        offset: how far along its line from the middle [px], shape (n,).
        step: how much brighter the far end of the line is, beyond the edge, than the near end.
        slope: steepest rise there, of either sign [1/px].
        blur: deviation of the blurred step [px].
        found: whether there is an edge inside the line.
    """

    points: Floats
    offset: Floats
    step: Floats
    slope: Floats
    blur: Floats
    found: NDArray[np.bool_]


def sampled(grey: Grey, points: Floats) -> Floats:
    """Brightness at places between pixels, shape of ``points`` without its last axis."""
    cv2 = opencv()
    flat = points.reshape(-1, 1, 2).astype(np.float32)
    # The library maps up to 32,767 rows at once.
    parts = [
        cv2.remap(grey, flat[k : k + 30_000], None, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
        for k in range(0, len(flat), 30_000)
    ]
    values: Floats = np.concatenate(parts).astype(np.float64).reshape(points.shape[:-1])
    return values


def edges_of(grey: Grey, at: Floats, outward: Floats, reach: float) -> EdgeProfiles:
    """The steepest step from dark to bright on a line through each place.

    Args:
        grey: the picture.
        at: middles of the lines [px], shape (n, 2).
        outward: their directions, of length 1, shape (n, 2).
        reach: how far they go to either side [px].
    """
    many = int(np.ceil(reach * _FINE))
    along = np.arange(-many, many + 1) / _FINE
    values = sampled(grey, at[:, None, :] + along[None, :, None] * outward[:, None, :])
    return steps_of(values, along, at, outward, rising=True)


def steps_of(
    values: Floats, along: Floats, at: Floats, outward: Floats, within: float = np.inf, *, rising: bool = False
) -> EdgeProfiles:
    """The steepest step on each line, of brightness that was read already.

    Args:
        values: brightness, shape (n, m).
        along: how far from the middles it was read, evenly spaced [px], shape (m,).
        at: middles of the lines.
        outward: their directions.
        within: how far from their middles an edge may be [px].
        rising: whether only steps from dark to bright count.
    """
    spacing = float(along[1] - along[0])
    smooth = _smoothed(values, _SMOOTH / spacing)
    rise = np.gradient(smooth, spacing, axis=1)
    looked_at = np.abs(along) <= within
    looked_at[:2] = looked_at[-2:] = False
    strength = rise if rising else np.abs(rise)
    peak = np.where(looked_at, strength, -np.inf).argmax(axis=1)
    rows = np.arange(len(values))
    one, two, three = (strength[rows, peak + k] for k in (-1, 0, 1))
    bend = one - 2 * two + three
    shift = np.where(np.abs(bend) > 1e-9, 0.5 * (one - three) / np.where(bend == 0, 1, bend), 0.0).clip(-1, 1)
    offset = along[peak] + shift * spacing
    slope = rise[rows, peak]
    width = round(3.0 / spacing)
    far = smooth[rows, np.minimum(peak + width, smooth.shape[1] - 1)]
    near = smooth[rows, np.maximum(peak - width, 0)]
    step = far - near
    blur = np.sqrt(np.maximum((np.abs(step) / (np.maximum(np.abs(slope), 1e-6) * PEAK)) ** 2 - _SMOOTH**2, 0.0))
    found = (two >= one) & (two >= three) & (np.abs(slope) > 1e-3)  # no slope that only goes on beyond
    return EdgeProfiles(at + offset[:, None] * outward, offset, step, slope, blur, found)


def _smoothed(values: Floats, deviation: float) -> Floats:
    half = int(np.ceil(3 * deviation))
    kernel = np.exp(-0.5 * (np.arange(-half, half + 1) / deviation) ** 2)
    kernel /= kernel.sum()
    padded = np.pad(values, ((0, 0), (half, half)), mode="edge")
    many = values.shape[1]
    smooth = np.zeros_like(values)
    for k, weight in enumerate(kernel):
        smooth += weight * padded[:, k : k + many]
    return smooth
