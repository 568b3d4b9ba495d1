"""How each arrangement of a design stands: what is open in it, counted once for a revision and remembered with that."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.document.schema import ArrangementEntry, BoardEntry, Design
from app.errors import HolewiseError
from app.service.background.budget import patience
from app.service.background.memory import Memory
from app.service.checks.checking import CheckResult, Revised, checked, parsed

if TYPE_CHECKING:
    from app.fit.report.report import Report

Key = tuple[str, str]
"""Ids of a board and of one of its arrangements."""

PATIENCE_S: Final = 0.4
"""How long other arrangements are judged beside the one that is asked for [s]; the rest is asked for by itself."""

_OF_STATE: Final = 400
"""Room one of them takes, on the high side [bytes]."""


class State(Struct, frozen=True):
    """How many findings of each severity are open in an arrangement."""

    stops: int
    cautions: int
    notes: int


States = Mapping[Key, State]
"""What is known of a design's arrangements; those that nobody has judged yet are left out."""

_KNOWN: Memory[States] = Memory(16_000_000)


def state_of(report: Report) -> State:
    """What is open in a report."""
    return State(len(report.stops), len(report.cautions), len(report.notes))


def worst_of(states: Iterable[State]) -> State:
    """The worst of some; at least one."""
    return max(states, key=lambda state: (state.stops, state.cautions, state.notes))


def keys_of(design: Design, board: str | None = None) -> tuple[Key, ...]:
    """Every arrangement of a design; those of ``board``, or of the deck, come first."""
    from app.document.resolve import find_board

    first = find_board(design, board)
    boards = (first, *(other for other in design.boards if other.id != first.id))
    return tuple((each.id, a.id) for each in boards for a in each.arrangements)


def called(design: Design, key: Key, here: str = "") -> str:
    """What an arrangement is called, with its board where that is not ``here``, or not the deck; or the board alone."""
    from app.document.resolve import find_arrangement, find_board

    board = find_board(design, key[0])
    one = find_arrangement(board, key[1])
    name = one.name or one.id
    if board.id == (here or find_board(design).id):
        return name
    return f"{name} of {board.name or board.id}" if len(board.arrangements) > 1 else board.name or board.id


def known_states(document: Revised) -> States:
    """What is at hand about a revision; nothing is judged."""
    return _KNOWN.get(_name(document)) or {}


def hold_states(document: Revised, states: States) -> None:
    """Have at hand what was found out about a revision, besides what is."""
    both = {**known_states(document), **states}
    _KNOWN.put(_name(document), both, _OF_STATE * (1 + len(both)))


def _name(document: Revised) -> tuple[object, ...]:
    # Its length as well: a text that was damaged since must not pass for what it was.
    return (document.revision, len(document.text), document.bits)


def every_state(document: Revised, known: States, board: str | None = None, seconds: float = 0.0) -> States:
    """What is open in each arrangement of a revision, those of ``board`` judged first.

    Args:
        document: the revision.
        known: what need not be judged.
        board: the board that is looked at; None for the deck.
        seconds: how long may be judged; 0 for as long as it takes. What was not reached then is left out, as is a
            board other than the deck that cannot be laid out.
    """
    design = parsed(document)
    more = patience(seconds) if seconds else _without_end
    found = dict(known)
    for key in keys_of(design, board):
        if key in found:
            continue
        if not more(1.0):
            break
        try:
            found[key] = state_of(checked(document, key[0], key[1], design.units).report)
        except HolewiseError:  # whoever looks at that board is told
            continue
    hold_states(document, found)
    return found


def seen_states(seen: CheckResult, known: States, seconds: float) -> States:
    """The states of a design one board of which is looked at and judged; 0 s to judge no other."""
    found = {**known, (seen.board, seen.arrangement): state_of(seen.report)}
    if seen.document is None or not seconds:
        return found
    return every_state(seen.document, found, seen.board, seconds)


def judged_state(design: Design, key: Key) -> State | None:
    """What is open in one arrangement; None if it cannot be laid out."""
    from app.document.resolve import resolve
    from app.fit.report.report import check

    try:
        return state_of(check(resolve(design, *key, catalogue()), catalogue()))
    except HolewiseError:  # likewise
        return None


def carried(before: Design, after: Design, known: States) -> dict[Key, State]:
    """What is known of those arrangements that a step has left as they were, with all they stand on."""
    was = {board.id: board for board in before.boards}
    alike = _bare(before) == _bare(after)
    found: dict[Key, State] = {}
    for board in after.boards if alike else ():
        old = was.get(board.id)
        if old is None or _without_arrangements(old) != _without_arrangements(board):
            continue
        same = {a.id: a for a in old.arrangements}
        found |= {k: known[k] for k, a in _entries(board) if k in known and same.get(a.id) == a}
    return found


def _bare(design: Design) -> Design:
    return design.model_copy(update={"title": "", "notes": "", "boards": ()})


def _without_arrangements(board: BoardEntry) -> BoardEntry:
    return board.model_copy(update={"arrangements": (), "gone": None, "name": ""})


def _entries(board: BoardEntry) -> Iterator[tuple[Key, ArrangementEntry]]:
    return (((board.id, a.id), a) for a in board.arrangements)


def _without_end(_: float) -> bool:
    return True
