"""Marking without a template: tables of centres and of the lines that carry them, and what is said of them."""

from __future__ import annotations

from collections import Counter

from app.catalogue.load import catalogue
from app.drafting.outline_words import marked_words, reading_words
from app.drafting.words import unit_of
from app.fit.report.report import check
from app.model.plotting import READINGS
from app.model.resolved import ResolvedBoard
from app.scene.table import Column, Table
from app.shop.centres import Centre, centres_of, marked_board
from app.shop.rulings import Ruling, fewest_rulings
from app.units import Unit

_FACES = {"top": "top", "under": "underside"}


def marking_tables(board: ResolvedBoard, reading: float) -> tuple[Table, Table]:
    """Every centre with its two measures, and the fewest lines that carry all of them.

    Args:
        board: the board.
        reading: what the rule is divided in [mm].
    """
    unit, centres = unit_of(board), centres_of(board, reading)
    return _centres(centres, unit, reading), _rulings(centres, unit, reading)


def _centres(centres: tuple[Centre, ...], unit: Unit, reading: float) -> Table:
    rows = tuple(
        (
            c.name, c.sort, _FACES[c.face], c.left_marked, c.front_marked,
            c.left_marked - c.left, c.front_marked - c.front, c.diagonal,
        )
        for c in centres
    )  # fmt: skip
    columns = (
        Column("centre", "Centre"),
        Column("what", "What"),
        Column("face", "From"),
        Column("left", "Left", "length", reading),
        Column("front", "Front", "length", reading),
        Column("left_off", "Left is off", "off"),
        Column("front_off", "Front is off", "off"),
        Column("diagonal", "From the corner", "length", reading),
    )
    return Table("centres", "Every centre", columns, rows, unit)


def _rulings(centres: tuple[Centre, ...], unit: Unit, reading: float) -> Table:
    rulings = rulings_of(centres)
    rows = tuple((_line(r), r.at, len(r.centres), _along(r, centres, unit, reading)) for r in rulings)
    columns = (
        Column("line", "Strike a line"),
        Column("at", "At", "length", reading),
        Column("carries", "Centres", "count"),
        Column("along", "Then along it, from the same edge each time"),
    )
    return Table("lines", "The fewest lines that carry them all", columns, rows, unit)


def rulings_of(centres: tuple[Centre, ...]) -> tuple[Ruling, ...]:
    """The fewest lines for centres where the rule puts them."""
    return fewest_rulings([c.left_marked for c in centres], [c.front_marked for c in centres])


def _line(ruling: Ruling) -> str:
    return "along the front edge" if ruling.edge == "front" else "along the left edge"


def _along(ruling: Ruling, centres: tuple[Centre, ...], unit: Unit, reading: float) -> str:
    def at(centre: Centre) -> float:
        return centre.left_marked if ruling.edge == "front" else centre.front_marked

    return ", ".join(f"{centres[k].name} {marked_words(at(centres[k]), reading, unit)}" for k in ruling.centres)


Open = Counter[tuple[str, str, tuple[str, ...]]]
"""How often each stop and caution stands open: by severity, rule and parts."""


def rounded_words(board: ResolvedBoard, reading: float) -> str:
    """What the rules say of the rounded places: whether what holds exactly holds there, or what reading it takes."""
    unit = unit_of(board)
    exact, read = _open(board), reading_words(reading, unit)
    if not _open(marked_board(board, reading)) - exact:
        return f"Read to {read}, every rule that holds exactly holds for the marks too."
    finer = (each for each in READINGS[unit] if each < reading)
    good = next((each for each in finer if not _open(marked_board(board, each)) - exact), None)
    what = "Use the template, whose centres are not rounded" if good is None else f"Read to {reading_words(good, unit)}"
    return f"Read to {read} something no longer fits that fits exactly. {what}."


def _open(board: ResolvedBoard) -> Open:
    found = check(board, catalogue()).open
    return Counter((f.severity, f.rule, f.subjects) for f in found if f.severity != "note")
