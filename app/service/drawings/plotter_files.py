"""Files for a cutting plotter: what a kind of sheets has to be cut of film, read back before anybody gets it."""

from __future__ import annotations

from typing import Final

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import NotFoundError
from app.model.part import Face
from app.model.printing import Printing
from app.paper.sheet_kind import SheetJob, SheetKind
from app.service.background.budget import apart
from app.service.checks.checking import judged
from app.service.checks.long_designs import has_many_parts
from app.service.drawings.file_names import sheets_name
from app.service.drawings.formats import SVG, drawing_format
from app.service.drawings.made_file import ProvedFile
from app.service.drawings.sheet_files import SHEET_FILES, kind_named, printing_on
from app.service.drawings.sheet_jobs import sheet_job
from app.service.sight import Sight

CUT_KINDS: Final = tuple(name for name, kind in SHEET_FILES.items() if kind.cut is not None)
"""Names of the kinds of sheets that a plotter cuts."""


def plotter_file(
    kind: str,
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    paper: str | Printing = "",
    *,
    revision: str = "",
) -> ProvedFile:
    """What a plotter cuts for a kind of sheets, as SVG, true to 0.01 mm.

    Args:
        kind: name of the kind, as ``legends``.
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: ``under`` to be stuck behind a clear cover: mirrored.
        paper: how wide the film is, as of :func:`app.service.drawings.sheet_files.sheet_file`; its shorter side counts.
        revision: which state of the design it is; empty for a file on its own.

    Raises:
        NotFoundError: no such kind, board or arrangement, or one of which nothing is cut.
        PaperError: no such paper.
        ProofError: the file, read back, does not show what the design asks for.
    """
    seen = judged(resolve(design, board, arrangement, catalogue(), revision))
    return cut_of(kind_named(kind), design, sheet_job(design, seen, face, printing_on(seen.resolved, paper)))


def plotter_of(kind: str, sight: Sight, face: Face, printing: Printing) -> ProvedFile:
    """The same of a board that is shown; of a large design in another process. Raises likewise."""
    seen = sight.checked
    where = seen.board, seen.arrangement, face, printing
    large = has_many_parts(sight.design)
    return apart(large, plotter_file, kind, sight.design, *where, revision=seen.resolved.revision)


def cut_of(kind: SheetKind[object], design: Design, job: SheetJob) -> ProvedFile:
    """The same from what its sheets are made from; raises likewise."""
    from app.proof import prove_cut

    if kind.cut is None:
        raise NotFoundError(f"Nothing of the {kind.words} is cut by a plotter. Of these it is: {', '.join(CUT_KINDS)}.")
    form, way = drawing_format(SVG.name)
    data = way.write(kind.cut(job))
    proof = prove_cut(data, job.board, mirrored=job.face == "under")
    name = sheets_name(kind, design, job.board, job.face, job.printing, form)
    return ProvedFile(data=data, name=name, format=form, stops=job.printing.stops, proof=proof)
