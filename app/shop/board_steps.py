"""The drilling run one hole at a time: every step with the cut it is about, and what is set up before it.

The run (:mod:`app.shop.drilling_run`) says in which order, with which bit and at which setting; here each of its steps
is taken apart into the cuts it counts, each with a key that stays, and what has to be turned or changed before it is a
step of its own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import chain, count
from typing import Final

from msgspec import Struct

from app.catalogue.load import catalogue
from app.geometry.shapes import Point
from app.model.as_built import CutKey, Mark, Work
from app.model.as_built_board import hole_numbers
from app.model.part import Face
from app.model.resolved import Placed, ResolvedBoard
from app.shop.cuts import halfway_depth
from app.shop.drilling_run import DrillingStep, drilling_run
from app.shop.screw_pilots import screw_pilots

_SAME: Final = 1e-6  # mm


class BoardCut(Struct, frozen=True):
    """One thing that is done to one cut.

    Args:
        key: which cut.
        work: what is done.
        face: the face that is up.
        at: its centre on the board [mm].
        width: of the bit, of an opening or recess its smaller side [mm].
        depth: as the stop is set [mm]; None right through.
        name: what it is called, as ``A`` or ``S1-14``.
        letter: of its part, as the run has it.
    """

    key: CutKey
    work: Work
    face: Face
    at: Point
    width: float
    depth: float | None
    name: str
    letter: str

    @property
    def code(self) -> str:
        """Its name in an address, the same as long as it is the same cut and work."""
        return f"{self.key.placement}/{self.key.cut}/{self.work.replace(' ', '-')}"

    def marked(
        self, off: Point = (0.0, 0.0), *, measured: float | None = None, spoilt: bool = False, when: str
    ) -> Mark:
        """The mark that it was done: ``off`` mm from its place, on the board from above."""
        return Mark(
            self.key, self.work, self.face, self.at, off, self.width, measured, self.depth, spoilt, self.name, when
        )


class BoardStep(Struct, frozen=True):
    """One step at the board: something to set up, or one cut to make.

    Args:
        code: its name in an address.
        run: the step of the run it belongs to.
        cut: what is made; None where something is set up.
        first: whether it sets up the very first of the run.
    """

    code: str
    run: DrillingStep
    cut: BoardCut | None
    first: bool = False

    @property
    def minutes(self) -> float:
        """About how long it takes; setting up is not counted [min]."""
        return self.run.minutes / self.run.count if self.cut is not None and self.run.count else 0.0


def board_steps(board: ResolvedBoard) -> tuple[BoardStep, ...]:
    """Every step of a board in the order of its run; none where nothing is drilled."""
    return _steps_of(_Board(board))


class _Board:
    """A board, the same only if it is the very same object: it is frozen, and long to compare."""

    def __init__(self, board: ResolvedBoard) -> None:
        self.board = board

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Board) and other.board is self.board

    def __hash__(self) -> int:
        return id(self.board)


@lru_cache(maxsize=4)
def _steps_of(asked: _Board) -> tuple[BoardStep, ...]:
    """The steps, kept for the next who asks: a press asks for them three times."""
    board = asked.board
    waiting: dict[tuple[Work, Face, int], list[BoardCut]] = {}
    for cut in board_cuts(board):
        waiting.setdefault(_setting(cut.work, cut.face, cut.width), []).append(cut)
    steps: list[BoardStep] = []
    codes: set[str] = set()
    for run in drilling_run(board):
        cuts = _taken(waiting.get(_setting(run.work, run.face, run.width), []), run)
        if run.turn or run.change or not steps:
            steps.append(BoardStep(_setup_code(run, codes), run, None, first=not steps))
        steps += [BoardStep(cut.code, run, cut) for cut in cuts]
    return tuple(steps)


def board_cuts(board: ResolvedBoard) -> tuple[BoardCut, ...]:
    """Everything that is done to the cuts of a board, part by part, each by its key."""
    pilot = catalogue().rule("pilot-diameter")
    return tuple(cut for placed in board.drilled for cut in _of(board, placed, pilot))


def _of(board: ResolvedBoard, placed: Placed, pilot: float) -> Iterator[BoardCut]:
    letter = placed.label or placed.part.name
    alone = len(placed.holes) == 1 and not placed.part.is_pattern
    for number, hole in zip(hole_numbers(placed.part), placed.holes, strict=True):
        key, name = CutKey(placed.id, "hole", number), letter if alone else f"{letter}-{number}"
        if not hole.is_circle:
            yield BoardCut(key, "opening", "top", hole.centre, hole.cutout.width, None, name, letter)
            continue
        if hole.diameter > pilot + _SAME:
            yield BoardCut(key, "pilot", "top", hole.centre, pilot, None, name, letter)
            half = halfway_depth(board, placed, hole)
            if half is not None:
                yield BoardCut(key, "halfway", "under", hole.centre, hole.diameter, half, name, letter)
        yield BoardCut(key, "through", "top", hole.centre, hole.diameter, None, name, letter)
    pocket, at = CutKey(placed.id, "pocket"), (placed.x, placed.y)
    if placed.counterbore is not None:
        bore = placed.counterbore
        yield BoardCut(pocket, "counterbore", "under", at, bore.diameter, bore.depth, letter, letter)
    if placed.recess is not None:
        recess = placed.recess
        yield BoardCut(pocket, "recess", "under", at, min(recess.width, recess.height), recess.depth, letter, letter)
    pilots = screw_pilots(board, placed)
    if pilots is None:
        return
    numbers = {at: number for number, at in reversed([*enumerate(placed.screws, 1)])}
    for at in pilots.at:
        key = CutKey(placed.id, "screw", numbers[at])
        name = f"{letter} screw {numbers[at]}"
        yield BoardCut(key, "screw pilot", pilots.face, at, pilots.diameter, pilots.depth, name, letter)


def _setting(work: Work, face: Face, width: float) -> tuple[Work, Face, int]:
    """What cuts and steps of a run are matched by; of a recess the run says twice its corner, so its width is none."""
    return work, face, 0 if work == "recess" else round(width / _SAME)


def _taken(waiting: list[BoardCut], run: DrillingStep) -> list[BoardCut]:
    """The cuts a step of the run is about, in the order of its letters; they wait for no other step."""
    letters = {letter: place for place, letter in enumerate(run.letters)}
    mine = [cut for cut in waiting if cut.letter in letters and _as_deep(cut.depth, run.depth)]
    mine = sorted(mine, key=lambda cut: letters[cut.letter])[: run.count]
    chosen = {(cut.key, cut.work) for cut in mine}
    waiting[:] = [cut for cut in waiting if (cut.key, cut.work) not in chosen]
    return mine


def _as_deep(one: float | None, other: float | None) -> bool:
    return one is other if one is None or other is None else abs(one - other) <= _SAME


def _setup_code(run: DrillingStep, taken: set[str]) -> str:
    """A name for what is set up: by face, work and width, with a number where that is set up again."""
    width = f"{run.width:.2f}".rstrip("0").rstrip(".")
    depth = "" if run.depth is None else f"-{run.depth:.2f}"
    plain = f"set/{run.face}/{run.work.replace(' ', '-')}-{width}{depth}"
    code = next(c for c in chain([plain], (f"{plain}-{n}" for n in count(2))) if c not in taken)
    taken.add(code)
    return code


def not_done(steps: Sequence[BoardStep], board: ResolvedBoard) -> Iterable[BoardStep]:
    """The cuts that nobody has marked yet, in their order."""
    built = board.as_built
    return (step for step in steps if step.cut is not None and built.of(step.cut.key, step.cut.work) is None)
