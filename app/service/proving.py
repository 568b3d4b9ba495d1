"""Files that are read back before anybody gets them: exchange drawings and drill templates, each with its proof."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.drafting.export_drawing import export_scene, in_layers
from app.drafting.template_bits import template_bits
from app.errors import NotFoundError, WriterError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.shop import Bit
from app.paper.cover import cover_page
from app.paper.sheets import SheetSet, plan_sheets, template_pages
from app.scene.primitives import Scene
from app.service.checking import CheckResult, judged
from app.service.file_names import export_name, template_name_of
from app.service.memory import Memory
from app.service.templates import plans_of, template_of
from app.units import format_exact
from app.writers import svg

if TYPE_CHECKING:
    from app.proof import Proof


@dataclass(frozen=True, slots=True)
class ProvedFile:
    """A file that shows what the design asks for, whether or not that can be built.

    Args:
        data: its bytes.
        name: what to call it.
        proof: what reading it back has found.
        stops: how many findings say that the board cannot be built as drawn; the file says so too.
    """

    data: bytes
    name: str
    proof: Proof
    stops: int = 0


def export_file(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    fmt: str = "svg",
    kerf: float = 0.0,
) -> ProvedFile:
    """One true-size drawing of a board for other programs and machines: ``svg`` or ``dxf``, in mm.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: the face drawn; ``under`` is mirrored.
        fmt: ``svg`` or ``dxf``.
        kerf: full width of the cut, by half of which lines are moved into the waste [mm].

    Raises:
        NotFoundError: no such board or arrangement.
        WriterError: no such format, a number that cannot be drawn, or a kerf that makes something vanish.
        ProofError: the file, read back, does not show what the design asks for.
    """
    from app.proof import prove_drawing

    resolved = resolve(design, board, arrangement, catalogue())
    stops = len(judged(resolved).report.stops)
    data = _drawing(resolved, face, fmt, kerf, stops)
    proof = prove_drawing(data, fmt, resolved, face, kerf)
    return ProvedFile(data, export_name(design, board, arrangement, face, fmt, kerf), proof, stops)


def stops_of(design: Design, board: str | None = None, arrangement: str | None = None) -> int:
    """How many findings say that a board cannot be built as drawn.

    Raises:
        NotFoundError: no such board or arrangement.
    """
    return len(judged(resolve(design, board, arrangement, catalogue())).report.stops)


def _drawing(board: ResolvedBoard, face: Face, fmt: str, kerf: float, stops: int) -> bytes:
    scene = export_scene(board, face, kerf, stops)
    if fmt == "svg":
        return svg.write(in_layers(scene)).encode("utf-8")
    if fmt == "dxf":
        from app.writers import dxf

        return dxf.write(scene)
    raise WriterError(
        f"A drawing at true size is written as svg or dxf, got “{fmt[:20]}”. Choose one of them; "
        "views to read are written as pdf too."
    )


def template_file(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    paper: str | Printing = "",
    *,
    only: float | None = None,
) -> ProvedFile:
    """The true-size drill template of one face as PDF: a cover, then one page a sheet.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: the face it is stuck on; ``under`` is mirrored.
        paper: ``a4``, ``letter``, … or sides as ``594x841``; empty for the shop's; or all of how it is printed.
        only: diameter of the bit whose work alone is drawn [mm]; None for everything.

    Raises:
        NotFoundError: no such board or arrangement, or no bit so wide works from this face.
        PaperError: no such paper, or one too small to carry a sheet.
        ProofError: the file, read back, does not show what the design asks for.
    """
    resolved = resolve(design, board, arrangement, catalogue())
    seen = judged(resolved)
    printing = _headed(seen, printing_on(resolved, paper))
    bit = bit_of(resolved, face, only) if only is not None else None
    top = plan_sheets(resolved, "top", printing)
    plans = (top, plan_sheets(resolved, "under", printing, above=top.ruled))
    plan = plans[face == "under"]
    if bit is not None:
        plan = plan_sheets(resolved, face, printing, only=bit, above=() if face == "top" else top.ruled)
    sheets = template_pages(resolved, face, printing, only=bit, plan=plan)
    return _proved(design, seen, plan, sheets, plans)


def template_file_of(
    design: Design, seen: CheckResult, face: Face, printing: Printing, only: Bit | None = None
) -> ProvedFile:
    """As :func:`template_file` of a board that is shown; its sheets are drawn once for their pictures and the file.

    Args:
        design: the design, in the units it is shown in.
        seen: the board, judged.
        face: the face it is stuck on.
        printing: how it is printed.
        only: the bit whose work alone is drawn; None for everything.
    """
    printing = _headed(seen, printing)

    def make() -> ProvedFile:
        board = seen.resolved
        template = template_of(board, face, printing, only)
        return _proved(design, seen, template.pages.plan, template.drawn(), plans_of(board, printing))

    if seen.document is None:
        return make()
    of_all = (seen.document, seen.board, seen.arrangement, seen.resolved.units)
    room = len(seen.document.text)
    return _FILES.once((*of_all, face, printing, only), make, lambda made: len(made.data) + room)


_FILES: Memory[ProvedFile] = Memory(24_000_000)
"""Templates as files: one of two players takes some 40 kB."""


def _headed(seen: CheckResult, printing: Printing) -> Printing:
    """With the stops of the whole board, whichever face or bit a file is for: its others end in the same scrap."""
    return replace(printing, stops=len(seen.report.stops))


def _proved(
    design: Design, seen: CheckResult, plan: SheetSet, sheets: Sequence[Scene], plans: tuple[SheetSet, SheetSet]
) -> ProvedFile:
    """The file of a template, with its cover, read back.

    Args:
        design: the design.
        seen: its board.
        plan: how the sheets are laid.
        sheets: the sheets.
        plans: how those of the top face and of the underside are laid, for the cover.
    """
    from app.proof import prove_template
    from app.writers import pdf

    board, face, printing = seen.resolved, plan.template.face, plan.printing
    files: dict[Face, str] = {
        "top": template_name_of(design, board, "top"),
        "under": template_name_of(design, board, "under"),
    }
    cover = cover_page(board, printing, accepted=seen.report.accepted, files=files, first_page=2, plans=plans)
    data = pdf.write((cover, *sheets), title=sheets[0].title, subject=cover.note)
    proof = prove_template(data, board, face, printing, sheets=plan, covers=1)
    return ProvedFile(data, files[face], proof, printing.stops)


def printing_on(board: ResolvedBoard, paper: str | Printing) -> Printing:
    """How to print on a paper by its name; on the shop's if there is none.

    Raises:
        PaperError: no such paper.
    """
    if isinstance(paper, Printing):
        return paper
    return Printing(paper_by_text(paper) if paper else board.shop.paper)


def bit_of(board: ResolvedBoard, face: Face, diameter: float) -> Bit:
    """The bit of that diameter [mm] among those that work from a face.

    Raises:
        NotFoundError: there is none.
    """
    bits = template_bits(board, face)
    found = next((bit for bit in bits if abs(bit.diameter - diameter) < 0.01), None)
    if found is None:
        side = "the top face" if face == "top" else "the underside"
        has = ", ".join(dict.fromkeys(f"{format_exact(round(bit.diameter, 2))} mm" for bit in bits)) or "none"
        raise NotFoundError(
            f"No bit {format_exact(round(diameter, 2))} mm wide cuts anything from {side}. Bits used there: {has}."
        )
    return found
