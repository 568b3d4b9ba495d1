"""Legends set, deleted, and lettered all at once, as functions from a design to an edit."""

from __future__ import annotations

from app.arrange.change import Edit
from app.arrange.placement import legends
from app.catalogue.load import catalogue
from app.document.schema import Design
from app.document.where import Where
from app.service.edits.changes import DesignChange


def legend_set(
    where: Where,
    placement: str,
    *,
    text: str = "",
    sign: str = "",
    height: float | None = None,
    place: str = "back",
    at: tuple[float, float] = (0.0, 0.0),
    turn: float = 0.0,
    covered: bool = False,
) -> DesignChange:
    """Letter a part; args as of :func:`app.arrange.placement.legends.set_legend` [mm, degrees]."""

    def change(design: Design) -> Edit:
        return legends.set_legend(
            design,
            where.board,
            where.arrangement,
            placement,
            text=text,
            sign=sign,
            height=height,
            place=place,
            at=at,
            turn=turn,
            covered=covered,
        )

    return change


def legend_deleted(where: Where, placement: str) -> DesignChange:
    """Letter a part no more."""
    return lambda design: legends.delete_legend(design, where.board, where.arrangement, placement)


def legends_lettered(where: Where, place: str) -> DesignChange:
    """Letter every part that has no legend by its name on the plan."""
    return lambda design: legends.letter_legends(design, where.board, where.arrangement, catalogue(), place=place)


def legends_deleted(where: Where) -> DesignChange:
    """Take every legend away."""
    return lambda design: legends.delete_legends(design, where.board, where.arrangement)


def lettering_set(
    where: Where, *, height: float | None = None, colour: str | None = None, distance: float | None = None
) -> DesignChange:
    """Say what all legends of a board have in common [mm]; None leaves a value as it is."""
    return lambda design: legends.set_lettering(design, where.board, height=height, colour=colour, distance=distance)
