"""The board, less any counterbore, is of a thickness that a snap-in part's clips hold."""

from __future__ import annotations

from collections.abc import Iterator

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Maker, Single
from app.fit.changes.exchanges import swaps
from app.fit.changes.manual_changes import PackOut
from app.fit.changes.proposed_cuts import bore_fixes, bore_tries
from app.fit.detail import BoreDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import bore_findings, propose, subjects_and_place
from app.fit.judging.hardware_sizes import measures_of_things
from app.fit.limits.cut_depths import SLIGHT, held_thickness, rounded_up
from app.fit.rule import Rule
from app.fit.words.changes import options
from app.fit.words.hold import bore_hint, bore_message, bore_phrase, bore_remedy, painted
from app.fit.words.lengths import names, nothing, say_both, span
from app.model.part import SnapFixing
from app.model.resolved import ResolvedBoard
from app.units import Unit


class GripDetail(BoreDetail, frozen=True, kw_only=True):
    """Clips for a thicker or thinner board than there is.

    Args:
        held: thickness that they should hold, paint included [mm].
        paint: thickness of a coat of it [mm].
        least, most: thickness that they can hold [mm].
    """

    held: float
    paint: float
    least: float
    most: float


def find(layout: Layout) -> list[FindingOf[BoreDetail]]:
    """A stop where the clips cannot spring out, a caution where they hold loosely; shared as for threads."""
    found: list[FindingOf[BoreDetail]] = []
    parts = layout.parts[0]
    for (index, bore, recess), owners in layout.seats.items():
        part = parts[index]
        clips = part.fixing
        if not isinstance(clips, SnapFixing):
            continue
        cut = max(bore.depth if bore else 0.0, recess.depth if recess else 0.0)
        held = held_thickness(layout.board.thickness, cut, layout.board.paint)
        thick, thin = held > clips.grip_max + SLIGHT, held < clips.grip_min - SLIGHT
        if thick or thin:
            subjects, where = subjects_and_place(layout, owners)
            severity: Severity = "stop" if thick else "caution"
            measured, required = (clips.grip_max, held) if thick else (held, clips.grip_min)
            detail = GripDetail(
                cause="thick" if thick else "thin",
                held=held,
                paint=layout.board.paint,
                least=clips.grip_min,
                most=clips.grip_max,
                wanted_bore=propose(layout, part),
            )
            found.append(FindingOf(RULE.name, severity, subjects, where, measured, required, part.source.text, detail))
        if bore:
            found += bore_findings(layout, RULE.name, part, bore, owners)
    return found


def _message(f: FindingOf[BoreDetail], board: ResolvedBoard, unit: Unit) -> str:
    detail = f.detail
    if not isinstance(detail, GripDetail):
        return bore_message(f, board, unit)
    low, high = span(detail.least, detail.most, unit)
    limit = detail.most if detail.cause == "thick" else detail.least
    held = say_both(detail.held, limit, unit)[0] + painted(detail.paint)
    held_range = f"up to {high}" if nothing(detail.least) else f"{low} to {high}"
    start = f"The clips of {names(board, f.subjects)} hold {held_range} of board"
    if detail.held < 0 or nothing(detail.held):
        return f"{start}; here no board is left."
    return f"{start}; here it is {held}: too {detail.cause}."


def _remedy(f: FindingOf[BoreDetail], advice: Advice, unit: Unit) -> str:
    if f.detail.cause == "thin":
        pack = () if advice.ways else (f"pack {names(advice.board, f.subjects)} out below the board",)
        return options(f, advice, unit, *pack, "use a part for thinner boards")
    return bore_remedy(f, advice, unit, "clips for a thicker board", "use a narrower part")


def _tries(f: FindingOf[BoreDetail], board: ResolvedBoard, catalogue: Catalogue) -> Iterator[Maker]:
    if isinstance(f.detail, GripDetail) and f.detail.cause == "thin":
        ring = f.detail.least - f.detail.held
        yield lambda _, step: [PackOut(f.subjects, rounded_up(ring, step))]
    else:
        yield from bore_tries(f, board, catalogue)


def _fixes(f: FindingOf[BoreDetail], board: ResolvedBoard, catalogue: Catalogue, _unit: Unit) -> Iterator[Single]:
    yield from bore_fixes(f)
    yield from swaps(board, catalogue, f)


def _lengths(f: FindingOf[BoreDetail]) -> tuple[float, float] | None:
    if f.measured is None or f.required is None:
        return None
    # Of a thick board, what the clips hold falls short of it.
    return (f.required, f.measured) if f.detail.cause == "thick" else (f.measured, f.required)


def _measures(finding: FindingOf[BoreDetail]) -> tuple[str, ...]:
    if finding.detail.cause == "ledge":
        return ()
    return measures_of_things(("body",)) if finding.detail.cause == "width" else ("grip_min", "grip_max")


RULE = Rule(
    name="snap-grip",
    meaning="The clips of each snap-in part hold the board, or what a counterbore leaves of it.",
    severities=("stop", "caution"),
    source="The part's own measures.",
    detail=BoreDetail,
    find=find,
    message=_message,
    phrase=bore_phrase,
    remedy=_remedy,
    swapped=True,
    tries=_tries,
    fixes=_fixes,
    hint=bore_hint,
    harm="clips no longer hold",
    lengths=_lengths,
    measures=_measures,
)
