"""The card of several selected parts: what can be done with them together."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.arrange.station.laying import ADMIN
from app.document.schema import Design
from app.fit.words.lengths import least, typed
from app.model.resolved import Placed, ResolvedBoard
from app.service.checks.advice import bore_advice, does_for_all
from app.service.checks.checking import CheckResult
from app.service.checks.proposed import proposed_cuts
from app.service.screens.board.cut_fields import bore_words
from app.service.screens.choices import Choice, hardware_of_kind
from app.service.screens.measured import MeasuredDistance, measured_between
from app.service.screens.words import listed
from app.units import Unit

_NAMED = 12


class StationCard(Struct, frozen=True):
    """A player's station that all of the selection belongs to.

    Args:
        id: of the station.
        name: what it is called.
        whole: ids of all its parts; empty if all of them are selected.
    """

    id: str
    name: str
    whole: tuple[str, ...]


class SeveralCard(Struct, frozen=True):
    """The card of several parts.

    Args:
        count: how many.
        names: their letters, in words.
        drilled: whether all are drilled.
        locked: whether all are locked.
        fixed: letters of those that are locked, in words, if some are.
        parts: hardware that can be used for all of them; empty if they are of different kinds.
        measured: what lies between them, if they are two.
        station: the player's station they all belong to, if they do.
        bore: how wide and deep a counterbore has to be to do for all of them, in words; empty where none has to be.
        proposed: width and depth of one that does for all of them, where each needs one and none has one; else empty.
    """

    count: int
    names: str
    drilled: bool
    locked: bool
    fixed: str
    parts: tuple[Choice, ...]
    measured: MeasuredDistance | None
    station: StationCard | None
    bore: tuple[str, str]
    proposed: tuple[str, str]


def several_card(seen: CheckResult, design: Design, select: Sequence[str]) -> SeveralCard | None:
    """The card of what is selected, if that is more than one part."""
    board = seen.resolved
    held = [p for p in (board.placed(s) for s in select) if p is not None]
    if len(held) < 2:
        return None
    fixed = [p for p in held if p.locked]
    return SeveralCard(
        count=len(held),
        names=_names(held),
        drilled=all(p.drill for p in held),
        locked=len(fixed) == len(held),
        fixed=_names(fixed) if len(fixed) < len(held) else "",
        parts=_choices(held, design),
        measured=measured_between(held[0], held[1], board) if len(held) == 2 else None,
        station=station_card(held, board, design),
        bore=_bore(held, board),
        proposed=bore_words(proposed_cuts(seen, held), Unit(board.units)),
    )


def _bore(held: list[Placed], board: ResolvedBoard) -> tuple[str, str]:
    needy = [(p, advice) for p in held if (advice := bore_advice(board, p)) is not None and advice.depth]
    if not needy:
        return "", ""
    asked = [advice for _, advice in needy]
    unit = Unit(board.units)
    width, depth = max(a.width for a in asked), max(a.depth or 0.0 for a in asked)
    done = does_for_all(board, [p for p, _ in needy], depth)
    return (
        f"At least {least(width, unit)}",
        f"{typed(depth, unit)} does for all" if done else "No one depth does for all",
    )


def station_card(held: Sequence[Placed], board: ResolvedBoard, design: Design) -> StationCard | None:
    """The player's station that all of these belong to; None if there is none."""
    ids = {p.station for p in held}
    if len(ids) != 1 or ids & {"", ADMIN}:
        return None
    (station,) = ids
    within = next(a for b in design.boards if b.id == board.id for a in b.arrangements if a.id == board.arrangement_id)
    entry = next((s for s in within.stations if s.id == station), None)
    if entry is None:
        return None
    whole = tuple(p.id for p in board.placements if p.station == station)
    return StationCard(station, entry.name or station, () if set(whole) == {p.id for p in held} else whole)


def _names(held: list[Placed]) -> str:
    names = [p.label or p.part.name for p in held]
    return listed(names) if len(names) <= _NAMED else f"{', '.join(names[:_NAMED])} and {len(names) - _NAMED} more"


def _choices(held: list[Placed], design: Design) -> tuple[Choice, ...]:
    if len({p.part.kind for p in held}) != 1:
        return ()
    alike = {p.part.id for p in held}
    rows = hardware_of_kind(design, held[0].part.kind, alike)
    return rows if len(alike) == 1 else (Choice("", "as they are", chosen=True), *rows)
