"""What ``holewise check`` prints: sentences for a person, or every number for a program."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from app.service import CheckResult, Design
from app.service.screens.board.findings import (
    AcceptedCaution,
    Account,
    WordedFinding,
    account_of,
    every_finding,
    stale_of,
    stop_words,
)
from app.units import Unit

if TYPE_CHECKING:
    from app.service.checks.judged import Kinds, Near

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
    from app.service.checks.judged import judged_kinds

    unit = Unit(design.units)
    rows = [
        {
            "board": result.board,
            "arrangement": result.arrangement,
            "findings": [_row(shown, reason) for shown, reason in every_finding(result, unit)],
            "tightest": [_judged(found) for found in judged_kinds(result, unit)],
            **_stale(stale_of(result)),
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
        account = account_of(result, unit)
        lines += ["", f"{account.name}: {_summary(account)}"]
        for shown, many in _alike(account.open):
            lines += _sentences(shown, many)
        lines += _accepted(account)
        lines += _tightest(result, unit) if tightest else []
    return "\n".join(lines)


def _row(shown: WordedFinding, reason: str) -> dict[str, object]:
    return {
        "rule": shown.rule,
        "severity": shown.severity,
        "subjects": list(shown.subjects),
        "where": list(shown.where),
        "measured_mm": shown.measured,
        "required_mm": shown.required,
        "margin_mm": shown.margin,
        "message": shown.sentence,
        "remedy": shown.remedy,
        "source": shown.source,
        **({"accepted": reason} if reason else {}),
    }


def _judged(found: Kinds) -> dict[str, object]:
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


def _stale(stale: Sequence[AcceptedCaution]) -> dict[str, object]:
    """Acceptances of what is no longer there; nothing if there is none."""
    rows = [{"rule": a.rule, "subjects": list(a.subjects), "reason": a.reason} for a in stale]
    return {"stale": rows} if rows else {}


def _accepted(account: Account) -> list[str]:
    """What is accepted, struck off with its reason; what is awake again; and what is stale."""
    lines = []
    for each in account.accepted:
        said = f"accepted: {each.sentence} ({each.rule})"
        lines += [*_wrapped(said, "  "), *_wrapped(f"Reason: {each.reason}", _INDENT)]
    for each in account.woken:
        lines += _wrapped(f"worse than accepted ({each.rule}): {each.reason}", "  ")
    for each in account.stale:
        lines += _wrapped(f"no longer applies: accepted {each.rule} of {each.who}: {each.reason}", "  ")
    return lines


def _tightest(result: CheckResult, unit: Unit) -> list[str]:
    """How many pairs of what were judged, and the tightest of each, one line for every two kinds."""
    from app.service.checks.judged import judged_kinds, kind_words, total_of

    found = judged_kinds(result, unit)
    if not found:
        return ["  checked: the board is empty"]
    lines = [f"  checked, tightest first: {_counted(total_of(found))}, each in the worst case"]
    for one in found:
        said = f"{kind_words(one.what)} – {kind_words(one.other)}: {_counted(one.tried)}"
        lines += _wrapped(said + (_near(one.nearest[0], one.tried) if one.nearest else f", {one.none}"), _INDENT)
    return lines


def _near(nearest: Near, tried: int) -> str:
    figures = nearest.figures
    who = f" {nearest.who}" if nearest.who else ""
    tightest = f", tightest{who}" if tried > 1 else f",{who}" if who else ""
    short = f", {figures.left} short" if figures.short else ""
    return f"{tightest}: {figures.there} left, {figures.needed} needed{short}"


def _counted(pairs: int) -> str:
    return f"{pairs:,} pair{'' if pairs == 1 else 's'}"


def _alike(found: Iterable[WordedFinding]) -> Iterator[tuple[WordedFinding, int]]:
    """Each finding with how many read alike, as of a pattern’s holes or of a fan’s screws, once for all of them."""
    reads: dict[tuple[str, ...], list[WordedFinding]] = {}
    for shown in found:
        numbers = (shown.figures.there, shown.figures.limit) if shown.figures else ()
        reads.setdefault((shown.severity, shown.rule, shown.sentence, shown.remedy, *numbers), []).append(shown)
    return ((alike[0], len(alike)) for alike in reads.values())


def _sentences(shown: WordedFinding, many: int) -> list[str]:
    numbers = f" [{shown.figures.there}, {shown.figures.limit}]" if shown.figures else ""
    times = f", {many} times" if many > 1 else ""
    said = f"{shown.severity}: {shown.sentence} ({shown.rule}{times}){numbers}"
    return [*_wrapped(said, "  "), *_wrapped(shown.remedy, _INDENT)]


def _wrapped(text: str, first: str) -> list[str]:
    return textwrap.wrap(
        text, _COLUMNS, initial_indent=first, subsequent_indent=_INDENT, break_long_words=False, break_on_hyphens=False
    )


def _summary(account: Account) -> str:
    said = [f"{count} {severity}{'' if count == 1 else 's'}" for severity, count in account.counts]
    return ", ".join(said) or "fits"
