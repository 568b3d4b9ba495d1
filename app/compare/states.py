"""Two states of a design side by side: what is different of each board, and the board in both, to be drawn."""

from __future__ import annotations

from collections.abc import Collection

from msgspec import Struct

from app.catalogue.load import Catalogue
from app.compare.change import Change, Comparison
from app.compare.compared import compared
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import NotFoundError
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace


class ChangedBoard(Struct, frozen=True):
    """What is different of a board with one arrangement, or of the design as a whole.

    Args:
        changes: one at least.
        before, after: the board in both states; None where it is not there, or where there is nothing to draw.
    """

    changes: tuple[Change, ...]
    before: ResolvedBoard | None = None
    after: ResolvedBoard | None = None

    @property
    def name(self) -> str:
        """What is different, as a heading has it."""
        change = self.changes[0]
        if not change.board:
            return "The whole design"
        return f"{change.board}, {change.arrangement}" if change.arrangement else change.board

    @property
    def ident(self) -> tuple[str, str]:
        """Ids of the board and of the arrangement; empty as :class:`Change` has them."""
        return self.changes[0].board_id, self.changes[0].arrangement_id

    @property
    def is_drawn(self) -> bool:
        """Whether there is a drawing of it."""
        return self.before is not None or self.after is not None


class ComparedStates(Struct, frozen=True):
    """Two states compared.

    Args:
        found: what is different.
        boards: the same by board and arrangement, the design as a whole first.
        was, now: what the older and the newer state are called, as ``revision A``; empty for nothing.
    """

    found: Comparison
    boards: tuple[ChangedBoard, ...]
    was: str = ""
    now: str = ""

    @property
    def summed(self) -> str:
        """How much is different, in a line."""
        found = self.found
        if found.is_same:
            return "Nothing is different."
        parts = [_counted(len(found.changes), "change")] if found.changes else ["No change that shows"]
        if found.gained:
            parts.append(_counted(len(found.gained), "new finding"))
        if found.lost:
            parts.append(f"{_counted(len(found.lost), 'finding')} gone")
        return f"{', '.join(parts)}."

    def without(self, left_out: Collection[tuple[str, str]], names: Collection[tuple[str, str]]) -> ComparedStates:
        """The same without some boards, or some arrangements of boards.

        Args:
            left_out: ids of boards and arrangements; of a board by itself, with an empty second one.
            names: of the same, by which findings are known.
        """
        boards = tuple(board for board in self.boards if board.ident not in left_out)
        changes = tuple(change for board in boards for change in board.changes)
        findings = tuple(f for f in self.found.findings if (f.board, f.arrangement) not in names)
        return replace(self, found=replace(self.found, changes=changes, findings=findings), boards=boards)


def _counted(number: int, one: str) -> str:
    return f"{number:,} {one}{'' if number == 1 else 's'}"


def compared_states(
    before: Design, after: Design, catalogue: Catalogue, unit: Unit, *, was: str = "", now: str = ""
) -> ComparedStates:
    """Two states of a design compared, from the older to the newer one.

    Raises:
        EditError: they share no board.
        DocumentError: a board of one of them cannot be put together.
    """
    found = compared(before, after, catalogue, unit)
    grouped: dict[tuple[str, str], list[Change]] = {}
    for change in found.changes:
        grouped.setdefault((change.board_id, change.arrangement_id), []).append(change)
    with_arrangement = {board for board, arrangement in grouped if arrangement}
    boards = []
    for (board, arrangement), changes in grouped.items():
        # A board by itself is drawn only if none of its arrangements is: they show its outline too.
        drawn = bool(arrangement) or (bool(board) and board not in with_arrangement)
        both = [_state(design, board, arrangement, catalogue) if drawn else None for design in (before, after)]
        boards.append(ChangedBoard(tuple(changes), *both))
    return ComparedStates(found, tuple(boards), was, now)


def _state(design: Design, board: str, arrangement: str, catalogue: Catalogue) -> ResolvedBoard | None:
    try:
        return resolve(design, board, arrangement or None, catalogue)
    except NotFoundError:
        return None
