"""Differences made in a design: found between two, and made in one of them or in another that is like it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import deepcopy
from typing import Any

from app.compare.difference import Difference, Path, is_same, name_in_list
from app.document.load import validated
from app.document.schema import Design
from app.errors import EditError


def applied(design: Design, differences: Iterable[Difference]) -> Design:
    """A design with differences made in it, all of them or none.

    Raises:
        EditError: something is not there, or is no longer as it was compared.
        DocumentError: what would come out is no design.
    """
    file = _File(design.model_dump(mode="json"))
    listed: dict[Path, list[Difference]] = {}
    for difference in differences:
        if difference.kind == "changed":
            file.change(difference)
        else:
            path = difference.path if difference.kind == "order" else difference.path[:-1]
            listed.setdefault(path, []).append(difference)
    for path in sorted(listed, key=len, reverse=True):  # inner lists first, while the outer ones can still be found
        file.change_list(path, listed[path])
    return validated(file.raw)


class _File:
    """A design file as plain values, and where in its lists each thing stands, looked up once."""

    def __init__(self, raw: dict[str, Any]) -> None:
        self.raw = raw
        self._places: dict[Path, dict[str, int]] = {}

    def change(self, difference: Difference) -> None:
        """Put another value in the place of one."""
        holder, last = self._at(difference.path[:-1], difference), difference.path[-1]
        at = self._step(holder, last, difference.path[:-1], difference)
        if not is_same(holder[at], difference.before):
            raise _other(difference)
        holder[at] = deepcopy(difference.after)

    def change_list(self, path: Path, differences: Sequence[Difference]) -> None:
        """Take things out of a list, put the rest in their order and new ones at their places."""
        things = self._at(path, differences[0])
        if not isinstance(things, list):
            raise _other(differences[0])
        there = {name_in_list(thing): thing for thing in things}
        for gone in (d for d in differences if d.kind == "gone"):
            if not is_same(there.pop(gone.path[-1], None), gone.before):
                raise _other(gone)
        for order in (d for d in differences if d.kind == "order"):
            if there.keys() != set(order.before):
                raise _other(order)
            there = {name: there[name] for name in order.after}
        things[:] = there.values()
        for new in sorted((d for d in differences if d.kind == "new"), key=lambda d: d.place):
            if new.path[-1] in there:
                raise _other(new)
            things.insert(new.place, deepcopy(new.after))

    def _at(self, path: Path, difference: Difference) -> Any:
        found: Any = self.raw
        for k, step in enumerate(path):
            found = found[self._step(found, step, path[:k], difference)]
        return found

    def _step(self, holder: Any, step: str, path: Path, difference: Difference) -> Any:
        """The key of a thing in a mapping, or its place in a list."""
        if isinstance(holder, dict) and step in holder:
            return step
        if isinstance(holder, list):
            if path not in self._places:
                self._places[path] = {name_in_list(thing): place for place, thing in enumerate(holder)}
            if step in self._places[path]:
                return self._places[path][step]
        raise _other(difference)


def _other(difference: Difference) -> EditError:
    where = ", ".join(difference.path)
    return EditError(
        f"The design is another than was compared (at {where}), so this change does not fit it. "
        "Compare again, and choose from what is different now."
    )
