"""What is cut from the underside about a part: fields for its counterbore and recess, and why."""

from __future__ import annotations

from typing import Final

from msgspec import Struct

from app.fit.limits.cut_depths import SLIGHT
from app.fit.words.lengths import least, sizes, sold, typed
from app.model.resolved import Placed, ResolvedBoard
from app.service.checks.advice import BoreAdvice, bore_advice, lever_advice, router_radius
from app.service.checks.proposed import ProposedCuts
from app.service.screens.words import as_typed, bit_words, minus
from app.units import Unit

NOTHING: Final = ProposedCuts()


class BoreFields(Struct, frozen=True):
    """The counterbore of a part.

    Args:
        made: whether there is one.
        proposed: whether the sizes are only what would do.
        diameter, depth: as they stand in the fields; empty if there is none and none is proposed.
        why: what the part needs, in words.
        wide: how wide it has to be, in words.
    """

    made: bool
    proposed: bool
    diameter: str
    depth: str
    why: str
    wide: str


class RecessFields(Struct, frozen=True):
    """The recess about a part.

    Args:
        made: whether there is one.
        proposed: whether the sizes are only what would do.
        width, height, corner, depth: as they stand in the fields.
        why: what it is for, in words.
        round: how tight its corners can be, in words.
    """

    made: bool
    proposed: bool
    width: str
    height: str
    corner: str
    depth: str
    why: str
    round: str


def bore_fields(placed: Placed, board: ResolvedBoard, cuts: ProposedCuts = NOTHING) -> BoreFields:
    """The fields of a placement's counterbore, which begin with what is proposed where there is none."""
    unit, bore, advice = Unit(board.units), placed.counterbore, bore_advice(board, placed)
    shown = (as_typed(bore.diameter, unit), as_typed(bore.depth, unit)) if bore else bore_words(cuts, unit)
    return BoreFields(
        made=bore is not None,
        proposed=bore is None and cuts.bore is not None,
        diameter=shown[0],
        depth=shown[1],
        why=_why(advice, unit) if advice else "Held by screws: no counterbore needed.",
        wide=_wide(advice, unit) if advice else "",
    )


def bore_words(cuts: ProposedCuts, unit: Unit) -> tuple[str, str]:
    """Width and depth of a proposed counterbore as the fit report says them; empty where none is."""
    return (sold(cuts.bore[0], unit), typed(cuts.bore[1], unit)) if cuts.bore else ("", "")


def recess_fields(placed: Placed, board: ResolvedBoard, cuts: ProposedCuts = NOTHING) -> RecessFields:
    """The fields of a placement's recess, which begin with what is proposed where there is none."""
    unit, recess = Unit(board.units), placed.recess
    radius = router_radius(board)
    if recess is not None:
        shown = [as_typed(each, unit) for each in (recess.width, recess.height, recess.corner, recess.depth)]
    elif cuts.recess is not None:
        shown = [typed(each, unit) for each in cuts.recess]
    else:
        shown = ["", "", as_typed(radius, unit), ""]
    width, height, corner, depth = shown
    return RecessFields(
        made=recess is not None,
        proposed=recess is None and cuts.recess is not None,
        width=width,
        height=height,
        corner=corner,
        depth=depth,
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
        return f"{holds}; this board is {board}, and no counterbore leaves enough of it."
    if not advice.depth:
        return f"{holds}; this board is {board}, so none is needed."
    return f"{holds}; this board is {board}: {typed(advice.depth, unit)} deep will do, leaving {write(advice.ledge)}."


def _wide(advice: BoreAdvice, unit: Unit) -> str:
    wide = f"At least {least(advice.width, unit)}"
    return f"{wide}: your {bit_words(advice.bit)}" if advice.bit else f"{wide}: you have no Forstner bit for it"


def _lever(placed: Placed, board: ResolvedBoard, unit: Unit) -> str:
    pocket = "A pocket routed from the underside; it turns with the part."
    lever = lever_advice(board, placed)
    if lever is None:
        return pocket
    write = sizes(lever.height, (lever.low, lever.high), unit)
    stands = f"The lever stands {minus(write(lever.height))} above the top face"
    wanted = f"{write(lever.low)} to {write(lever.high)}"
    if lever.height < lever.low - SLIGHT:
        more = least(lever.low - lever.height, unit)
        return f"{stands}; {wanted} is right. A recess {more} deeper gets it there."
    return f"{stands}; {wanted} is right. A recess raises it by its depth."
