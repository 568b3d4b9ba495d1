"""The drilling run as a table: one step after the other, with ticks, and the cautions of the work."""

from __future__ import annotations

from app.drafting.words import exact, unit_of
from app.model.resolved import ResolvedBoard
from app.model.tooling import kind_words
from app.scene.table import Column, Table, Value
from app.shop.drilling_run import Step, drilling_run
from app.shop.drilling_speed import speed_of
from app.units import Unit, format_named

_FACES = {"top": "top face up", "under": "underside up"}
_WORK = {
    "pilot": "pilot, right through",
    "counterbore": "counterbore",
    "recess": "recess",
    "screw pilot": "screw pilot",
    "through": "right through",
    "opening": "opening, sawn or routed",
}

CAUTIONS = (
    "Before the first hole: measure both check bars, punch every centre, clamp the board on scrap.",
    "Eye and ear protection; extract the dust of MDF and wear a mask; no gloves at a spinning bit.",
    "A wide bit wrenches when it catches: clamp the work, drill slowly, and back off often.",
)


def drilling_table(board: ResolvedBoard) -> Table:
    """Every step of the run."""
    unit, steps = unit_of(board), drilling_run(board)
    columns = (
        Column("done", "Done", "tick"),
        Column("step", "Step", "count"),
        Column("side", "Board"),
        Column("work", "Make"),
        Column("bit", "With"),
        Column("stop", "Depth stop"),
        Column("holes", "Holes", "count"),
        Column("letters", "At"),
        Column("speed", "Turns a minute"),
        Column("minutes", "About", "minutes"),
    )
    rows = tuple(_row(number, step, board, unit) for number, step in enumerate(steps, 1))
    return Table("steps", "The drilling run", columns, rows, unit, notes=(run_words(steps),))


def run_words(steps: tuple[Step, ...]) -> str:
    """All of it in one line."""
    if not steps:
        return "Nothing is drilled in this board."
    turns = sum(step.turn for step in steps)
    changes = sum(step.change for step in steps)
    minutes = max(1, round(sum(step.minutes for step in steps)))
    turned = {0: "never turned over", 1: "turned over once", 2: "turned over twice"}[turns]
    bits = "1 bit put in" if changes == 1 else f"bits put in {changes} times"
    return f"The board is {turned}; {bits}; about {minutes} min of drilling, setting up not counted."


def _row(number: int, step: Step, board: ResolvedBoard, unit: Unit) -> tuple[Value, ...]:
    turn = "TURN OVER: " if step.turn else ""
    return (
        None, number, f"{turn}{_FACES[step.face]}", _WORK[step.work], _bit(step, unit), _stop(step, unit), step.count,
        ", ".join(step.letters), speed_of(step.bit, board.layers[0].material.family), round(step.minutes, 1),
    )  # fmt: skip


def _bit(step: Step, unit: Unit) -> str:
    if step.work == "opening":
        return "jigsaw or router"
    if step.bit is None:
        width = format_named(step.width, unit)
        return f"no bit of yours: {width} wide" if step.work != "recess" else "a router bit: see the report"
    size = format_named(step.bit.diameter, Unit.INCH if step.bit.inch else Unit.MM)
    return f"{size} {kind_words(step.bit.kind)}"


def _stop(step: Step, unit: Unit) -> str:
    if step.depth is None:
        return "none; against scrap"
    return f"{exact(step.depth, unit)} from the {'tip' if step.work == 'screw pilot' else 'rim'}"
