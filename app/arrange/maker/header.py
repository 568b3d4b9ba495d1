"""The lit panel above a display: an opening with a diffuser behind it, strips of lights, and a row of holes for air."""

from __future__ import annotations

from typing import Final

from app.arrange.change import shown
from app.arrange.maker.drilled import possible
from app.arrange.maker.made import Figure, Made, Maker, Piece
from app.arrange.maker.rectangles import ring_of
from app.catalogue.hardware import GlueEntry, PartEntry, RectangleBody, RectangleCutout, WiringEntry
from app.catalogue.load import Catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.patterns import pattern_of
from app.document.schema import LayerEntry
from app.errors import EditError
from app.model.maker import header
from app.model.maker.measure import Asked

_LAYERS: Final = (LayerEntry(material="plywood", thickness=9.0),)
_SAWN: Final = 1.0  # mm; how much larger or smaller the opening may come out: the diffuser laps over it
_ROW: Final = 12.0  # mm; from the diffuser's edge to the middle of the row of vents. Common practice, no source
_LEAST_WEB: Final = 5.0  # mm; board between two vents that is asked for at least, as plywood's web. Common practice
_MOST_CURRENT: Final = 10_000.0  # mA; the most that a part of a design says it takes


def make(asked: Asked, _catalogue: Catalogue) -> Made:
    """The header that the measures ask for.

    Raises:
        EditError: measures that contradict each other.
    """
    _sensible(asked)
    pieces, air = [Piece("diffuser", _diffuser(asked))], tuple[Figure, ...]()
    if asked.flag("vents"):
        vents = _vents(asked)
        back = asked.number("opening-height") / 2 + asked.number("lap")
        pieces.append(Piece("vents", vents, 0.0, back + _ROW))
        air = (Figure("air", "Open for air", pattern_of(vents).open_area, "area"),)
    sides = asked.number("width"), asked.number("height")
    figures = (*_figures(asked), *air)
    return Made(ring_of(*sides), _LAYERS, asked.number("free-depth"), tuple(pieces), figures=figures)


def _sensible(asked: Asked) -> None:
    """Refuse what cannot be cut; every measure of it.

    Raises:
        EditError: beside the measures.
    """
    units, problems = asked.units, dict[str, str]()
    wide, high, corner = (asked.number(name) for name in ("opening-width", "opening-height", "corner"))
    if 2 * corner > min(wide, high):
        most, got = shown(min(wide, high) / 2, units), shown(corner, units)
        problems["corner"] = f"Corners are up to half as round as the opening is high or wide, {most}, got {got}."
    if not header.strip_length(asked):
        got, least = shown(wide, units), shown(asked.number("cut"), units)
        problems["cut"] = f"No piece of strip, {least} from mark to mark, goes into an opening of {got}. Widen it."
    if asked.flag("vents") and asked.number("vent-pitch") < asked.number("vent-hole") + _LEAST_WEB:
        needed = shown(asked.number("vent-hole") + _LEAST_WEB, units)
        problems["vent-pitch"] = (
            f"Holes of {shown(asked.number('vent-hole'), units)} need a pitch of {needed} or more, "
            f"got {shown(asked.number('vent-pitch'), units)}. Widen the pitch, or make the holes smaller."
        )
    if problems:
        raise EditError.of(problems)


def _diffuser(asked: Asked) -> PartEntry:
    """The diffuser and the room for the light behind it, over the opening that it needs."""
    wide, high, lap = (asked.number(name) for name in ("opening-width", "opening-height", "lap"))
    least = min(wide, high)
    return PartEntry(
        id="diffuser",
        name=f"Diffuser, {wide + 2 * lap:g} × {high + 2 * lap:g} mm, and strips of lights",
        kind="bracket",
        mount="under",
        source="As entered.",
        basis="measured",
        cutouts=(
            RectangleCutout(
                shape="rectangle", width=wide, height=high, corner=asked.number("corner"), smallest=least - _SAWN,
                largest=least + _SAWN,
            ),
        ),
        fixing=GlueEntry(type="glue"),
        body=RectangleBody(
            shape="rectangle", width=wide + 2 * lap, height=high + 2 * lap,
            depth=asked.number("diffuser") + asked.number("behind"),
        ),
        wiring=WiringEntry(light_current=min(header.current(asked), _MOST_CURRENT)),
    )  # fmt: skip


def _vents(asked: Asked) -> PatternEntry:
    """One row, as long as the opening."""
    hole = asked.number("vent-hole")
    boundary = BoundaryEntry(shape="rectangle", width=asked.number("opening-width"), height=hole)
    entry = PatternEntry(
        id="pattern", name="Vents", order="square", hole=hole, pitch=asked.number("vent-pitch"), boundary=boundary
    )
    return possible(entry, "vent-pitch", "vent-hole", middle="hole")


def _figures(asked: Asked) -> tuple[Figure, ...]:
    wide, high, lap = (asked.number(name) for name in ("opening-width", "opening-height", "lap"))
    taken = header.current(asked)
    return (
        Figure("diffuser-width", "Diffuser, left to right", wide + 2 * lap, "length"),
        Figure("diffuser-height", "Diffuser, front to back", high + 2 * lap, "length"),
        Figure("strip", "Each strip, cut at a mark", header.strip_length(asked), "length"),
        Figure("strips", "Strip in all", header.strip_length(asked) * asked.number("strips"), "length"),
        Figure("lights", "Lights", float(header.light_count(asked)), "count"),
        Figure("current", "They take", taken, "current"),
        Figure("heat", "Heat to lead away", taken * float(asked.text("volts")), "power"),
        Figure("spots", "Lights are apart", 1000 / asked.number("lights"), "length"),
    )


MAKER: Final = Maker(
    name=header.HEADER,
    title="Header",
    sentence="A lit panel above the display: an opening, the diffuser behind it, strips of lights, and holes for air.",
    measures=header.MEASURES,
    make=make,
    look_for=header.LOOK_FOR,
)
