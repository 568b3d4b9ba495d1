"""A fan behind one opening, or behind holes that a finger does not pass."""

from __future__ import annotations

from typing import Final

from app.arrange.hardware.part_rows import entry_of
from app.arrange.maker.drilled import pattern_entry, pattern_figures
from app.arrange.maker.made import Figure, Made, Maker, Piece
from app.arrange.maker.rectangles import ring_of
from app.catalogue.hardware import PartEntry
from app.catalogue.load import Catalogue
from app.document.makers import bore_area
from app.document.pattern_schema import BoundaryEntry
from app.document.patterns import pattern_of
from app.document.schema import LayerEntry
from app.model.maker import fan
from app.model.maker.measure import Asked
from app.model.maker.patterning import OPENING
from app.model.part import Part

_OPEN: Final = (LayerEntry(material="plywood", thickness=9.0),)
_GUARD: Final = (LayerEntry(material="plywood", thickness=12.0),)
"""Behind holes of 6 mm a blade is 10 mm away or more: ISO 13857, for children from 3 (table 5, from memory)."""

_NUT: Final = 4.0  # mm; a nut and the thread beyond it, for an M4 screw: ISO 4032 (3.2 mm high), from memory


def fan_part(size: str, catalogue: Catalogue) -> Part:
    """The fan of the catalogue with that frame."""
    return catalogue.parts[f"fan-{size}"]


def make(asked: Asked, catalogue: Catalogue) -> Made:
    """The fan that the measures ask for.

    Raises:
        EditError: measures that contradict each other.
    """
    part, guarded = fan_part(asked.text("frame"), catalogue), asked.text("holes") != OPENING
    bore = bore_area(part)
    pieces, figures, through = [Piece("fan", _hung(asked, part, guarded))], list[Figure](), bore
    if guarded:
        boundary = BoundaryEntry(width=part.cutouts[0].smallest)
        holes = pattern_entry(asked, "holes", boundary, "Fan guard")
        pieces.append(Piece("holes", holes))
        through = pattern_of(holes).open_area
        figures += [
            *pattern_figures(holes),
            Figure("open-area", "Open area of the bore", 100 * through / bore, "share"),
        ]
    figures.append(
        Figure("screw", "Screw length, beyond the board’s thickness", _thickness(asked, part) + _NUT, "length")
    )
    other, way = ("intake", "in") if asked.text("air") == "out" else ("outlet", "out")
    figures.append(Figure(other, f"Opening needed elsewhere to let air {way}", bore, "area"))
    sides = asked.number("width"), asked.number("height")
    return Made(
        ring_of(*sides), _GUARD if guarded else _OPEN, asked.number("free-depth"), tuple(pieces), figures=tuple(figures)
    )


def _hung(asked: Asked, part: Part, guarded: bool) -> str | PartEntry:
    """The fan of the catalogue where it is as thick, and blows through one opening; else one of its own."""
    thick = _thickness(asked, part)
    if not guarded and thick == part.body.depth:
        return part.id
    entry = entry_of(part)
    kept = entry.cutouts[1:] if guarded else entry.cutouts
    name = f"{part.name}{', behind holes' if guarded else ''}"
    body = entry.body.model_copy(update={"depth": thick})
    return entry.model_copy(update={"name": name, "cutouts": kept, "body": body})


def _thickness(asked: Asked, part: Part) -> float:
    return asked.number("thickness") or part.body.depth


MAKER: Final = Maker(
    name=fan.FAN,
    title="Fan",
    sentence="An opening with four screws, or holes that a finger does not pass, with the fan behind it.",
    measures=fan.MEASURES,
    make=make,
)
