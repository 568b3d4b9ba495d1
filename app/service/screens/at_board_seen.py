"""What the page at the board says: one step of the drilling run in words, its picture, and what came of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final, Literal

from app.drafting.view.step_picture import step_picture
from app.drafting.words import exact, length
from app.model.as_built import Mark
from app.model.resolved import ResolvedBoard
from app.model.tooling import kind_words
from app.service.checks.real_board import Harm, came_out, gone_marks, harm_of, other_widths, real_board
from app.service.screens.words import counted, listed
from app.service.sight import Sight
from app.shop.board_steps import BoardCut, BoardStep, board_steps
from app.shop.drilling_run import Step
from app.shop.drilling_speed import speed_of
from app.units import Unit, format_named
from app.writers import svg

END: Final = "end"
"""Name of what comes after the last step: what was drilled, and what still fits."""

_WIDE: Final = 20.0
"""From this width on a bit wrenches when it catches [mm]. Common practice, no source."""

_MOST_HARM: Final = 12
"""Findings said on a phone; the report on the computer has them all."""

_MAKE: Final = {
    "pilot": "Pilot hole, right through",
    "counterbore": "Counterbore",
    "recess": "Recess, routed",
    "screw pilot": "Screw pilot",
    "through": "Right through",
    "opening": "Opening, sawn or routed",
}


@dataclass(frozen=True, slots=True)
class MarkSeen:
    """A mark in words: what and whose, and its name in an address."""

    words: str
    code: str


@dataclass(frozen=True, slots=True)
class AtBoardSeen:
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
        return AtBoardSeen(**{**_NOTHING, **shared, **_of_end(sight, todo)})
    step, following = steps[place], steps[place + 1] if place + 1 < len(steps) else None
    said = _of_cut(sight, step.cut, step, steps[place:], following) if step.cut else _of_setup(sight, step, steps, place)
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


# -- something to set up -----------------------------------------------------------------------------------


def _of_setup(sight: Sight, step: BoardStep, steps: Sequence[BoardStep], place: int) -> dict[str, Any]:
    board, unit, run = sight.checked.resolved, sight.unit, step.run
    cuts = []
    for later in steps[place + 1 :]:
        if later.cut is None:
            break
        cuts.append(later.cut)
    notes = []
    if run.turn:
        way = "underside" if run.face == "under" else "top face"
        notes.append(f"Turn it like a page, left to right: the front edge stays towards you, the {way} comes up.")
    if run.depth is not None:
        notes.append(f"Depth stop: {exact(run.depth, unit)} from the bit’s {_depth_from(run)}. Try it on scrap first.")
    elif run.work != "opening":
        notes.append("No depth stop: right through, into scrap clamped below.")
    if speed := speed_of(run.bit, board.layers[0].material.family):
        notes.append(f"{speed} turns a minute.")
    return {
        "kind": "set",
        "side": _side(run),
        "tool": _tool(run, unit),
        "heading": _setup_words(run, unit, first=step.first),
        "make": f"For {counted(len(cuts), _noun(run))}: {_letters(cuts)}",
        "notes": tuple(notes),
        "cautions": _cautions(run, board, first=step.first),
        "verb": "Ready",
        "next_words": _next_words(cuts[0] if cuts else None),
        "picture": svg.embed(step_picture(board, run.face, cuts, measured=False), role="step-drawing", names=False),
        "said": _setup_words(run, unit, first=step.first),
    }


def _setup_words(run: Step, unit: Unit, *, first: bool) -> str:
    tool = _tool(run, unit)
    put = f"put in the {tool}" if run.bit is not None else f"take the {tool}" if run.work == "opening" else tool
    if run.turn:
        side = "underside" if run.face == "under" else "top face"
        return f"Turn the board over: {side} up" + (f"; {put}" if run.change else "")
    if first:
        return f"{'Top face' if run.face == 'top' else 'Underside'} up; {put}"
    return put[:1].upper() + put[1:]


def _cautions(run: Step, board: ResolvedBoard, *, first: bool) -> tuple[str, ...]:
    said = []
    if first:
        said.append("Measure both check bars, punch every centre, and clamp the board on scrap.")
        said.append("Eyes and ears covered. Gloves off before the bit turns: it winds them in.")
    if first and any("mdf" in layer.material.family for layer in board.layers):
        said.append("MDF dust: mask and extraction.")
    if run.turn:
        said.append("Clamp it again before you drill.")
    if run.bit is not None and run.width >= _WIDE:
        said.append("A wide bit wrenches when it catches: clamp the work, drill slowly, back off often.")
    if run.work in ("opening", "recess"):
        said.append("Unplug the tool before you change its blade or bit.")
    return tuple(said)


# -- a cut to make -----------------------------------------------------------------------------------------


def _of_cut(
    sight: Sight, cut: BoardCut, step: BoardStep, on: Sequence[BoardStep], following: BoardStep | None
) -> dict[str, Any]:
    board, unit, run = sight.checked.resolved, sight.unit, step.run
    x0, y0, _, _ = board.outline.bounds
    mark = board.as_built.of(cut.key, cut.work)
    same = [s.cut for s in on[1:] if s.run is run and s.cut is not None and s.cut.key.placement == cut.key.placement]
    rest = [c for c in same if board.as_built.of(c.key, c.work) is None]
    said: dict[str, Any] = {
        "kind": "cut",
        "side": _side(run),
        "tool": _tool(run, unit),
        "heading": cut.name,
        "left": length(cut.at[0] - x0, unit),
        "front": length(cut.at[1] - y0, unit),
        "left_edge": "from the left edge, at your right now" if cut.face == "under" else "from the left",
        "make": _make(cut, run, unit),
        "notes": _notes(board, cut, run),
        "cautions": (_SHORT_WIDE,) if run.bit is not None and run.width >= _WIDE else (),
        "verb": "Drilled" if cut.work not in ("opening", "recess") else "Made",
        "next_words": _following(following),
        "rest": len(rest),
        "rest_of": cut.letter,
        "picture": svg.embed(step_picture(board, cut.face, (cut,), measured=True), role="step-drawing", names=False),
        "said": f"{cut.name}, {_noun(run)}",
    }
    return said if mark is None else {**said, **_of_mark(sight, mark, cut)}


_SHORT_WIDE: Final = "Wide bit: hold on, slowly, back off often."


def _of_mark(sight: Sight, mark: Mark, cut: BoardCut) -> dict[str, Any]:
    seen = sight.checked
    state = "spoilt" if mark.spoilt else "drilled" if mark.is_true else "off"
    day = f" {mark.when[:10]}" if mark.when else ""
    said: dict[str, Any] = {"state": state, "marked": f"Marked {_STATES[state]}{day}"}
    if abs(mark.width - cut.width) > 1e-6:
        wide = format_named(mark.width, sight.unit)
        now = format_named(cut.width, sight.unit)
        said["marked"] = f"{said['marked']}, {wide} wide: the design has {now} now"
    if mark.is_true:
        return said
    harm = [h for h in harm_of(seen, real_board(seen)) if mark.key.placement in h.subjects]
    said["came_out"] = came_out(seen, mark) if not mark.spoilt else (_SPOILT,)
    said["harm"], said["more_harm"] = tuple(harm[:_MOST_HARM]), max(0, len(harm) - _MOST_HARM)
    said["fits"] = not harm and not mark.spoilt
    return said


_STATES: Final = {"drilled": "drilled", "off": "drilled", "spoilt": "spoilt"}
_SPOILT: Final = "Spoilt. Go on with the others; it has to be plugged and drilled again, or the board made anew."


def _make(cut: BoardCut, run: Step, unit: Unit) -> str:
    if cut.depth is None:
        return _MAKE[cut.work]
    return f"{_MAKE[cut.work]}, {exact(cut.depth, unit)} deep from the bit’s {_depth_from(run)}"


def _notes(board: ResolvedBoard, cut: BoardCut, run: Step) -> tuple[str, ...]:
    speed = speed_of(run.bit, board.layers[0].material.family)
    said = [f"{speed} turns a minute."] if speed else []
    pilot = board.as_built.of(cut.key, "pilot")
    if cut.work == "through" and pilot is not None and pilot.distance > 0:
        said.append("Its pilot is off: the bit follows the pilot, so the hole will be as far off.")
    if cut.work == "recess":
        said.append("Rout it to its lines.")
    return tuple(said)


def _following(step: BoardStep | None) -> str:
    if step is None:
        return "that was the last"
    if step.cut is not None:
        return _next_words(step.cut)
    return "next: turn the board" if step.run.turn else "next: change the bit"


def _next_words(cut: BoardCut | None) -> str:
    return f"next is {cut.name}" if cut is not None else ""


# -- after the last ----------------------------------------------------------------------------------------


def _of_end(sight: Sight, todo: Sequence[BoardStep]) -> dict[str, Any]:
    board, seen = sight.checked.resolved, sight.checked
    real = real_board(seen)
    harm = harm_of(seen, real)
    gone = gone_marks(board)
    return {
        "kind": "end",
        "heading": _end_words(board, todo),
        "summary": _summary(board, todo, sight.unit),
        "harm": harm[:_MOST_HARM],
        "more_harm": max(0, len(harm) - _MOST_HARM),
        "fits": bool(board.as_built) and not harm,
        "gone": tuple(MarkSeen(f"{_gone_words(mark)}", code_of(mark)) for mark in gone),
        "picture": svg.embed(step_picture(board, "top", (), measured=False), role="step-drawing", names=False),
    }


def code_of(mark: Mark) -> str:
    """Name of what is marked in an address, as that of its step."""
    return f"{mark.key.placement}/{mark.key.cut}/{mark.work.replace(' ', '-')}"


def _gone_words(mark: Mark) -> str:
    what = "hole" if mark.work in ("through", "opening", "pilot") else mark.work
    return f"{mark.name or mark.key.placement}: its {what} is in the board, and not drilled in the design any more"


def _end_words(board: ResolvedBoard, todo: Sequence[BoardStep]) -> str:
    if not board.drilled:
        return "Nothing is drilled in this board."
    if todo:
        return f"{counted(len(todo), 'step')} left to do"
    return "Everything is drilled"


def _summary(board: ResolvedBoard, todo: Sequence[BoardStep], unit: Unit) -> tuple[str, ...]:
    marks = board.as_built.marks
    known = frozenset(p.id for p in board.drilled)
    here = [m for m in marks if m.key.placement in known]
    off = [m for m in here if m.distance > 0 and not m.spoilt]
    spoilt = [m for m in here if m.spoilt]
    said = []
    if off:
        worst = max(off, key=lambda m: m.distance)
        far = length(worst.distance, unit)
        said.append(f"{counted(len(off), 'hole')} off its place, {worst.name} the farthest: {far}.".replace("holes off its", "holes off their"))
    if spoilt:
        said.append(f"Spoilt: {listed(sorted({m.name for m in spoilt}))}. To be plugged and drilled again, or made anew.")
    other = other_widths(board)
    said += [
        f"{mark.name} was drilled {format_named(mark.width, unit)} wide, and the design has {format_named(now, unit)} now."
        for mark, now in other[:_MOST_HARM]
    ]
    if todo:
        said.append(f"Not marked yet: {listed(_named(todo))}.")
    return tuple(said)


def _named(todo: Sequence[BoardStep]) -> list[str]:
    names = list(dict.fromkeys(step.cut.name for step in todo if step.cut is not None))
    return names if len(names) <= 8 else [*names[:7], f"{len(names) - 7} more"]


# -- words -------------------------------------------------------------------------------------------------


def _side(run: Step) -> str:
    return "Underside up" if run.face == "under" else "Top face up"


def _tool(run: Step, unit: Unit) -> str:
    if run.work == "opening":
        return "jigsaw or router"
    if run.bit is None:
        if run.work == "recess":
            return "router: the report says which bit"
        return f"a {format_named(run.width, unit)} bit, which you have not listed"
    size = format_named(run.bit.diameter, Unit.INCH if run.bit.inch else Unit.MM)
    return f"{size} {kind_words(run.bit.kind)} bit".replace(" bit bit", " bit")


def _depth_from(run: Step) -> str:
    return "tip" if run.work == "screw pilot" else "rim"


def _noun(run: Step) -> str:
    return {"pilot": "pilot", "screw pilot": "screw pilot", "through": "hole"}.get(run.work, run.work)


def _letters(cuts: Sequence[BoardCut]) -> str:
    names = list(dict.fromkeys(cut.letter for cut in cuts))
    return listed(names if len(names) <= 12 else [*names[:11], f"{len(names) - 11} more"])
