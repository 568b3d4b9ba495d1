"""One order of drilling for a whole board: by side up and by bit, as few turnings and changes of bit as can be.

For each centre the order is pilot, counterbore or recess, through hole, for a wide bit has nothing to hold it once the
hole is open. So where a hole has something cut about it from below the board is turned twice, and where only screws go
in from below, or nothing does, once or not at all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations, pairwise, product
from typing import Final

from msgspec import Struct

from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit, Rates
from app.shop.cuts import Cut, Work, cuts_of
from app.shop.rates import rates_of

__all__ = ["Cut", "DrillingStep", "Work", "best_order", "best_run", "cuts_of", "drilling_run"]

_MINUTE: Final = 60
_FREE: Final = 6
"""Tools that may be taken up on either side of the turning are tried both ways, up to so many of them."""

_FLAT: Final = ("counterbore", "recess")
_LONG: Final = frozenset({"counterbore", "recess", "opening"})
"""Work that takes as long as a counterbore."""


class DrillingStep(Struct, frozen=True):
    """Cuts made one after the other with one bit at one setting.

    Args:
        face, work, bit, width, depth: of all of them.
        letters: of their parts, each once, in the order of the board.
        count: how many there are.
        turn: whether the board is turned over before it.
        change: whether the bit is changed before it.
        minutes: about how long they take, with the change and the turning.
        cuts: the cuts themselves, in the order of the board.
    """

    face: Face
    work: Work
    bit: Bit | None
    width: float
    depth: float | None
    letters: tuple[str, ...]
    count: int
    turn: bool
    change: bool
    minutes: float
    cuts: tuple[Cut, ...] = ()


def drilling_run(board: ResolvedBoard, rates: Rates | None = None) -> tuple[DrillingStep, ...]:
    """The steps, in their order; none for a board in which nothing is drilled.

    Args:
        board: the board.
        rates: how long work takes; None for the workshop's own rates, or the usual ones.
    """
    rates = rates or rates_of(board.tooling)
    stages, order = best_run(cuts_of(board))
    steps: list[DrillingStep] = []
    for stage, tools in zip(stages, order, strict=True):
        by_tool: dict[str, list[Cut]] = {tool: [] for tool in tools}
        for cut in stage:
            by_tool[cut.tool].append(cut)
        for group in (group for cuts_of_tool in by_tool.values() for group in _settings(cuts_of_tool)):
            steps.append(_step(group, steps[-1] if steps else None, rates))
    return tuple(steps)


def best_run(cuts: Sequence[Cut]) -> tuple[list[list[Cut]], tuple[tuple[str, ...], ...]]:
    """Stages with one face up each, and the order of tools within each, with the fewest turnings, then changes.

    Of what may be made before the board is turned or after it has been turned back, all of one tool is made at one
    time; which time is better is tried.
    """
    best: tuple[int, list[list[Cut]], tuple[tuple[str, ...], ...]] | None = None
    for stages in _ways(cuts):
        order = best_order([_tools(stage) for stage in stages])
        taken = sum(a != b for a, b in pairwise(["", *(tool for stage in order for tool in stage)]))
        if best is None or taken < best[0]:
            best = (taken, stages, order)
    return (best[1], best[2]) if best is not None else ([], ())


def _ways(cuts: Sequence[Cut]) -> Iterator[list[list[Cut]]]:
    """Every way to share the cuts out to stages that is worth trying; all have as few turnings as there can be."""
    pilots = [cut for cut in cuts if cut.work == "pilot"]
    below = [cut for cut in cuts if cut.face == "under"]
    rest = [cut for cut in cuts if cut.face == "top" and cut.work != "pilot"]
    opened = {cut.owner for cut in cuts if cut.work in ("through", "opening")}
    held = {cut.owner for cut in below if cut.work != "screw pilot" and cut.owner in opened}
    for under in _below(below):
        if not held:  # nothing below wants the wood of a hole that is opened later
            yield [stage for stage in (pilots, rest, *under) if stage]
            if not pilots:  # which tie the two faces, and so come before anything from below
                yield [stage for stage in (*under, rest) if stage]
            continue
        for soon, later in _above(rest, held, {cut.tool for cut in pilots}, {cut.tool for cut in below}):
            yield [stage for stage in (pilots, soon, *under, later) if stage]


def _above(
    rest: Sequence[Cut], held: set[str], piloting: set[str], below: set[str]
) -> Iterator[tuple[list[Cut], list[Cut]]]:
    """What is made from the top face before the board is turned over, and what after it is turned back.

    What has to wait waits. Of the others a tool that is up for the pilots is used then; one may save a change on either
    side only where the underside needs it too.
    """
    waits = {cut.tool for cut in rest if _late(cut, held)}
    loose = [tool for tool in _tools(cut for cut in rest if not _late(cut, held)) if tool not in waits]
    fixed = {tool for tool in loose if tool in piloting}
    for early in _subsets([tool for tool in loose if tool not in fixed and tool in below]):
        first = fixed | early
        yield (
            [cut for cut in rest if not _late(cut, held) and cut.tool in first],
            [cut for cut in rest if _late(cut, held) or cut.tool not in first],
        )


def _late(cut: Cut, held: set[str]) -> bool:
    """Whether a cut from the top face has to wait until the board has been turned over."""
    return cut.owner in held and cut.work != "screw pilot"


def _below(below: Sequence[Cut]) -> Iterator[list[list[Cut]]]:
    """What is made from below, a stage for each tool, with every first and every last one that there may be.

    A tool that drills in a floor comes after the one that cuts it; where two need each other, all flat cuts come first.
    """
    flat = {cut.owner: cut.tool for cut in below if cut.work in _FLAT}
    after: dict[str, set[str]] = {tool: set() for tool in _tools(below)}
    for cut in below:
        if cut.work not in _FLAT and cut.owner in flat and flat[cut.owner] != cut.tool:
            after[cut.tool].add(flat[cut.owner])
    if _sorted(after, "", "") is None:
        yield [[cut for cut in below if (cut.work in _FLAT) is first] for first in (True, False)]
        return
    needed = set().union(*after.values())
    firsts = [tool for tool in after if not after[tool]] or [""]
    lasts = [tool for tool in after if tool not in needed] or [""]
    for first, last in product(firsts, lasts):
        if first != last or len(after) < 2:
            order = _sorted(after, first, last) or []
            yield [[cut for cut in below if cut.tool == tool] for tool in order]


def _sorted(after: Mapping[str, set[str]], first: str, last: str) -> list[str] | None:
    """Tools in an order in which each comes after what it needs, with one first and one last; None if there is none."""
    left, order = dict(after), list[str]()
    while left:
        ready = [tool for tool in left if not left.keys() & after[tool]]
        if not ready:
            return None
        ready.sort(key=lambda tool: (tool != first, tool == last and len(left) > 1))
        order.append(ready[0])
        del left[ready[0]]
    return order


def _subsets(tools: Sequence[str]) -> Iterator[set[str]]:
    """Every choice of some tools; of more than ``_FREE`` only of the first."""
    for many in range(min(len(tools), _FREE) + 1):
        yield from (set(some) for some in combinations(tools[:_FREE], many))


def best_order(stages: Sequence[Sequence[str]]) -> tuple[tuple[str, ...], ...]:
    """The tools of each stage in an order with the fewest changes, those of one stage following those of the last.

    Within a stage each tool is taken up once, so what can be saved is at its ends: the last tool of a stage is the
    first of the next. Tried for every choice of first and last.

    Args:
        stages: the tools of each stage, each once.
    """
    ends = [[(a, b) for a in stage for b in stage if a != b or len(stage) == 1] or [("", "")] for stage in stages]
    best: tuple[tuple[str, str], ...] = ()
    most = -1
    for choice in product(*(_candidates(each, k, stages) for k, each in enumerate(ends))):
        saved = sum(a[1] == b[0] and a[1] != "" for a, b in pairwise(choice))
        if saved > most:
            best, most = choice, saved
    return tuple(_between(stage, *pair) for stage, pair in zip(stages, best, strict=True))


def _candidates(ends: list[tuple[str, str]], index: int, stages: Sequence[Sequence[str]]) -> list[tuple[str, str]]:
    """Ends that may save something: others are as good as the first of them."""
    before = set(stages[index - 1]) if index else set()
    after = set(stages[index + 1]) if index + 1 < len(stages) else set()
    useful = [pair for pair in ends if pair[0] in before or pair[1] in after]
    return list(dict.fromkeys([*ends[:1], *useful]))


def _between(stage: Sequence[str], first: str, last: str) -> tuple[str, ...]:
    if len(stage) < 2:
        return tuple(stage)
    return (first, *(tool for tool in stage if tool not in (first, last)), last)


def _tools(cuts: Iterable[Cut]) -> list[str]:
    return list(dict.fromkeys(cut.tool for cut in cuts))


def _settings(cuts: Iterable[Cut]) -> list[list[Cut]]:
    """Cuts of one tool by how it is set, the deepest last: a stop is moved one way; recesses before screws in them."""
    found: dict[tuple[str, float, float], list[Cut]] = {}
    for cut in cuts:
        deep = float("inf") if cut.depth is None else round(cut.depth, 6)
        found.setdefault((cut.work, round(cut.width, 6), deep), []).append(cut)
    return [found[key] for key in sorted(found, key=lambda key: (key[2], key[0], key[1]))]


def _step(cuts: Sequence[Cut], before: DrillingStep | None, rates: Rates) -> DrillingStep:
    cut = cuts[0]
    turn = before is not None and before.face != cut.face
    change = before is None or not before.cuts or before.cuts[0].tool != cut.tool
    each = rates.counterbore if cut.work in _LONG else rates.hole
    return DrillingStep(
        face=cut.face,
        work=cut.work,
        bit=cut.bit,
        width=cut.width,
        depth=cut.depth,
        letters=tuple(dict.fromkeys(each.letter for each in cuts)),
        count=len(cuts),
        turn=turn,
        change=change,
        minutes=(len(cuts) * each + turn * rates.turning + change * rates.change) / _MINUTE,
        cuts=tuple(cuts),
    )
