"""How a part sits in a board: its holes as wide as the bits that make them, and its counterbore if it needs one."""

from __future__ import annotations

import math

from msgspec import Struct

from app.arrange.placement.lever_recess import lever_recess
from app.catalogue.load import Catalogue
from app.errors import EditError
from app.geometry.shapes import Shape, circle, rectangle
from app.model.bit_selection import drilled_depth
from app.model.material import Layer
from app.model.part import NutFixing, Part, ScrewFixing, SnapFixing
from app.model.recess_envelope import lever_height
from app.model.resolved import Counterbore, Recess
from app.model.tooling import Tooling
from app.units import format_exact

Sides = tuple[float, float, float, float]
"""How far something reaches left, front, right and back of a part's origin [mm]."""

LEFT, FRONT, RIGHT, BACK = range(4)
_WIDEST = 45.0  # mm: flanges of ordinary buttons; wider ones are chosen by hand


class Seat(Struct, frozen=True):
    """A part in a board.

    Args:
        part: the hardware.
        holes: its cut-outs as they will be made, relative to its origin.
        bore: its counterbore, if it needs one.
        recess: the recess that makes its lever stand right, if it needs one.
    """

    part: Part
    holes: tuple[Shape, ...]
    bore: Counterbore | None
    recess: Recess | None = None

    @property
    def cut(self) -> Sides:
        """How far its cut-outs and counterbore reach."""
        return _reach([*self.holes, *self._below])

    @property
    def top(self) -> Sides:
        """How far its flange reaches."""
        return _reach([self.part.flange.shape] if self.part.flange else [])

    @property
    def under(self) -> Sides:
        """How far body, plate, nut and counterbore reach below."""
        fixing = self.part.fixing
        shapes = [self.part.body.shape]
        if isinstance(fixing, NutFixing):
            shapes.append(circle(fixing.nut_width))
        if isinstance(fixing, ScrewFixing) and fixing.plate:
            shapes.append(fixing.plate)
        return _reach([*shapes, *self._below])

    @property
    def _below(self) -> list[Shape]:
        """Its counterbore and recess."""
        r = self.recess
        bore = [circle(self.bore.diameter)] if self.bore else []
        return [*bore, *([rectangle(r.width, r.height, corner=r.corner)] if r else [])]

    @property
    def screws(self) -> Sides:
        """How far its screws reach."""
        fixing = self.part.fixing
        if not isinstance(fixing, ScrewFixing):
            return _reach([])
        return _reach([circle(fixing.screw_diameter, x, y) for x, y in fixing.holes])

    @property
    def has_nut(self) -> bool:
        """Whether a spanner has to get round it."""
        return isinstance(self.part.fixing, NutFixing)


def seat(part: Part, layers: tuple[Layer, ...], tooling: Tooling, catalogue: Catalogue, *, inch: bool) -> Seat:
    """The part in a board of ``layers``.

    Args:
        part: the hardware.
        layers: top to underside.
        tooling: whose bits make the holes.
        catalogue: for the defaults.
        inch: whether counterbores are rounded up to 1/64 in, else to 0.5 mm.

    Raises:
        EditError: no bit makes one of its holes, it cannot be held in so thick a board, or its lever cannot stand
            right; says why.
    """
    holes = []
    bore = _bore(part, layers, tooling, catalogue, inch=inch)
    recess = lever_recess(part, layers, tooling, catalogue, inch=inch)
    thickness = sum(layer.thickness for layer in layers)
    for cutout in part.cutouts:
        left = drilled_depth(cutout, thickness, bore, recess)
        bit = tooling.bit_for(cutout.width, cutout.smallest, cutout.largest, depth=left) if cutout.is_circle else None
        if cutout.is_circle and bit is None:
            raise EditError(
                f"You have no bit for the {format_exact(cutout.width)} mm hole of {part.name}. "
                "Choose another part, or the other units.",
                "button",
            )
        if bit and bit.reach < left:
            raise EditError(
                f"The {format_exact(bit.diameter)} mm bit for {part.name} drills {format_exact(bit.reach)} mm deep, "
                f"and the board is {format_exact(left)} mm thick there. Choose a thinner board.",
                "thickness",
            )
        holes.append(Shape(cutout.shape.core, bit.makes / 2) if bit else cutout.shape)
    return Seat(part, tuple(holes), bore, recess)


