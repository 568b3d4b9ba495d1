"""The sheets of a template laid over the board, as they will print, and those of every kind one by one."""

from __future__ import annotations

from msgspec import Struct

from app.document.schema import Design
from app.errors import HolewiseError, LengthError, NotFoundError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.kinds import TEMPLATE
from app.paper.sheet import sheet_map as drawn
from app.paper.sheet.sheets import SheetSet
from app.paper.sheet_kind import Leaf, bound_leaves, bound_page
from app.service.checks.checking import CheckResult
from app.service.checks.shown import Shown
from app.service.drawings.sheet_files import bit_of, kind_named
from app.service.drawings.sheet_jobs import sheet_job
from app.units import Unit, parse_length
from app.writers import svg


class SheetMap(Struct, frozen=True):
    """How a template is laid over sheets of paper.

    Args:
        drawing: the sheets over the board, inline SVG.
        plan: the sheets, their seams and the lines to rule first.
        leaves: the pages of its file, in their order.
    """

    drawing: str
    plan: SheetSet
    leaves: tuple[Leaf, ...]


def sheet_map(
    design: Design, seen: CheckResult, face: Face, printing: Printing, only: str = ""
) -> tuple[SheetMap, str]:
    """The sheets of a template of ``face``; and why they are not drawn for one bit alone, empty if they are.

    Args:
        design: the design.
        seen: its board, as it is shown.
        face: the face the template is stuck on.
        printing: how it is printed.
        only: diameter of the bit whose work alone is drawn, in mm unless it says otherwise; empty for everything.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    bit, wrong = bit_asked(seen.resolved, face, only)
    job = sheet_job(design, seen, face, printing, bit, shown=True)
    plan = job.template.plan
    drawing = svg.embed(drawn.sheet_map(seen.resolved, plan), role="drawing map")
    return SheetMap(drawing, plan, bound_leaves(TEMPLATE, job)), wrong


def bit_asked(board: ResolvedBoard, face: Face, only: str) -> tuple[Bit | None, str]:
    """The bit named by its diameter, and why there is none; both empty where none is asked for."""
    if not only.strip():
        return None, ""
    try:
        return bit_of(board, face, parse_length(only, Unit.MM, what="The bit")), ""
    except (NotFoundError, LengthError) as error:
        return None, str(error)


def leaf_svg(
    design: Design,
    seen: CheckResult,
    face: Face,
    printing: Printing,
    only: str,
    number: int,
    kind: str = TEMPLATE.name,
) -> str:
    """One page of a file of sheets as SVG, counted from 1; page 1 of a template is its cover.

    Raises:
        NotFoundError: there is no such page, or no such kind of sheets.
        PaperError: the paper is too small for a sheet.
    """
    bit, wrong = bit_asked(seen.resolved, face, only)
    if wrong:
        raise HolewiseError(wrong)
    return svg.write(bound_page(kind_named(kind), sheet_job(design, seen, face, printing, bit, shown=True), number))


def page_of(shown: Shown, face: Face, printing: Printing, only: str, number: int, kind: str) -> str:
    """The same of a board as it is shown, in whatever process."""
    return leaf_svg(shown.design(), shown.judged(), face, printing, only, number, kind)
