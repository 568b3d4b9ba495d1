"""Two designs compared: what is different, in words, and what the rules gained or lost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.compare.boards import DesignPair, board_changes
from app.compare.change import Change, Comparison, below, sorted_by, was_and_is
from app.compare.difference import Difference, differences_of
from app.compare.findings import finding_changes
from app.compare.origins import origin_changes
from app.document.schema import Design, ShopEntry
from app.errors import EditError
from app.units import Unit
from app.values import replace

_BOOKKEEPING = frozenset({"format", "version", "gone"})
_WORDS = {
    "notes": ("The notes", "have changed"),
    "units": ("Lengths", "are shown in another unit"),
    "columns": ("The columns added to the parts list", "have changed"),
    "published": ("The list of published revisions", "has changed"),
    "steps": ("The steps of building", "have changed"),
    "coupon": ("The results of trial cuts", "have changed"),
}
_OF_STEPS = {
    "worded": "have other words",
    "added": "have others added",
    "hidden": "have others left out",
    "order": "stand in another order",
    "last": "have another count of added ones",
}


def compared(
    before: Design, after: Design, catalogue: Catalogue, unit: Unit | None = None, *, judge: bool = True
) -> Comparison:
    """Two designs compared, from the older to the newer one.

    Args:
        before: the older design.
        after: the newer one.
        catalogue: of hardware.
        unit: to say lengths in; the newer design's own if it is None.
        judge: whether the rules are asked what they gained and lost.

    Raises:
        EditError: they share no board.
        DocumentError: a board of one of them cannot be put together.
    """
    if not {b.id for b in before.boards} & {b.id for b in after.boards}:
        raise EditError(
            f"“{before.title}” and “{after.title}” have no board in common, so there is nothing to compare. "
            "Choose two states of one design, or a design and a copy of it."
        )
    differences = differences_of(before, after)
    said = unit or Unit(after.units)
    old, new = (design.model_copy(update={"units": said.value}) for design in (before, after))
    pair = DesignPair(old, new, catalogue, said)
    changes = (*_design_changes(pair, before, after, differences), *board_changes(pair, differences))
    findings = finding_changes(pair) if differences and judge else ()
    return Comparison(before.title, after.title, changes, findings, differences)


def _design_changes(
    pair: DesignPair, before: Design, after: Design, differences: Sequence[Difference]
) -> Iterator[Change]:
    """What is different of the design as a whole."""
    for path, covers in sorted_by(differences, 1).items():
        name = path[0]
        if name in _BOOKKEEPING or name == "boards":
            continue
        if name == "title":
            words = f"is called “{after.title}”, was “{before.title}”"
            yield replace(_whole("The design", words, covers), kind="renamed")
        elif name == "shop":
            yield from _shop_changes(before.shop, after.shop, pair, covers)
        elif name in ("hardware", "patterns"):
            yield from _own_things(name, before, after, covers)
        elif name == "brought":
            yield from origin_changes(before, after, covers)
        elif name == "steps" and before.steps and after.steps:
            for field, some in sorted_by(covers, 2).items():
                yield _whole("The steps of building", _OF_STEPS.get(field[-1], "have changed"), some)
        else:
            what, words = _WORDS.get(name, (f"The {name.replace('_', ' ')}", "is another"))
            yield _whole(what, words, covers)


def _shop_changes(
    before: ShopEntry, after: ShopEntry, pair: DesignPair, covers: Sequence[Difference]
) -> Iterator[Change]:
    for path, some in sorted_by(covers, 2).items():
        name = path[-1]
        if name == "drilling":
            ways = [pair.catalogue.allowances[s.drilling].name for s in (before, after)]
            yield _whole("The drilling method", was_and_is(*ways), some)
        elif name == "bits":
            many = len(before.bits), len(after.bits)
            words = f"has {many[1]} bits, had {many[0]}" if many[0] != many[1] else "has other bits"
            yield _whole("The list of bits", words, some)
        elif name == "paper":
            yield _whole("The paper", was_and_is(before.paper, after.paper), some)
        elif name == "rates":
            yield _whole("The times that work takes", "have changed", some)
        elif name == "spares":
            shares = [f"{s.spares:g} %" if s.spares is not None else "" for s in (before, after)]
            yield _whole("The share bought as spares", was_and_is(*shares), some)
        else:
            yield _whole(f"The {name.replace('_', ' ')}", "is another", some)


def _own_things(name: str, before: Design, after: Design, covers: Sequence[Difference]) -> Iterator[Change]:
    """Hardware of the design's own, and patterns of holes: what is new, gone or has other sizes."""
    word = {"hardware": "hardware", "patterns": "pattern"}[name]
    names = {thing.id: thing.name or thing.id for design in (before, after) for thing in getattr(design, name)}
    for path, some in sorted_by(below(covers, name), 2).items():
        if len(path) < 2:
            yield _whole(f"The list of {word}", "stands in another order", some)
            continue
        kind = some[0].kind if len(some[0].path) == len(path) else "changed"
        what = f"The {word} “{names[path[1]]}”"
        if kind == "new" or kind == "gone":
            yield replace(_whole(what, f"is {kind}", some), kind=kind)
        elif {d.path[2:] for d in some} == {("name",)}:
            words = f"was called “{some[0].before or path[1]}”"
            yield replace(_whole(what, words, some), kind="renamed")
        else:
            yield replace(_whole(what, "has other sizes", some), kind="resized")


def _whole(what: str, words: str, covers: Sequence[Difference]) -> Change:
    return Change("changed", "", "", what, words, covers=tuple(covers))


def unsaid(comparison: Comparison) -> tuple[Difference, ...]:
    """Differences that no change tells of: ids and letters kept so that they are not given again."""
    said = {d for change in comparison.changes for d in _hashable(change.covers)}
    return tuple(d for d in comparison.differences if (d.path, d.kind) not in said)


def _hashable(covers: Sequence[Difference]) -> Iterator[tuple[tuple[str, ...], str]]:
    return ((d.path, d.kind) for d in covers)
