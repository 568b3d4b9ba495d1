"""What a board is, as it is typed: its size, layers, edges, what is below it, common shapes."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from app.arrange.board_presets import SHAPES, usual_offsets
from app.arrange.board_rings import Ring, box_of
from app.catalogue.load import catalogue
from app.document.schema import BoardEntry
from app.errors import EditError
from app.geometry.outline import EDGE_NAMES
from app.model.resolved import ResolvedBoard
from app.service.board_sheets import shape_picture
from app.units import Unit
from app.web.contexts.here import Choice
from app.web.contexts.words import as_typed


@dataclass(frozen=True, slots=True)
class LengthField:
    """A length to type: field name, words, what it shows, and what to know about it."""

    name: str
    words: str
    value: str
    hint: str = ""


@dataclass(frozen=True, slots=True)
class LayerRow:
    """A layer: its number from 0, materials to choose from, its thickness."""

    index: int
    materials: tuple[Choice, ...]
    thickness: str


@dataclass(frozen=True, slots=True)
class LayersPanel:
    """Layers from top to underside, and what a new one begins with."""

    rows: tuple[LayerRow, ...]
    total: str
    materials: tuple[Choice, ...]
    thickness: str


@dataclass(frozen=True, slots=True)
class ShapeButton:
    """A shape to choose: its name, words, picture."""

    name: str
    words: str
    picture: Markup


@dataclass(frozen=True, slots=True)
class ShapesPanel:
    """Common shapes with the offsets they are drawn by."""

    fields: tuple[LengthField, ...]
    shapes: tuple[ShapeButton, ...]


def size_fields(board: ResolvedBoard, unit: Unit) -> tuple[LengthField, ...]:
    """Width and depth."""
    return (
        LengthField("width", "Width", as_typed(board.width, unit)),
        LengthField("depth", "Depth, front to back", as_typed(board.depth_front_to_back, unit)),
    )


def layers_panel(board: ResolvedBoard, unit: Unit) -> LayersPanel:
    """Layers from top to underside."""
    rows = []
    for index, layer in enumerate(board.layers):
        rows.append(LayerRow(index, _materials(layer.material.id), as_typed(layer.thickness, unit)))
    last = board.layers[-1]
    return LayersPanel(tuple(rows), as_typed(board.thickness, unit), _materials(last.material.id), rows[-1].thickness)


def _materials(chosen: str) -> tuple[Choice, ...]:
    return tuple(Choice(m.id, m.name, m.id == chosen) for m in catalogue().materials.values())


def edge_fields(board: ResolvedBoard, unit: Unit) -> tuple[tuple[str, LengthField, LengthField], ...]:
    """Each edge with the depth of its slot and the width of its rail."""
    found = []
    for name in EDGE_NAMES:
        edge = board.edge(name)
        slot = LengthField(f"slot-{name}", f"{name.capitalize()} edge: slot", as_typed(edge.slot_depth, unit))
        rail = LengthField(f"rail-{name}", f"{name.capitalize()} edge: rail", as_typed(edge.rail, unit))
        found.append((name.capitalize(), slot, rail))
    return tuple(found)


def below_fields(board: BoardEntry, unit: Unit) -> tuple[LengthField, ...]:
    """Free depth below the front and back edge; those of a new deck where nothing is below."""
    rule, below = catalogue().rule, board.depth_below
    values = (below.front, below.back) if below else (rule("deck-depth-front"), rule("deck-depth-back"))
    words = {"front": "Below the front edge", "back": "Below the back edge"}
    return tuple(LengthField(n, w, as_typed(v, unit)) for (n, w), v in zip(words.items(), values, strict=True))


def shapes_panel(rim: Ring, typed: tuple[float, float] | None, unit: Unit) -> ShapesPanel:
    """Shapes as wide and deep as the board, drawn with the offsets to begin with."""
    x0, y0, x1, y1 = box_of(rim)
    width, depth = x1 - x0, y1 - y0
    across, along = typed or usual_offsets(width, depth, catalogue())
    shapes = []
    for name, words in SHAPES.items():
        try:
            picture = shape_picture(name, width, depth, across, along)
        except EditError:
            picture = shape_picture(name, width, depth, *usual_offsets(width, depth, catalogue()))
        shapes.append(ShapeButton(name, words[:1].upper() + words[1:], Markup(picture)))  # noqa: S704 - our own SVG
    fields = (
        LengthField("across", "Offset across", as_typed(across, unit)),
        LengthField("along", "Front to back", as_typed(along, unit)),
    )
    return ShapesPanel(fields, tuple(shapes))
