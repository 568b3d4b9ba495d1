"""What the rules ask of two things: the least distance below which it cannot be built, and below which it may fail."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from app.fit.features.features import CUTS, HOLE, KINDS, LEVER, NUT, RECESS, SCREW, SPANNER, Flags, Floats, Ints, is_any
from app.fit.judging.wood_screws import drive_of
from app.fit.limits.cut_depths import TINY, bored_layers
from app.fit.limits.layer_limits import web_limits
from app.fit.limits.pair_table import BETWEEN, GAPS
from app.geometry.clearance import Pairs
from app.model.material import Layer
from app.model.part import ScrewFixing
from app.model.recess_envelope import knob_low, throw_of
from app.model.resolved import Placed
from app.values import replace

if TYPE_CHECKING:
    from app.fit.features.layout import Layout

_CUT = is_any(HOLE, *CUTS)


def most_asked(layout: Layout) -> float:
    """Nothing that a rule asks of two features of this board is more [mm]."""
    widest, found = float(layout.widths.max(initial=0.0)), [max(_gap_defaults(layout))]
    for layer in layout.board.layers:
        m = layer.material.limits
        found += [limit.required(layer.thickness, widest) for limit in (m.web_stop, m.web_caution)]
    return max(found)


def asked_between(layout: Layout, i: Ints, j: Ints) -> tuple[Floats, Floats]:
    """Stop and caution of features ``i`` and ``j`` of different placements, each of shape (n,) [mm]."""
    kind = layout.features.kind
    one, other = kind[i], kind[j]
    caution: Floats = _gaps(_gap_defaults(layout))[one, other]
    stop = np.zeros(len(i))
    webs = np.flatnonzero(_CUT[one] & _CUT[other])
    if len(webs):
        stop[webs], caution[webs] = _webs(layout, i[webs], j[webs])
    if (SCREW in layout.kinds) and len(rows := np.flatnonzero((one == SCREW) | (other == SCREW))):
        stop[rows], caution[rows] = _screws(layout, i[rows], j[rows])
    if (LEVER in layout.kinds) and len(rows := np.flatnonzero((one == LEVER) | (other == LEVER))):
        stop[rows], caution[rows] = _levers(layout, i[rows], j[rows])
    return stop, caution


def asked_within(layout: Layout, pairs: Pairs) -> tuple[Floats, Floats]:
    """The same of features of one placement.

    Holes that do not overlap cannot drift toward each other, and the builder cannot move one of them: only a web
    thinner than the material can stand is worth a caution. A screw needs board behind it.
    """
    kind = layout.features.kind
    stop, _ = _webs(layout, pairs.first, pairs.second) if len(pairs) else (np.zeros(0), None)
    caution = np.where(pairs.distance > 0, stop, -np.inf)
    stop = np.full(len(pairs), -np.inf)
    rows = np.flatnonzero((kind[pairs.first] == SCREW) | (kind[pairs.second] == SCREW))
    if len(rows):
        least, _ = _screws(layout, pairs.first[rows], pairs.second[rows])
        let_off = np.isneginf(least) | _in_own_recess(layout, pairs.first[rows], pairs.second[rows])
        stop[rows] = np.where(let_off, -np.inf, 0.0)
        caution[rows] = np.where(let_off, -np.inf, least)
    return stop, caution


def _gap_defaults(layout: Layout) -> tuple[float, ...]:
    return tuple(layout.default(name).value for name in GAPS)


@lru_cache(maxsize=16)
def _gaps(defaults: tuple[float, ...]) -> Floats:
    """Caution of two kinds whose gap is one figure, shape (kinds, kinds) [mm]; 0 where it is worked out otherwise."""
    gaps, asked = np.zeros((len(KINDS), len(KINDS))), dict(zip(GAPS, defaults, strict=True))
    for (a, b), cell in BETWEEN.items():
        gaps[a, b] = asked.get(cell.gap, 0.0)
    for a in range(len(KINDS)):  # beside a nut a spanner has to turn
        if gap := BETWEEN[min(a, SPANNER), max(a, SPANNER)].gap:
            gaps[min(a, NUT), max(a, NUT)] = asked[gap]
    found: Floats = np.maximum(gaps, gaps.T)
    return found


def _webs(layout: Layout, i: Ints, j: Ints) -> tuple[Floats, Floats]:
    """Web of two cut-outs, in the layers both are in."""
    widths = np.maximum(layout.widths[i], layout.widths[j])
    if not len(layout.cuts):
        found = web_limits(layout.board.layers, widths)
        return found[0].required, found[1].required
    shared = np.minimum(layout.depths[i], layout.depths[j])
    stop, caution = np.zeros(len(i)), np.zeros(len(i))
    for depth in sorted(set(shared.tolist())):
        rows = np.flatnonzero(shared == depth)
        limits = web_limits(shared_layers(layout, depth), widths[rows])
        stop[rows], caution[rows] = (limit.required for limit in limits)
    return stop, caution


def shared_layers(layout: Layout, depth: float) -> tuple[Layer, ...]:
    """The layers that what is cut ``depth`` mm deep from the underside is in; all of them for a hole."""
    layers = layout.board.layers
    return tuple(layers) if math.isinf(depth) else bored_layers(layers, depth)


def web_asked(layout: Layout, i: int, j: int) -> tuple[Layer, Layer]:
    """The layers that ask for the stop and for the caution between two cut-outs, or a screw and another feature."""
    widths = np.array([max(layout.widths[i], layout.widths[j])])
    kinds = layout.features.kind[[i, j]]
    if SCREW in kinds:
        layers = tuple(layer_of_screw(layout, k) for k in (i, j) if layout.features.kind[k] == SCREW)
    else:
        layers = shared_layers(layout, float(min(layout.depths[i], layout.depths[j])))
    stop, caution = web_limits(layers, widths)
    return layers[int(stop.layer[0])], layers[int(caution.layer[0])]


def layer_of_screw(layout: Layout, feature: int) -> Layer:
    """The layer a screw enters first, as thick as the screw goes into it."""
    return layout.screw_layers[0][int(layout.screw_layers[1][int(layout.features.owner[feature])])]


def screw_layers_of(placed: tuple[Placed, ...], layers: Sequence[Layer], into: Floats) -> tuple[list[Layer], Ints]:
    """The different layers that screws enter, each as thick as the screws go in, and the index of each placement's.

    −1 for a placement without screws. A web or edge that is a multiple of the thickness is one of what is cut through.
    """
    known: dict[Layer, int] = {}
    index = []
    for p, deep in zip(placed, into.tolist(), strict=True):
        fixing = p.part.fixing
        if not isinstance(fixing, ScrewFixing):
            index.append(-1)
            continue
        layer = layers[0 if fixing.side == "top" else -1]
        thin = replace(layer, thickness=min(layer.thickness, max(deep, fixing.screw_diameter)))
        index.append(known.setdefault(thin, len(known)))
    return list(known), np.array(index, np.intp)


def _screws(layout: Layout, i: Ints, j: Ints) -> tuple[Floats, Floats]:
    """Web of the layer a screw enters; none asked where both are clear of each other by height."""
    stop, caution = np.zeros(len(i)), np.zeros(len(i))
    kind, owner = layout.features.kind, layout.features.owner
    widths = np.maximum(layout.widths[i], layout.widths[j])
    for one in (i, j):
        for index, layer in enumerate(layout.screw_layers[0]):
            rows = np.flatnonzero((kind[one] == SCREW) & (layout.screw_layers[1][owner[one]] == index))
            limits = web_limits((layer,), widths[rows])
            stop[rows] = np.maximum(stop[rows], limits[0].required)
            caution[rows] = np.maximum(caution[rows], limits[1].required)
    let_off = _clear_by_height(layout, i, j)
    stop[let_off] = caution[let_off] = -np.inf
    return stop, caution


def _clear_by_height(layout: Layout, i: Ints, j: Ints) -> Flags:
    """Whether board enough lies between two features one of which is a screw: below its tip, above what is cut.

    A screw whose length is not known is bought to go as deep as it needs to hold.
    """
    (upper, lower), (other_upper, other_lower) = _heights(layout, i), _heights(layout, j)
    apart = np.maximum(lower - other_upper, other_lower - upper)
    clear: Flags = apart >= layout.default("screw-pilot-floor").value - TINY
    return clear


def _heights(layout: Layout, k: Ints) -> tuple[Floats, Floats]:
    """Upper and lower end of what is cut or screwed, from the underside [mm]."""
    t = layout.board.thickness
    deep = np.minimum(layout.depths[k], t)
    owner = layout.features.owner[k]
    screw, top = layout.features.kind[k] == SCREW, layout.screws_from_top[owner]
    starts, into = layout.drives[:, owner]
    upper = np.where(screw, np.where(top, t, starts + into), deep)
    lower = np.where(screw & top, t - into, np.where(screw, starts, 0.0))
    return upper, lower


def _in_own_recess(layout: Layout, i: Ints, j: Ints) -> Flags:
    """Whether a screw from below goes into the floor of its part's recess."""
    kind, owner = layout.features.kind, layout.features.owner
    found: Flags = ((kind[i] == RECESS) | (kind[j] == RECESS)) & ~layout.screws_from_top[owner[i]]
    return found


