"""An access door: the board itself with hinges, lock or finger hole, and holes for air."""

from __future__ import annotations

from typing import Final

from app.arrange.change import shown
from app.arrange.maker.drilled import possible
from app.arrange.maker.made import Figure, Made, Maker, Piece
from app.arrange.maker.rectangles import ring_of
from app.arrange.maker.simple_parts import round_hole
from app.catalogue.hardware import PartEntry, RectangleBody, RectangleEntry, RectangleFlange, ScrewsEntry
from app.catalogue.load import Catalogue
from app.document.pattern_schema import BoundaryEntry, PatternEntry
from app.document.schema import LayerEntry
from app.errors import EditError
from app.geometry.shapes import rotate
from app.model.maker import door
from app.model.maker.measure import Asked

LOCK: Final = "lock-19-nut"
"""The lock, in the catalogue."""

_LAYERS: Final = (LayerEntry(material="plywood", thickness=12.0),)
_LEAF_END: Final = 7.0  # mm; from the end of a leaf to its last screw. Common practice, no source: measure yours
_LEAF_CLEAR: Final = 2.0  # mm; of the leaf, at the edge of the door: its knuckle takes that, and is beyond the edge
_FINGER_IN: Final = 30.0  # mm; from the free edge to the middle of a finger hole. Common practice, no source


def make(asked: Asked, _catalogue: Catalogue) -> Made:
    """The door that the measures ask for.

    Raises:
        EditError: measures that contradict each other.
    """
    _fits(asked)
    sides = door.door_sides(asked)
    span, along = sides if door.upright(asked) else sides[::-1]
    pieces = [*_hinges(asked, span, along)]
    if asked.text("held") == "lock":
        if asked.number("lock-in") >= span:
            got = shown(asked.number("lock-in"), asked.units)
            raise EditError(
                f"The lock is on the door, {shown(span, asked.units)}, got {got}. Bring it nearer.", "lock-in"
            )
        pieces.append(_at(asked, "lock", LOCK, span, span - asked.number("lock-in"), 0.0))
    if asked.number("finger-hole"):
        if span < _FINGER_IN + asked.number("finger-hole"):
            raise EditError(
                f"A door of {shown(span, asked.units)} has no room for a finger hole. Set it to 0.", "finger-hole"
            )
        hole = round_hole("finger-hole", "Finger hole", asked.number("finger-hole"))
        pieces.append(_at(asked, "finger-hole", hole, span, span - _FINGER_IN, -along / 4))
    if asked.flag("vents"):
        pieces.append(Piece("vents", _vents(asked)))
    return Made(ring_of(*sides), _LAYERS, asked.number("free-depth"), tuple(pieces), figures=_figures(asked, sides))


def _figures(asked: Asked, sides: tuple[float, float]) -> tuple[Figure, ...]:
    opening = door.opening_sides(asked)
    bare = [(wide - narrow) / 2 for wide, narrow in zip(opening, sides, strict=True)]
    painted = 2 * asked.number("paint")
    return (
        Figure("door-width", "Door, left to right", sides[0], "length"),
        Figure("door-height", "Door, front to back", sides[1], "length"),
        Figure("opening-width", "Opening, left to right", opening[0], "length"),
        Figure("opening-height", "Opening, front to back", opening[1], "length"),
        Figure("gap", "Gap a side once painted", min(bare) - painted, "length"),
        Figure("shims", "Shims under it, all bare", bare[1], "length"),
        Figure("shims-painted", "Shims under it, all painted", bare[1] - painted, "length"),
    )


def _fits(asked: Asked) -> None:
    """Refuse a door that no opening takes, every side of it.

    Raises:
        EditError: beside the measures.
    """
    ways, units = ("width", "height"), asked.units
    found, coats = dict[str, str](), 4 * asked.number("paint")
    for way, narrow, wide in zip(ways, door.door_sides(asked), door.opening_sides(asked), strict=True):
        if asked.text("sized") == "both" and narrow + coats >= wide:
            coated = " with its paint and that of the opening" if coats else ""
            got, room = shown(narrow + coats, units), shown(wide, units)
            found[way] = (
                f"The door is wider than an opening of {room}: got {got}{coated}. Plane it, or widen the opening."
            )
        elif asked.text("sized") == "opening" and narrow < door.LEAST:
            got = shown(wide, units)
            found[f"opening-{way}"] = f"No door is left of an opening of {got} with this gap. Narrow the gap."
    if found:
        raise EditError.of(found)


