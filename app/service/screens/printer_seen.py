"""What the printer page says of a printer and a paper: what to measure, what the doctor finds, what is kept."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.catalogue.load import catalogue
from app.errors import EditError
from app.model.printing import Printing
from app.paper.check.doctor import Diagnosis
from app.paper.check.doctor_words import factors
from app.paper.sheet.title_strip import special
from app.service.drawings.printers import PrintRequest, bars_of, correction_of, diagnosed, kept_as
from app.service.drawings.sheets_asked import exact_printing
from app.service.screens.words import length
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.store import Profile
from app.values import replace


class MeasuredBars(Struct, frozen=True):
    """What was measured on the check sheet.

    Args:
        bars: length by bar [mm].
        settings_checked: whether the builder has made sure of the settings of the print.
    """

    bars: Mapping[str, float]
    settings_checked: bool


class BarSeen(Struct, frozen=True):
    """A bar to measure: its letter, words, and how long it is if the print is true."""

    letter: str
    words: str
    true: str


class KeptSeen(Struct, frozen=True):
    """A correction that is kept."""

    printer: str
    paper: str
    paper_name: str
    factors: str
    measured: str
    made: str


class DiagnosisSeen(Struct, frozen=True):
    """What the doctor says.

    Args:
        grade: how bad it is: ``clear``, ``caution`` where a correction is offered, ``stop``.
        title: the cause in a few words.
        words: what was found.
        advice: what to change; empty if nothing.
        others: further causes that would explain the same.
        offered: the correction offered, in words; empty if none is.
    """

    grade: str
    title: str
    words: str
    advice: str
    others: tuple[str, ...]
    offered: str


class PrinterSeen(Struct, frozen=True):
    """A paper and, if one is in force, a correction.

    Args:
        paper: the paper's name in an address.
        paper_name: in words.
        printer: whose correction the check sheet is printed with; empty for none.
        in_force: that correction in words; empty if there is none.
        bars: what to measure on it.
        diagnosis: what the doctor says; None before anything was measured.
        kept: corrections that are kept.
    """

    paper: str
    paper_name: str
    printer: str
    in_force: str
    bars: tuple[BarSeen, ...]
    diagnosis: DiagnosisSeen | None
    kept: tuple[KeptSeen, ...]


def printer_seen(
    workshop: Workshop, sight: Sight, asked: PrintRequest, measured: MeasuredBars | None = None
) -> PrinterSeen:
    """What there is to say of the paper and the printer asked for; margins and overlap are the template's.

    Raises:
        PaperError: no such paper, or no correction is kept for that printer.
        LengthError: a length that no print can have, or an axis without any.
    """
    printing = _plain(workshop, sight, asked)
    return PrinterSeen(
        paper=printing.paper.id,
        paper_name=printing.paper.name,
        printer=printing.correction.printer,
        in_force=" ".join(special(printing, None)),
        bars=tuple(
            BarSeen(bar.name, f"{bar.name}, {bar.place}", length(bar.length, sight.unit))
            for bar in bars_of(printing, sight.unit)
        ),
        diagnosis=_said(_diagnosis(sight, printing, measured)) if measured is not None else None,
        kept=tuple(_kept(profile) for profile in workshop.printers.all()),
    )


def keep_correction(
    workshop: Workshop, sight: Sight, asked: PrintRequest, measured: MeasuredBars, name: str
) -> tuple[str, str]:
    """Keep what the doctor offers under a printer's name; returns paper and printer as an address names them.

    Raises:
        EditError: none is offered, or the name cannot be taken.
        PaperError, LengthError: as of :func:`printer_seen`.
    """
    printing = _plain(workshop, sight, asked)
    correction = _diagnosis(sight, printing, measured).correction
    if correction is None:
        raise EditError(
            "No correction is offered for what was measured. Read what the doctor says first.", "printer-name"
        )
    return printing.paper.id, kept_as(workshop.printers, name, printing, correction, measured.bars)


def _plain(workshop: Workshop, sight: Sight, asked: PrintRequest) -> Printing:
    return exact_printing(workshop, sight, replace(asked, margin="", overlap="", only=""))


def _diagnosis(sight: Sight, printing: Printing, measured: MeasuredBars) -> Diagnosis:
    board = sight.checked.resolved
    return diagnosed(printing, measured.bars, board, sight.unit, settings_checked=measured.settings_checked)


def _said(found: Diagnosis) -> DiagnosisSeen:
    return DiagnosisSeen(
        grade="clear" if found.true else "caution" if found.correction else "stop",
        title=found.title,
        words=found.words,
        advice=found.advice,
        others=found.others,
        offered=factors(found.correction) if found.correction else "",
    )


def _kept(profile: Profile) -> KeptSeen:
    known = catalogue().papers.get(profile.paper)
    return KeptSeen(
        printer=profile.printer,
        paper=profile.paper,
        paper_name=known.name if known else profile.paper,
        factors=factors(correction_of(profile)),
        measured=profile.measured,
        made=f"{profile.made.astimezone():%d %B %Y}".lstrip("0"),
    )