def best_button(hole: float, layers: tuple[Layer, ...], tooling: Tooling, catalogue: Catalogue, *, inch: bool) -> Seat:
    """The catalogue's button that suits the board best.

    One that needs no counterbore before one that does, then unlit, then the nearest to a ``hole`` of that
    diameter [mm], then clips before a nut, then the longer thread.

    Raises:
        EditError: none can be held in the board.
    """
    found: list[tuple[tuple[bool, bool, float, bool, float], Seat]] = []
    for part in catalogue.parts.values():
        if part.kind != "button" or not part.flange or max(part.flange.shape.size) > _WIDEST:
            continue
        try:
            here = seat(part, layers, tooling, catalogue, inch=inch)
        except EditError:
            continue
        grip = part.fixing.grip if isinstance(part.fixing, NutFixing) else 0.0
        lit = bool(part.wiring and part.wiring.light_current)
        off = abs(part.cutouts[0].width - hole)
        found.append(((here.bore is not None, lit, off, here.has_nut, -grip), here))
    if not found:
        thickness = sum(layer.thickness for layer in layers)
        raise EditError(
            f"No button can be held in a board {format_exact(thickness)} mm thick. Choose another thickness.",
            "thickness",
        )
    return min(found, key=lambda row: row[0])[1]


def best_stick(layers: tuple[Layer, ...], tooling: Tooling, catalogue: Catalogue, *, inch: bool) -> Seat:
    """The catalogue's stick whose lever stands right above this board, without a recess if any does.

    Raises:
        EditError: there is none, or no bit makes its hole.
    """
    thickness = sum(layer.thickness for layer in layers)
    sticks = [
        part for part in catalogue.parts.values() if part.kind == "stick" and part.mount == "under" and part.lever
    ]
    if not sticks:
        raise EditError("The catalogue has no stick for the underside. Choose no stick.", "stick")
    sticks.sort(key=lambda part: _off_height(part, thickness))
    refused: EditError | None = None
    for part in sticks:
        try:
            return seat(part, layers, tooling, catalogue, inch=inch)
        except EditError as error:
            refused = refused or error
    raise EditError(f"{refused} Or choose no stick.", "thickness")


def _off_height(part: Part, thickness: float) -> float:
    """By how much the lever is too low or too high above the top face [mm]."""
    height = lever_height(part, thickness, 0.0, 0.0)
    if part.lever is None or height is None:
        return math.inf
    return max(part.lever.height_min - height, height - part.lever.height_max, 0.0)


def _bore(
    part: Part, layers: tuple[Layer, ...], tooling: Tooling, catalogue: Catalogue, *, inch: bool
) -> Counterbore | None:
    thickness = sum(layer.thickness for layer in layers)
    fixing = part.fixing
    if isinstance(fixing, SnapFixing) and not fixing.grip_min <= thickness <= fixing.grip_max:
        raise EditError(
            f"{part.name} grips boards from {format_exact(fixing.grip_min)} to {format_exact(fixing.grip_max)} mm, "
            f"and this one is {format_exact(thickness)} mm thick. Choose a button with a nut.",
            "button",
        )
    if not isinstance(fixing, NutFixing) or fixing.grip >= thickness:
        return None
    step = catalogue.rule("counterbore-step-inch" if inch else "counterbore-step-mm")
    depth = math.ceil((thickness - fixing.grip) / step - 1e-9) * step
    floor = max(layer.material.limits.ledge_floor for layer in layers)
    if thickness - depth < floor:
        raise EditError(
            f"The nut of {part.name} would need a counterbore {format_exact(depth)} mm deep in a board "
            f"{format_exact(thickness)} mm thick; {format_exact(floor)} mm must stay. Choose a longer thread.",
            "button",
        )
    bit = tooling.counterbore_bit(fixing.nut_width + 2 * catalogue.rule("spanner-room"))
    if bit is None or bit.reach < depth:
        raise EditError(
            f"You have no bit that bores wide and deep enough for the nut of {part.name}. Choose a longer thread.",
            "button",
        )
    return Counterbore(bit.diameter, depth)


def _reach(shapes: list[Shape]) -> Sides:
    if not shapes:
        return (0.0, 0.0, 0.0, 0.0)
    bounds = [shape.bounds for shape in shapes]
    return (
        max(-b[0] for b in bounds),
        max(-b[1] for b in bounds),
        max(b[2] for b in bounds),
        max(b[3] for b in bounds),
    )
