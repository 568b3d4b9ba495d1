"""What a board has to be told: items with a figure, two limits, and how sure they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from msgspec import Struct

from app.model.material import Layer, MaterialLimit
from app.values import replace

Level = Literal["none", "caution", "stop"]
LEVELS: tuple[Level, ...] = ("none", "caution", "stop")
TIE = 0.02  # a figure that close to its limit may be judged either way [mm]
NEVER = -math.inf


class Item(Struct, frozen=True):
    """One thing that may be too near.

    Args:
        rule: name of the rule.
        subjects: placement ids; none for the board itself.
        low, high: the figure lies between; the same but where the text leaves two readings [mm].
        stop: below it the board cannot be built [mm].
        caution: below it the board is likely to fail [mm].
        kinds: what it is between.
        places: names of edges, or ``area 2``; none where it is nowhere in particular.
        sure: whether a finding must come of it; else it may.
        stop_sure: whether the stop must; else a caution will do.
        figured: whether the figure is compared.
        cause: of findings told apart by it.
    """

    rule: str
    subjects: frozenset[str]
    low: float
    high: float
    stop: float
    caution: float
    kinds: frozenset[str] = frozenset()
    places: frozenset[str] = frozenset()
    sure: bool = True
    stop_sure: bool = True
    figured: bool = True
    cause: str = ""

    @property
    def must(self) -> Level:
        """The least that has to be said."""
        if not self.sure:
            return "none"
        if self.high < self.stop - TIE:
            return "stop" if self.stop_sure else "caution"
        return "caution" if self.high < self.caution - TIE or self.high < self.stop - TIE else "none"

    @property
    def may(self) -> Level:
        """The most that may be said."""
        if self.low < self.stop + TIE:
            return "stop"
        return "caution" if self.low < self.caution + TIE else "none"

    def lack(self, level: Level) -> float:
        """By how much it falls short of what that level asks, at least [mm]."""
        return (self.stop if level == "stop" else self.caution) - self.high


class Limits(Struct, frozen=True):
    """Stop and caution [mm]."""

    stop: float
    caution: float


def _strictest(layers: Sequence[Layer], limits: Sequence[MaterialLimit], width: float) -> float:
    asked = (
        max(k.fixed, k.per_thickness * layer.thickness, k.per_diameter * width)
        for layer, k in zip(layers, limits, strict=True)
    )
    return max(asked, default=0.0)


def web_limits(layers: Sequence[Layer], width: float) -> Limits:
    """Of the material between two cut-outs: the strictest layer governs."""
    of = [layer.material.limits for layer in layers]
    return Limits(
        _strictest(layers, [m.web_stop for m in of], width), _strictest(layers, [m.web_caution for m in of], width)
    )


def edge_limits(layers: Sequence[Layer], width: float, backed: bool) -> Limits:
    """Of the material to an edge."""
    of = [layer.material.limits for layer in layers]
    cautions = [m.edge_caution_backed if backed else m.edge_caution for m in of]
    return Limits(_strictest(layers, [m.edge_stop for m in of], width), _strictest(layers, cautions, width))


def cut_layers(layers: Sequence[Layer], depth: float) -> list[Layer]:
    """The layers that something cut so deep from the underside goes into."""
    left, found = depth, []
    for layer in reversed(layers):
        if left <= 1e-6:
            break
        found.append(layer)
        left -= layer.thickness
    return found


def entered(layers: Sequence[Layer], face: str, into: float, diameter: float) -> Layer:
    """The layer a screw from that face enters, as thick as it goes in: more than that is not cut."""
    layer = layers[0 if face == "top" else -1]
    return replace(layer, thickness=min(layer.thickness, max(into, diameter)))


@dataclass(slots=True)
class Looked:
    """What has been expected of a board, and how many pairs were looked at for it."""

    items: list[Item] = field(default_factory=list)
    pairs: int = 0
