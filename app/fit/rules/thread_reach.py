"""A nut goes fully on with spare thread, by a counterbore if need be, and the counterbore leaves ledge enough."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from app.catalogue.load import Catalogue
from app.fit.changes.advice import Advice, Single
from app.fit.changes.exchanges import swaps
from app.fit.changes.proposed_cuts import bore_fixes, bore_tries
from app.fit.detail import BoreDetail
from app.fit.features.layout import Layout
from app.fit.finding import FindingOf, Severity
from app.fit.judging.counterbore_check import bore_findings, propose, subjects_and_place
from app.fit.judging.hardware_sizes import measures_of_things
from app.fit.limits.cut_depths import SLIGHT, held_thickness
from app.fit.rule import Rule
from app.fit.words.finding import both
from app.fit.words.hold import bore_hint, bore_message, bore_phrase, bore_remedy, painted
from app.fit.words.lengths import least, most, nothing, verb, whose
from app.model.part import NutFixing, Part, SnapFixing
from app.model.resolved import ResolvedBoard
from app.units import Unit


class ThreadDetail(BoreDetail, frozen=True, kw_only=True):
    """A thread that does not reach.

    Args:
        thread: its length [mm].
        taken: what nut, washer and spare thread take of it [mm].
        held: thickness that it goes through, paint included [mm].
        paint: thickness of a coat of it [mm].
    """

    thread: float
    taken: float
    held: float
    paint: float


def find(layout: Layout) -> list[FindingOf[BoreDetail]]:
    """Findings shared by all placements of one part with the same counterbore: one cause, one finding."""
    found: list[FindingOf[BoreDetail]] = []
    parts = layout.parts[0]
    for (index, bore, recess), owners in layout.seats.items():
        part = parts[index]
        if isinstance(part.fixing, NutFixing):
            cut = max(bore.depth if bore else 0.0, recess.depth if recess else 0.0)
            found += _reach(layout, part, part.fixing, cut, owners)
        if bore and not isinstance(part.fixing, SnapFixing):
            found += bore_findings(layout, RULE.name, part, bore, owners)
    return found


def _reach(
    layout: Layout, part: Part, nut: NutFixing, cut: float, owners: Sequence[int]
) -> list[FindingOf[BoreDetail]]:
    """A stop where the nut does not go fully on, a caution where no spare thread shows."""
    held = held_thickness(layout.board.thickness, cut, layout.board.paint)
    taken = nut.nut_height + nut.washer
    showing = nut.thread_length - taken - held
    if showing >= nut.spare_thread - SLIGHT:
        return []
    subjects, where = subjects_and_place(layout, owners)
    detail = ThreadDetail(
        cause="reach",
        thread=nut.thread_length,
        taken=taken + nut.spare_thread,
        held=held,
        paint=layout.board.paint,
        wanted_bore=propose(layout, part),
    )
    severity: Severity = "stop" if showing < -SLIGHT else "caution"
    required = 0.0 if severity == "stop" else nut.spare_thread
    return [FindingOf(RULE.name, severity, subjects, where, showing, required, part.source.text, detail)]


def _message(f: FindingOf[BoreDetail], board: ResolvedBoard, unit: Unit) -> str:
    detail = f.detail
    if not isinstance(detail, ThreadDetail):
        return bore_message(f, board, unit)
    # Rounded so that what is left of the thread is seen to be less than the board.
    thread, taken, held = most(detail.thread, unit), least(detail.taken, unit), least(detail.held, unit)
    nuts = whose("nut", board, f.subjects)
    if f.severity == "stop":
        return (
            f"{nuts} cannot reach: the thread is {thread}, nut and spare thread take {taken} of it, "
            f"and the board is {held}{painted(detail.paint)}."
        )
    measured, required = both(f, unit)
    shows = "no thread shows" if nothing(f.measured or 0.0) else f"only {measured} of thread shows"
    return f"{nuts} {verb(f.subjects, 'go')} on, but {shows} beyond; {required} is needed."


def _remedy(f: FindingOf[BoreDetail], advice: Advice, unit: Unit) -> str:
    return bore_remedy(f, advice, unit, "a longer thread", "use a part with a narrower nut")


def _fixes(f: FindingOf[BoreDetail], board: ResolvedBoard, catalogue: Catalogue, _unit: Unit) -> Iterator[Single]:
    yield from bore_fixes(f)
    yield from swaps(board, catalogue, f)


def _measures(finding: FindingOf[BoreDetail]) -> tuple[str, ...]:
    if finding.detail.cause == "ledge":
        return ()
    return (
        measures_of_things(("nut",)) if finding.detail.cause == "width" else ("thread_length", "nut_height", "washer")
    )


RULE = Rule(
    name="thread-reach",
    meaning="Each nut goes fully on with thread to spare; a counterbore for it is wide enough and leaves enough ledge.",
    severities=("stop", "caution"),
    source="The part's own measures; room for a spanner and depth steps are defaults of the catalogue.",
    detail=BoreDetail,
    find=find,
    message=_message,
    phrase=bore_phrase,
    remedy=_remedy,
    swapped=True,
    tries=bore_tries,
    fixes=_fixes,
    hint=bore_hint,
    harm="a nut no longer holds",
    measures=_measures,
)
