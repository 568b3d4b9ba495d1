"""Limits of a stack of layers: the strictest layer governs."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from app.fit.features.features import Floats, Ints
from app.model.material import Layer, MaterialLimit, MaterialLimits


class Governing(Struct, frozen=True, eq=False):
    """What the strictest of several layers asks for.

    Args:
        required: of each feature, shape (n,) [mm].
        layer: index of the layer that asks for it, shape (n,).
    """

    required: Floats
    layer: Ints


def governing(layers: Sequence[Layer], limits: Sequence[MaterialLimit], widths: Floats) -> Governing:
    """The largest requirement of any layer beside cut-outs ``widths`` mm wide."""
    required = np.zeros(len(widths))
    index = np.zeros(len(widths), np.intp)
    for k, (layer, limit) in enumerate(zip(layers, limits, strict=True)):
        asked = np.maximum(limit.required(layer.thickness), limit.per_diameter * widths)
        index[asked > required] = k
        required = np.maximum(required, asked)
    return Governing(required, index)


def edge_limits(layers: Sequence[Layer], widths: Floats, backed: bool | None = None) -> tuple[Governing, Governing]:
    """Stop and caution for edge distance; ``backed`` by other layers, which several are if it is not said."""
    if backed is None:
        backed = len(layers) > 1
    found = [layer.material.limits for layer in layers]
    cautions = [m.edge_caution_backed if backed else m.edge_caution for m in found]
    return governing(layers, [m.edge_stop for m in found], widths), governing(layers, cautions, widths)


def web_limits(layers: Sequence[Layer], widths: Floats) -> tuple[Governing, Governing]:
    """Stop and caution for a web."""
    found: list[MaterialLimits] = [layer.material.limits for layer in layers]
    return (
        governing(layers, [m.web_stop for m in found], widths),
        governing(layers, [m.web_caution for m in found], widths),
    )


def layer_named(layers: Sequence[Layer], stop: Governing, caution: Governing, row: int, severity: str) -> Layer:
    """The layer that asks for what a finding of that severity lacks."""
    return layers[int((stop if severity == "stop" else caution).layer[row])]