def _hinges(asked: Asked, span: float, along: float) -> list[Piece]:
    """Hinges along their edge, the outer ones as far from the corners as asked, the others evenly between.

    Raises:
        EditError: they do not fit on the edge, or their screws not on the leaf or the door.
    """
    many, units = int(asked.number("hinges")), asked.units
    if not many:
        return []
    length, inset, leaf, line = (asked.number(name) for name in ("hinge", "inset", "leaf", "screw-line"))
    needed = max(many * length + 2 * inset, 2 * inset + length)
    if needed > along:
        raise EditError(
            f"{many} hinges and the corners take {shown(needed, units)} of the edge, got {shown(along, units)}. "
            "Use fewer or shorter hinges, or set them nearer to the corners.",
            "hinges",
        )
    if not line < min(leaf, span):
        got = shown(line, units)
        raise EditError(
            f"The screws are on the leaf, {shown(leaf, units)} wide, got {got}. Measure both.", "screw-line"
        )
    if leaf >= span:
        got, room = shown(leaf, units), shown(span, units)
        raise EditError(f"The leaf is narrower than the door, {room}, got {got}. Use a narrower hinge.", "leaf")
    gap = door.pin_gap(asked)
    part, (first, last) = _hinge(asked, leaf - gap, line - gap), (inset + length / 2, along - inset - length / 2)
    places = [along / 2] if many == 1 else [first + k * (last - first) / (many - 1) for k in range(many)]
    return [
        _at(asked, f"hinge-{k}", part, span, _middle(leaf - gap), place - along / 2)
        for k, place in enumerate(places, 1)
    ]


def _hinge(asked: Asked, leaf: float, line: float) -> PartEntry:
    """One leaf on the door, about its own middle; the other one is on the frame."""
    many, length, thick = int(asked.number("screws")), asked.number("hinge"), asked.number("leaf-thickness")
    reach = max(0.0, length - 2 * _LEAF_END)
    places = [0.0] if many == 1 else [round(-reach / 2 + k * reach / (many - 1), 6) + 0.0 for k in range(many)]
    wide, outward = max(leaf - _LEAF_CLEAR, 0.1), asked.text("opens") == "out"
    shape = {"width": wide, "height": length}
    across = round(line - _middle(leaf), 6)
    screws = ScrewsEntry(
        type="screws",
        holes=tuple((across, y) for y in places),
        screw_diameter=asked.number("screw"),
        screw_length=asked.number("screw-length"),
        side="top" if outward else "under",
        plate=None if outward else RectangleEntry(shape="rectangle", **shape),
        plate_thickness=0.0 if outward else thick,
    )
    return PartEntry(
        id="hinge",
        name=f"Hinge, {length:g} mm, leaf {asked.number('leaf'):g} mm",
        kind="bracket",
        mount="top" if outward else "under",
        source="As entered.",
        basis="measured",
        cutouts=(),
        flange=RectangleFlange(shape="rectangle", rise=thick, **shape) if outward else None,
        fixing=screws,
        body=RectangleBody(shape="rectangle", depth=0.0 if outward else thick, **shape),
    )


def _middle(leaf: float) -> float:
    """From the door's edge to the middle of what of a leaf lies on the door [mm]."""
    return _LEAF_CLEAR + max(leaf - _LEAF_CLEAR, 0.1) / 2


def _at(asked: Asked, key: str, part: str | PartEntry, span: float, inward: float, beside: float) -> Piece:
    """A piece so far from the hinges' edge, and from its middle, however the door is hinged [mm]."""
    turn = door.hinge_turn(asked)
    x, y = rotate((inward - span / 2, beside), turn)
    return Piece(key, part, round(x, 6) + 0.0, round(y, 6) + 0.0, turn)


def _vents(asked: Asked) -> PatternEntry:
    boundary = BoundaryEntry(shape="rectangle", width=asked.number("vent-width"), height=asked.number("vent-height"))
    hole, pitch = asked.number("vent-hole"), asked.number("vent-pitch")
    if pitch <= hole:
        got = shown(pitch, asked.units)
        raise EditError(
            f"The pitch is wider than a hole, {shown(hole, asked.units)}, got {got}. Widen it.", "vent-pitch"
        )
    pattern = PatternEntry(id="pattern", name="Vents", hole=hole, pitch=pitch, boundary=boundary)
    return possible(pattern, "vent-pitch", "vent-hole", middle="hole")  # so that numbers stay as vents grow


MAKER: Final = Maker(
    name=door.DOOR,
    title="Access door",
    sentence="A door for an opening, or the opening for a door, with hinges, lock and holes for air.",
    measures=door.MEASURES,
    make=make,
)
