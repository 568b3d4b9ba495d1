"""What the page at the board says: one step of the drilling run in words, its picture, and what came of it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, Literal

from msgspec import Struct

from app.model.resolved import ResolvedBoard
from app.service.checks.real_board import Harm
from app.service.screens.bench.at_board_end import MarkSeen, of_end
from app.service.screens.bench.at_board_step import of_cut, of_setup
from app.service.sight import Sight
from app.shop.board_steps import BoardStep, board_steps

END: Final = "end"
"""Name of what comes after the last step: what was drilled, and what still fits."""


class AtBoardSeen(Struct, frozen=True):
    """One step.

    Args:
        kind: something to ``set`` up, a ``cut`` to make, or the ``end``.
        code: name of the step; of the end ``end``.
        before, after: names of the steps before and after it; empty where there is none.
        number, total: which step it is, and of how many.
        share: how much of the run is done, in hundredths.
        side: the face that is up.
        tool: what is in the chuck.
        heading: the letter, or what to do.
        left, front: from the two datum edges, in words; empty where nothing is measured.
        left_edge: which edge ``left`` is measured from, as it lies there.
        make: what is made, and how deep.
        notes: what else to do, and speeds.
        cautions: where the work can hurt.
        state: what is marked: nothing, ``drilled``, ``off`` or ``spoilt``.
        marked: the same in words, with its date.
        came_out: how it came out, and how far it is to its neighbours by now.
        harm: what is wrong with the real board that was not with the drawn one.
        fits: whether to say that nothing is.
        more_harm: how many more findings of that kind there are.
        verb: what the big button says was done, as ``Drilled``.
        next_words: what comes next, as ``next is G``.
        rest: how many more cuts of the same part are made with this setting.
        rest_of: what that part is called.
        left_to_do: how much is left, with its minutes.
        picture: inline SVG.
        summary: at the end, what was drilled, in sentences.
        gone: marks of placements that are not drilled in the design any more.
        undone: the first cut that nobody marked; empty where all are.
        said: what a button's press is called where it waits to be sent.
    """

    kind: Literal["set", "cut", "end"]
    code: str
    before: str
    after: str
    number: int
    total: int
    share: int
    side: str
    tool: str
    heading: str
    left: str
    front: str
    left_edge: str
    make: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    state: Literal["", "drilled", "off", "spoilt"]
    marked: str
    came_out: tuple[str, ...]
    harm: tuple[Harm, ...]
    fits: bool
    more_harm: int
    verb: str
    next_words: str
    rest: int
    rest_of: str
    left_to_do: str
    picture: str
    summary: tuple[str, ...]
    gone: tuple[MarkSeen, ...]
    undone: str
    said: str


def at_board_seen(sight: Sight, asked: str) -> AtBoardSeen:
    """The step asked for; where there is none of that name, the first cut that nobody marked, else the end."""
    board = sight.checked.resolved
    steps = board_steps(board)
    codes = [step.code for step in steps]
    code = asked if asked in codes or asked == END else _first_undone(steps, board)
    place = codes.index(code) if code != END else len(steps)
    todo = [s for s in steps if s.cut is not None and board.as_built.of(s.cut.key, s.cut.work) is None]
    cuts = sum(s.cut is not None for s in steps)
    shared: dict[str, Any] = {
        "code": code,
        "before": codes[place - 1] if place else "",
        "after": ([*codes, END, ""])[place + 1],
        "number": min(place + 1, len(steps)),
        "total": len(steps),
        "share": round(100 * (cuts - len(todo)) / cuts) if cuts else 100,
        "left_to_do": _left_words(todo),
        "undone": todo[0].code if todo else "",
    }
    if place == len(steps):
        return AtBoardSeen(**{**_NOTHING, **shared, **of_end(sight, todo)})
    step, following = steps[place], steps[place + 1] if place + 1 < len(steps) else None
    said = of_cut(sight, step.cut, step, steps[place:], following) if step.cut else of_setup(sight, step, steps, place)
    return AtBoardSeen(**{**_NOTHING, **shared, **said})


_NOTHING: Final[dict[str, Any]] = {
    "side": "", "tool": "", "heading": "", "left": "", "front": "", "left_edge": "", "make": "", "notes": (),
    "cautions": (), "state": "", "marked": "", "came_out": (), "harm": (), "fits": False, "more_harm": 0, "verb": "",
    "next_words": "", "rest": 0, "rest_of": "", "picture": "", "summary": (), "gone": (), "said": "",
}  # fmt: skip


def first_after(sight: Sight, code: str, *, skip: bool) -> str:
    """Name of the step after one, with ``skip`` of the next that is not marked; empty after an unknown one."""
    board = sight.checked.resolved
    steps = board_steps(board)
    place = next((k for k, step in enumerate(steps) if step.code == code), None)
    if place is None:
        return END if code == END else ""
    for step in steps[place + 1 :]:
        if not skip or step.cut is None or board.as_built.of(step.cut.key, step.cut.work) is None:
            return step.code
    return END


def step_is_there(sight: Sight, code: str) -> bool:
    """Whether there is a step of that name."""
    return code == END or any(step.code == code for step in board_steps(sight.checked.resolved))


def _first_undone(steps: Sequence[BoardStep], board: ResolvedBoard) -> str:
    """The first cut that nobody marked; what is set up before it where nothing of its setting is done yet."""
    for k, step in enumerate(steps):
        if step.cut is not None and board.as_built.of(step.cut.key, step.cut.work) is None:
            fresh = k > 0 and steps[k - 1].cut is None
            return steps[k - 1].code if fresh else step.code
    return END


def _left_words(todo: Sequence[BoardStep]) -> str:
    if not todo:
        return "All marked"
    return f"{len(todo)} left, about {max(1, round(sum(step.minutes for step in todo)))} min"
