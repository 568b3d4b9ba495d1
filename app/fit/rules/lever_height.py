"""A stick's lever stands as high above the top face as it should, by a recess below the board if need be."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Single
from app.fit.changes.exchanges import swaps
from app.fit.changes.manual_changes import LeaveOut
from app.fit.changes.proposed_cuts import recess_fixes, recess_tries
from app.fit.detail import RecessDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf
from app.fit.judging.counterbore_check import subjects_and_place
from app.fit.judging.recess_check import propose_recess, recess_wanted
from app.fit.limits.cut_depths import SLIGHT
from app.fit.rule import Rule
from app.fit.words.changes import clause, room_first, sentence, warning
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import most, names, nothing, span, verb, whose
from app.fit.words.moves import every
from app.model.fix import RecessAt, SeveralFixes
from app.model.recess_envelope import lever_height
from app.model.resolved import ResolvedBoard
from app.units import Unit


class LeverDetail(RecessDetail, frozen=True, kw_only=True):
    """A lever that is too low or too high.

    Args:
        least, most: how high it may stand above the top face [mm].
    """

    least: float
    most: float


def find(layout: Layout) -> list[FindingOf[LeverDetail]]:
    """A caution where the lever is too low or too high; one for all placements of a part in the same recess."""
    found: list[FindingOf[LeverDetail]] = []
    board, parts = layout.board, layout.parts[0]
    for (index, _, recess), owners in layout.seats.items():
        part = parts[index]
        lever, height = part.lever, lever_height(part, board.thickness, recess.depth if recess else 0.0, board.paint)
        if lever is None or height is None:
            continue
        if lever.height_min - SLIGHT <= height <= lever.height_max + SLIGHT:
            continue
        low = height < lever.height_min
        subjects, where = subjects_and_place(layout, owners)
        depth = recess_wanted(layout, part)
        proposed = depth is not None and (depth > 0 or recess is not None)
        detail = LeverDetail(
            cause="low" if low else "high",
            least=lever.height_min,
            most=lever.height_max,
            made_depth=recess.depth if recess else 0.0,
            wanted_recess=propose_recess(layout, part, depth or 0.0) if proposed else None,
        )
        required = lever.height_min if low else lever.height_max
        source = part.source.text
        found.append(FindingOf(RULE.name, "caution", subjects, where, height, required, source, detail))
    return found


def _message(f: FindingOf[LeverDetail], board: ResolvedBoard, unit: Unit) -> str:
    low, high = span(f.detail.least, f.detail.most, unit)
    start, (height, _) = whose("lever", board, f.subjects), both(f, unit)
    if (f.measured or 0.0) < 0 or nothing(f.measured or 0.0):
        return f"{start} {verb(f.subjects, 'do')} not come above the top face; {low} to {high} above it is right."
    return f"{start} {verb(f.subjects, 'stand')} {height} above the top face; {low} to {high} is right."


def _phrase(findings: Sequence[FindingOf[LeverDetail]], _board: ResolvedBoard, unit: Unit) -> str:
    return f"lever {lacking(findings, unit)} too {findings[0].detail.cause}"


def _remedy(f: FindingOf[LeverDetail], advice: Advice, unit: Unit) -> str:
    who, recess = names(advice.board, f.subjects), f.detail.recess
    if advice.ways:
        return _way(f, advice, unit)
    if recess is not None and not advice.tried:
        return f"Recess {who} from below, or use a part with a longer lever."
    if f.detail.cause == "high":
        return f"{warning(f, advice, unit)}Pack {who} out below the board, or use a part with a shorter lever."
    if recess is not None:
        return f"{warning(f, advice, unit)}{room_first(advice)}se a part with a longer lever."
    return "No recess leaves enough of this board. Use a part with a longer lever, or a thinner board."


def _way(f: FindingOf[LeverDetail], advice: Advice, unit: Unit) -> str:
    """The change that was tried, and what it leaves."""
    change = advice.ways[0].said(unit)
    said = sentence([clause(change, f, advice, unit)])[:-1]
    if isinstance(change, LeaveOut):
        return f"{said}: the height is right without {'it' if len(f.subjects) == 1 else 'them'}."
    recess = change.fixes[-1] if isinstance(change, SeveralFixes) else change
    if isinstance(recess, RecessAt):
        return f"{said}; {most(advice.board.thickness - recess.depth, unit)} of board is left."
    return f"{said}."


def _fixes(f: FindingOf[LeverDetail], board: ResolvedBoard, catalogue: Catalogue, unit: Unit) -> Iterator[Single]:
    yield from recess_fixes(f, board, catalogue, unit)
    yield from swaps(board, catalogue, f)


def _hint(finding: FindingOf[LeverDetail], subjects: Sequence[str]) -> str:
    return f", recess {every(subjects)}" if finding.detail.cause == "low" else ""


def _measures(_finding: FindingOf[LeverDetail]) -> tuple[str, ...]:
    return ("lever_length",)


RULE = Rule(
    name="lever-height",
    meaning="Each lever is as high above the top face as its part needs, with a recess below if necessary.",
    severities=("caution",),
    source="The part's own measures; the steps of depths are defaults of the catalogue.",
    detail=LeverDetail,
    find=find,
    message=_message,
    phrase=_phrase,
    remedy=_remedy,
    swapped=True,
    tries=recess_tries,
    fixes=_fixes,
    hint=_hint,
    harm="the lever height is wrong",
    measures=_measures,
)
