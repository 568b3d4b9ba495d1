"""The selected card: what can be typed and switched of one part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.arrange.provenance import trust_words
from app.catalogue.load import catalogue
from app.document.resolve import design_parts
from app.document.schema import Design
from app.drafting.words import length
from app.fit.finding import Finding
from app.model.resolved import Placed, ResolvedBoard
from app.service.checking import CheckResult
from app.service.proposed import proposed_cuts
from app.units import Unit, format_named
from app.web.contexts.below import BoreFields, RecessFields, bore_fields, recess_fields
from app.web.contexts.here import Choice, Here
from app.web.contexts.words import as_typed, bit_size, bit_words, counted, minus


@dataclass(frozen=True, slots=True)
class Selected:
    """The selected card of one placement.

    Args:
        id: of the placement.
        label: its letter; may be empty.
        part: name of the hardware.
        x, y: from the datum edges, as shown.
        angle: degrees, as shown.
        drill: whether it is drilled.
        locked: whether it may not be moved.
        bore: fields of its counterbore.
        recess: fields of its recess.
        hole: what is drilled for it, in words.
        basis: how far to trust the numbers of the part, in words.
        part_url: the page where its measures are corrected.
        source: where they come from.
        parts: other hardware of its kind to use instead.
        said: where it is and how it does, as it is read out.
    """

    id: str
    label: str
    part: str
    x: str
    y: str
    angle: str
    drill: bool
    locked: bool
    bore: BoreFields
    recess: RecessFields
    hole: str
    basis: str
    part_url: str
    source: str
    parts: tuple[Choice, ...]
    said: str


def hand_words(placed: Placed, board: ResolvedBoard, open_findings: Sequence[Finding]) -> str:
    """``Button E, 216 mm from left, 108.5 mm from front, clear``: a part and how it does, as it is read out."""
    unit = Unit(board.units)
    kind = placed.part.name.partition(",")[0]
    name = f"{kind} {placed.label}" if placed.label else placed.part.name
    mine = [f.severity for f in open_findings if placed.id in f.subjects]
    counts = [counted(mine.count(severity), severity) for severity in ("stop", "caution") if severity in mine]
    how = "not drilled" if not placed.drill else f"{' and '.join(counts)} on it" if counts else "clear"
    where = f"{length(placed.x, unit)} from left, {length(placed.y, unit)} from front"
    return f"{name}, {where}, {how}" + (", locked" if placed.locked else "")


def selected_card(placed: Placed, seen: CheckResult, design: Design, here: Here) -> Selected:
    """The card of a part of a board that was judged."""
    board, cuts = seen.resolved, proposed_cuts(seen, [placed])
    unit = Unit(board.units)
    same = [p for p in design_parts(design, catalogue()).values() if p.kind == placed.part.kind]
    return Selected(
        id=placed.id,
        label=placed.label,
        part=placed.part.name,
        x=as_typed(placed.x, unit),
        y=as_typed(placed.y, unit),
        angle=minus(f"{round(placed.angle, 2) + 0.0:g}°"),
        drill=placed.drill,
        locked=placed.locked,
        bore=bore_fields(placed, board, cuts),
        recess=recess_fields(placed, board, cuts),
        hole=_hole_words(placed, unit),
        part_url=here.url(f"/part/{placed.id}"),
        basis=trust_words(placed.part.source),
        source=placed.part.source.text,
        parts=tuple(
            Choice(p.id, words, p.id == placed.part.id)
            for p, words in zip(same, told_apart([p.name for p in same]), strict=True)
        ),
        said=hand_words(placed, board, seen.report.open),
    )


def _hole_words(placed: Placed, unit: Unit) -> str:
    hole = placed.holes[0]
    if not hole.is_circle:
        return "cut-out"
    own = format_named(hole.cutout.width, unit)
    if hole.bit is None:
        return f"{own} hole, no bit for it"
    bit = f"{bit_words(hole.bit)} bit"
    return bit if bit_size(hole.bit) == own else f"{own} hole ({bit})"


def told_apart(names: Sequence[str]) -> tuple[str, ...]:
    """As much of each name as tells it from the others, so that a narrow list does not cut that off.

    Without the kind at the beginning, which all have in common, and up to the comma after which no other is alike.
    """
    rest = [_without_kind(name) for name in names]

    def alike(words: str) -> int:
        return sum(name == words or name.startswith(f"{words}, ") for name in rest)

    told = []
    for name in rest:
        pieces = name.split(", ")
        begins = (", ".join(pieces[:count]) for count in range(1, len(pieces) + 1))
        told.append(next((words for words in begins if alike(words) == 1), name))
    return tuple(told)


def _without_kind(name: str) -> str:
    name = name.replace(" below the board", "")  # which stands in the full name above the list
    kind, _, rest = name.partition(", ")
    return rest[:1].upper() + rest[1:] if rest and " " not in kind else name
