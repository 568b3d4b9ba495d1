"""Printers of the workshop: how a template is asked to be printed, the check sheet, and what the doctor makes of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast, get_args

from msgspec import Struct

from app.catalogue.load import paper_by_text
from app.errors import EditError, LengthError, NotFoundError, PaperError
from app.model.part import Face
from app.model.plotting import READINGS, Plotting
from app.model.printing import Counted, PrintCorrection, Printing
from app.model.resolved import ResolvedBoard
from app.paper.check.check_frame import CheckBar, check_frame
from app.paper.check.doctor import Diagnosis, diagnose
from app.paper.sheet.sheets import plan_sheets
from app.service.checks.checking import CheckResult
from app.store import Profile, Profiles
from app.units import Unit, format_exact, parse_length
from app.values import replace

_LONGEST_NAME = 40
_NEAR = 1e-6  # mm


class PrintRequest(Struct, frozen=True):
    """How sheets are to be printed, as it stands in an address: every value text, empty for the usual."""

    paper: str = ""
    printer: str = ""
    margin: str = ""
    overlap: str = ""
    only: str = ""
    spacing: str = ""
    reading: str = ""
    counted: str = ""
    table: str = ""
    alone: str = ""


def printing_asked(
    asked: PrintRequest, seen: CheckResult, kept: Profiles, unit: Unit
) -> tuple[Printing, dict[str, str]]:
    """How to print, and a sentence for each field that cannot be taken, which then is as usual.

    What stops the board goes to the head of every sheet.

    Raises:
        PaperError: there is no such paper.
    """
    problems: dict[str, str] = {}
    board = seen.resolved
    paper = paper_by_text(asked.paper) if asked.paper else board.tooling.paper
    made = Printing(paper, stops=len(seen.report.stops), alone=bool(asked.alone))
    for field, words in (("margin", "The margin"), ("overlap", "The overlap")):
        text = getattr(asked, field).strip()
        if not text:
            continue
        try:
            value = parse_length(text, unit, what=words)
            tried = replace(made, margin=value) if field == "margin" else replace(made, overlap=value)
            plan_sheets(board, "top", tried)
        except (LengthError, PaperError) as error:
            problems[field] = str(error)
        else:
            made = tried
    if asked.spacing or asked.reading:
        try:
            made = replace(made, plotting=plotting_asked(asked, unit))
        except LengthError as error:
            problems["spacing"] = str(error)
    try:
        made = replace(made, counted=counted_asked(asked.counted))
    except PaperError as error:
        problems["counted"] = str(error)
    if asked.printer:
        try:
            made = replace(made, correction=correction_of(kept.get(asked.printer, paper.id)))
        except NotFoundError as error:
            problems["printer"] = str(error)
    return made, problems


def plotting_asked(asked: PrintRequest, unit: Unit) -> Plotting:
    """How curves are plotted: the spacing as it is typed, the reading of the rule as parts of an inch or in mm.

    Raises:
        LengthError: one of them is no length, or none that can be.
    """
    usual = Plotting.usual(unit)
    reading = parse_length(asked.reading, unit, what="What the rule reads") if asked.reading else usual.reading
    # A fraction of an inch is named exactly, but 1/64 in read from text may be the float beside it.
    near = min(READINGS[unit], key=lambda one: abs(one - reading))
    spacing = parse_length(asked.spacing, unit, what="The spacing") if asked.spacing else usual.spacing
    return Plotting(unit, spacing, near if abs(near - reading) < _NEAR else reading)


def counted_asked(text: str) -> Counted:
    """What a parts list is to be counted for; one arrangement where nothing is said.

    Raises:
        PaperError: it is never counted so.
    """
    ways = get_args(Counted)
    if text and text not in ways:
        raise PaperError(f"A parts list is counted for {', '.join(ways)}; got “{text[:20]}”. Choose one of them.")
    return cast("Counted", text or ways[0])


def correction_of(profile: Profile) -> PrintCorrection:
    """The correction a profile stands for."""
    return PrintCorrection(profile.x, profile.y, profile.printer)


def profiles_for(kept: Profiles, paper: str) -> tuple[Profile, ...]:
    """The profiles for a paper, by its id."""
    return tuple(profile for profile in kept.all() if profile.paper == paper)


def bars_of(printing: Printing, unit: Unit) -> tuple[CheckBar, ...]:
    """What is to be measured on the check sheet."""
    return check_frame(printing, unit).bars


def diagnosed(
    printing: Printing, measured: Mapping[str, float], board: ResolvedBoard, unit: Unit, *, settings_checked: bool
) -> Diagnosis:
    """What is wrong with a print of the check sheet, if anything, and how far off this board's farthest hole would be.

    Raises:
        LengthError: a length that no print can have, or an axis without any.
    """
    reach = farthest(board, "top", printing)
    return diagnose(
        bars_of(printing, unit), measured, printing, reach=reach, settings_checked=settings_checked, unit=unit
    )


def farthest(board: ResolvedBoard, face: Face, printing: Printing) -> tuple[float, float] | None:
    """How far a centre lies from the ruled lines its sheet is laid on, at most, along the paper's sides [mm].

    None if nothing is drilled.
    """
    plan = plan_sheets(board, face, printing)
    if not plan.template.centres:
        return None
    most = [0.0, 0.0]
    for axis in ("x", "y"):
        lines = [line.at for line in plan.ruled if line.axis == axis]
        k = 0 if axis == "x" else 1
        for tile in plan.tiling.tiles:
            low, high = tile.cell[k], tile.cell[k + 2]
            own = [at for at in lines if low <= at <= high] or lines
            here = [c[k] for c in plan.template.centres if low <= c[k] <= high]
            most[k] = max([most[k], *(min(abs(c - at) for at in own) for c in here)])
    across, along = most
    return (along, across) if plan.tiling.orientation == "landscape" else (across, along)


def kept_as(
    kept: Profiles, name: str, printing: Printing, correction: PrintCorrection, measured: Mapping[str, float]
) -> str:
    """Keep a correction under a printer's name; returns the name as it is kept.

    Raises:
        EditError: the name is missing, too long or not one line.
    """
    plain = " ".join(name.split())
    if not plain or len(plain) > _LONGEST_NAME or not plain.isprintable():
        raise EditError(
            f"A printer's name is one line of 1 to {_LONGEST_NAME} characters, got {len(plain)}. Use the "
            "print dialog's name for it, or your own.",
            "printer-name",
        )
    said = ", ".join(f"{bar} {format_exact(round(mm, 2))} mm" for bar, mm in measured.items())
    kept.keep(plain, printing.paper.id, correction.x, correction.y, said)
    return plain
