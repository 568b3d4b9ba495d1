"""The selected card: what can be typed and switched of one part."""

from __future__ import annotations

from collections.abc import Sequence

from msgspec import Struct

from app.arrange.hardware.provenance import trust_words
from app.arrange.maker.registry import maker_named
from app.document.schema import Design
from app.drafting.words import held_words, pattern_words
from app.fit.finding import Finding
from app.model.pattern import Pattern
from app.model.resolved import Placed, ResolvedBoard
from app.service.checks.checking import CheckResult
from app.service.checks.proposed import proposed_cuts
from app.service.screens.board.cut_fields import BoreFields, RecessFields, bore_fields, recess_fields
from app.service.screens.choices import Choice, hardware_of_kind
from app.service.screens.words import as_typed, bit_size, bit_words, counted, exact, length, minus
from app.units import Unit, format_area, format_named


class Selected(Struct, frozen=True):
    """The selected card of one placement.

    Args:
        id: of the placement.
        label: its letter; may be empty.
        part: name of the hardware.
        x, y: from the datum edges, as shown.
        angle: degrees, as shown.
        drill: whether it is drilled.
        locked: whether it may not be moved.
        begun: whether something of it is drilled already.
        bore: fields of its counterbore.
        recess: fields of its recess.
        hole: what is drilled for it, in words.
        basis: how far to trust the numbers of the part, in words.
        source: where they come from.
        parts: other hardware of its kind to use instead.
        said: where it is and how it does, as it is read out.
        is_pattern: whether it is holes alone, about which nothing is cut from below.
        pattern_part: id of the pattern; empty if it is none.
        maker: id of the maker that made it; empty if none did, or none this program knows.
        made_as: what that maker makes, in words within a sentence.
    """

    id: str
    label: str
    part: str
    x: str
    y: str
    angle: str
    drill: bool
    locked: bool
    begun: bool
    bore: BoreFields
    recess: RecessFields
    hole: str
    basis: str
    source: str
    parts: tuple[Choice, ...]
    said: str
    is_pattern: bool
    pattern_part: str
    maker: str
    made_as: str


def hand_words(placed: Placed, board: ResolvedBoard, open_findings: Sequence[Finding]) -> str:
    """``Button E, 216 mm from left, 108.5 mm from front, clear``: a part and how it does, as it is read out."""
    unit = Unit(board.units)
    kind = placed.part.name.partition(",")[0]
    name = f"{kind} {placed.label}" if placed.label else placed.part.name
    if placed.part.is_pattern:
        name = pattern_words(placed, unit)
    mine = [f.severity for f in open_findings if placed.id in f.subjects]
    counts = [counted(mine.count(severity), severity) for severity in ("stop", "caution") if severity in mine]
    how = "not drilled" if not placed.drill else f"{' and '.join(counts)} on it" if counts else "clear"
    where = f"{length(placed.x, unit)} from left, {length(placed.y, unit)} from front"
    return f"{name}, {where}, {how}" + held_words(placed, ", ")


def selected_card(placed: Placed, seen: CheckResult, design: Design) -> Selected:
    """The card of a part of a board that was judged."""
    board, cuts = seen.resolved, proposed_cuts(seen, [placed])
    made = next((making for making in board.makers if making.id == placed.maker), None)
    unit = Unit(board.units)
    return Selected(
        id=placed.id,
        label=placed.label,
        part=placed.part.name,
        x=as_typed(placed.x, unit),
        y=as_typed(placed.y, unit),
        angle=minus(f"{round(placed.angle, 2) + 0.0:g}°"),
        drill=placed.drill,
        locked=placed.locked,
        begun=placed.begun,
        bore=bore_fields(placed, board, cuts),
        recess=recess_fields(placed, board, cuts),
        hole=_hole_words(placed, unit),
        basis=trust_words(placed.part.source),
        source=placed.part.source.text,
        parts=hardware_of_kind(design, placed.part.kind, (placed.part.id,)),
        said=hand_words(placed, board, seen.report.open),
        is_pattern=placed.part.is_pattern,
        pattern_part=placed.part.id if placed.part.is_pattern else "",
        maker=made.id if made else "",
        made_as=maker_named(made.maker).title.lower() if made else "",
    )


def _hole_words(placed: Placed, unit: Unit) -> str:
    if placed.part.pattern is not None:
        return _pattern_words(placed.part.pattern, placed, unit)
    if not placed.holes:
        return "no hole"
    hole = placed.holes[0]
    if not hole.is_circle:
        return "cut-out"
    own = format_named(hole.cutout.width, unit)
    if hole.bit is None:
        return f"{own} hole, no bit for it"
    bit = f"{bit_words(hole.bit)} bit"
    return bit if bit_size(hole.bit) == own else f"{own} hole ({bit})"


def _pattern_words(pattern: Pattern, placed: Placed, unit: Unit) -> str:
    """``61 holes of 5 mm, 8 mm apart, 12 cm² open``, and the bit if it is another size."""
    holes = pattern_words(placed, unit).rpartition(", ")[2]
    apart = f"{exact(pattern.lattice.pitch, unit)} apart, " if len(pattern.holes) > 1 else ""
    bit = placed.holes[0].bit
    drilled = "" if bit is None or bit_size(bit) == format_named(pattern.hole, unit) else f"; {bit_words(bit)} bit"
    return f"{holes}, {apart}{format_area(pattern.open_area, unit)} open{drilled}"
