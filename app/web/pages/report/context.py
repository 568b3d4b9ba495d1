"""The fit report of a whole design: a card for each board, each line leading to its parts."""

from __future__ import annotations

from msgspec import Struct

from app.service.screens.design_report import ArrangementReport, design_report
from app.service.screens.tally import Tally
from app.service.screens.words import counted
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import ViewState


class ReportLine(Struct, frozen=True):
    """What is open, in one line, and where it is shown; how grave as ``stop``, ``caution`` or ``note``."""

    severity: str
    title: str
    url: str


class ReportCard(Struct, frozen=True):
    """A board with one of its arrangements.

    Args:
        name: of it.
        url: where it is looked at.
        tally: counts of what is open; None where it cannot be laid out.
        lines: stops and cautions.
        notes: the same of what is only worth knowing.
        wrong: why it cannot be laid out; empty where it can.
    """

    name: str
    url: str
    tally: Tally | None
    lines: tuple[ReportLine, ...]
    notes: tuple[ReportLine, ...]
    wrong: str


class ReportPage(Struct, frozen=True):
    """The page.

    Args:
        head: the head.
        summed: all of it in one line.
        worst: how it stands as a whole: ``stop``, ``caution`` or ``clear``.
        cards: every board.
        back_url: the board page.
    """

    head: PageHead
    summed: str
    worst: str
    cards: tuple[ReportCard, ...]
    back_url: str


def report_page(sight: Sight, view: ViewState) -> ReportPage:
    """The page for a design."""
    view = view.at(select=(), section=False, face="top")
    document = sight.checked.document
    found = design_report(document, sight.unit.value) if document is not None else ()
    tallies = [each.tally for each in found if each.tally is not None]
    stops, cautions = sum(t.stops for t in tallies), sum(t.cautions for t in tallies)
    fits = len(tallies) == len(found) and not stops and not cautions
    open_words = " and ".join(counted(n, w) for n, w in ((stops, "stop"), (cautions, "caution")) if n)
    boards = counted(len(sight.design.boards), "board")
    return ReportPage(
        head=head_of(sight, view, "/report", tally=False, every=True),
        summed=f"{boards}: no stops, no cautions." if fits else f"{boards}: {open_words or 'not all can be laid out'}.",
        worst="clear" if fits else "caution" if cautions and not stops and len(tallies) == len(found) else "stop",
        cards=tuple(_card(each, view) for each in found),
        back_url=view.url(),
    )


def _card(report: ArrangementReport, view: ViewState) -> ReportCard:
    there = view.at(board=report.board, arrangement=report.arrangement)
    lines = [ReportLine(one.severity, one.title, there.at(select=one.subjects).url()) for one in report.lines]
    return ReportCard(
        name=report.name,
        url=there.url(),
        tally=report.tally,
        lines=tuple(line for line in lines if line.severity != "note"),
        notes=tuple(line for line in lines if line.severity == "note"),
        wrong=report.wrong,
    )