def drives_of(placed: tuple[Placed, ...], thickness: float, hold: float) -> Floats:
    """Where each placement's screws begin above the underside, and how far they go in, shape (2, n) [mm]."""
    rows = []
    for p in placed:
        fixing = p.part.fixing
        if not isinstance(fixing, ScrewFixing):
            rows.append((0.0, 0.0))
            continue
        into = drive_of(p.part, fixing, thickness, p.recess).into
        start = p.recess.depth if p.recess and fixing.side == "under" else 0.0
        rows.append((start, hold * fixing.screw_diameter if into is None else max(0.0, into)))
    return np.array(rows, np.float64).reshape(-1, 2).T


def _levers(layout: Layout, i: Ints, j: Ints) -> tuple[Floats, Floats]:
    """Knobs that lean toward each other, or toward a flange that stands as high: stop where they meet at rest."""
    kind, owner = layout.features.kind, layout.features.owner
    throws, lows, rims = layout.levers
    both = (kind[i] == LEVER) & (kind[j] == LEVER)
    lever = np.where(kind[i] == LEVER, owner[i], owner[j])
    other = np.where(kind[i] == LEVER, owner[j], owner[i])
    meets = both | (rims[other] >= lows[lever])
    stop = np.where(meets, -throws[lever] - np.where(both, throws[other], 0.0), -np.inf)
    return stop, np.where(meets, 0.0, -np.inf)


def lever_rows(placed: tuple[Placed, ...], thickness: float, paint: float, lean: float) -> Floats:
    """Throw of each lever, the lowest its knob comes above the top face, and how high its flange is, shape (3, n)."""
    rows = []
    for p in placed:
        low = knob_low(p.part, thickness, p.recess.depth if p.recess else 0.0, paint, lean)
        rows.append((throw_of(p.part, lean), low, p.part.flange.height if p.part.flange else -math.inf))
    return np.array(rows, np.float64).reshape(-1, 3).T
