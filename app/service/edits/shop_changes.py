"""Changes of what the workshop has: bits, method, paper, measured thickness, paint."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Final

from app.arrange.change import Edit
from app.arrange.design import settings
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.document.where import Where
from app.model.limits import LAYERS
from app.service.edits.changes import DesignChange, beside_fields

MOST_LAYERS: Final = LAYERS.most
"""Layers a board has at most."""


def settings_set(
    where: Where,
    *,
    layers: Mapping[int, float],
    drilling: str,
    paper: str,
    bits: str = "",
    paint: float | None = None,
) -> DesignChange:
    """Change what the workshop has, in one step.

    Args:
        where: the board.
        layers: measured thickness by layer [mm], from 0 at the top; those not named stay.
        drilling: the method.
        paper: name of a paper, or its sides.
        bits: a starter set to take instead of the shop's bits; empty to keep them.
        paint: thickness on every surface [mm]; None to keep it.
    """

    def change(design: Design) -> Edit:
        after, said = design, list[str]()
        for step in _steps(where, design, layers, drilling, paper, bits, paint):
            done = step(after)
            if done.design != after:
                after, said = done.design, [*said, done.summary]
        return Edit(after, "; ".join(said) or "Left the workshop as it was")

    return change


def thickness_field(layer: int) -> str:
    """Name of the form field for the thickness of a layer, counted from 0 at the top."""
    return f"thickness-{layer + 1}" if layer else "thickness"


def _steps(
    where: Where,
    design: Design,
    layers: Mapping[int, float],
    drilling: str,
    paper: str,
    bits: str,
    paint: float | None,
) -> list[DesignChange]:
    steps = [_thicker(where, layer, thick) for layer, thick in layers.items()]
    if drilling != design.shop.drilling:
        steps.append(lambda d: settings.set_drilling(d, drilling, catalogue()))
    if paper.strip().lower() != design.shop.paper:
        steps.append(lambda d: settings.set_paper(d, paper))
    if bits:
        steps.append(bits_taken(bits))
    if paint is not None:
        steps.append(lambda d: settings.set_paint(d, where.board, paint))
    return steps


def _thicker(where: Where, layer: int, thick: float) -> DesignChange:
    def change(design: Design) -> Edit:
        return settings.set_thickness(design, where.board, thick, layer)

    return beside_fields(change, {"thickness": thickness_field(layer)})


def bits_taken(name: str) -> DesignChange:
    """Own the bits of a starter set instead of the shop's."""
    return lambda design: settings.take_bits(design, name, catalogue())


def bits_kept(wanted: Collection[tuple[str, float, float]]) -> DesignChange:
    """Own only those of the shop's bits, each by kind, diameter and reach [mm]."""
    return lambda design: settings.keep_bits(design, wanted, catalogue())


def bits_cleared(design: Design) -> Edit:
    """Own no bit at all."""
    return settings.clear_bits(design)


def bit_added(kind: str, diameter: float, reach: float | None = None) -> DesignChange:
    """Put a bit among the shop's [mm]."""
    return lambda design: settings.add_bit(design, kind, diameter, catalogue(), reach)


def bit_removed(kind: str, diameter: float, reach: float | None = None) -> DesignChange:
    """Take a bit out of the shop [mm]; of several of a size, that of ``reach``."""
    return lambda design: settings.remove_bit(design, kind, diameter, catalogue(), reach)
