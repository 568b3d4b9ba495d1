"""A loudspeaker behind holes, or behind one opening with a ring; the driver hangs below as hardware of its own."""

from __future__ import annotations

import math
from typing import Final

from app.arrange.change import shown
from app.arrange.maker.drilled import pattern_entry, pattern_figures
from app.arrange.maker.made import Figure, Made, Maker, Piece
from app.arrange.maker.rectangles import ring_of
from app.catalogue.hardware import (
    CircleBody,
    CircleCutout,
    CircleEntry,
    CircleFlange,
    GlueEntry,
    PartEntry,
    ScrewsEntry,
    WiringEntry,
)
from app.catalogue.load import Catalogue
from app.document.pattern_schema import BoundaryEntry
from app.document.patterns import pattern_of
from app.document.schema import LayerEntry
from app.errors import EditError
from app.model.maker import grille
from app.model.maker.measure import Asked
from app.model.maker.patterning import OPENING

SCREW_HOLES: Final = {"M3": (3.0, 3.2, 3.4, 3.6), "M4": (4.0, 4.3, 4.5, 4.8), "M5": (5.0, 5.3, 5.5, 5.8)}
"""Screw, and its clearance hole fine, medium and coarse [mm]: ISO 273."""

_RISE: Final = 3.0  # mm; of a ring on top. Common practice, no source: measure yours
_RIM: Final = 4.0  # mm; of a driver, that lies on the board round an opening. Common practice, no source
_LAYERS: Final = (LayerEntry(material="plywood", thickness=9.0),)


def make(asked: Asked, _catalogue: Catalogue) -> Made:
    """The grille that the measures ask for.

    Raises:
        EditError: measures that contradict each other.
    """
    _sensible(asked)
    cone = asked.number("cone")
    pieces = [Piece("magnet", _driver(asked))]
    cover = math.pi / 4 * cone**2
    if asked.text("holes") == OPENING:
        return _made(asked, pieces, (Figure("open-area", "Open area of the cone", 100.0, "share"),))
    field = asked.number("field") or cone
    holes = pattern_entry(asked, "holes", BoundaryEntry(width=field), "Grille")
    pieces.append(Piece("holes", holes))
    share = Figure("open-area", "Open area of the cone", 100 * pattern_of(holes).open_area / cover, "share")
    return _made(asked, pieces, (*pattern_figures(holes), share))


def _made(asked: Asked, pieces: list[Piece], figures: tuple[Figure, ...]) -> Made:
    sides = asked.number("width"), asked.number("height")
    return Made(ring_of(*sides), _LAYERS, asked.number("free-depth"), tuple(pieces), figures=figures)


def _sensible(asked: Asked) -> None:
    """Refuse what no driver can be.

    Raises:
        EditError: beside the measure.
    """
    outer, cone, units = asked.number("outer"), asked.number("cone"), asked.units
    if cone >= outer:
        rim, got = shown(outer, units), shown(cone, units)
        raise EditError(f"The cone is narrower than the rim, {rim}, got {got}. Measure both again.", "cone")
    if asked.text("fixing") != "screws":
        return
    circle, hole = asked.number("bolt-circle"), SCREW_HOLES[asked.text("screw")][2]
    low, high = cone + hole, outer - hole
    if not low <= circle <= high:
        least, most, got = (shown(v, units) for v in (low, high, circle))
        raise EditError(
            "The screws stand between the cone and the edge of the rim: on a circle from "
            f"{least} to {most}, got {got}. Measure through the middle of the driver, from screw hole to screw hole.",
            "bolt-circle",
        )
    if asked.text("holes") == OPENING and asked.number("ring") * 2 + cone > circle - hole:
        room = max(0.0, (circle - hole - cone) / 2)
        raise EditError(
            f"A ring up to {shown(room, units)} wide leaves the screws free, got {shown(asked.number('ring'), units)}. "
            "Choose a narrower ring, or glue the driver.",
            "ring",
        )


def _driver(asked: Asked) -> PartEntry:
    """The driver: as wide as the wider of rim and magnet all the way down, so that nothing is promised too early."""
    outer, wide = asked.number("outer"), max(asked.number("outer"), asked.number("magnet"))
    screwed = asked.text("fixing") == "screws"
    cutouts = [_opening(asked)] if asked.text("holes") == OPENING else []
    at: tuple[tuple[float, float], ...] = ()
    size, low, nominal, high = SCREW_HOLES[asked.text("screw")]
    if screwed:
        at = _round(int(asked.number("screws")), asked.number("bolt-circle"))
        holes = [CircleCutout(shape="circle", x=x, y=y, diameter=nominal, smallest=low, largest=high) for x, y in at]
        cutouts += holes
    fixing = ScrewsEntry(type="screws", holes=at, screw_diameter=size, side="top") if at else GlueEntry(type="glue")
    ring = asked.number("cone") + 2 * asked.number("ring")
    return PartEntry(
        id="driver",
        name=f"Driver, {outer:g} mm, cone {asked.number('cone'):g} mm",
        kind="speaker",
        mount="under",
        source="As entered." + (" Screw holes by ISO 273." if at else ""),
        basis="measured",
        cutouts=tuple(cutouts),
        flange=CircleFlange(shape="circle", diameter=ring, rise=_RISE) if asked.text("holes") == OPENING else None,
        fixing=fixing,
        body=CircleBody(shape="circle", diameter=wide, depth=asked.number("depth")),
        wiring=WiringEntry(signal_tabs=1, ground_tabs=1, tab_width=4.8),
    )


def _opening(asked: Asked) -> CircleCutout:
    """As wide as the cone at least; at most what the ring covers above, and the rim rests on below."""
    cone = CircleEntry(shape="circle", diameter=asked.number("cone")).diameter
    most = max(cone, min(cone + 2 * asked.number("ring") - 2, asked.number("outer") - 2 * _RIM))
    return CircleCutout(shape="circle", diameter=cone, smallest=cone, largest=most)


def _round(many: int, across: float) -> tuple[tuple[float, float], ...]:
    """Places of screws on a circle, none of them above the middle, as four stand at the corners of a square."""
    turns = [(k + 0.5) / many * 2 * math.pi for k in range(many)]
    return tuple((round(across / 2 * math.cos(t), 6) + 0.0, round(across / 2 * math.sin(t), 6) + 0.0) for t in turns)


MAKER: Final = Maker(
    name=grille.GRILLE,
    title="Loudspeaker grille",
    sentence="Holes or one opening for a loudspeaker, with the driver behind it.",
    measures=grille.MEASURES,
    make=make,
)
