"""The use cases of a family of designs: things of one tried on others of the shelf, and brought to those that pass."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Final, Literal

from msgspec import Struct

from app.arrange.family.wanted import BringSource, BringWays, Wanted, checked_wanted
from app.document.schema import Design
from app.errors import EditError, HolewiseError
from app.service.background.one_answer import ReadOnce
from app.service.keeping import kept_after
from app.service.own_bits import Bench, without_bits
from app.service.shelf.search import label_counts, matching, ordered
from app.service.sight import read_of
from app.service.windows import Sender
from app.store import Head, Revision, Store
from app.store import StoredChange as Stored

if TYPE_CHECKING:
    from app.service.family.trial import BringTrial

MOST_TARGETS: Final = 60
"""Designs that are tried at once: as many as stand on a page of the shelf."""


class Target(Struct, frozen=True):
    """A design that something may be brought to: id, title, the revision now, labels, whether it is chosen."""

    id: str
    title: str
    revision: str
    labels: tuple[str, ...]
    chosen: bool


class Targets(Struct, frozen=True):
    """Designs that something may be brought to.

    Args:
        each: those that are shown.
        more: how many more were found.
        total: how many others there are on the shelf.
        labels: every label, and how many have it.
    """

    each: tuple[Target, ...]
    more: int
    total: int
    labels: tuple[tuple[str, int], ...]


class TriedDesign(Struct, frozen=True):
    """A design of the shelf that something was tried on.

    Args:
        id: of it.
        title: of it.
        revision: the one that it was tried on; empty if it cannot be read.
        trial: what came of it.
    """

    id: str
    title: str
    revision: str
    trial: BringTrial


class Outcome(Struct, frozen=True):
    """What became of one design.

    Args:
        id: of it.
        title: of it.
        how: it was ``done``; has ``moved`` on since it was tried, and is as it was; or it was ``refused``.
        said: what was done, or why nothing was.
    """

    id: str
    title: str
    how: Literal["done", "moved", "refused"]
    said: str


class _MovedOnError(EditError):
    """Somebody changed the design meanwhile."""


class Family:
    """Things of one design brought to others.

    Args:
        store: where designs are kept.
        bench: the bits of the workshop they are judged with.
        heads: what one answer has read of them.
    """

    def __init__(self, store: Store, bench: Bench, heads: ReadOnce[Head]) -> None:
        self._store, self._bench, self._heads = store, bench, heads

    def targets(self, design_id: str, find: str, label: str, chosen: Sequence[str]) -> Targets:
        """The other designs of the shelf whose title or labels hold some words; first those that are chosen already."""
        labels = self._store.labels.all()
        rows = [row for row in self._store.designs() if row.id != design_id and "row" not in row.damaged]
        found = ordered(matching(rows, find, labels, label), "title")
        ids = set(chosen)
        first = [row for row in ordered(rows, "title") if row.id in ids]
        both = (*first, *(row for row in found if row.id not in ids))[: max(MOST_TARGETS, len(first))]
        each = tuple(Target(row.id, row.title, row.head, labels.get(row.id, ()), row.id in ids) for row in both)
        shown = {one.id for one in each}
        more = sum(1 for row in found if row.id not in shown)
        return Targets(each, more, len(rows), label_counts(rows, labels))

    def source(self, design_id: str, revision: str = "") -> BringSource:
        """A design that things are brought from, as it was at a revision; as it is now if none is given.

        Raises:
            NotFoundError: no such design or revision.
            DamagedError: what is stored of it cannot be read.
        """
        found = self._store.revision(design_id, revision) if revision else self._store.head(design_id).revision
        return BringSource(read_of(found, self._bench.bits()), design_id)

    def tried(
        self, source: BringSource, asked: Sequence[Wanted], ways: BringWays, designs: Sequence[str]
    ) -> tuple[TriedDesign, ...]:
        """Try to bring things to some designs of the shelf; nothing is changed.

        Raises:
            NotFoundError: the source has none of it.
            EditError: nothing is asked for, or too many designs are.
        """
        wanted = checked_wanted(source.design, tuple(asked))
        names = _checked(source, designs)
        return tuple(self._tried(source, wanted, ways, name, n) for n, name in enumerate(names))

    def bring(
        self,
        source: BringSource,
        asked: Sequence[Wanted],
        ways: BringWays,
        designs: Mapping[str, str],
        sender: Sender,
        told: Callable[[Outcome], None] = lambda _: None,
    ) -> tuple[Outcome, ...]:
        """Bring things to designs that pass, as one step each; one that moved on since it was tried is left alone.

        Args:
            source: the design they are of, as it was tried.
            asked: what.
            ways: how.
            designs: the revision that each was tried on, by id.
            sender: the window that asks.
            told: hears of each as it is done.

        Raises:
            NotFoundError: the source has none of it.
            EditError: nothing is asked for, or too many designs are.
        """
        wanted = checked_wanted(source.design, tuple(asked))
        found = []
        for name in _checked(source, tuple(designs)):
            found.append(self._brought(source, wanted, ways, name, designs[name], sender))
            told(found[-1])
        return tuple(found)

    def _tried(
        self, source: BringSource, wanted: tuple[Wanted, ...], ways: BringWays, name: str, number: int
    ) -> TriedDesign:
        from app.service.family.trial import BringTrial, tried  # which draws, and comes after the workshop

        title = name
        try:
            head = self._store.head(name)
            title = head.design.title
            target = read_of(head.revision, self._bench.bits())
        except HolewiseError as error:
            return TriedDesign(name, title, "", BringTrial("refused", str(error)))
        trial = tried(target, source, wanted, ways, f"tried-{number}")
        return TriedDesign(name, title, head.revision.id, trial)

    def _brought(
        self, source: BringSource, wanted: tuple[Wanted, ...], ways: BringWays, name: str, revision: str, sender: Sender
    ) -> Outcome:
        from app.service.family.trial import tried

        title = name
        try:
            head = self._store.head(name)
            title = head.design.title
            if head.design.removed:
                raise EditError("It was put away meanwhile. Put it back, then try it again.")
            if head.revision.id != revision:
                raise _moved()
            trial = tried(read_of(head.revision, self._bench.bits()), source, wanted, ways)
            if trial.verdict == "same":
                return Outcome(name, title, "done", "It has it already, as it is. Nothing was changed.")
            if trial.verdict != "passes" or trial.design is None:
                raise EditError(trial.said or "It would have new stops, so nothing was changed.")
            change = _change(trial.design, trial.summary, revision)
            after = self._store.edit(name, change, sender.window, head)
        except _MovedOnError as error:
            return Outcome(name, title, "moved", str(error))
        except HolewiseError as error:
            return Outcome(name, title, "refused", str(error))
        self._heads.now(name, after)
        return Outcome(name, title, "done", trial.summary)


def _change(design: Design, summary: str, revision: str) -> Callable[[Revision], Stored]:
    def change(found: Revision) -> Stored:
        if found.id != revision:
            raise _moved()
        written = read_of(found)
        after = without_bits(design, written)
        return Stored(kept_after(after, written), summary, design.title)

    return change


def _moved() -> _MovedOnError:
    return _MovedOnError("It was changed after it was tried, so nothing was done to it. Try it again.")


def _checked(source: BringSource, designs: Sequence[str]) -> tuple[str, ...]:
    names = tuple(dict.fromkeys(name for name in designs if name != source.id))
    if not names:
        raise EditError("Choose at least one other design to bring it to.", "into")
    if len(names) > MOST_TARGETS:
        raise EditError(f"Up to {MOST_TARGETS} designs are tried at once, got {len(names)}. Choose fewer.", "into")
    return names
