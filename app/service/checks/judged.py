"""What was checked, in words: kinds of things as a builder calls them, and what there is beside what is needed."""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType

from msgspec import Struct

from app.drafting.words import signed
from app.fit.limits.cut_depths import SLIGHT
from app.fit.limits.pair_table import rows_of_tables
from app.fit.registry import RULES
from app.fit.report.tightest import Nearest, Tightest
from app.fit.words.lengths import names, off, say, say_both
from app.model.resolved import ResolvedBoard
from app.service.checks.checking import CheckResult
from app.units import Unit

_KINDS = MappingProxyType(
    {
        "plate on top": ("plate on top", "plates on top"),
        "screw head on top": ("screw head on top", "screw heads on top"),
        "body": ("body", "bodies"),
        "recess": ("recess", "recesses"),
        "spanner room": ("room for a spanner", "room for spanners"),
        "wire room": ("wires", "wires"),
        "edge": ("edge", "the edge"),
        "opening": ("inner opening", "inner openings"),
        "slot": ("edge-moulding slot", "edge-moulding slots"),
        "area on top": ("area to keep clear on top", "areas to keep clear on top"),
        "area below": ("area to keep clear below", "areas to keep clear below"),
        "free depth": ("free depth", "the free depth"),
        "thickness": ("thickness of the board", "the thickness of the board"),
    }
)
"""Kinds of things and places of a board, one and many, where they are not as they are named plus an s."""


class MarginFigures(Struct, frozen=True):
    """What there is beside what is needed, in words.

    Args:
        there: what there is, worst case.
        needed: what is needed so that nothing is found.
        left: what is left over, or how much it is short, without a sign.
        short: whether there is less than is needed.
    """

    there: str
    needed: str
    left: str
    short: bool


def kind_words(kind: str, *, many: bool = False) -> str:
    """A kind of thing, or a place of the board, as a builder calls it."""
    return _KINDS.get(kind, (kind, f"{kind}s"))[many]


def figures_of(nearest: Nearest, unit: Unit) -> MarginFigures:
    """The figures of one of the tightest, as exactly as it takes to tell what there is from what is needed."""
    short, slight = nearest.margin < -SLIGHT, abs(nearest.margin) <= SLIGHT
    there, needed = say_both(nearest.required if slight else nearest.measured, nearest.required, unit)
    left = off(nearest.margin, unit) if short else say(max(nearest.margin, 0.0), unit)
    return MarginFigures(signed(there), signed(needed), left, short)


def none_near(found: Tightest) -> str:
    """Why there is no figure for two kinds of which there are pairs: none of them can meet."""
    return "each is nearer another edge" if found.other == "opening" else "all clear by height"


def total_of(found: Sequence[Tightest | Kinds]) -> int:
    """How many pairs there are in all."""
    return sum(one.tried for one in found)


def rests_on(board: ResolvedBoard, unit: Unit) -> str:
    """What *fits* rests on, in a sentence: the worst case that every pair was measured in."""
    drilling = board.tooling.drilling
    where = f"up to {say(drilling.position, unit)} out of place" if drilling.position else "where it is drawn"
    edge = f"each edge up to {say(drilling.edge, unit)} off" if drilling.edge else "each edge where it is drawn"
    return f"in the worst case: each hole {where} and as wide as its bit, {edge}"


class Near(Struct, frozen=True):
    """One of the tightest of its kind: the parts concerned, what the plan calls them, its figures, and those in mm.

    Nothing is said of whose it is where it is of the board itself.
    """

    subjects: tuple[str, ...]
    who: str
    figures: MarginFigures
    measured: float
    required: float
    margin: float


class Kinds(Struct, frozen=True):
    """Two kinds of things that were judged against each other.

    Args:
        what, other: the kinds.
        tried: how many pairs of them there are.
        nearest: the tightest, at most three, the tightest first.
        none: why there is no figure, in words; empty where there is.
    """

    what: str
    other: str
    tried: int
    nearest: tuple[Near, ...]
    none: str


class Meeting(Struct, frozen=True):
    """A thing and another, of a table of that title: the rules that judge them, or why they do no harm."""

    title: str
    one: str
    other: str
    rules: tuple[str, ...]
    because: str


def judged_kinds(seen: CheckResult, unit: Unit) -> tuple[Kinds, ...]:
    """Every two kinds that were judged on a board, the tightest first."""

    def near(nearest: Nearest) -> Near:
        who = names(seen.resolved, nearest.subjects) if nearest.subjects else ""
        figures = figures_of(nearest, unit)
        return Near(nearest.subjects, who, figures, nearest.measured, nearest.required, nearest.margin)

    return tuple(
        Kinds(one.what, one.other, one.tried, tuple(map(near, one.nearest)), "" if one.nearest else none_near(one))
        for one in seen.report.tightest()
    )


def meetings() -> tuple[Meeting, ...]:
    """Everything against everything: each pair is judged, or does no harm."""
    return tuple(Meeting(title, one, other, cell.rules, cell.because) for title, one, other, cell in rows_of_tables())


def rule_meanings() -> tuple[tuple[str, str], ...]:
    """Each rule by its name, with what holds when it is kept."""
    return tuple((rule.name, rule.meaning) for rule in RULES)
