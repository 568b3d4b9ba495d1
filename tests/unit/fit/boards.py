"""Boards and parts to judge: one part for each trade case, all measures plain numbers."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

import pytest

from app.catalogue.load import Catalogue
from app.catalogue.load import catalogue as whole
from app.catalogue.stock import Default
from app.fit.finding import FindingOf
from app.fit.report.report import check
from app.geometry.outline import Outline, rectangle_outline
from app.geometry.shapes import Shape, circle, rectangle
from app.model.accepted import Accepted
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.material import Layer, Material, MaterialLimit, MaterialLimits
from app.model.part import Body, Cutout, Flange, Lever, NutFixing, Part, ScrewFixing, SnapFixing, Wiring
from app.model.resolved import Counterbore, Hole, Placed, Recess, ResolvedBoard
from app.model.source import Source
from app.model.tooling import Allowance, Bit, Paper, Tooling
from app.values import replace

SOURCE = Source("Made up for tests.", "typical")

# The defaults of the fit table: common practice, no source.
RULES = {
    "flange-gap": 0.5,
    "flange-overhang": 0.5,
    "body-gap": 2.0,
    "spanner-room": 3.0,
    "clip-room": 2.0,
    "rail-gap": 1.0,
    "under-overhang": 0.5,
    "mouth-gap": 1.0,
    "screw-head-ratio": 2.0,
    "lever-lean": 15.0,
    "wire-room": 15.0,
    "slot-gap": 3.0,
    "counterbore-step-mm": 0.5,
    "counterbore-step-inch": 25.4 / 64,
    "screw-edge": 12.0,
    "screw-corner": 25.0,
    "recess-gap": 0.5,
    "router-bit": 12.0,
    "screw-hold": 2.0,
    "screw-pilot-floor": 3.0,
    "slap-load": 250.0,
    "ledge-safety": 3.0,
    "plate-slender": 4.0,
    "plate-linear": 0.5,
    "deck-load": 250.0,
    "deck-load-radius": 15.0,
    "deck-safety": 3.0,
    "deck-safety-metal": 1.5,
    "grille-open": 20.0,
    "door-gap": 0.5,
    "plug-fingers": 12.0,
    "wire-gap": 2.0,
    "mount-thread-least": 1.0,
    "mount-thread-end": 1.0,
    "plate-bend": 300.0,
    "display-room": 2.0,
    "display-press": 1.0,
    "display-lap": 3.0,
    "display-hidden": 5.0,
    "legend-gap": 1.0,
    "legend-apart": 2.0,
    "legend-height-least": 0.004,
    "legend-height-wanted": 0.006,
    **{f"finger-round-{row}": far for row, far in (("4", 2), ("6", 10), ("8", 20), ("10", 60), ("12", 80))},
    "finger-round-40": 120.0,
    "finger-round-beyond": 850.0,
    **{f"finger-slot-{row}": far for row, far in (("4", 2), ("6", 20), ("8", 40), ("10", 80), ("12", 100))},
    "finger-slot-beyond": 900.0,
}


def material(name: str = "MDF", family: str = "mdf", **limits: MaterialLimit | float) -> Material:
    """A material with the limits of MDF, changed by name."""
    wanted = {
        "edge_stop": MaterialLimit(6),
        "edge_caution": MaterialLimit(12),
        "edge_caution_backed": MaterialLimit(12),
        "web_stop": MaterialLimit(3),
        "web_caution": MaterialLimit(5),
        "ledge_floor": 5.0,
        **limits,
    }
    return Material(family, name, family, 750, (18,), MaterialLimits(source=SOURCE, **wanted), SOURCE)  # type: ignore[arg-type]


MDF = material()
ACRYLIC = material(
    "Acrylic",
    "acrylic",
    edge_stop=MaterialLimit(per_thickness=1.5),
    edge_caution=MaterialLimit(per_thickness=1.5, per_diameter=1),
    edge_caution_backed=MaterialLimit(per_thickness=2),
    web_stop=MaterialLimit(1.5, 1),
    web_caution=MaterialLimit(3, 1.5),
    ledge_floor=3.0,
)

FORSTNER = tuple(Bit("forstner", d, 55) for d in (10, 20, 24, 28, 30, 35, 40, 45, 50))
INCH_BITS = tuple(Bit("forstner", n * 25.4 / 8, 55, inch=True) for n in range(3, 17))
HAND = Allowance("hand", "Hand drill", 1.0, 0.5, SOURCE)
NONE = Allowance("none", "No error", 0.0, 0.0, SOURCE)
SHOP = Tooling(NONE, FORSTNER, Paper("a4", "A4", 210, 297, SOURCE))


def catalogue(rules: Mapping[str, float] = RULES, parts: tuple[Part, ...] = ()) -> Catalogue:
    """A small catalogue with those defaults and parts."""
    return Catalogue(
        materials=MappingProxyType({"mdf": MDF, "acrylic": ACRYLIC}),
        parts=MappingProxyType({p.id: p for p in parts}),
        bit_sets=MappingProxyType(
            {"metric": FORSTNER, "inch": tuple(Bit("forstner", n * 25.4 / 8, 55, True) for n in range(3, 17))}
        ),
        papers=MappingProxyType({}),
        allowances=MappingProxyType({"hand": HAND}),
        rules=MappingProxyType({name: Default(value, "mm", SOURCE) for name, value in rules.items()}),
        supplies=whole().supplies,
    )


CATALOGUE = catalogue()


def button(
    hole: float = 28,
    *,
    flange: float | None = None,
    body: float | Shape | None = None,
    depth: float = 10,
    fixing: NutFixing | SnapFixing | ScrewFixing | None = None,
    wiring: bool = False,
    smallest: float | None = None,
    largest: float | None = None,
    more: tuple[Shape, ...] = (),
    name: str = "Button",
    part_id: str = "button",
    mount: str = "top",
    lever: Lever | None = None,
) -> Part:
    """A round part; without a fixing, clips that hold anything; a shallow body stays inside an 18 mm board.

    Unless told otherwise its flange is 4 mm wider than its hole and its body 1 mm narrower, so that it agrees with
    itself. A flange of 0 is none.
    """
    flange = hole + 4 if flange is None else flange
    body = hole - 1 if body is None else body
    cutouts = [Cutout(circle(hole), smallest or hole, largest or hole)]
    cutouts += [Cutout(shape, 0.1, 1000) for shape in more]
    return Part(
        id=part_id,
        name=name,
        kind="button",
        mount=mount,  # type: ignore[arg-type]
        cutouts=tuple(cutouts),
        flange=Flange(circle(flange), 4) if flange else None,
        fixing=fixing or SnapFixing(0, 1000),
        body=Body(circle(body) if isinstance(body, int | float) else body, depth),
        lever=lever,
        wiring=Wiring(1, 1, 2.8, 0) if wiring else None,
        source=SOURCE,
    )


def hanging(body: float | Shape = 40, *, hole: float = 28, depth: float = 22, **more: Any) -> Part:
    """A part mounted below the board: its body hangs ``depth`` mm down, and is wider than its hole."""
    return button(hole, body=body, depth=depth, mount="under", **more)


def nut(thread: float = 34, height: float = 6, width: float = 37, washer: float = 0, spare: float = 1) -> NutFixing:
    return NutFixing(thread, height, width, washer, spare)


def plate(side: str = "under", width: float = 90, height: float = 60, *holes: tuple[float, float]) -> ScrewFixing:
    return ScrewFixing(holes, 4, side, rectangle(width, height), 2)  # type: ignore[arg-type]


def stick(length: float = 76, low: float = 50, high: float = 65, *, screws: ScrewFixing | None = None) -> Part:
    """A stick below the board on a plate 90 × 60 mm; it wants its lever ``low`` to ``high`` above the top face."""
    fixing = screws or plate("under", 90, 60, (-40, -25), (40, 25))
    lever = Lever(length, low, high, 35)
    body = rectangle(70, 50)
    return button(
        28, flange=40, body=body, depth=38, fixing=fixing, mount="under", lever=lever, part_id="stick", name="Stick"
    )


def at(
    x: float,
    y: float,
    part: Part | None = None,
    *,
    name: str = "a",
    angle: float = 0,
    bore: tuple[float, float] | None = None,
    drill: bool = True,
    locked: bool = False,
    shop: Tooling = SHOP,
    recess: Recess | None = None,
) -> Placed:
    """The part at its place, its label the name in capitals; holes as wide as the shop's bits."""
    part = part or button()
    holes = []
    for cutout in part.cutouts:
        shape = cutout.shape.placed(x, y, angle)
        bit = shop.bit_for(cutout.width, cutout.smallest, cutout.largest) if cutout.is_circle else None
        holes.append(Hole(cutout, Shape(shape.core, bit.diameter / 2) if bit else shape, bit))
    counterbore = Counterbore(*bore) if bore else None
    return Placed(name, part, x, y, angle, name.upper(), "", drill, tuple(holes), counterbore, locked, recess)


