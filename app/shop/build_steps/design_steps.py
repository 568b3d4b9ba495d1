"""All steps of building a design, or one board of it: what is there decides which there are."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final

from app.model.resolved import Placed, ResolvedBoard
from app.shop.build_steps.board_steps import drilling_steps, mounting_steps
from app.shop.build_steps.build_step import BuildStep, Work

Boards = tuple[ResolvedBoard, ...]

WOODS: Final = frozenset({"mdf", "plywood"})
"""Families of materials that are sanded, filled and sealed."""

_INPUTS: Final = frozenset({"button", "stick", "rotary", "trackball", "toggle", "rocker", "lock"})


def build_steps(boards: Sequence[ResolvedBoard]) -> tuple[BuildStep, ...]:
    """Every step, in the order of the work.

    Args:
        boards: those of a design, each with one arrangement.
    """
    every = tuple(boards)
    return (
        *_together(every, _BEFORE),
        *(step for board in every for step in drilling_steps(board)),
        *_together(every, _AFTER),
        *(step for board in every for step in mounting_steps(board)),
        *_together(every, _LAST),
    )


def families_of(board: ResolvedBoard) -> tuple[str, ...]:
    """Families of the materials a board is made of, each once, from the top."""
    return tuple(dict.fromkeys(layer.material.family for layer in board.layers))


def is_wood(board: ResolvedBoard) -> bool:
    """Whether any of it is sanded, filled and sealed."""
    return not WOODS.isdisjoint(families_of(board))


def parts_of(step: BuildStep, asked: Callable[[Placed], bool]) -> tuple[Placed, ...]:
    """The parts on all boards of a step of which something is true."""
    return tuple(placed for board in step.boards for placed in board.drilled if asked(placed))


def is_wired(placed: Placed) -> bool:
    """Whether wires go to it."""
    wiring = placed.part.wiring
    return wiring is not None and (wiring.signal_tabs + wiring.ground_tabs > 0 or wiring.light_current > 0)


def is_input(placed: Placed) -> bool:
    """Whether something is told by it that can be tried: a button, a direction of a stick; not a loudspeaker."""
    part = placed.part
    return part.kind in _INPUTS and part.wiring is not None and part.wiring.signal_tabs > 0


def _together(every: Boards, works: Sequence[tuple[Work, Callable[[Boards], Boards]]]) -> Iterator[BuildStep]:
    for work, which in works:
        boards = which(every)
        if boards:
            yield BuildStep(work, work, boards)


def _slotted(every: Boards) -> Boards:
    return tuple(board for board in every if any(edge.slot_depth > 0 for edge in board.edges))


def _rounded(every: Boards) -> Boards:
    """Decks with a face of wood and no moulding: their front edge is where wrists lie."""
    return tuple(
        board
        for board in every
        if board.role == "deck" and board.layers[0].material.family in WOODS and board.edge("front").slot_depth <= 0
    )


def _wooden(every: Boards) -> Boards:
    return tuple(board for board in every if is_wood(board))


def _railed(every: Boards) -> Boards:
    return tuple(board for board in every if any(edge.rail > 0 for edge in board.edges))


def _joined(every: Boards) -> Boards:
    """Boards of wood that meet others or a rail: only there are joints, nails and seams."""
    wooden = _wooden(every)
    return wooden if len(wooden) > 1 or _railed(wooden) else ()


def _painted(every: Boards) -> Boards:
    return tuple(board for board in every if board.paint > 0)


def _caulked(every: Boards) -> Boards:
    """Seams are caulked to be painted over; bare or varnished wood shows caulk."""
    return tuple(board for board in _joined(every) if board.paint > 0)


def _sealed(every: Boards) -> Boards:
    """Cut edges that drink: MDF swells in the damp, plywood frays; acrylic and metal need nothing."""
    return _wooden(every)


def _lettered(every: Boards) -> Boards:
    """Boards with a legend beside some part."""
    return tuple(board for board in every if any(placed.legend is not None for placed in board.drilled))


def _with_wires(every: Boards) -> Boards:
    return tuple(board for board in every if any(is_wired(placed) for placed in board.drilled))


def _with_inputs(every: Boards) -> Boards:
    return tuple(board for board in every if any(is_input(placed) for placed in board.drilled))


def _closed(every: Boards) -> Boards:
    """What is put on a box at the end: every board, where there is a box or anything inside it."""
    boxed = len(every) > 1 or any(board.free_depth is not None for board in every) or _railed(every)
    return every if boxed or _with_wires(every) else ()


_BEFORE: Final[tuple[tuple[Work, Callable[[Boards], Boards]], ...]] = (
    ("cut", lambda every: every),
    ("slot", _slotted),
    ("round", _rounded),
)
_AFTER: Final[tuple[tuple[Work, Callable[[Boards], Boards]], ...]] = (
    ("ease", lambda every: every),
    ("rails", _railed),
    ("fill", _joined),
    ("caulk", _caulked),
    ("sand", _wooden),
    ("seal", _sealed),
    ("paint", _painted),
    ("moulding", _slotted),
    ("legends", _lettered),
)
_LAST: Final[tuple[tuple[Work, Callable[[Boards], Boards]], ...]] = (
    ("wire", _with_wires),
    ("test", _with_inputs),
    ("close", _closed),
)
