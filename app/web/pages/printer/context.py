"""The printer page: print the check sheet, type what it measures, read what the doctor says, keep a correction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from app.catalogue.load import catalogue
from app.model.printing import Printing
from app.paper.check.check_frame import CheckBar
from app.paper.check.doctor import Diagnosis
from app.paper.check.doctor_words import factors
from app.paper.sheet.title_strip import special
from app.service.drawings.formats import sheet_format
from app.service.drawings.sheet_files import CHECK_SHEET
from app.service.screens.words import length
from app.service.sight import Sight
from app.store import Profile
from app.units import Unit
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


@dataclass(frozen=True, slots=True)
class BarField:
    """A bar to measure: field name, words, and what it is if the print is true."""

    name: str
    words: str
    true: str
    needed: bool


@dataclass(frozen=True, slots=True)
class KeptRow:
    """A correction that is kept."""

    printer: str
    paper: str
    paper_name: str
    factors: str
    measured: str
    made: str


@dataclass(frozen=True, slots=True)
class PrinterPage:
    """The printer page.

    Args:
        here: the view.
        title: of the design.
        units: switch.
        paper: the paper's name in an address.
        paper_name: in words.
        printer: whose correction the check sheet is printed with; empty for none.
        in_force: that correction in words; empty if there is none.
        sheet_url: the check sheet.
        bars: what to measure on it.
        diagnosis: what the doctor says; None before anything was typed.
        grade: how bad it is: ``clear``, ``caution`` where a correction is offered, ``stop``.
        offered: the correction offered, in words; empty if none is.
        rows: corrections that are kept.
        unit: of the fields.
        back_url: the paper page.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields.
    """

    here: ViewState
    title: str
    units: tuple[Option, ...]
    paper: str
    paper_name: str
    printer: str
    in_force: str
    sheet_url: str
    bars: tuple[BarField, ...]
    diagnosis: Diagnosis | None
    grade: str
    offered: str
    rows: tuple[KeptRow, ...]
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def printer_page(
    sight: Sight,
    here: ViewState,
    printing: Printing,
    bars: Sequence[CheckBar],
    kept: Sequence[Profile],
    *,
    diagnosis: Diagnosis | None = None,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> PrinterPage:
    """The page for a paper and, if one is in force, a correction."""
    board = sight.checked.resolved
    unit, here = Unit(board.units), here.at(select=(), section=False)
    paper, printer = printing.paper.id, printing.correction.printer
    query = {"paper": paper, "printer": printer}
    correction = diagnosis.correction if diagnosis else None
    return PrinterPage(
        here=here,
        title=sight.design.title,
        units=switches_of(sight, here, "/printer", **query)["units"],
        paper=paper,
        paper_name=printing.paper.name,
        printer=printer,
        in_force=" ".join(special(printing, None)),
        sheet_url=here.url(f"/{CHECK_SHEET}{sheet_format()[0].ending}", **query),
        bars=tuple(
            BarField(
                f"bar-{bar.name}", f"{bar.name}, {bar.place}", length(bar.length, unit), needed=bar.axis != "diagonal"
            )
            for bar in bars
        ),
        diagnosis=diagnosis,
        grade="clear" if diagnosis and diagnosis.true else "caution" if correction else "stop",
        offered=factors(correction) if correction else "",
        rows=tuple(
            KeptRow(
                p.printer,
                p.paper,
                _paper_name(p.paper),
                f"x {p.x:.4f} y {p.y:.4f}",
                p.measured,
                f"{p.made.astimezone():%d %B %Y}".lstrip("0"),
            )
            for p in kept
        ),
        unit=unit.value,
        back_url=here.url("/paper", **query),
        problems=problems or {},
        typed=typed or {},
    )


def _paper_name(paper: str) -> str:
    known = catalogue().papers.get(paper)
    return known.name if known else paper
