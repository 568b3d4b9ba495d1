"""Files of sheets, of every kind: laid out, bound, written, and read back before anybody gets them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from app.catalogue.load import catalogue, paper_by_text
from app.document.published import revision_name
from app.document.resolve import resolve
from app.document.schema import Design
from app.drafting.template.template_bits import template_bits
from app.errors import NotFoundError, PaperError, ProofError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper import kinds
from app.paper.sheet_kind import SheetJob, SheetKind, bound_pages
from app.scene.primitives import Scene
from app.service.background.budget import apart, aside
from app.service.background.memory import Memory
from app.service.checks.checking import CheckResult, judged
from app.service.checks.long_designs import has_many_parts, takes_many_sheets
from app.service.checks.shown import Shown
from app.service.drawings.file_names import sheets_name
from app.service.drawings.formats import sheet_format
from app.service.drawings.made_file import MadeFile, ProvedFile
from app.service.drawings.sheet_jobs import sheet_job
from app.service.sight import Sight
from app.units import format_exact

SHEET_FILES: Final = kinds.FILES
"""The kinds of sheets that are a file of their own, by name."""

TEMPLATE: Final = kinds.TEMPLATE.name
ALL_TEMPLATES: Final = kinds.ALL_TEMPLATES.name
CHECK_SHEET: Final = kinds.CHECK_SHEET.name
OUTLINE_MARKING: Final = kinds.OUTLINE_MARKING.name

_BOARDS: Final = 4
"""The sheets of more boards than that are made in another process."""


def template_file(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    paper: str | Printing = "",
    *,
    only: float | None = None,
    revision: str = "",
    all_boards: bool = False,
) -> ProvedFile:
    """The true-size drill template of one face as PDF: a cover, then one page a sheet.

    Of ``all_boards`` of the design on as few sheets as can be, each with its first arrangement where it is not the
    board named; a list of them comes first. Other args, errors: as of :func:`sheet_file`.

    Raises:
        PaperError: all boards are asked for, and one bit alone.
    """
    if all_boards and only is not None:
        raise PaperError("The sheets of all boards show what every bit drills. Leave out either the bit or all boards.")
    kind = ALL_TEMPLATES if all_boards else TEMPLATE
    return proved(sheet_file(kind, design, board, arrangement, face, paper, only=only, revision=revision))


def sheet_file(
    kind: str,
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    paper: str | Printing = "",
    *,
    only: float | None = None,
    revision: str = "",
) -> MadeFile:
    """The sheets of a kind as PDF, read back where something is drilled from them.

    Args:
        kind: name of the kind, as ``template`` or ``check-sheet``.
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: the face it is of; ``under`` is mirrored.
        paper: ``a4``, ``letter``, … or sides as ``594x841``; empty for the shop's; or all of how it is printed.
        only: diameter of the bit whose work alone is drawn [mm]; None for everything.
        revision: what the state of the design is called; empty for a file on its own.

    Raises:
        NotFoundError: no such kind, board or arrangement, or no bit so wide works from this face.
        PaperError: no such paper, or one too small to carry a sheet.
        ProofError: the file, read back, does not show what the design asks for.
    """
    seen = judged(resolve(design, board, arrangement, catalogue(), revision or revision_name(design)))
    resolved = seen.resolved
    bit = bit_of(resolved, face, only) if only is not None else None
    return _made(kind_named(kind), design, sheet_job(design, seen, face, printing_on(resolved, paper), bit))


def sheets_of(kind: str, sight: Sight, face: Face, printing: Printing, only: Bit | None = None) -> MadeFile:
    """The same of a board that is shown, in its units; what its pictures have drawn is not drawn again.

    Those of a large design are made in another process. Raises as :func:`sheet_file`.
    """
    chosen, seen = kind_named(kind), sight.checked
    design = sight.design.model_copy(update={"units": seen.resolved.units})
    large = has_many_parts(design) or takes_many_sheets(seen.resolved, printing)
    large = large or ("boards" in chosen.needs and len(design.boards) > _BOARDS)
    if "board" in chosen.needs and large:
        bit = only.diameter if only else None
        return apart(
            True,
            sheet_file,
            kind,
            design,
            seen.board,
            seen.arrangement,
            face,
            printing,
            only=bit,
            revision=seen.resolved.revision,
        )
    return aside(_sheets_shown, kind, Shown.of(seen), face, printing, only)


def _sheets_shown(kind: str, shown: Shown, face: Face, printing: Printing, only: Bit | None) -> MadeFile:
    return remembered_sheets(kind_named(kind), shown.design(), shown.judged(), face, printing, only)


def remembered_sheets(
    kind: SheetKind[object],
    design: Design,
    seen: CheckResult,
    face: Face,
    printing: Printing,
    only: Bit | None = None,
) -> MadeFile:
    """The sheets of a board that is shown; drawn once for their pictures and the file."""

    def make() -> MadeFile:
        return _made(kind, design, sheet_job(design, seen, face, printing, only, shown=True))

    if seen.document is None:
        return make()
    of_all = (seen.document, seen.board, seen.arrangement, seen.resolved.units)
    room = len(seen.document.text)
    return _FILES.once((*of_all, kind.name, face, printing, only), make, lambda made: len(made.data) + room)


_FILES: Memory[MadeFile] = Memory(24_000_000)
"""Sheets as files: a template of two players takes some 40 kB."""


def _made(kind: SheetKind[object], design: Design, job: SheetJob) -> MadeFile:
    return bound_file(kind, design, job, tuple(bound_pages(kind, job)))


def bound_file(kind: SheetKind[object], design: Design, job: SheetJob, pages: Sequence[Scene]) -> MadeFile:
    """The file of a kind, of its ``pages`` as they are drawn, read back where something is drilled from it.

    Raises:
        ProofError: the file, read back, does not show what the design asks for.
    """
    from app.proof import prove_sheets

    form, write = sheet_format()
    before = sum(len(part.leaves(job)) for part in kind.bound[:-1])
    data = write(pages, pages[before].title, "")
    proof = prove_sheets(kind, data, job, before)
    name = sheets_name(kind, design, job.board, job.face, job.printing)
    stops, codes = stops_of(kind, job), tuple(kind.codes(job))
    if proof is None:
        return MadeFile(data=data, name=name, format=form, stops=stops, codes=codes)
    return ProvedFile(data=data, name=name, format=form, stops=stops, codes=codes, proof=proof)


def stops_of(kind: SheetKind[object], job: SheetJob) -> int:
    """How many findings say that what a file shows cannot be built as drawn."""
    if kind.is_of_all(job.printing):
        return sum(each.printing.stops for each in job.every)
    return job.printing.stops


def proved(made: MadeFile) -> ProvedFile:
    """The file as one that was read back.

    Raises:
        ProofError: nothing reads such a file back.
    """
    if not isinstance(made, ProvedFile):
        raise ProofError(f"{made.name} is not read back: nothing is drilled from it.")
    return made


def kind_named(name: str) -> SheetKind[object]:
    """The kind of sheets of that name that is a file of its own.

    Raises:
        NotFoundError: there is none.
    """
    if name not in SHEET_FILES:
        raise NotFoundError(f"There are no sheets “{name[:40]}”. Use one of: {', '.join(SHEET_FILES)}.")
    return SHEET_FILES[name]


def printing_on(board: ResolvedBoard, paper: str | Printing) -> Printing:
    """How to print on a paper by its name; on the shop's if there is none.

    Raises:
        PaperError: no such paper.
    """
    if isinstance(paper, Printing):
        return paper
    return Printing(paper_by_text(paper) if paper else board.tooling.paper)


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
