"""Edits of a pattern: put on a board, changed, copied, and out of the document with its last placement.

Every function raises NotFoundError for a board, arrangement, placement or pattern that is not there, and EditError,
with the form field it belongs beside, for a value that is not allowed.
"""

from __future__ import annotations

from app.arrange.change import Edit, located, name_of, shown, with_placement, words
from app.arrange.letters import free_id, taken_parts
from app.arrange.pattern.numbers import numbered, with_numbers_kept
from app.arrange.pattern.possible import possible
from app.arrange.placement import edit
from app.catalogue.load import Catalogue
from app.document.board_patterns import entry_on, follows, pattern_on
from app.document.consistency import PATTERN_ID
from app.document.pattern_schema import PatternEntry
from app.document.patterns import pattern_of
from app.document.resolve import find_board, placements_in
from app.document.schema import Design
from app.errors import EditError, GeometryError, ModelError, NotFoundError
from app.model.limits import NUMBERS, PATTERNS

LONGEST_NAME = 120


def find_pattern(design: Design, pattern_id: str) -> PatternEntry:
    """The pattern of that id.

    Raises:
        NotFoundError: there is none.
    """
    for entry in design.patterns:
        if entry.id == pattern_id:
            return entry
    raise NotFoundError(f"There is no pattern of holes “{pattern_id[:40]}”. It may have been deleted: undo, or reload.")


def add_pattern(
    design: Design,
    board: str | None,
    arrangement: str | None,
    entry: PatternEntry,
    x: float,
    y: float,
    angle: float,
    catalogue: Catalogue,
) -> Edit:
    """Put a new pattern on a board, its middle at ``(x, y)`` [mm], turned by ``angle`` [degrees].

    Returns:
        The edit; its ``placement`` is the new one's id.
    """
    many = possible(entry_on(entry, find_board(design, board), x, y, angle), design.units)
    after, made = _with_new(design, entry, catalogue)
    done = edit.add(after, board, arrangement, made.id, x, y, catalogue)
    after = edit.set_angle(done.design, board, arrangement, done.placement, angle).design if angle else done.design
    label = located(after, board, arrangement, done.placement)[2].label
    return Edit(after, f"Added {label} ({_counted(made, many, design.units)})", done.placement)


def change_pattern(
    design: Design,
    board: str | None,
    arrangement: str | None,
    placement: str,
    entry: PatternEntry,
    angle: float,
    catalogue: Catalogue,
    *,
    everywhere: bool = True,
) -> Edit:
    """Give the pattern at a placement other measures; holes that stay keep their numbers.

    Args:
        design: the design.
        board: where it is; None for the deck.
        arrangement: of it; None for its first.
        placement: the placement.
        entry: its measures; its id and its numbers are those that the pattern has.
        angle: how the placement is turned [degrees].
        catalogue: whose ids are taken.
        everywhere: also where else the pattern is placed; else it is copied for this placement.

    Raises:
        EditError: a maker made it, or a value is not allowed.
    """
    on, _, at = located(design, board, arrangement, placement)
    old = find_pattern(design, at.part)
    if at.maker is not None:
        raise EditError(f"A maker made {name_of(at)}. Change the measures of that maker instead.")
    many = possible(entry_on(entry, on, at.x, at.y, angle), design.units)
    new = entry.model_copy(update={"id": old.id, "numbers": old.numbers, "name": _name(entry.name)})
    after = design
    if new != old:
        following = follows(new) or follows(old)
        new = new if following else _numbered(new, old)
        if alone(design, old.id) or (everywhere and not made_by_maker(design, old.id)):
            after = _with_pattern(design, new)
        else:
            if following:
                there = at.model_copy(update={"angle": angle})
                new = numbered(new, [pattern_on(new, on, there)], old, [pattern_on(old, on, at)])
            after = copy_pattern(design, board, arrangement, at.id, catalogue).design
            after = _with_pattern(after, new.model_copy(update={"id": after.patterns[-1].id}))
    if angle != at.angle:
        after = edit.set_angle(after, board, arrangement, at.id, angle).design
    after = with_numbers_kept(design, after)
    if after == design:
        return Edit(design, f"Left {name_of(at)} as it was", at.id)
    return Edit(after, f"Changed {name_of(at)} to {_counted(new, many, design.units)}", at.id)


def copy_pattern(
    design: Design, board: str | None, arrangement: str | None, placement: str, catalogue: Catalogue
) -> Edit:
    """Give a placement a pattern of its own, last of the design's, as the one it shares with others is now."""
    _, _, at = located(design, board, arrangement, placement)
    old = find_pattern(design, at.part)
    after, copied = _with_new(design, old, catalogue)
    after = with_placement(after, board, arrangement, at.id, part=copied.id)
    return Edit(after, f"Copied the pattern of {name_of(at)}", at.id)


def alone(design: Design, pattern_id: str) -> bool:
    """Whether a pattern is in one place only; a placement that several arrangements share is one."""
    return len(places_of(design, pattern_id)) < 2


def places_of(design: Design, pattern_id: str) -> frozenset[tuple[str, str]]:
    """Board and id of every placement of a pattern, once for all arrangements that share it."""
    return frozenset((b.id, p.id) for b in design.boards for p in placements_in(b) if p.part == pattern_id)


def made_by_maker(design: Design, pattern_id: str) -> bool:
    """Whether a maker placed the pattern anywhere: there it is made anew, and changes by hand would be lost."""
    return any(p.part == pattern_id and p.maker is not None for p in placements_in(*design.boards))


def _numbered(new: PatternEntry, old: PatternEntry) -> PatternEntry:
    """The same with the numbers of holes that stay; counted anew where they would be too many to write down."""
    try:
        numbers = pattern_of(new).numbered_as(pattern_of(old)).numbers
    except (GeometryError, ModelError):  # a file's pattern that was never possible has no numbers to keep
        numbers = ()
    return new.model_copy(update={"numbers": numbers if len(numbers) <= NUMBERS.most else ()})


def _with_new(design: Design, entry: PatternEntry, catalogue: Catalogue) -> tuple[Design, PatternEntry]:
    if len(design.patterns) >= PATTERNS.most:
        raise EditError(f"A design has up to {PATTERNS.most} patterns of holes. Delete one first.")
    new = entry.model_copy(
        update={"id": free_id(PATTERN_ID, taken_parts(design, catalogue)), "name": _name(entry.name)}
    )
    return design.model_copy(update={"patterns": (*design.patterns, new)}), new


def _with_pattern(design: Design, entry: PatternEntry) -> Design:
    rows = tuple(entry if p.id == entry.id else p for p in design.patterns)
    return design.model_copy(update={"patterns": rows})


def _name(text: str) -> str:
    return words(text, "A name", "name", LONGEST_NAME)


def _counted(entry: PatternEntry, many: int, units: str) -> str:
    what = "slot" if entry.order == "slots" else "hole"
    return f"{many:,} {what}{'' if many == 1 else 's'} of {shown(entry.hole, units)}"
