"""The boards of a design: one more, a copy, another order, one less. Ids that go are never given again."""

from __future__ import annotations

from collections.abc import Mapping

from app.arrange.board.name import free_board_id, free_name, gone_with
from app.arrange.change import Edit, number
from app.arrange.copy_names import copy_name
from app.arrange.letters import free_id, taken_parts
from app.catalogue.load import Catalogue
from app.document.as_built import undrilled
from app.document.pattern_schema import PatternEntry
from app.document.resolve import find_board, placements_in
from app.document.schema import ArrangementEntry, BoardEntry, CornerEntry, Design, OutlineEntry
from app.errors import EditError
from app.model.limits import BOARDS


def add_board(design: Design, catalogue: Catalogue, width: float, depth: float, name: str = "") -> Edit:
    """Add a board with nothing on it, of the material of the deck: a companion, or the deck where there is none.

    Args:
        design: the design.
        catalogue: for how small and large a board may be.
        width: [mm].
        depth: front to back [mm].
        name: what it is called; empty for ``Board 2`` or the next number.

    Returns:
        The edit; its ``board`` is the new board's id.

    Raises:
        EditError: a size or a name that cannot be, or there are as many boards as a design can have.
    """
    _one_more(design)
    least, most = catalogue.rule("outline-smallest"), catalogue.rule("outline-largest")
    number(width, "The board’s width in mm", "width", least, most)
    number(depth, "The board’s depth in mm", "depth", least, most)
    called = free_name(design, name, "name") if name.strip() else _numbered_name(design)
    corners = ((0.0, 0.0), (width, 0.0), (width, depth), (0.0, depth))
    board = BoardEntry(
        id=free_board_id(design, called),
        name=called,
        role="companion" if has_deck(design) else "deck",
        outline=OutlineEntry(corners=tuple(CornerEntry(x=x, y=y) for x, y in corners)),
        layers=find_board(design).layers,
        arrangements=(ArrangementEntry(id="one"),),
    )
    return Edit(_with(design, *design.boards, board), f"Added the board “{called}”", board=board.id)


def copy_board(design: Design, board_id: str | None, catalogue: Catalogue) -> Edit:
    """Add a copy of a board, under the same letters, behind it.

    Patterns of holes are copied with it, so that one can be changed without the other; a copy of the deck is a
    companion, for a cabinet has one deck.

    Raises:
        NotFoundError: there is no such board.
        EditError: there are as many boards as a design can have.
    """
    _one_more(design)
    old = find_board(design, board_id)
    name = copy_name(old.name or old.id, (b.name for b in design.boards))
    own, patterns = _own_patterns(design, old, catalogue)
    board = old.model_copy(
        update={
            "id": free_board_id(design, name),
            "name": name,
            "role": "companion",
            "arrangements": tuple(_repatterned(undrilled(a), own) for a in old.arrangements),
        }
    )
    place = design.boards.index(old) + 1
    grown = _with(design, *design.boards[:place], board, *design.boards[place:])
    after = grown.model_copy(update={"patterns": (*design.patterns, *patterns)})
    return Edit(after, f"Copied the board “{old.name or old.id}” as “{name}”", board=board.id)


def move_board(design: Design, board_id: str | None, by: int) -> Edit:
    """Move a board ``by`` places along the list of boards; at an end it stays there.

    Raises:
        NotFoundError: there is no such board.
    """
    board = find_board(design, board_id)
    rest = [b for b in design.boards if b.id != board.id]
    place = min(max(design.boards.index(board) + by, 0), len(rest))
    if place == design.boards.index(board):
        return Edit(design, "Left the board where it was")
    way = "back" if by > 0 else "forward"
    return Edit(_with(design, *rest[:place], board, *rest[place:]), f"Moved the board “{board.name}” {way} in the list")


def remove_board(design: Design, board_id: str | None) -> Edit:
    """Remove a board with all that is on it; the one before it is looked at next.

    The deck goes as any other does: somebody builds a grille alone. The next blank board is the deck then.

    Patterns, and hardware that a maker made for it, go with it where no other board has them.

    Raises:
        NotFoundError: there is no such board.
        EditError: it is the only one.
    """
    old = find_board(design, board_id)
    rest = tuple(b for b in design.boards if b.id != old.id)
    if not rest:
        raise EditError("This is the design’s only board. Add another before you delete it.", "board")
    before = rest[max(design.boards.index(old) - 1, 0)]
    left = {p.part for p in placements_in(*rest)}
    went = {p.part for p in placements_in(old)} - left
    made = {p.part for p in placements_in(old) if p.maker and p.part.startswith(p.id)}
    update = {
        "boards": rest,
        "gone": gone_with(design.gone or (), old.id),
        "patterns": tuple(p for p in design.patterns if p.id not in went),
        "hardware": tuple(p for p in design.hardware if p.id not in went or p.id not in made),
    }
    lost = "; what was drilled of it is not kept" if any(a.as_built for a in old.arrangements) else ""
    return Edit(design.model_copy(update=update), f"Deleted the board “{old.name or old.id}”{lost}", board=before.id)


def has_deck(design: Design) -> bool:
    """Whether a board of the design is one that hands rest on."""
    return any(board.role == "deck" for board in design.boards)


def _one_more(design: Design) -> None:
    if len(design.boards) >= BOARDS.most:
        raise EditError(f"A design has up to {BOARDS.most} boards. Delete one first.", "board")


def _numbered_name(design: Design) -> str:
    names = {b.name.casefold() for b in design.boards}
    numbers = range(len(design.boards) + 1, 2 * BOARDS.most + 2)
    return next(text for text in (f"Board {n}" for n in numbers) if text.casefold() not in names)


def _own_patterns(design: Design, board: BoardEntry, catalogue: Catalogue) -> tuple[dict[str, str], list[PatternEntry]]:
    """A new id for each pattern on a board, and the patterns under these."""
    placed = {p.part for p in placements_in(board)}
    taken = {*taken_parts(design, catalogue)}
    own: dict[str, str] = {}
    patterns: list[PatternEntry] = []
    for pattern in design.patterns:
        if pattern.id in placed:
            own[pattern.id] = free_id(pattern.id, taken)
            taken.add(own[pattern.id])
            patterns.append(pattern.model_copy(update={"id": own[pattern.id]}))
    return own, patterns


def _repatterned(arrangement: ArrangementEntry, own: Mapping[str, str]) -> ArrangementEntry:
    rows = (p.model_copy(update={"part": own[p.part]}) if p.part in own else p for p in arrangement.placements)
    return arrangement.model_copy(update={"placements": tuple(rows)})


def _with(design: Design, *boards: BoardEntry) -> Design:
    return design.model_copy(update={"boards": boards})
