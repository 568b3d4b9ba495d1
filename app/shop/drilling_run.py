"""One order of drilling for a whole board: by side up and by bit, as few turnings and changes of bit as can be.

For each centre the order is pilot, counterbore or recess, through hole, for a wide bit has nothing to hold it once the
hole is open. So the board is turned twice where anything is made from below, and not at all where nothing is: pilots
from the top face, all work from the underside, then through holes from the top face against a backing board.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Final, Literal

from app.catalogue.load import catalogue
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.shop.bit_uses import flat_bits
from app.shop.screw_pilots import screw_pilots

Work = Literal["pilot", "counterbore", "recess", "screw pilot", "through", "opening"]

_SAME: Final = 1e-6
_MINUTE: Final = 60


@dataclass(frozen=True, slots=True)
class Cut:
    """One thing to make.

    Args:
        work: what is done.
        face: the face that is up.
        bit: the shop's bit for it; None where it has none, or none is needed.
        width: of the cut [mm].
        depth: as the stop is set, of flat bottoms from the bit's rim, of pilots from its tip; None right through [mm].
        letter: of the part.
    """

    work: Work
    face: Face
    bit: Bit | None
    width: float
    depth: float | None
    letter: str


@dataclass(frozen=True, slots=True)
class Step:
    """Cuts made one after the other with one bit at one setting.

    Args:
        face, work, bit, width, depth: of all of them.
        letters: of their parts, each once, in the order of the board.
        count: how many there are.
        turn: whether the board is turned over before it.
        change: whether the bit is changed before it.
        minutes: about how long they take.
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


def drilling_run(board: ResolvedBoard) -> tuple[Step, ...]:
    """The steps, in their order; none for a board in which nothing is drilled."""
    cuts = cuts_of(board)
    stages = _stages(cuts)
    order = best_order([_tools(stage) for stage in stages])
    seconds = catalogue().rule("hole-seconds")
    steps: list[Step] = []
    for stage, tools in zip(stages, order, strict=True):
        by_tool: dict[str, list[Cut]] = {tool: [] for tool in tools}
        for cut in stage:
            by_tool[_tool(cut)].append(cut)
        for group in (group for cuts_of_tool in by_tool.values() for group in _settings(cuts_of_tool)):
            steps.append(_step(group, steps[-1] if steps else None, seconds))
    return tuple(steps)


def cuts_of(board: ResolvedBoard) -> tuple[Cut, ...]:
    """Everything that is made in a board, part by part."""
    pilot = catalogue().rule("pilot-diameter")
    pilot_bit = _twist(board, pilot)
    found: list[Cut] = []
    for placed in board.drilled:
        letter = placed.label or placed.part.name
        for hole in placed.holes:
            if not hole.is_circle:
                found.append(Cut("opening", "top", None, hole.cutout.width, None, letter))
                continue
            if hole.diameter > pilot + _SAME:
                found.append(Cut("pilot", "top", pilot_bit, pilot, None, letter))
            found.append(Cut("through", "top", hole.bit, hole.diameter, None, letter))
        if placed.counterbore is not None:
            width, depth = placed.counterbore.diameter, placed.counterbore.depth
            bit = next((b for b in flat_bits(board.tooling) if abs(b.diameter - width) <= _SAME), None)
            found.append(Cut("counterbore", "under", bit, width, depth, letter))
        if placed.recess is not None:
            bit = board.tooling.router_for(placed.recess.corner, placed.recess.depth)
            found.append(Cut("recess", "under", bit, 2 * placed.recess.corner, placed.recess.depth, letter))
        pilots = screw_pilots(board, placed)
        if pilots is not None:
            bit = _twist(board, pilots.diameter)
            found += [Cut("screw pilot", pilots.face, bit, pilots.diameter, pilots.depth, letter)] * len(pilots.at)
    return tuple(found)


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
    return [*ends[:1], *useful]


def _between(stage: Sequence[str], first: str, last: str) -> tuple[str, ...]:
    if len(stage) < 2:
        return tuple(stage)
    return (first, *(tool for tool in stage if tool not in (first, last)), last)


def _stages(cuts: Sequence[Cut]) -> list[list[Cut]]:
    """Pilots from the top face; what is made from below; what is left for the top face. Empty ones are left out."""
    below = [cut for cut in cuts if cut.face == "under"]
    pilots = [cut for cut in cuts if cut.work == "pilot"]
    rest = [cut for cut in cuts if cut.face == "top" and cut.work != "pilot"]
    if not below:
        first = {_tool(cut) for cut in pilots}
        early, late = list[Cut](), list[Cut]()
        for cut in rest:
            (early if cut.work == "screw pilot" and _tool(cut) in first else late).append(cut)
        return [stage for stage in (pilots + early, late) if stage]
    return [stage for stage in (pilots, below, rest) if stage]


def _tools(cuts: Iterable[Cut]) -> list[str]:
    return list(dict.fromkeys(_tool(cut) for cut in cuts))


def _tool(cut: Cut) -> str:
    """What is in the chuck; what is sawn, or has no bit yet, by its width."""
    if cut.work == "opening":
        return "saw"
    return str(cut.bit) if cut.bit is not None else f"{cut.work} {cut.width:.4f}"


def _settings(cuts: Iterable[Cut]) -> list[list[Cut]]:
    """Cuts of one tool by how it is set, the deepest last: a stop is moved one way."""
    found: dict[tuple[str, float, float], list[Cut]] = {}
    for cut in cuts:
        deep = float("inf") if cut.depth is None else round(cut.depth, 6)
        found.setdefault((cut.work, round(cut.width, 6), deep), []).append(cut)
    return [found[key] for key in sorted(found, key=lambda key: (key[2], key[0], key[1]))]


def _step(cuts: Sequence[Cut], before: Step | None, seconds: float) -> Step:
    cut = cuts[0]
    return Step(
        face=cut.face,
        work=cut.work,
        bit=cut.bit,
        width=cut.width,
        depth=cut.depth,
        letters=tuple(dict.fromkeys(each.letter for each in cuts)),
        count=len(cuts),
        turn=before is not None and before.face != cut.face,
        change=before is None or before.bit != cut.bit or before.bit is None,
        minutes=len(cuts) * seconds / _MINUTE,
    )


def _twist(board: ResolvedBoard, width: float) -> Bit | None:
    """The shop's twist bit of a width, or, within the steps small bits are sold by, the nearest."""
    step = catalogue().rule("screw-pilot-step")
    twist = [b for b in board.tooling.bits if b.kind in ("twist", "brad-point") and abs(b.diameter - width) < step / 2]
    return min(twist, key=lambda b: abs(b.diameter - width), default=None)
