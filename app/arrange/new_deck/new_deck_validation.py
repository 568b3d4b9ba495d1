"""The answers for a new deck, checked one by one, each refused beside its own field."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Final, get_args

from app.arrange.change import number, words
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.station.laying import AdminAt, StickSide
from app.arrange.station.stations import MOST_BUTTONS, SHAPES
from app.catalogue.load import Catalogue, paper_by_text
from app.errors import EditError, PaperError
from app.model.limits import BOARD_SIDE, LAYER, THINNEST_LAYER, WORDS
from app.values import replace

MOST_ADMIN: Final = 12


def checked(spec: NewDeck, catalogue: Catalogue) -> NewDeck:
    """The answers with their texts trimmed.

    Raises:
        EditError: one is not allowed, with its field.
    """
    number(spec.width, "The board's width in mm", "width", BOARD_SIDE.least, BOARD_SIDE.most)
    number(spec.depth, "The board's depth in mm", "depth", BOARD_SIDE.least, BOARD_SIDE.most)
    number(spec.thickness, "The board's thickness in mm", "thickness", THINNEST_LAYER, LAYER.most)
    number(spec.cover, "The cover's thickness in mm", "cover", THINNEST_LAYER if spec.cover else 0, LAYER.most)
    number(spec.tilt, "The tilt in degrees", "tilt", -45, 45)
    number(spec.arc, "The depth of the arc in mm", "arc", 0, 300)
    number(spec.finger_gap, "The gap between buttons in mm", "finger_gap", 0, 500)
    _whole(spec.players, "The number of players", "players", 0, 2)
    _whole(spec.buttons, "The number of buttons", "buttons", 1, MOST_BUTTONS)
    if spec.positions:
        _whole(spec.positions, "The number of positions", "positions", spec.buttons, MOST_BUTTONS)
    if spec.admin is not None:
        _whole(spec.admin, "The number of admin buttons", "admin", 0, MOST_ADMIN)
    _one_of(spec.shape, SHAPES, "shape", "shape")
    _one_of(spec.units, ("mm", "inch"), "units", "unit")
    _one_of(spec.stick, get_args(StickSide), "stick", "side of the stick")
    _one_of(spec.admin_at, get_args(AdminAt), "admin_at", "place of the admin buttons")
    _one_of(spec.drilling, catalogue.allowances, "drilling", "drilling method")
    _one_of(spec.material, catalogue.materials, "material", "material")
    _one_of(spec.cover_material, catalogue.materials, "cover_material", "material")
    _part(spec.button, "button", "button", catalogue)
    _part(spec.admin_part, "button", "admin_part", catalogue)
    _part(spec.stick_part, "stick", "stick_part", catalogue)
    if spec.paper:
        try:
            paper_by_text(spec.paper)
        except PaperError as error:
            raise EditError(str(error), "paper") from None
    return replace(spec, title=words(spec.title, "The title", "title", WORDS.most), paper=spec.paper.strip().lower())


def _whole(value: int, what: str, field: str, low: int, high: int) -> None:
    if isinstance(value, bool) or not low <= value <= high:
        raise EditError(f"{what} is from {low} to {high}, got {str(value)[:40]}. Choose one of them.", field)


def _one_of(value: str, allowed: Collection[str] | Mapping[str, object], field: str, what: str) -> None:
    if value not in allowed:
        raise EditError(f'There is no {what} "{value[:40]}". Choose one of: {", ".join(allowed)}.', field)


def _part(part_id: str, kind: str, field: str, catalogue: Catalogue) -> None:
    if part_id:
        _one_of(part_id, [p.id for p in catalogue.parts.values() if p.kind == kind], field, kind)
