"""What the rules about nuts and clips, and about the counterbores made for them, say alike."""

from __future__ import annotations

from collections.abc import Sequence

from app.fit.changes.advice import Advice
from app.fit.changes.manual_changes import LeaveOut
from app.fit.detail import BoreDetail
from app.fit.finding import Finding, FindingOf
from app.fit.words.changes import clause, holds_without, needs_room, sentence, warning
from app.fit.words.finding import both, lacking
from app.fit.words.lengths import are, most, names, nothing, say, verb, whose
from app.fit.words.moves import every
from app.model.fix import CounterboreAt, SeveralFixes
from app.model.resolved import ResolvedBoard
from app.units import Unit

_Bore = FindingOf[BoreDetail]


def bore_message(f: _Bore, board: ResolvedBoard, unit: Unit) -> str:
    """What is wrong with a counterbore: its ledge, or its width."""
    start, one = whose("counterbore", board, f.subjects), f.subjects
    measured, required = both(f, unit)
    if f.detail.cause == "ledge":
        return ledge_message(f, start, f.detail.layer, f.detail.made_depth, unit)
    if f.severity == "stop":
        nut = f"{required} across its corners: it does not fit"
        return f"{start} {are(one)} {measured} wide, and the nut is {nut}."
    if f.detail.nut > 0:
        return f"{start} {are(one)} {measured} wide; turning the nut takes {required}."
    return f"{start} {are(one)} {measured} wide; the clips need {required} to spring out."


def ledge_message(f: Finding, start: str, layer: str, made_depth: float, unit: Unit) -> str:
    """What is wrong with what a cut, that deep [mm], leaves of the board: of which layer, if any."""
    one, (measured, required) = f.subjects, both(f, unit)
    if not layer:
        deep = say(made_depth, unit)
        return f"{start} {are(one)} {deep} deep and {verb(one, 'go')} right through the board."
    left = "no board at all" if nothing(f.measured or 0.0) else f"{measured} of board"
    return f"{start} {verb(one, 'leave')} {left}; {layer} needs {required}."


def bore_phrase(findings: Sequence[_Bore], _board: ResolvedBoard, unit: Unit) -> str:
    """The same of several, in a few words."""
    return {
        "reach": "thread {} short",
        "thick": "board {} too thick for the clips",
        "thin": "board {} too thin for the clips",
        "width": "counterbore {} too narrow",
        "ledge": "ledge {} too thin",
    }[findings[0].detail.cause].format(lacking(findings, unit))


def bore_hint(finding: _Bore, subjects: Sequence[str]) -> str:
    """“, counterbore all”, “, counterbore it wider”."""
    if finding.detail.cause not in ("reach", "thick", "width"):
        return ""
    return f", counterbore {every(subjects)}{' wider' if finding.detail.cause == 'width' else ''}"


def bore_remedy(f: _Bore, advice: Advice, unit: Unit, longer: str, narrower: str) -> str:
    """What to do about a nut or clips that do not hold, or a counterbore that is wrong.

    Args:
        f: the finding.
        advice: what was tried about it.
        unit: to say it in.
        longer: what another part has to have: “a longer thread”.
        narrower: what else to use where the counterbore is too narrow.
    """
    who, bore = names(advice.board, f.subjects), f.detail.bore
    if advice.ways:
        return f"{sentence([clause(advice.ways[0].said(unit), f, advice, unit)])[:-1]}{_after(f, advice, unit)}."
    if f.detail.cause == "width":
        return f"{warning(f, advice, unit)}{sentence(_first_apart(advice, [f'counterbore {who} wider'], narrower))}"
    if bore is None or bore.depth is None:
        return f"No counterbore leaves enough of this board. Use a part with {longer}, or a thinner board."
    if bore.depth == 0:
        see = () if advice.tried else (f"check whether {who} {verb(f.subjects, 'hold')} without a counterbore",)
        return f"{warning(f, advice, unit)}{sentence([*see, f'use a part with {longer}'])}"
    other = f"use a part with {longer}"
    cut = [f"counterbore {who} from the underside"]
    return f"{warning(f, advice, unit)}{sentence(_first_apart(advice, cut, other))}"


def _first_apart(advice: Advice, cut: list[str], other: str) -> list[str]:
    """Make room first where the cut was tried and is refused."""
    if not advice.tried:
        return [*cut, other]
    return ["make room for it first", other] if needs_room(advice) else [other]


def _after(f: _Bore, advice: Advice, unit: Unit) -> str:
    """What a change leaves, behind its words."""
    change = advice.ways[0].said(unit)
    if isinstance(change, SeveralFixes):
        change = change.fixes[-1]
    if isinstance(change, CounterboreAt) and f.detail.cause != "width":
        return f"; {most(advice.board.thickness - change.depth, unit)} of board is left"
    return holds_without(f) if isinstance(change, LeaveOut) else ""


def painted(paint: float) -> str:
    """“ with its paint”, behind the thickness of a board that has some."""
    return " with its paint" if paint else ""
