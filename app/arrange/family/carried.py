"""Hardware and patterns that placements name, carried along into another design."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import count

from app.arrange.letters import taken_parts
from app.catalogue.hardware import PartEntry
from app.catalogue.load import Catalogue
from app.document.pattern_schema import PatternEntry
from app.document.resolve import placements_in
from app.document.schema import BoardEntry, Design, PlacementEntry
from app.errors import EditError

Own = PartEntry | PatternEntry


def own_things(design: Design) -> dict[str, Own]:
    """Hardware and patterns that a design carries itself, by id."""
    return {**{p.id: p for p in design.hardware}, **{p.id: p for p in design.patterns}}


def only_in(design: Design, rows: Collection[PlacementEntry], going: Collection[int]) -> frozenset[str]:
    """Ids of own parts that nothing names but some placements, given by their identity."""
    others = {p.part for p in placements_in(*design.boards) if id(p) not in going}
    return frozenset({p.part for p in rows} - others)


def carried(
    source: Design,
    target: Design,
    placed: Sequence[str],
    catalogue: Catalogue,
    replaceable: Collection[str],
    makers: Mapping[str, str] | None = None,
) -> tuple[Design, dict[str, str], list[str]]:
    """A design with the own parts that placements of another one name.

    Args:
        source: the design they come from.
        target: the one that gets them.
        placed: ids of parts, as the source has them.
        catalogue: of built-in hardware.
        replaceable: ids of own parts of the target that may become others: nothing that stays names them.
        makers: the id that a maker has in the target, by its own, where that is another.

    Returns:
        The target, the id there of each part, and sentences about it.

    Raises:
        EditError: the target calls hardware of its own as the source does what is built in.
    """
    own, there, notes = own_things(source), own_things(target), list[str]()
    taken, found, new = {*taken_parts(target, catalogue)}, dict[str, str](), dict[str, Own]()
    for ident in dict.fromkeys(placed):
        entry = own.get(ident)
        if entry is None:
            if ident in there and ident in catalogue.parts:
                raise EditError(
                    f"It has hardware of its own with the id “{ident}”, which built-in hardware has too. "
                    "Give its own another id in the file first."
                )
            found[ident] = ident
            continue
        for name in _names(_renamed(ident, makers or {})):
            wanted = entry.model_copy(update={"id": name})
            may = name in replaceable and name not in catalogue.parts
            if name not in new and (there.get(name) == wanted or may or name not in taken):
                break
        found[ident], new[name] = name, wanted
        taken.add(name)
        if there.get(name) != wanted:
            notes.append(_note(entry, name, ident, there))
    return _with(target, new), found, [note for note in notes if note]


def _note(entry: Own, name: str, ident: str, there: Mapping[str, Own]) -> str:
    called = entry.name or ident
    if name in there:
        return f"The {_sort(entry)} “{called}” is replaced as well."
    other = "; it has another of that name, so both stay" if ident in there and name != ident else ""
    return f"The {_sort(entry)} “{called}” comes along{other}."


def _sort(entry: Own) -> str:
    return "pattern of holes" if isinstance(entry, PatternEntry) else "hardware"


def _renamed(ident: str, makers: Mapping[str, str]) -> str:
    for was, now in makers.items():
        if ident.startswith(f"{was}-"):
            return now + ident.removeprefix(was)
    return ident


def _names(wanted: str) -> Iterator[str]:
    return (wanted if n == 1 else f"{wanted}-{n}" for n in count(1))


def _with(design: Design, new: Mapping[str, Own]) -> Design:
    hardware = {**{p.id: p for p in design.hardware}, **{k: p for k, p in new.items() if isinstance(p, PartEntry)}}
    patterns = {**{p.id: p for p in design.patterns}, **{k: p for k, p in new.items() if isinstance(p, PatternEntry)}}
    for name, entry in new.items():
        (hardware if isinstance(entry, PatternEntry) else patterns).pop(name, None)
    return design.model_copy(update={"hardware": tuple(hardware.values()), "patterns": tuple(patterns.values())})


def without_idle(design: Design, replaced: BoardEntry | None, ids: Collection[str]) -> Design:
    """The design without own parts that were only on what went: patterns, and hardware that a maker had made."""
    placed = {p.part for p in placements_in(*design.boards)}
    made = {p.part for p in placements_in(replaced) if p.maker and p.part.startswith(p.id)} if replaced else set[str]()
    gone = set(ids) - placed
    return design.model_copy(
        update={
            "patterns": tuple(p for p in design.patterns if p.id not in gone),
            "hardware": tuple(p for p in design.hardware if p.id not in gone & made),
        }
    )
