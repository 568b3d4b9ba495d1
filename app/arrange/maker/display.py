"""A plate that a display is screwed to, with a slot for its cables; and whether the display goes where it is to go."""

from __future__ import annotations

from typing import Final

from app.arrange.change import shown
from app.arrange.maker.made import Figure, Made, Maker, Piece
from app.arrange.maker.rectangles import ring_of
from app.catalogue.hardware import CircleCutout, PartEntry, RectangleBody, ScrewsEntry, SlotCutout
from app.catalogue.load import Catalogue
from app.document.schema import LayerEntry
from app.errors import EditError
from app.model.maker import display
from app.model.maker.beam import bend, stiffness
from app.model.maker.measure import Asked
from app.model.material import Layer

_MATERIAL: Final = "plywood"
_PAD: Final = 15.0  # mm; of a display's back beyond its mounting holes, flat on the plate. Common practice, no source

_FILED: Final = 1.0  # mm; how much wider or narrower a slot for cables may come out. Common practice, no source


def make(asked: Asked, catalogue: Catalogue) -> Made:
    """The plate that the measures ask for.

    Raises:
        EditError: measures that contradict each other.
    """
    _sensible(asked)
    pieces = (Piece("mount", _mount(asked)),)
    sides = asked.number("width"), asked.number("height")
    layers = (LayerEntry(material=_MATERIAL, thickness=asked.number("plate")),)
    return Made(ring_of(*sides), layers, asked.number("free-depth"), pieces, figures=_figures(asked, catalogue))


def _sensible(asked: Asked) -> None:
    """Refuse a display that is larger than the cabinet, or that contradicts itself; every measure of it.

    Raises:
        EditError: beside the measures.
    """
    units, problems = asked.units, dict[str, str]()
    outer, room = asked.number("outer-width"), asked.number("room")
    if outer > room:
        got, between = shown(outer, units), shown(room, units)
        problems["outer-width"] = (
            f"The display is wider than the cabinet: {between} between the sides, got {got}. "
            "Use a smaller display, or a wider cabinet."
        )
    across, down = display.PATTERNS[asked.text("pattern")]
    for way, holes in (("width", across), ("height", down)):
        case, picture = asked.number(f"outer-{way}"), asked.number(f"visible-{way}")
        if case <= holes and f"outer-{way}" not in problems:
            got = shown(case, units)
            problems[f"outer-{way}"] = (
                f"The display is larger than its mounting holes, {shown(holes, units)}, got {got}. Measure both again."
            )
        if picture > case:
            problems[f"visible-{way}"] = (
                f"The picture is no larger than the display, {shown(case, units)}, got {shown(picture, units)}. "
                "Measure both again."
            )
    if asked.flag("cable") and asked.number("cable-length") < asked.number("cable-width"):
        wide, got = (shown(asked.number(name), units) for name in ("cable-width", "cable-length"))
        problems["cable-length"] = f"A slot is at least as long as wide, {wide}, got {got}. Make it longer."
    if problems:
        raise EditError.of(problems)


def _mount(asked: Asked) -> PartEntry:
    """The display: its screws go through the plate from the other side, so they need clearance holes only."""
    across, down = display.PATTERNS[asked.text("pattern")]
    at = tuple((sx * across / 2, sy * down / 2) for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
    size, fine, nominal, coarse = display.screw_of(asked)
    wide, high = asked.number("outer-width"), asked.number("outer-height")
    if asked.flag("past"):
        wide, high = min(wide, across + 2 * _PAD), min(high, down + 2 * _PAD)
    holes = [CircleCutout(shape="circle", x=x, y=y, diameter=nominal, smallest=fine, largest=coarse) for x, y in at]
    return PartEntry(
        id="mount",
        name=f"Display, mounting holes {across:g} × {down:g} mm",
        kind="bracket",
        mount="under",
        source="As entered. Holes by the flat display mounting interface, their clearance by ISO 273.",
        basis="measured",
        cutouts=(*holes, *_slot(asked)),
        fixing=ScrewsEntry(
            type="screws", holes=at, screw_diameter=size, screw_length=asked.number("screw-length"), side="top"
        ),
        body=RectangleBody(shape="rectangle", width=wide, height=high, depth=asked.number("outer-depth")),
    )


def _slot(asked: Asked) -> tuple[SlotCutout, ...]:
    """The slot for cables; nothing is held by it, so it may be as much wider as a file takes."""
    if not asked.flag("cable"):
        return ()
    wide = asked.number("cable-width")
    return (
        SlotCutout(
            shape="slot",
            y=-asked.number("cable-down") + 0.0,
            length=asked.number("cable-length"),
            width=wide,
            smallest=wide - _FILED,
            largest=wide + _FILED,
        ),
    )


def _figures(asked: Asked, catalogue: Catalogue) -> tuple[Figure, ...]:
    size, _, clearance, _ = display.screw_of(asked)
    under = asked.number("plate") + asked.number("washer")
    end, engaged = catalogue.rule("mount-thread-end"), catalogue.rule("mount-thread-least") * size
    outer, room = asked.number("outer-width"), asked.number("room")
    return (
        Figure("clearance", "Screw holes", clearance, "length"),
        Figure("screw-least", "Shortest screw", under + engaged, "length"),
        Figure("screw-most", "Longest screw", under + asked.number("thread-depth") - end, "length"),
        *_bending(asked, catalogue),
        Figure("beside", "Room beside the display, each side", (room - outer) / 2, "length"),
        *_bezels(asked),
    )


def _bending(asked: Asked, catalogue: Catalogue) -> tuple[Figure, ...]:
    net = asked.number("height") - (asked.number("cable-width") if asked.flag("cable") else 0.0)
    layer = Layer(catalogue.materials[_MATERIAL], asked.number("plate"))
    stiff = stiffness((layer,), net) if net > 0 else None
    if not stiff:
        return ()
    deep = bend(asked.number("mass"), asked.number("span"), stiff)
    return (Figure("bend", f"Bends, of {layer.material.name.lower()} and lying flat", deep, "length"),)


def _bezels(asked: Asked) -> tuple[Figure, ...]:
    """The bezel on each side; and where an opening is before the display, what it hides of the picture."""
    found = []
    for way, said in (("width", "left and right"), ("height", "front and back")):
        case, picture, cut = (asked.number(f"{what}-{way}") for what in ("outer", "visible", "opening"))
        found.append(Figure(f"bezel-{way}", f"Bezel, {said}, if it is even", (case - picture) / 2, "length"))
        if cut > 0:
            shows = Figure(
                f"shows-{way}", f"Bezel that shows, {said}", max(0.0, min(cut, case) - picture) / 2, "length"
            )
            hidden = Figure(f"hidden-{way}", f"Picture hidden, {said}", max(0.0, picture - cut) / 2, "length")
            found += [shows, hidden]
    return tuple(found)


MAKER: Final = Maker(
    name=display.DISPLAY,
    title="Display plate",
    sentence="A plate for a display’s mounting holes, with a slot for its cables, and whether the display fits.",
    measures=display.MEASURES,
    make=make,
    look_for=display.LOOK_FOR,
)
