"""The drilling run as a table: one step after the other, with ticks, and the cautions of the work."""

from __future__ import annotations

from typing import Final

from app.drafting.words import exact, unit_of
from app.model.resolved import ResolvedBoard
from app.model.tooling import Rates, kind_words
from app.scene.table import Column, Table, Value
from app.shop.drilling_run import DrillingStep, drilling_run
from app.shop.drilling_speed import speed_of, speed_words
from app.shop.rates import rates_of
from app.units import Unit, format_exact, format_named

_FACES: Final = {"top": "top face up", "under": "underside up"}
_WORK: Final = {
    "pilot": "pilot, right through",
    "counterbore": "counterbore",
    "recess": "recess",
    "screw pilot": "screw pilot",
    "halfway": "half of the hole, from below",
    "through": "right through",
    "opening": "opening, sawn or routed",
}

CAUTIONS: Final = (
    "Before the first hole: measure both check bars, punch every centre, clamp the board on scrap.",
    "Eye and ear protection; extract the dust of MDF and wear a mask; no gloves at a spinning bit.",
    "A wide bit wrenches when it catches: clamp the work, drill slowly, and back off often.",
    "Follow the instructions of your tools and bits; where they differ from this list, they are right.",
)

STOPS: Final = (
    "Depth stops are set with the bit switched off, its rim or its tip, as said, just touching the board beside the "
    "hole. What goes right through needs no stop: clamp a backing board of scrap under it."
)


def drilling_table(board: ResolvedBoard) -> Table:
    """Every step of the run."""
    unit, rates = unit_of(board), rates_of(board.tooling)
    steps = drilling_run(board, rates)
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
    notes = (run_words(steps), f"At {rate_words(rates)}.", STOPS) if steps else (run_words(steps),)
    return Table("steps", "The drilling run", columns, rows, unit, notes)


def run_words(steps: tuple[DrillingStep, ...]) -> str:
    """All of it in one line."""
    if not steps:
        return "Nothing is drilled in this board."
    turns = sum(step.turn for step in steps)
    changes = sum(step.change for step in steps if step.work != "opening")
    minutes = max(1, round(sum(step.minutes for step in steps)))
    turned = {0: "never turned over", 1: "turned over once", 2: "turned over twice"}[turns]
    bits = "1 bit put in" if changes == 1 else f"bits put in {changes} times"
    return f"The board is {turned}; {bits}; about {minutes:,} min in all."


def rate_words(rates: Rates) -> str:
    """As ``10 s a hole, 1 min a counterbore, …``."""
    return (
        f"{time_words(rates.hole)} a hole, {time_words(rates.counterbore)} a counterbore, recess or opening, "
        f"{time_words(rates.change)} a change of bit and {time_words(rates.turning)} a turning of the board"
    )


def time_words(seconds: float) -> str:
    """As ``10 s``, ``1.5 min``: seconds below a minute and a half that are no whole minutes."""
    if seconds < 90 and seconds % 60:
        return f"{format_exact(round(seconds, 1))} s"
    return f"{format_exact(round(seconds / 60, 2))} min"


def lacking(steps: tuple[DrillingStep, ...]) -> int:
    """How many steps have no bit of the shop's to make them with."""
    return sum(step.bit is None and step.work != "opening" for step in steps)


def _row(number: int, step: DrillingStep, board: ResolvedBoard, unit: Unit) -> tuple[Value, ...]:
    turn = "TURN OVER: " if step.turn else ""
    speed = speed_words(speed_of(step.bit, [layer.material.family for layer in board.layers]))
    return (
        None, number, f"{turn}{_FACES[step.face]}", _WORK[step.work], bit_words(step, unit), stop_words(step, unit),
        step.count, ", ".join(step.letters), speed, round(step.minutes, 1),
    )  # fmt: skip


def bit_words(step: DrillingStep, unit: Unit) -> str:
    """What a step is made with: the bit as it is sold, or that there is none."""
    if step.work == "opening":
        return "jigsaw or router"
    if step.bit is None:
        width = format_named(step.width, unit)
        return f"no bit of yours: {width} wide" if step.work != "recess" else "a router bit: see the report"
    size = format_named(step.bit.diameter, Unit.INCH if step.bit.inch else Unit.MM)
    return f"{size} {kind_words(step.bit.kind)}"


def stop_words(step: DrillingStep, unit: Unit) -> str:
    """How the depth stop is set, and from what it is measured; against scrap where it goes right through."""
    if step.depth is None:
        return "none: onto a backing board"
    return f"{exact(step.depth, unit)} from the {'tip' if step.work == 'screw pilot' else 'rim'}"
