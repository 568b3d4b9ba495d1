"""What a board is, as it is typed: its size, layers, edges, what is below it, common shapes."""

from __future__ import annotations

from markupsafe import Markup
from msgspec import Struct

from app.service.screens.board.board_form import BoardForm, RingSeen, shapes_of
from app.service.screens.choices import Choice, materials
from app.service.screens.words import as_typed
from app.units import Unit


class LengthField(Struct, frozen=True):
    """A length to type: field name, words, what it shows, and what to know about it."""

    name: str
    words: str
    value: str
    hint: str = ""


class LayerRow(Struct, frozen=True):
    """A layer: its number from 0, materials to choose from, its thickness."""

    index: int
    materials: tuple[Choice, ...]
    thickness: str


class LayersPanel(Struct, frozen=True):
    """Layers from top to underside, and what a new one begins with."""

    rows: tuple[LayerRow, ...]
    total: str
    materials: tuple[Choice, ...]
    thickness: str


class ShapeButton(Struct, frozen=True):
    """A shape to choose: its name, words, picture."""

    name: str
    words: str
    picture: Markup


class ShapesPanel(Struct, frozen=True):
    """Common shapes with the offsets they are drawn by."""

    fields: tuple[LengthField, ...]
    shapes: tuple[ShapeButton, ...]


def size_fields(board: BoardForm, unit: Unit) -> tuple[LengthField, ...]:
    """Width and depth."""
    return (
        LengthField("width", "Width", as_typed(board.width, unit)),
        LengthField("depth", "Depth, front to back", as_typed(board.depth, unit)),
    )


def layers_panel(board: BoardForm, unit: Unit) -> LayersPanel:
    """Layers from top to underside."""
    rows = tuple(
        LayerRow(index, materials(layer.material), as_typed(layer.thickness, unit))
        for index, layer in enumerate(board.layers)
    )
    return LayersPanel(rows, as_typed(board.thickness, unit), rows[-1].materials, rows[-1].thickness)


def edge_fields(board: BoardForm, unit: Unit) -> tuple[tuple[str, LengthField, LengthField], ...]:
    """Each edge with the depth of its slot and the width of its rail."""
    found = []
    for edge in board.edges:
        name = edge.name.capitalize()
        slot = LengthField(f"slot-{edge.name}", f"{name} edge: slot", as_typed(edge.slot, unit))
        found.append((name, slot, LengthField(f"rail-{edge.name}", f"{name} edge: rail", as_typed(edge.rail, unit))))
    return tuple(found)


def below_fields(board: BoardForm, unit: Unit) -> tuple[LengthField, ...]:
    """Free depth below the front and back edge; those of a new deck where nothing is below."""
    words = {"front": "Below the front edge", "back": "Below the back edge"}
    return tuple(LengthField(n, w, as_typed(v, unit)) for (n, w), v in zip(words.items(), board.below, strict=True))


def shapes_panel(rim: RingSeen, unit: Unit) -> ShapesPanel:
    """Shapes as wide and deep as the board, drawn with the offsets to begin with."""
    fields = (
        LengthField("across", "Offset across", as_typed(rim.offsets[0], unit)),
        LengthField("along", "Front to back", as_typed(rim.offsets[1], unit)),
    )
    pictured = tuple(
        ShapeButton(shape.name, shape.words, Markup(shape.picture))  # noqa: S704 - our own writer's SVG
        for shape in shapes_of(rim)
    )
    return ShapesPanel(fields, pictured)
