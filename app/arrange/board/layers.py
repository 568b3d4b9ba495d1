"""What a board is made of: its layers from top to underside, each a material and a measured thickness."""

from __future__ import annotations

from collections.abc import Mapping

from app.arrange.change import Edit, number, shown, with_board
from app.catalogue.load import Catalogue
from app.document.resolve import find_board
from app.document.schema import BoardEntry, Design, LayerEntry
from app.errors import EditError, NotFoundError
from app.model.limits import LAYER, LAYERS, THINNEST_LAYER


def set_layers(
    design: Design,
    board_id: str | None,
    materials: Mapping[int, str],
    thicknesses: Mapping[int, float],
    catalogue: Catalogue,
) -> Edit:
    """Change materials and thicknesses [mm] of layers, by number from 0 at the top; those not named stay.

    Raises:
        NotFoundError: no such board or layer.
        EditError: no such material, or a thickness that is not allowed; field ``material-0`` or ``thickness-0``.
    """
    board = find_board(design, board_id)
    rows, said = list(board.layers), []
    for index in sorted({*materials, *thicknesses}):
        old = _found(board, index)
        new = old
        if index in materials:
            new = new.model_copy(update={"material": _material(materials[index], catalogue, f"material-{index}")})
        if index in thicknesses:
            thick = number(thicknesses[index], "The thickness in mm", f"thickness-{index}", THINNEST_LAYER, LAYER.most)
            new = new.model_copy(update={"thickness": thick})
        if new != old:
            rows[index] = new
            said.append(f"Made {_layer(index, len(rows))} {_words(new, design.units, catalogue)}")
    after = with_board(design, board.model_copy(update={"layers": tuple(rows)}))
    return Edit(after, "; ".join(said) or "Left the layers as they were")


def add_layer(design: Design, board_id: str | None, material: str, thickness: float, catalogue: Catalogue) -> Edit:
    """Put a layer of ``thickness`` mm below the others.

    Raises:
        NotFoundError: no such board.
        EditError: no such material, a thickness that is not allowed, or as many layers as can be; fields
            ``material-new`` and ``thickness-new``.
    """
    board = find_board(design, board_id)
    if len(board.layers) >= LAYERS.most:
        said = f"A board has up to {LAYERS.most} layers, and this one is full. Delete one first."
        raise EditError(said, "material-new")
    name = _material(material, catalogue, "material-new")
    thick = number(thickness, "The thickness in mm", "thickness-new", THINNEST_LAYER, LAYER.most)
    row = LayerEntry(material=name, thickness=thick)
    after = with_board(design, board.model_copy(update={"layers": (*board.layers, row)}))
    return Edit(after, f"Added a layer of {_words(row, design.units, catalogue)} below")


def remove_layer(design: Design, board_id: str | None, index: int, catalogue: Catalogue) -> Edit:
    """Take a layer away.

    Raises:
        NotFoundError: no such board or layer.
        EditError: it is the only one.
    """
    board = find_board(design, board_id)
    gone = _found(board, index)
    if len(board.layers) == 1:
        said = "This is the board’s only layer. Change its material and thickness instead."
        raise EditError(said, "form")
    rows = tuple(row for k, row in enumerate(board.layers) if k != index)
    after = with_board(design, board.model_copy(update={"layers": rows}))
    return Edit(after, f"Deleted the layer of {_words(gone, design.units, catalogue)}")


def move_layer(design: Design, board_id: str | None, index: int, by: int, catalogue: Catalogue) -> Edit:
    """Move a layer up (``by`` −1) or down (1); at the end it stays where it is.

    Raises:
        NotFoundError: no such board or layer.
    """
    board = find_board(design, board_id)
    moved = _found(board, index)
    to = min(max(index + by, 0), len(board.layers) - 1)
    if to == index:
        return Edit(design, "Left the layers as they were")
    rows = [row for k, row in enumerate(board.layers) if k != index]
    rows.insert(to, moved)
    after = with_board(design, board.model_copy(update={"layers": tuple(rows)}))
    way = "up" if to < index else "down"
    return Edit(after, f"Moved the layer of {_words(moved, design.units, catalogue)} {way}")


def _found(board: BoardEntry, index: int) -> LayerEntry:
    if not 0 <= index < len(board.layers):
        raise NotFoundError(f"There is no layer {index + 1}; the board has {len(board.layers)}. Reload the page.")
    return board.layers[index]


def _material(name: str, catalogue: Catalogue, field: str) -> str:
    if name not in catalogue.materials:
        known = ", ".join(m.name for m in catalogue.materials.values())
        raise EditError(f"There is no material “{name[:40]}”. Choose one of: {known}.", field)
    return name


def _layer(index: int, count: int) -> str:
    return f"layer {index + 1}" if count > 1 else "the board"


def _words(row: LayerEntry, units: str, catalogue: Catalogue) -> str:
    name = catalogue.materials[row.material].name if row.material in catalogue.materials else row.material
    name = name if name.isupper() else name[:1].lower() + name[1:]
    return f"{shown(row.thickness, units)} {name}"
