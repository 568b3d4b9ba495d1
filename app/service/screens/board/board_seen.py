"""What the board page says of a board in view: measured and put into words, in one piece."""

from __future__ import annotations

from collections import Counter

from msgspec import Struct

from app.arrange.maker.registry import maker_named
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.service.checks.facts import PartLine, Truth, part_lines, truth_of
from app.service.drawings.drawings import board_svg, section_svg
from app.service.edits.changes import grid_of
from app.service.screens.board.arrangement_card import ArrangementCard, arrangement_card
from app.service.screens.board.hardware_list import TileGroup, palette_of
from app.service.screens.board.layer_list import LayerChoice, layers_of
from app.service.screens.board.part_card import Selected, selected_card
from app.service.screens.board.several_card import SeveralCard, StationCard, several_card, station_card
from app.service.screens.measured import MeasuredDistance, measured_from
from app.service.screens.shop_card import ShopCard, shop_card
from app.service.sight import Sight


class View(Struct, frozen=True):
    """How a board is looked at.

    Args:
        face: the face shown.
        section: whether the board is shown cut through the part in hand instead.
        select: ids of the selected placements that are on the board, the one in hand first.
        to: id of the part that distances are measured to; empty for the nearest.
        layers: names of what is drawn besides the usual.
    """

    face: Face = "top"
    section: bool = False
    select: tuple[str, ...] = ()
    to: str = ""
    layers: tuple[str, ...] = ()


class BoardSeen(Struct, frozen=True):
    """What there is to say of a board.

    Args:
        palette: hardware to add.
        drawing: the board, or the section through the part in hand, inline SVG; empty if none is in hand.
        layers: what of the drawing can be shown and hidden.
        selected: the part in hand; None if none or several are selected.
        several: the selected parts, if they are more than one.
        measured: what lies between the part in hand and another; None if it is alone.
        station: the player's station the part in hand belongs to.
        parts: every part, by letter.
        made: id of each maker on the board, and what it makes, in words within a sentence.
        truth: what the board asks of the bench.
        shop: what the workshop has.
        arrangement: what can be done to the arrangement in view.
        grid: step of an arrow key [mm].
    """

    palette: tuple[TileGroup, ...]
    drawing: str
    layers: tuple[LayerChoice, ...]
    selected: Selected | None
    several: SeveralCard | None
    measured: MeasuredDistance | None
    station: StationCard | None
    parts: tuple[PartLine, ...]
    made: tuple[tuple[str, str], ...]
    truth: Truth
    shop: ShopCard
    arrangement: ArrangementCard
    grid: float


def board_seen(sight: Sight, view: View) -> BoardSeen:
    """The board of a sight, looked at so."""
    seen, design = sight.checked, sight.design
    board = seen.resolved
    hand = board.placed(view.select[0]) if len(view.select) == 1 else None
    return BoardSeen(
        palette=palette_of(design),
        drawing=_drawing(sight, view),
        layers=() if view.section else layers_of(board, view.face, view.layers),
        selected=selected_card(hand, seen, design) if hand is not None else None,
        several=several_card(seen, design, view.select),
        measured=measured_from(hand, board, view.to) if hand is not None else None,
        station=station_card([hand], board, design) if hand is not None else None,
        parts=part_lines(board),
        made=_made(board),
        truth=truth_of(seen, view.face),
        shop=shop_card(design, board),
        arrangement=arrangement_card(sight),
        grid=grid_of(sight.unit),
    )


def _made(board: ResolvedBoard) -> tuple[tuple[str, str], ...]:
    """What can be changed by its measures; of two alike with the letter of its first part."""
    titles = Counter(each.maker for each in board.makers)
    letters = {p.maker: p.label for p in reversed(board.placements) if p.label}
    return tuple(
        (each.id, maker_named(each.maker).title.lower() + (f" {letters.get(each.id, '')}" * (titles[each.maker] > 1)))
        for each in board.makers
    )


def _drawing(sight: Sight, view: View) -> str:
    if not view.section:
        return board_svg(sight.checked, view.face, view.select, view.to, view.layers)
    return section_svg(sight.checked, view.select[0]) if view.select else ""
