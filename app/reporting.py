"""What ``holewise check`` prints: sentences for a person, or every number for a program."""

from __future__ import annotations

import json
import textwrap
from collections import Counter
from collections.abc import Sequence

from app.document.schema import Design
from app.drafting.words import stop_words
from app.fit.finding import SEVERITIES, Finding
from app.fit.messages import message, remedy
from app.fit.tightest import Nearest, Tightest
from app.fit.words import names
from app.fit.words_figures import figures
from app.service import CheckResult
from app.service.judged import figures_of, kind_words, none_near, total_of
from app.units import Unit

_COLUMNS = 100
_INDENT = " " * 4


def stopped_words(stops: int, file: str, *, strict: bool) -> str:
    """What is said of a file of a board that cannot be built; ``strict`` if it is not written for that."""
    done = "Nothing was written" if strict else "Do not drill from the file"
    return f"{stop_words(stops)}. {done}. To see what stops it: holewise check {file}"


def as_json(design: Design, results: Sequence[CheckResult]) -> str:
    """The findings and what was checked as one JSON object.

    Lengths are in mm, never rounded; sentences in the design's own units.
    """
    unit = Unit(design.units)
    rows = [
        {
            "board": result.board,
            "arrangement": result.arrangement,
            "findings": [_row(finding, result, unit) for finding in result.report.findings],
            "tightest": [_judged(found) for found in result.report.tightest()],
            **_stale(result),
        }
        for result in results
    ]
    return json.dumps({"design": design.title, "results": rows}, indent=2, allow_nan=False)


def as_text(design: Design, results: Sequence[CheckResult], *, tightest: bool = False) -> str:
    """The findings in sentences, most severe first, for each board and arrangement.

    Args:
        design: whose they are.
        results: of each board and arrangement.
        tightest: whether to list what was checked as well, the tightest first.
    """
    unit = Unit(design.units)
    lines = [design.title]
    for result in results:
        resolved = result.resolved
        lines += ["", f"{resolved.name}, {resolved.arrangement_name}: {_summary(result.report.open)}"]
        for finding in result.report.open:
            lines += _sentences(finding, result, unit)
        lines += _accepted(result, unit)
        lines += _tightest(result, unit) if tightest else []
    return "\n".join(lines)


def _row(finding: Finding, result: CheckResult, unit: Unit) -> dict[str, object]:
    standing = result.report.standing(finding)
    accepted = {"accepted": standing.accepted.reason} if standing and not standing.awake else {}
    return {
        "rule": finding.rule,
        "severity": finding.severity,
        "subjects": list(finding.subjects),
        "where": list(finding.where),
        "measured_mm": finding.measured,
        "required_mm": finding.required,
        "margin_mm": finding.margin,
        "message": message(finding, result.resolved, unit),
        "remedy": remedy(finding, result.report, unit),
        "source": finding.source,
        **accepted,
    }


def _judged(found: Tightest) -> dict[str, object]:
    nearest = [
        {
            "subjects": list(one.subjects),
            "measured_mm": one.measured,
            "required_mm": one.required,
            "margin_mm": one.margin,
        }
        for one in found.nearest
    ]
    return {"what": found.what, "other": found.other, "tried": found.tried, "nearest": nearest}


def _stale(result: CheckResult) -> dict[str, object]:
    """Acceptances of what is no longer there; nothing if there is none."""
    rows = [{"rule": a.rule, "subjects": list(a.subjects), "reason": a.reason} for a in result.report.stale]
    return {"stale": rows} if rows else {}


def _accepted(result: CheckResult, unit: Unit) -> list[str]:
    """What is accepted, struck off with its reason; what is awake again; and what is stale."""
    lines = []
    for standing in result.report.accepted:
        said = f"accepted: {message(standing.finding, result.resolved, unit)} ({standing.finding.rule})"
        lines += [*_wrapped(said, "  "), *_wrapped(f"Reason: {standing.accepted.reason}", _INDENT)]
    for standing in result.report.woken:
        said = f"worse than accepted ({standing.finding.rule}): {standing.accepted.reason}"
        lines += _wrapped(said, "  ")
    for stale in result.report.stale:
        who = names(result.resolved, stale.subjects) if stale.subjects else "the board"
        lines += _wrapped(f"no longer applies: accepted {stale.rule} of {who}: {stale.reason}", "  ")
    return lines


def _tightest(result: CheckResult, unit: Unit) -> list[str]:
    """How many pairs of what were judged, and the tightest of each, one line for every two kinds."""
    found = result.report.tightest()
    if not found:
        return ["  checked: the board is empty"]
    lines = [f"  checked, tightest first: {_counted(total_of(found))}, each in the worst case"]
    for one in found:
        said = f"{kind_words(one.what)} – {kind_words(one.other)}: {_counted(one.tried)}"
        nearest = _near(result, one.nearest[0], one.tried, unit) if one.nearest else f", {none_near(one)}"
        lines += _wrapped(said + nearest, _INDENT)
    return lines


def _near(result: CheckResult, nearest: Nearest, tried: int, unit: Unit) -> str:
    figures = figures_of(nearest, unit)
    who = f" {names(result.resolved, nearest.subjects)}" if nearest.subjects else ""
    tightest = f", tightest{who}" if tried > 1 else f",{who}" if who else ""
    short = f", {figures.left} short" if figures.short else ""
    return f"{tightest}: {figures.there} left, {figures.needed} needed{short}"


def _counted(pairs: int) -> str:
    return f"{pairs:,} pair{'' if pairs == 1 else 's'}"


def _sentences(finding: Finding, result: CheckResult, unit: Unit) -> list[str]:
    numbers = ""
    if told := figures(finding, unit):
        numbers = f" [{told.there}, {told.limit}]"
    said = f"{finding.severity}: {message(finding, result.resolved, unit)} ({finding.rule}){numbers}"
    return [*_wrapped(said, "  "), *_wrapped(remedy(finding, result.report, unit), _INDENT)]


def _wrapped(text: str, first: str) -> list[str]:
    return textwrap.wrap(
        text, _COLUMNS, initial_indent=first, subsequent_indent=_INDENT, break_long_words=False, break_on_hyphens=False
    )


def _summary(findings: Sequence[Finding]) -> str:
    counts = Counter(finding.severity for finding in findings)
    said = [f"{counts[s]} {s}{'' if counts[s] == 1 else 's'}" for s in SEVERITIES if counts[s]]
    return ", ".join(said) or "fits"
