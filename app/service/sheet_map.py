"""The sheets of a template laid over the board, as they will print, and one by one."""

from __future__ import annotations

from dataclasses import dataclass

from app.errors import HolewiseError, LengthError, NotFoundError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.shop import Bit
from app.paper import sheet_map as drawn
from app.paper.cover import cover_page
from app.paper.sheets import SheetSet
from app.scene.primitives import Scene
from app.service.checking import CheckResult
from app.service.proving import bit_of
from app.service.templates import plans_of, template_of
from app.units import Unit, parse_length
from app.writers import svg


@dataclass(frozen=True, slots=True)
class SheetMap:
    """How a template is laid over sheets of paper.

    Args:
        drawing: the sheets over the board, inline SVG.
        plan: the sheets, their seams and the lines to rule first.
    """

    drawing: str
    plan: SheetSet


def sheet_map(board: ResolvedBoard, face: Face, printing: Printing, only: str = "") -> tuple[SheetMap, str]:
    """The sheets of a template of ``face``; and why they are not drawn for one bit alone, empty if they are.

    Args:
        board: the board.
        face: the face the template is stuck on.
        printing: how it is printed.
        only: diameter of the bit whose work alone is drawn, in mm unless it says otherwise; empty for everything.

    Raises:
        PaperError: the paper is too small for a sheet.
    """
    bit, wrong = bit_asked(board, face, only)
    plan = template_of(board, face, printing, bit).pages.plan
    return SheetMap(svg.embed(drawn.sheet_map(board, plan), role="drawing map"), plan), wrong


def bit_asked(board: ResolvedBoard, face: Face, only: str) -> tuple[Bit | None, str]:
    """The bit named by its diameter, and why there is none; both empty where none is asked for."""
    if not only.strip():
        return None, ""
    try:
        return bit_of(board, face, parse_length(only, Unit.MM, what="The bit")), ""
    except (NotFoundError, LengthError) as error:
        return None, str(error)


def leaf_svg(seen: CheckResult, face: Face, printing: Printing, only: str, number: int) -> str:
    """One page of a template as SVG: page 1 is the cover.

    Raises:
        NotFoundError: there is no such page.
        PaperError: the paper is too small for a sheet.
    """
    board = seen.resolved
    bit, wrong = bit_asked(board, face, only)
    if wrong:
        raise HolewiseError(wrong)
    if number == 1:
        return svg.write(_cover(seen, printing))
    template = template_of(board, face, printing, bit)
    last = len(template.pages) + 1
    if not 2 <= number <= last:
        raise NotFoundError(f"There is no page {number}; the template has pages 1 to {last}.")
    return svg.write(template.page(number - 2))


def _cover(seen: CheckResult, printing: Printing) -> Scene:
    board, plans = seen.resolved, plans_of(seen.resolved, printing)
    return cover_page(board, printing, accepted=seen.report.accepted, first_page=2, plans=plans)
