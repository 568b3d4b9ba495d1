"""A design's own hardware: copies of parts, corrected with callipers in hand.

A design carries its own parts in full, so that it opens the same on another computer. All lengths in mm.
Every function raises NotFoundError for a board, arrangement, placement or part that is not there, and
EditError, with the form field it belongs beside, for a value that is not allowed.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping
from typing import Final, get_args

from msgspec import Struct

from app.arrange.change import Edit, known_part, located, name_of, with_placement, words
from app.arrange.hardware.consistency import NonsenseError, check_part
from app.arrange.hardware.measures import MAY_BE_ZERO, PartMeasure, caliper, measures_of, with_measures
from app.arrange.hardware.part_rows import entry_of
from app.arrange.hardware.provenance import LONGEST, Provenance, provenance_of, with_provenance
from app.arrange.letters import free_id, taken_parts
from app.catalogue.hardware import LARGEST, PartEntry
from app.catalogue.load import Catalogue
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.errors import EditError, NotFoundError
from app.model.limits import OWN_PARTS
from app.model.source import Basis
from app.units import Unit

LONGEST_NAME: Final = 120


class PartCorrection(Struct, frozen=True):
    """What was typed about a part; None leaves a field exactly as it is.

    Args:
        measures: new values by name of the measure [mm].
        name: on screen.
        basis: how far to trust the numbers that were not taken by hand; ``measured`` says all were.
        source: where those come from, in words.
        everywhere: use it wherever the part is placed, and not only at the placement in hand.
        unit: for messages.
    """

    measures: Mapping[str, float]
    name: str | None = None
    basis: Basis | None = None
    source: str | None = None
    everywhere: bool = True
    unit: Unit = Unit.MM


def own_part(design: Design, part_id: str) -> PartEntry | None:
    """The part of that id the design carries itself, if it does."""
    return next((p for p in design.hardware if p.id == part_id), None)


def part_entry(design: Design, part_id: str, catalogue: Catalogue) -> PartEntry:
    """The row of a part, of the design's own or of the catalogue.

    Raises:
        NotFoundError: there is none; a pattern of holes is no hardware.
    """
    own = own_part(design, part_id)
    if own is not None:
        return own
    known = known_part(design, part_id, catalogue)
    if known.is_pattern:
        raise NotFoundError(f"“{known.name}” is a pattern of holes: no hardware with sizes to correct.")
    return entry_of(known)


def users_of(design: Design, part_id: str) -> tuple[tuple[BoardEntry, PlacementEntry], ...]:
    """Every hole of the design the part is in, once for all arrangements that share it, with its board."""
    found = {(b.id, p.id): (b, p) for b, p in _placements(design) if p.part == part_id}
    return tuple(found.values())


def copy_part(design: Design, part_id: str, catalogue: Catalogue, name: str | None = None) -> Edit:
    """Copy a part into the design's own hardware, last, under an id of its own.

    Raises:
        EditError: the design carries as many parts as it can.
    """
    old = part_entry(design, part_id, catalogue)
    if len(design.hardware) >= OWN_PARTS.most:
        said = f"A design has up to {OWN_PARTS.most} parts of its own; delete one that is not used."
        raise EditError(said, "name")
    wanted = re.sub(r"-own(-\d+)?$", "", old.id)[:52] + "-own"
    new = free_id(wanted, taken_parts(design, catalogue))
    called = _name(f"{old.name[: LONGEST_NAME - 13]}, as measured" if name is None else name)
    copy = old.model_copy(update={"id": new, "name": called})
    return Edit(design.model_copy(update={"hardware": (*design.hardware, copy)}), f"Copied {old.name}")


def measure_part(design: Design, part_id: str, values: Mapping[str, float], unit: Unit = Unit.MM) -> Edit:
    """Correct measures of one of the design's own parts; it counts as measured from then on.

    The source says which measures were taken by hand, and where the others come from.

    Raises:
        EditError: a measure the part does not have, or a number out of range.
        NonsenseError: measures contradict each other.
    """
    old = _own(design, part_id)
    before = {m.name: m for m in measures_of(old)}
    _check_values(before, values, unit)
    changed = {name: v for name, v in values.items() if v != before[name].value}
    if not changed:
        return Edit(design, f"Left {old.name} as it was")
    new = with_measures(old, changed)
    after = measures_of(new)
    check_part(new, after, frozenset(changed), unit)
    known = provenance_of(old, before.values())
    new = with_provenance(new, after, Provenance(known.hands | set(changed), known.basis, known.words))
    said = [f"{before[name].words.lower()} {caliper(v, unit)}" for name, v in changed.items()]
    more = f" and {len(said) - 3} more" if len(said) > 3 else ""
    summary = f"Measured {old.name}: {', '.join(said[:3])}{more}"
    return Edit(_with_own(design, new), summary)


def rename_part(design: Design, part_id: str, name: str) -> Edit:
    """Give one of the design's own parts another name.

    Raises:
        EditError: the name is empty, too long or cannot be printed.
    """
    old = _own(design, part_id)
    new = _name(name)
    return Edit(_with_own(design, old.model_copy(update={"name": new})), f"Renamed {old.name} to {new}")


def set_basis(design: Design, part_id: str, basis: Basis | None, source: str | None = None) -> Edit:
    """Say how far the numbers of one of the design's own parts can be trusted, and where they come from.

    It is said of what was not taken by hand one by one; None leaves it as it is.

    Raises:
        EditError: no such basis, or the words are empty, too long or cannot be printed.
    """
    old = _own(design, part_id)
    if basis is not None and basis not in get_args(Basis):
        raise EditError(f"Sizes are {', '.join(get_args(Basis))}; got “{basis[:20]}”. Choose one.", "basis")
    measures = measures_of(old)
    known = provenance_of(old, measures)
    said = known.words if source is None else words(source, "Where the sizes come from", "source", LONGEST, 1)
    hands = frozenset[str]() if basis and known.basis == "measured" else known.hands
    new = with_provenance(old, measures, Provenance(hands, basis or known.basis, said))
    return Edit(_with_own(design, new), f"Marked {old.name} as {new.basis}")


def remove_part(design: Design, part_id: str) -> Edit:
    """Take one of the design's own parts out of it.

    Raises:
        EditError: it is placed somewhere.
    """
    old = _own(design, part_id)
    users = users_of(design, part_id)
    if users:
        names = ", ".join(name_of(p) for _, p in users[:6]) + (", …" if len(users) > 6 else "")
        raise EditError(f"{old.name} is in use ({names}). Choose other hardware there first.", "remove")
    rest = tuple(p for p in design.hardware if p.id != part_id)
    return Edit(design.model_copy(update={"hardware": rest}), f"Deleted {old.name} from the design’s own hardware")


def correct(
    design: Design,
    board: str | None,
    arrangement: str | None,
    placement: str,
    typed: PartCorrection,
    catalogue: Catalogue,
) -> Edit:
    """Correct the part at a placement, in one step: copied first if it is the catalogue's or others keep theirs.

    Raises:
        EditError: a value is not allowed; nothing is changed.
    """
    within, _, at = located(design, board, arrangement, placement)
    old = part_entry(design, at.part, catalogue)
    alone = all((b.id, p.id) == (within.id, at.id) for b, p in users_of(design, at.part))
    if not _any_change(old, typed):
        return Edit(design, f"Left {old.name} as it was", placement)
    after, part = design, at.part
    if own_part(design, part) is None or not (typed.everywhere or alone):
        after = copy_part(design, part, catalogue, typed.name).design
        part = after.hardware[-1].id
    elif typed.name is not None:
        after = rename_part(after, part, typed.name).design
    measured = measure_part(after, part, typed.measures, typed.unit)
    after, said = measured.design, measured.summary if typed.measures else f"Corrected {old.name}"
    if typed.basis is not None or typed.source is not None:
        after = set_basis(after, part, typed.basis, typed.source).design
    if part != at.part:
        after = _used(after, at.part, part, (within.id, at.id) if not typed.everywhere else None)
    return Edit(after, f"{said} ({name_of(at)})" if not typed.everywhere else said, placement)


def _any_change(old: PartEntry, typed: PartCorrection) -> bool:
    size = {m.name: m.value for m in measures_of(old)}
    given = (typed.basis, typed.source, None if typed.name == old.name else typed.name)
    return any(v != size.get(name) for name, v in typed.measures.items()) or any(each is not None for each in given)


def _check_values(before: Mapping[str, PartMeasure], values: Mapping[str, float], unit: Unit) -> None:
    problems: dict[str, str] = {}
    for name, value in values.items():
        if name not in before:
            raise EditError(f"This part has no size “{name[:40]}”. Reload the page.")
        least = "0" if name in MAY_BE_ZERO else "more than 0"
        good = math.isfinite(value) and (value > 0 or (value == 0 and name in MAY_BE_ZERO)) and value <= LARGEST
        if not good:
            got = caliper(value, unit) if math.isfinite(value) else "not a finite number"
            problems[name] = (
                f"{before[name].words} is {least} and up to {caliper(LARGEST, unit)}, got {got}. Measure it again."
            )
    if problems:
        raise NonsenseError(problems)


def _used(design: Design, old: str, new: str, only: tuple[str, str] | None) -> Design:
    """The design with the part ``new`` where ``old`` was: everywhere, or only in one hole of one board."""
    after = design
    for board in design.boards:
        for arrangement in board.arrangements:
            for p in arrangement.placements:
                if p.part == old and only in {None, (board.id, p.id)}:
                    after = with_placement(after, board.id, arrangement.id, p.id, part=new)
    return after


def _placements(design: Design) -> Iterator[tuple[BoardEntry, PlacementEntry]]:
    for board in design.boards:
        for arrangement in board.arrangements:
            for placement in arrangement.placements:
                yield board, placement


def _own(design: Design, part_id: str) -> PartEntry:
    found = own_part(design, part_id)
    if found is None:
        raise EditError(f"“{part_id[:40]}” is not one of this design’s own parts. Copy it first.")
    return found


def _with_own(design: Design, part: PartEntry) -> Design:
    return design.model_copy(update={"hardware": tuple(part if p.id == part.id else p for p in design.hardware)})


def _name(text: str) -> str:
    return words(text, "A name", "name", LONGEST_NAME, 1)
