"""Steps that are done board by board: drilling, and mounting what goes on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from app.model.part import NutFixing, ScrewFixing, SnapFixing
from app.model.resolved import Placed, ResolvedBoard
from app.shop.build_steps.build_step import BuildStep, Work
from app.shop.drilling_run import DrillingStep, drilling_run
from app.shop.screw_pilots import screw_pilots


def drilling_steps(board: ResolvedBoard) -> Iterator[BuildStep]:
    """How the holes of a board are made, in the order of the drilling run.

    For each centre the order is pilot, counterbore or recess, through hole: a wide bit has nothing to hold it once the
    hole is open. Every step of the run is in one of these.
    """
    runs = drilling_run(board)
    if len(board.layers) > 1:
        yield BuildStep(f"layers/{board.id}", "layers", (board,))
    if runs or board.openings:
        yield BuildStep(f"template/{board.id}", "template", (board,))
    works: dict[Work, list[DrillingStep]] = {}
    for run in runs:
        works.setdefault(_work(run), []).append(run)
    if board.openings:
        works.setdefault("openings", [])
    below = False
    for work in _ORDER:
        if work in works:
            turned, below = (work in BELOW) != below, work in BELOW
            parts, made = _drilled(board, work), tuple(works[work])
            yield BuildStep(f"{work}/{board.id}", work, (board,), parts, made, turned)


BELOW: Final[tuple[Work, ...]] = ("counterbore", "screws-under")
"""What is drilled with the underside up."""

_ORDER: Final[tuple[Work, ...]] = ("pilot", "counterbore", "screws-under", "through", "openings", "screws-top")


def _work(run: DrillingStep) -> Work:
    match run.work:
        case "pilot":
            return "pilot"
        case "counterbore" | "recess":
            return "counterbore"
        case "through":
            return "through"
        case "opening":
            return "openings"
        case _:
            return "screws-under" if run.face == "under" else "screws-top"


def _drilled(board: ResolvedBoard, work: Work) -> tuple[Placed, ...]:
    """The parts for which something is made in a step."""
    match work:
        case "counterbore":
            return tuple(p for p in board.drilled if p.counterbore is not None or p.recess is not None)
        case "screws-under" | "screws-top":
            side = "under" if work == "screws-under" else "top"
            pilots = ((placed, screw_pilots(board, placed)) for placed in board.drilled)
            return tuple(placed for placed, found in pilots if found is not None and found.face == side)
        case "openings":
            return tuple(p for p in board.drilled if any(not hole.is_circle for hole in p.holes))
        case _:
            return tuple(p for p in board.drilled if any(hole.is_circle for hole in p.holes))


def mounting_steps(board: ResolvedBoard) -> Iterator[BuildStep]:
    """What goes on a board, a step for each item of hardware.

    What is screwed on from below comes first, while nothing stands out of the top face and the board lies flat on it;
    then what lies on the top face, nuts, clips, and what is glued. Common practice, no source.
    """
    groups: dict[tuple[object, ...], list[Placed]] = {}
    for placed in board.drilled:
        if is_mounted(placed):  # a maker gives each hinge of a door an item of its own, alike in all but its id
            part = placed.part
            groups.setdefault((part.name, part.mount, part.fixing), []).append(placed)
    for found in sorted(groups.values(), key=lambda group: _turn(group[0])):
        key = min(placed.part.id for placed in found)
        yield BuildStep(f"mount/{board.id}/{key}", "mount", (board,), tuple(found))


def is_mounted(placed: Placed) -> bool:
    """Whether something is put on the board there; holes alone are done once they are drilled."""
    return not placed.part.is_pattern and (placed.part.fixing is not None or placed.part.has_body)


def _turn(placed: Placed) -> int:
    match placed.part.fixing:
        case ScrewFixing(side="under"):
            return 0
        case ScrewFixing():
            return 1
        case NutFixing():
            return 2
        case SnapFixing():
            return 3
        case _:
            return 4
