"""What is different between two design files, field by field: enough to make one of the other."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Literal

from msgspec import Struct

from app.document.schema import Design

Path = tuple[str, ...]
"""Where in a file: names of fields, and in a list of things with ids the id, as ``boards``, ``deck``, ``name``."""

DifferenceKind = Literal["changed", "new", "gone", "order"]

_OPPOSITE: Mapping[DifferenceKind, DifferenceKind] = {
    "changed": "changed", "new": "gone", "gone": "new", "order": "order",
}  # fmt: skip


class Difference(Struct, frozen=True):
    """One difference between two design files.

    Args:
        path: where it is; of what is new or gone in a list, the thing itself.
        kind: a field ``changed``; something is ``new`` in a list or ``gone`` from it; those in both files stand in
            another ``order``.
        before, after: plain values as JSON has them; None for what is not there; of an order, the ids.
        place: where in its list the thing stands that is new or gone, counted from 0.
    """

    path: Path
    kind: DifferenceKind
    before: Any
    after: Any
    place: int = 0

    @property
    def inverse(self) -> Difference:
        """The difference seen from the other file."""
        return Difference(self.path, _OPPOSITE[self.kind], self.after, self.before, self.place)


def differences_of(before: Design, after: Design) -> tuple[Difference, ...]:
    """Every difference between two designs; none only if they are the same, and always in the same order."""
    return tuple(_of_mapping(before.model_dump(mode="json"), after.model_dump(mode="json"), ()))


def _of_mapping(before: Mapping[str, Any], after: Mapping[str, Any], path: Path) -> Iterator[Difference]:
    for name, value in before.items():
        yield from _of_value(value, after[name], (*path, name))


def _of_value(before: Any, after: Any, path: Path) -> Iterator[Difference]:
    if is_same(before, after):
        return
    if isinstance(before, dict) and isinstance(after, dict) and before.keys() == after.keys():
        yield from _of_mapping(before, after, path)
        return
    key = _key_of(before, after)
    if key:
        yield from _of_list({i[key]: i for i in before}, {i[key]: i for i in after}, path)
    else:
        yield Difference(path, "changed", before, after)


def _of_list(before: Mapping[str, Any], after: Mapping[str, Any], path: Path) -> Iterator[Difference]:
    """Differences of lists whose things are known by a name, which has to be the same in both."""
    places, new_places = ({key: place for place, key in enumerate(some)} for some in (before, after))
    for key in sorted(before.keys() | after.keys()):
        if key not in after:
            yield Difference((*path, key), "gone", before[key], None, places[key])
        elif key not in before:
            yield Difference((*path, key), "new", None, after[key], new_places[key])
        else:
            yield from _of_mapping_or_whole(before[key], after[key], (*path, key))
    kept, now = [k for k in before if k in after], [k for k in after if k in before]
    if kept != now:
        yield Difference(path, "order", kept, now)


def _of_mapping_or_whole(before: Mapping[str, Any], after: Mapping[str, Any], path: Path) -> Iterator[Difference]:
    """Differences of two things of one name; of another kind, one is put in the place of the other."""
    if before.keys() == after.keys():
        yield from _of_mapping(before, after, path)
    elif not is_same(before, after):
        yield Difference(path, "changed", before, after)


def is_same(before: Any, after: Any) -> bool:
    """Whether two values are the same in a file; ``true`` is not ``1.0``, which a measure may be either of."""
    if isinstance(before, dict) and isinstance(after, dict):
        return before.keys() == after.keys() and all(is_same(v, after[k]) for k, v in before.items())
    if isinstance(before, list) and isinstance(after, list):
        return len(before) == len(after) and all(map(is_same, before, after))
    return bool(before == after) and isinstance(before, bool) == isinstance(after, bool)


def _key_of(before: Any, after: Any) -> str:
    """What the things of two lists are known by; empty if they are no lists of such things."""
    if not isinstance(before, list) or not isinstance(after, list):
        return ""
    return next((key for key in ("id", "name") if _has_names(before, key) and _has_names(after, key)), "")


def _has_names(things: Sequence[Any], key: str) -> bool:
    """Whether each of some things has a name of its own, in a field that every one of them has."""
    names = [thing.get(key) for thing in things if isinstance(thing, dict)]
    return len(names) == len(things) == len({n for n in names if isinstance(n, str) and n})


def name_in_list(thing: Any) -> str:
    """What a thing in a list is known by; empty if by nothing."""
    name = thing.get("id", thing.get("name")) if isinstance(thing, dict) else None
    return name if isinstance(name, str) else ""
