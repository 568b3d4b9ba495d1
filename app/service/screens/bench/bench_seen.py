"""What the page of the bench says: a card for every list there is, and which list a printed code belongs to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Final, get_args

from msgspec import Struct

from app.errors import HolewiseError
from app.model.plotting import READINGS, Plotting
from app.model.printing import Counted, Printing
from app.paper.sheet_kind import Card, SheetJob, SheetKind
from app.service.drawings.sheet_jobs import sheet_job
from app.service.screens.bench.list_seen import lists, tables_of, usual_job
from app.service.screens.words import capital
from app.service.sight import Sight
from app.units import Unit
from app.values import replace

_CODE: Final = re.compile(r"[2-9A-HJ-NP-Z]{2}-?[2-9A-HJ-NP-Z]{2}")


class BenchCard(Struct, frozen=True):
    """A list on the page of the bench.

    Args:
        kind: its name.
        page: where it is shown, below the address of the design.
        title: what it is.
        purpose: what it is for.
        holds: what it holds, in figures.
        first: what has to be done first; empty for nothing.
        code: what a printed one bears that still holds.
    """

    kind: str
    page: str
    title: str
    purpose: str
    holds: str
    first: str
    code: str


def bench_cards(sight: Sight) -> tuple[BenchCard, ...]:
    """Every list of the board in view, in the order of the work; nothing here knows a kind by name."""
    job = usual_job(sight)
    found = []
    for kind in lists().values():
        page, title = kind.page or f"/bench/{kind.name}", capital(kind.words)
        try:
            card, code = kind.card(job, tables_of(kind, job)), kind.code(job)
        except HolewiseError:  # another board of the design; whoever looks at that is told what is wrong
            card, code = Card("Not every board can be laid out", "look at the fit report of all boards"), ""
        found.append(BenchCard(kind.name, page, title, kind.purpose, card.holds, card.first, code))
    return tuple(found)


def code_said(sight: Sight, typed: str) -> str:
    """What is to be said of a code on a printed sheet: which list it is as it is now, or that the sheet is stale."""
    wanted = typed.strip().upper().replace(" ", "")
    if not wanted:
        return ""
    if not _CODE.fullmatch(wanted):
        return f"“{typed.strip()[:20]}” is no code: it is four letters and figures, as 7K-42, at the foot of a list."
    wanted = wanted if "-" in wanted else f"{wanted[:2]}-{wanted[2:]}"
    for kind, job, how in _every_way(sight):
        if kind.code(job) == wanted:
            return f"{wanted} still holds: {kind.words}{how}."
    return (
        f"No list of this board and arrangement bears {wanted} now. That sheet is of another one, or something on it "
        "has changed since it was printed: print it again before you work by it."
    )


def _every_way(sight: Sight) -> Iterator[tuple[SheetKind[object], SheetJob, str]]:
    """Every list in every way it may be printed: in either unit, read and counted in each way."""
    usual = usual_job(sight).printing
    for unit in Unit:
        design = sight.design.model_copy(update={"units": unit.value})
        board = replace(sight.checked.resolved, units=unit.value)
        seen = replace(sight.checked, resolved=board, document=None)
        for kind in lists().values():
            for printing, how in _ways(kind, usual, unit):
                yield kind, sheet_job(design, seen, "top", printing), how


def _ways(kind: SheetKind[object], usual: Printing, unit: Unit) -> Iterator[tuple[Printing, str]]:
    named = f" in {'inches' if unit is Unit.INCH else 'mm'}"
    if "reading" in kind.asks:
        plotting = Plotting.usual(unit)
        for reading in READINGS[unit]:
            yield replace(usual, plotting=replace(plotting, reading=reading)), named
    elif "counted" in kind.asks:
        for counted in get_args(Counted):
            yield replace(usual, counted=counted), named
    else:
        yield usual, named
