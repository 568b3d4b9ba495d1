"""What the paper page says of the sheets of a template: laid over the board, counted, and in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from msgspec import Struct

from app.catalogue.load import paper_by_text
from app.drafting.template.template_bits import template_bits
from app.errors import PaperError
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.paper.sheet.ruled import RuledLine
from app.paper.sheet.tiling import Tiling
from app.paper.sheet.title_strip import special
from app.paper.sheet_kind import Leaf
from app.service.drawings.printers import PrintRequest, printing_asked, profiles_for
from app.service.drawings.sheet_map import SheetMap, sheet_map
from app.service.screens.boards_paper_seen import BoardsOnSheets, boards_on_sheets
from app.service.screens.choices import Choice, papers
from app.service.screens.words import bit_words, counted, length, listed
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.units import Unit, format_exact


class SheetsSeen(Struct, frozen=True):
    """The sheets of a template on the paper asked for.

    Args:
        drawing: the sheets over the board, inline SVG.
        in_force: what sets these sheets apart from the usual ones, in words.
        corrected: whether they are corrected for a printer.
        count: how many, in words.
        seams: what the seams run into, in words.
        ruled: lines to rule on the board first, in words.
        code: check code on every sheet.
        leaves: the pages one by one.
    """

    drawing: str
    in_force: tuple[str, ...]
    corrected: bool
    count: str
    seams: str
    ruled: tuple[str, ...]
    code: str
    leaves: tuple[Leaf, ...]


class PaperSeen(Struct, frozen=True):
    """How a template is printed.

    Args:
        paper: the paper asked for, or the shop's.
        papers: to choose from.
        printers: corrections that are kept for the paper.
        bits: bits a template can be drawn for alone.
        cuts: parts a section can be drawn through.
        sheets: as they are laid; None if the paper cannot carry them, or all boards are asked for.
        all_boards: the sheets of all boards; None unless they are asked for.
        problem: why the paper cannot carry them; empty if it can.
        problems: sentence by field that could not be taken, which then is as usual.
    """

    paper: str
    papers: tuple[Choice, ...]
    printers: tuple[Choice, ...]
    bits: tuple[Choice, ...]
    cuts: tuple[Choice, ...]
    sheets: SheetsSeen | None
    all_boards: BoardsOnSheets | None
    problem: str
    problems: Mapping[str, str]


def paper_seen(
    workshop: Workshop,
    sight: Sight,
    face: Face,
    selected: Sequence[str],
    asked: PrintRequest,
    *,
    all_boards: bool = False,
) -> PaperSeen:
    """A template of ``face``, or those of all boards, printed as asked; on the shop's paper if that is empty."""
    board, paper = sight.checked.resolved, asked.paper or sight.design.shop.paper
    found, every = None, None
    if all_boards:
        every, problem, problems = boards_on_sheets(workshop, sight, face, asked)
    else:
        found, problem, problems = _laid_out(workshop, sight, face, asked)
    return PaperSeen(
        paper=paper,
        papers=papers(paper),
        printers=_printers(workshop, paper if found or every else "", asked.printer),
        bits=() if all_boards else _bits(board, face, asked.only),
        cuts=tuple(
            Choice(f"section:{p.id}", f"{p.label or '–'} · {p.part.name}", p.id in selected[:1])
            for p in board.placements
        ),
        sheets=_sheets(found, board, face) if found else None,
        all_boards=every,
        problem=problem,
        problems=problems,
    )


def _laid_out(
    workshop: Workshop, sight: Sight, face: Face, asked: PrintRequest
) -> tuple[SheetMap | None, str, dict[str, str]]:
    try:
        printing, problems = printing_asked(asked, sight.checked, workshop.printers, sight.unit)
        found, wrong = sheet_map(sight.design, sight.checked, face, printing, asked.only)
    except PaperError as error:
        return None, str(error), {}
    return found, "", problems | ({"only": wrong} if wrong else {})


def _sheets(found: SheetMap, board: ResolvedBoard, face: Face) -> SheetsSeen:
    plan = found.plan
    return SheetsSeen(
        drawing=found.drawing,
        in_force=special(plan.printing, plan.only),
        corrected=not plan.printing.correction.none,
        count=_count_words(plan.tiling),
        seams=_seam_words(plan.tiling, bare=not any(p.holes for p in board.drilled)),
        ruled=_ruled_words(plan.ruled, Unit(board.units), turned=face == "under"),
        code=plan.code,
        leaves=found.leaves,
    )


def _bits(board: ResolvedBoard, face: Face, only: str) -> tuple[Choice, ...]:
    sizes = [(format_exact(round(bit.diameter, 3)), bit) for bit in template_bits(board, face)]
    alone = (Choice(size, bit_words(bit), size == only) for size, bit in sizes)
    return (Choice("", "everything", not only), *alone)


def _printers(workshop: Workshop, paper: str, chosen: str) -> tuple[Choice, ...]:
    own = profiles_for(workshop.printers, paper_by_text(paper).id) if paper else ()
    plain = Choice("", "no printer correction", not any(p.printer == chosen for p in own))
    return (plain, *(Choice(p.printer, p.printer, p.printer == chosen) for p in own))


def _count_words(tiling: Tiling) -> str:
    """``4 sheets of A4, portrait, 1 row of 4``."""
    paper = tiling.layout.paper
    if paper.roll:
        pieces = counted(len(tiling.tiles), "piece")
        return f"{pieces} of {paper.name}, cut off {paper.height:g} mm long"
    grid = f", {counted(tiling.rows, 'row')} of {tiling.columns}" if len(tiling.tiles) > 1 else ""
    lies = tiling.orientation
    return f"{counted(len(tiling.tiles), 'sheet')} of {paper.name}, {lies}{grid}"


def _seam_words(tiling: Tiling, *, bare: bool) -> str:
    """What the seams run into."""
    cost = tiling.cost
    if len(tiling.tiles) == 1:
        return "No seam."
    if bare:
        return "No holes to drill yet, so the seams go where the fewest sheets are needed."
    if cost.through:
        return f"A seam runs through {counted(cost.through, 'hole centre')}: measure those from the datum edges."
    if cost.near:
        return f"No seam through a hole centre; {counted(cost.near, 'centre')} within 10 mm of one."
    if cost.cut:
        return f"No seam near a hole centre; {counted(cost.cut, 'hole')} cut by one, which does no harm."
    return "No seam touches a hole."


def _ruled_words(lines: Sequence[RuledLine], unit: Unit, *, turned: bool) -> tuple[str, ...]:
    """The lines to rule, by the edge they are measured from; ``turned`` if the board lies face down."""
    lines = sorted(lines, key=lambda line: line.distance)
    upright = [length(r.distance, unit) + (" (the centre line)" if r.centre else "") for r in lines if r.axis == "x"]
    along = [length(r.distance, unit) for r in lines if r.axis == "y"]
    edge = "From the left edge, now on your right" if turned else "From the left edge"
    return (f"{edge}: {listed(upright)}", f"From the front edge: {listed(along)}")
