"""Boards made by hand for the drawing tests: an invented two-player deck and what surrounds it."""

from __future__ import annotations

from app.geometry.outline import Corner, Outline, rectangle_outline
from app.geometry.shapes import Shape, circle, rectangle
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.material import Layer, Material, MaterialLimit, MaterialLimits
from app.model.part import (
    Body,
    Cutout,
    Fixing,
    Flange,
    Kind,
    Lever,
    NutFixing,
    Part,
    ScrewFixing,
    SnapFixing,
    Wiring,
)
from app.model.resolved import Counterbore, Hole, Placed, ResolvedBoard
from app.model.source import Source
from app.model.tooling import Allowance, Bit, Paper, Tooling
from app.values import replace

INVENTED = Source("invented for the tests", "typical")
A4 = Paper("a4", "A4", 210.0, 297.0, INVENTED)
LETTER = Paper("letter", "Letter", 215.9, 279.4, INVENTED)
A3 = Paper("a3", "A3", 297.0, 420.0, INVENTED)


def material(family: str) -> Material:
    """A material of that family; its limits play no part in drawings."""
    limit = MaterialLimit(1.0)
    limits = MaterialLimits(limit, limit, limit, limit, limit, 5.0, INVENTED)
    name = "MDF" if family == "mdf" else family.title()
    return Material(family, name, family, 700.0, (18.0,), limits, INVENTED)


def shop(paper: Paper = A4) -> Tooling:
    bits = tuple(Bit("forstner", d, 60.0) for d in (24.0, 28.0, 30.0, 32.0, 35.0))
    return Tooling(Allowance("hand", "hand drill", 1.0, 0.5, INVENTED), bits, paper)


def part(kind: Kind, hole: float, flange: float, fixing: Fixing, depth: float, body: Shape, **more: object) -> Part:
    return Part(
        id=f"{kind}-{hole:g}",
        name=f"{kind.title()}, {hole:g} mm hole",
        kind=kind,
        mount=more.get("mount", "top"),  # type: ignore[arg-type]
        cutouts=(Cutout(circle(hole), hole - 0.5, hole + 0.5),),
        flange=Flange(circle(flange), 2.5) if flange else None,
        fixing=fixing,
        body=Body(body, depth),
        lever=more.get("lever"),  # type: ignore[arg-type]
        wiring=Wiring(1, 1, 2.8, 0.0),
        source=INVENTED,
    )


BUTTON = part("button", 30.0, 35.0, SnapFixing(2.0, 6.0), 32.0, circle(27.0))
ADMIN = part("button", 24.0, 28.0, NutFixing(14.0, 6.0, 30.0, 0.0, 1.0), 26.0, circle(20.0))
STICK = part(
    "stick", 24.0, 0.0,
    ScrewFixing(
        ((-40.0, -20.0), (40.0, -20.0), (40.0, 20.0), (-40.0, 20.0)), 5.0, "under",
        rectangle(95.0, 53.0, corner=3.0), 1.6,
    ),
    38.0, rectangle(65.0, 53.0), mount="under", lever=Lever(62.0, 30.0, 50.0, 35.0),
)  # fmt: skip


def placed(ident: str, item: Part, x: float, y: float, label: str, **more: object) -> Placed:
    angle = float(more.get("angle", 0.0))  # type: ignore[arg-type]
    bits = shop()
    holes = tuple(
        Hole(c, c.shape.placed(x, y, angle), bits.bit_for(c.width, c.smallest, c.largest)) for c in item.cutouts
    )
    return Placed(
        ident, item, x, y, angle, label, "", bool(more.get("drill", True)), holes, more.get("bore")  # type: ignore[arg-type]
    )  # fmt: skip


def two_player(width: float = 640.0, depth: float = 240.0, *, units: str = "mm", paper: Paper = A4) -> ResolvedBoard:
    """Two stations of a stick and six buttons, two admin buttons with counterbores, one position not drilled."""
    items = []
    letters = iter("ABCDEFGHJKLMNPQRSTUV")
    for station, x in enumerate((85.0, 391.0)):
        items.append(placed(f"s{station}", STICK, x, 113.0, next(letters)))
        for k, (dx, dy) in enumerate(((62, 15), (100, 29), (138, 25), (56, -23), (94, -9), (132, -13))):
            items.append(placed(f"b{station}{k}", BUTTON, x + dx, 113.0 + dy, next(letters)))
    for k, x in enumerate((300.0, 340.0)):
        items.append(placed(f"m{k}", ADMIN, x, 206.0, next(letters), bore=Counterbore(32.0, 9.5)))
    items.append(placed("off", BUTTON, 600.0, 206.0, next(letters), drill=False))
    return board(tuple(items), width, depth, units=units, paper=paper)


def board(
    placements: tuple[Placed, ...], width: float = 640.0, depth: float = 240.0, *, units: str = "mm", paper: Paper = A4
) -> ResolvedBoard:
    outline = Outline((Corner(0, 0), Corner(width, 0), Corner(width, depth, (36, 36)), Corner(0, depth, (36, 36))))
    return ResolvedBoard(
        id="deck", name="Control deck", role="deck", arrangement_id="two", arrangement_name="two players",
        title="Harbour Lane two-seater", outline=outline, openings=(), layers=(Layer(material("mdf"), 18.0),),
        edges=(EdgeFeature("front", 10.0, 0.0), EdgeFeature("left", 0.0, 19.0), EdgeFeature("right", 0.0, 19.0)),
        free_depth=DepthPlane(60.0, 0.0, 50.0 / depth),
        keep_clear=(KeepClear("under", rectangle(100.0, 30.0, width / 2, depth - 75.0), "hinge"),),
        placements=placements, tooling=shop(paper), units=units, revision="revision C",
    )  # fmt: skip


def bare(width: float, depth: float, *, paper: Paper = A4) -> ResolvedBoard:
    """A rectangular board with nothing on it."""
    made = board((), width, depth, paper=paper)
    return replace(made, outline=rectangle_outline(width, depth), keep_clear=(), edges=())