def board(
    *placements: Placed,
    outline: Outline | None = None,
    openings: tuple[Outline, ...] = (),
    layers: tuple[Layer, ...] = (Layer(MDF, 18),),
    edges: tuple[EdgeFeature, ...] = (),
    depth: DepthPlane | None = None,
    keep_clear: tuple[KeepClear, ...] = (),
    allowance: Allowance = NONE,
    units: str = "mm",
    bits: tuple[Bit, ...] = FORSTNER,
    paint: float = 0.0,
    accepted: tuple[Accepted, ...] = (),
) -> ResolvedBoard:
    """A board 600 × 300 mm of 18 mm MDF, drilled without any error unless told otherwise."""
    return ResolvedBoard(
        id="deck",
        name="Control deck",
        role="deck",
        arrangement_id="one",
        arrangement_name="One player",
        title="A board for tests",
        outline=outline or rectangle_outline(600, 300),
        openings=openings,
        layers=layers,
        edges=edges,
        free_depth=depth,
        keep_clear=keep_clear,
        placements=placements,
        tooling=replace(SHOP, drilling=allowance, bits=bits),
        units=units,
        paint=paint,
        accepted=accepted,
    )


def found(checked: ResolvedBoard, rule: str, known: Catalogue = CATALOGUE) -> list[FindingOf[Any]]:
    """The findings of one rule, whose details are of its own kind."""
    return [f for f in check(checked, known).findings if f.rule == rule]


def near(value: float, within: float = 1e-9) -> Any:
    """Equal to ``value`` but for rounding [mm]."""
    return pytest.approx(value, abs=within, rel=1e-9)
