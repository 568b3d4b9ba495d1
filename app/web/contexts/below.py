"""What is cut from the underside about a part: fields for its counterbore and recess, and why."""

from __future__ import annotations

from dataclasses import dataclass

from app.fit.depth import SLIGHT
from app.fit.words import least, sizes, typed
from app.model.resolved import Placed, ResolvedBoard
from app.service.advice import BoreAdvice, bore_advice, lever_advice, router_radius
from app.units import Unit
from app.web.contexts.words import as_typed, bit_words, minus


@dataclass(frozen=True, slots=True)
class BoreFields:
    """The counterbore of a part.

    Args:
        made: whether there is one.
        diameter, depth: as they stand in the fields; empty if there is none.
        why: what the part needs, in words.
        wide: how wide it has to be, in words.
    """

    made: bool
    diameter: str
    depth: str
    why: str
    wide: str


@dataclass(frozen=True, slots=True)
class RecessFields:
    """The recess about a part.

    Args:
        made: whether there is one.
        width, height, corner, depth: as they stand in the fields.
        why: what it is for, in words.
        round: how tight its corners can be, in words.
    """

    made: bool
    width: str
    height: str
    corner: str
    depth: str
    why: str
    round: str


def bore_fields(placed: Placed, board: ResolvedBoard) -> BoreFields:
    """The fields of a placement's counterbore."""
    unit, bore, advice = Unit(board.units), placed.counterbore, bore_advice(board, placed)
    return BoreFields(
        made=bore is not None,
        diameter=as_typed(bore.diameter, unit) if bore else "",
        depth=as_typed(bore.depth, unit) if bore else "",
        why=_why(advice, unit) if advice else "Screws hold this part: it needs none.",
        wide=_wide(advice, unit) if advice else "",
    )


def recess_fields(placed: Placed, board: ResolvedBoard) -> RecessFields:
    """The fields of a placement's recess."""
    unit, recess = Unit(board.units), placed.recess
    radius = router_radius(board)
    return RecessFields(
        made=recess is not None,
        width=as_typed(recess.width, unit) if recess else "",
        height=as_typed(recess.height, unit) if recess else "",
        corner=as_typed(recess.corner if recess else radius, unit),
        depth=as_typed(recess.depth, unit) if recess else "",
        why=_lever(placed, board, unit),
        round=f"Your smallest router bit leaves {as_typed(radius, unit)}" if radius else "",
    )


def _why(advice: BoreAdvice, unit: Unit) -> str:
    write = sizes(advice.thickness, (advice.thinnest, advice.thickest), unit)
    board = write(advice.thickness)
    if advice.nut:
        holds = f"Nut and thread hold up to {write(advice.thickest)} of board"
    else:
        holds = f"The clips hold {write(advice.thinnest)} to {write(advice.thickest)} of board"
    if advice.depth is None:
        return f"{holds}; this one is {board}, and no counterbore leaves enough of it."
    if not advice.depth:
        return f"{holds}; this one is {board}: it holds without one."
    return f"{holds}; this one is {board}: {typed(advice.depth, unit)} deep will do, and leaves {write(advice.ledge)}."


def _wide(advice: BoreAdvice, unit: Unit) -> str:
    wide = f"At least {least(advice.width, unit)}"
    return f"{wide}: your {bit_words(advice.bit)}" if advice.bit else f"{wide}: you have no Forstner bit for it"


def _lever(placed: Placed, board: ResolvedBoard, unit: Unit) -> str:
    pocket = "A pocket routed from the underside, turned with the part."
    lever = lever_advice(board, placed)
    if lever is None:
        return pocket
    write = sizes(lever.height, (lever.low, lever.high), unit)
    stands = f"The lever stands {minus(write(lever.height))} above the top face"
    wanted = f"{write(lever.low)} to {write(lever.high)}"
    if lever.height < lever.low - SLIGHT:
        more = least(lever.low - lever.height, unit)
        return f"{stands} and should stand {wanted}: a recess {more} deeper lifts it there."
    return f"{stands}; {wanted} is good. A recess lifts it by its depth."
