"""A maker as the form of its page asks for it: new, on a board that is there, or made anew."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.arrange.maker.made import Maker
from app.arrange.maker.make_anew import find_maker
from app.arrange.maker.registry import maker_named
from app.document.makers import given_of
from app.document.outlines import outline_of
from app.document.resolve import find_arrangement, find_board
from app.document.schema import Design
from app.document.where import Where
from app.errors import EditError
from app.model.maker.measure import Asked, Value, answered
from app.service.edits.changes import DesignChange
from app.service.edits.makers import board_made, made_anew, made_on_board
from app.service.screens.make_fields import in_unit, measures_changed, place_texts, place_typed
from app.units import Unit


class MakeRequest(Struct, frozen=True):
    """A maker as a form asks for it.

    Args:
        maker: it.
        known: its measures before anybody typed.
        typed: text by field, as it is meant in the unit shown.
        given: those that were typed otherwise.
        problems: sentence by field for what could not be read.
        place: where it stood, as it was shown; empty of a board of its own.
        change: makes it; raises EditError for what cannot be read or made.
    """

    maker: Maker
    known: Asked
    typed: Mapping[str, str]
    given: Mapping[str, Value]
    problems: Mapping[str, str]
    place: Mapping[str, str]
    change: DesignChange

    def checked(self) -> DesignChange:
        """The change, if all that was typed can be read.

        Raises:
            EditError: with a sentence by field.
        """
        if self.problems:
            raise EditError.of(self.problems)
        return self.change


def new_making(
    design: Design, maker_name: str, typed: Mapping[str, str], where: Where | None, unit: Unit
) -> MakeRequest:
    """A maker to make anew, on a board that is there, or, where none is named, as a board of its own.

    Raises:
        NotFoundError: there is no such maker or board.
    """
    maker = maker_named(maker_name)
    known = answered(maker.measures, {}, design.units)
    typed = in_unit(maker, typed, known, unit)
    given, problems = measures_changed(maker, typed, known, unit)
    if where is None:
        return MakeRequest(maker, known, typed, given, problems, {}, board_made(maker.name, given))
    x0, y0, x1, y1 = outline_of(find_board(design, where.board).outline.corners).bounds
    middle = {"x": (x0 + x1) / 2, "y": (y0 + y1) / 2, "angle": 0.0}
    place = place_texts(middle["x"], middle["y"], 0.0, unit)
    moved, misplaced = place_typed(typed, place, unit)
    at = middle | moved
    change = made_on_board(where, maker.name, given, (at["x"], at["y"]), at["angle"])
    return MakeRequest(maker, known, typed, given, misplaced | problems, place, change)


def old_making(design: Design, where: Where, maker_id: str, typed: Mapping[str, str], unit: Unit) -> MakeRequest:
    """A maker that is there, to be made anew.

    Raises:
        NotFoundError: there is no such board, arrangement or maker, or this program does not know it.
    """
    entry = find_maker(find_arrangement(find_board(design, where.board), where.arrangement), maker_id)
    maker = maker_named(entry.maker)
    known = answered(maker.measures, given_of(entry), design.units)
    typed = in_unit(maker, typed, known, unit)
    given, problems = measures_changed(maker, typed, known, unit)
    place = {} if entry.outline else place_texts(entry.x, entry.y, entry.angle, unit)
    moved, misplaced = place_typed(typed, place, unit)
    change = made_anew(where, maker_id, given, **moved, reset=typed.get("reset") == "on")
    return MakeRequest(maker, known, typed, given, misplaced | problems, place, change)


def put_on(design: Design, on: str, view: Where) -> Where | None:
    """Where a board is that is chosen by its id, in the arrangement that is looked at; None for no board there is.

    Args:
        design: the design.
        on: id of the board; empty for none.
        view: what is looked at.
    """
    if not any(board.id == on for board in design.boards):
        return None
    return Where(on, view.arrangement if find_board(design, view.board).id == on else None)
