"""The whole deck under a leaning hand: an estimate for choosing a thickness, not a structural approval.

The deck is taken as the rectangle round it, resting on its rails, and where an edge has none, on the wall of the box
below that edge; no edge is held down. The hand leans on the middle (Roark, 7th ed., table 11.4, case 1b), and the
middle is as weak as the weakest row of holes anywhere on the deck. A deck that is round somewhere is also taken as the
ellipse in that rectangle, and the worse of the two counts: the corners that stiffen a square are not there, so a circle
is stressed more than the square round it.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt
from msgspec import Struct

from app.fit.strength.ledge import NOTHING, shares_of
from app.fit.strength.plates import Bent, ellipse_centre_load, rectangle_centre_load
from app.model.material import Layer

Floats = npt.NDArray[np.float64]

_THICKEST = 8.0  # times as thick is looked for what would carry
_HALVINGS = 24
_FEW = 128  # so few lines are laid over all gaps at once
_MANY = 256
_APART = 4.0
_TRIED = 4
_EDGE = 1e-9  # a line along the very edge of a rectangle misses it, whatever the rounding


class DeckStrength(Struct, frozen=True):
    """How strong a deck is.

    Args:
        layer: the layer that is nearest to breaking.
        stress: of the section that the holes leave, in that layer [MPa].
        bending: bending strength of its material [MPa].
        factor: how many times the load it would take to break it.
        deflection: under the load, as if the whole deck were as weak as its weakest row [mm].
        linear: whether it bends so little that the theory holds.
    """

    layer: Layer
    stress: float
    bending: float
    factor: float
    deflection: float
    linear: bool


@lru_cache(maxsize=256)
def deck_strength(
    layers: tuple[Layer, ...],
    long: float,
    short: float,
    net: float,
    load: float,
    radius: float,
    linear: float = 0.5,
    scale: float = 1.0,
    rounded: bool = False,
) -> DeckStrength | None:
    """Strength of a deck of layers that lie on each other without being glued; that of the weakest layer.

    Args:
        layers: top to underside.
        long: longer span between the supports [mm].
        short: shorter span [mm].
        net: share of the section that the weakest row of holes leaves, 0 to 1.
        load: of the hand [N].
        radius: of the circle it leans on [mm].
        linear: deflection in thicknesses up to which the theory holds.
        scale: how many times as thick each layer would be; its strength stays that of the board it is.
        rounded: whether the deck is round somewhere, so that the spans are those of an ellipse.

    Returns:
        None if the strength of one of the materials is not known, or nothing is left to bear the load.
    """
    made = [(layer, layer.thickness * scale) for layer in layers if layer.thickness * scale > NOTHING]
    shares = shares_of(made)
    if shares is None or not 0 < net <= 1 or not 0 < short <= long:
        return None
    found = []
    thinnest = min(thickness for _, thickness in made)
    for (layer, thickness), share in zip(made, shares, strict=True):
        strength = layer.material.strength(layer.thickness)
        if strength is None:
            return None
        bent = _bent((load * share, long, short, thickness, strength.modulus, radius), rounded)
        stress, deflection = bent.stress / net, bent.deflection / net
        within = deflection <= linear * thinnest
        found.append(DeckStrength(layer, stress, strength.bending, strength.bending / stress, deflection, within))
    return min(found, key=lambda s: s.factor)


def _bent(plate: tuple[float, float, float, float, float, float], rounded: bool) -> Bent:
    """How the rectangle bends; of a round deck the worse of that and the ellipse."""
    shapes = [rectangle_centre_load(*plate), *([ellipse_centre_load(*plate)] if rounded else [])]
    return Bent(max(bent.deflection for bent in shapes), max(bent.stress for bent in shapes))


@lru_cache(maxsize=256)
def thickness_needed(
    layers: tuple[Layer, ...],
    long: float,
    short: float,
    net: float,
    load: float,
    radius: float,
    factor: float,
    rounded: bool = False,
) -> float | None:
    """Thickness of the same stack, each layer thicker alike, from which on the factor is at least ``factor`` [mm]."""

    def holds(scale: float) -> bool:
        strength = deck_strength(layers, long, short, net, load, radius, scale=scale, rounded=rounded)
        return strength is not None and strength.factor >= factor

    low, high = 0.0, _THICKEST
    if not holds(high):
        return None
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if holds(middle) else (middle, high)
    return high * sum(layer.thickness for layer in layers)


class Voids(Struct, frozen=True, eq=False):
    """What is missing from a board: rectangles, or ellipses where the hole is round.

    Args:
        x: centres [mm].
        y: centres [mm].
        across: half their widths along x [mm].
        along: half their widths along y [mm].
        round: 1 where the hole is round, else 0.
        missing: share of the section that is gone there: 1 right through, less above a counterbore.
    """

    x: Floats
    y: Floats
    across: Floats
    along: Floats
    round: Floats
    missing: Floats

    def worst_across(self) -> tuple[float, float]:
        """The most that is missing along one line through a centre from front to back [mm], and its x."""
        return _worst(self.x, self.across, self.along, self.round, self.missing)

    def worst_along(self) -> tuple[float, float]:
        """The most that is missing along one line through a centre from left to right [mm], and its y."""
        return _worst(self.y, self.along, self.across, self.round, self.missing)


def _worst(at: Floats, half: Floats, other: Floats, round_: Floats, missing: Floats) -> tuple[float, float]:
    """The largest sum of chords on a line through a centre, and where.

    Of more lines than ``_MANY``, only those near the worst of lines ``_APART`` mm apart are tried: what is found
    is then less than the largest by no more than a hundredth.
    """
    if not len(at):
        return 0.0, 0.0
    if len(at) <= _FEW:
        off = np.abs(at[:, None] - at) / half
        sums = np.sqrt(np.maximum(1 - off * off * round_, 0.0)) * (off < 1 - _EDGE) @ (2 * other * missing)
        most = int(sums.argmax())
        return float(sums[most]), float(at[most])
    order = np.argsort(at, kind="stable")
    gaps = tuple(row[order] for row in (at, half, other, round_, missing))
    lines = np.unique(at)
    if len(lines) > _MANY:
        coarse = np.unique(np.round(lines / _APART)) * _APART
        worst = coarse[np.argsort(_chords(coarse, gaps))[-_TRIED:]]
        lines = lines[(np.abs(lines[:, None] - worst) <= _APART).any(axis=1)]
    sums = _chords(lines, gaps)
    most = int(sums.argmax())
    return float(sums[most]), float(lines[most])


def _chords(lines: Floats, gaps: tuple[Floats, ...]) -> Floats:
    """What each line meets of the gaps, which are sorted: it looks at those near it only."""
    at, half, other, round_, missing = gaps
    widest = float(half.max())
    first = np.searchsorted(at, lines - widest, "left")
    many = np.searchsorted(at, lines + widest, "right") - first
    line = np.repeat(np.arange(len(lines)), many)
    gap = np.arange(len(line)) + np.repeat(first - (np.cumsum(many) - many), many)
    off = np.abs(at[gap] - lines[line]) / half[gap]
    chord = np.sqrt(np.maximum(1 - off * off * round_[gap], 0.0)) * (off < 1 - _EDGE)
    sums: Floats = np.bincount(line, chord * (2 * other * missing)[gap], len(lines)).astype(np.float64)
    return sums
