"""Board materials and the limits fit rules judge them by."""

from __future__ import annotations

from msgspec import Struct

from app.errors import ModelError
from app.model.source import Source


class MaterialLimit(Struct, frozen=True):
    """The largest of a fixed length, a multiple of the thickness and a multiple of the hole diameter.

    Args:
        fixed: least distance whatever the board [mm].
        per_thickness: multiples of the layer's thickness.
        per_diameter: multiples of the cut-out's smaller width.
    """

    fixed: float = 0.0
    per_thickness: float = 0.0
    per_diameter: float = 0.0

    def required(self, thickness: float, diameter: float = 0.0) -> float:
        """The distance required [mm] in a layer of ``thickness`` mm beside a cut-out ``diameter`` mm wide."""
        return max(self.fixed, self.per_thickness * thickness, self.per_diameter * diameter)


class MaterialLimits(Struct, frozen=True):
    """What a material needs round its cut-outs.

    Args:
        edge_stop: edge distance below which it cannot be built.
        edge_caution: edge distance below which it is likely to fail.
        edge_caution_backed: the same where another layer backs it.
        web_stop: web below which it cannot be built.
        web_caution: web below which it is likely to fail.
        ledge_floor: least material above a counterbore [mm].
        source: where the limits come from.
    """

    edge_stop: MaterialLimit
    edge_caution: MaterialLimit
    edge_caution_backed: MaterialLimit
    web_stop: MaterialLimit
    web_caution: MaterialLimit
    ledge_floor: float
    source: Source


class Strength(Struct, frozen=True):
    """Strength of a material in boards up to a thickness; typical or least values, not for structural design.

    Args:
        up_to: thickest board it is for [mm].
        bending: bending strength [MPa].
        shear: shear strength through the thickness [MPa].
        modulus: modulus of elasticity in bending [MPa].
        poisson: Poisson's ratio.
        source: where the figures come from.
    """

    up_to: float
    bending: float
    shear: float
    modulus: float
    poisson: float
    source: Source


class Material(Struct, frozen=True):
    """A sheet material.

    Args:
        id: short name used in documents.
        name: the name on screen.
        family: ``mdf``, ``plywood``, ``acrylic``, ``aluminium`` or ``steel``: how it is drawn.
        density: [kg/m³].
        thicknesses: sizes commonly sold [mm].
        limits: what the fit rules ask of it.
        source: where density and thicknesses come from.
        strengths: by thickness, thinnest first; empty if not known.
    """

    id: str
    name: str
    family: str
    density: float
    thicknesses: tuple[float, ...]
    limits: MaterialLimits
    source: Source
    strengths: tuple[Strength, ...] = ()

    def strength(self, thickness: float) -> Strength | None:
        """Its strength in a board ``thickness`` mm thick; None if not known. Beyond the last row, the last."""
        return next((s for s in self.strengths if thickness <= s.up_to), self.strengths[-1] if self.strengths else None)


class Layer(Struct, frozen=True):
    """One layer of a board: a material and its measured thickness [mm]."""

    material: Material
    thickness: float

    def __post_init__(self) -> None:
        if not 0 < self.thickness <= 100:
            raise ModelError(
                f"A layer of {self.material.name} is above 0 and up to 100 mm thick, got {self.thickness:g} mm. "
                "Measure the board and enter its thickness."
            )
