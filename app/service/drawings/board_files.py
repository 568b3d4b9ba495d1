"""Drawings of a board as files: at true size for other programs, each read back, and views to read."""

from __future__ import annotations

from app.catalogue.load import catalogue, paper_by_text
from app.document.dump import dumps
from app.document.published import revision_name
from app.document.resolve import resolve
from app.document.schema import Design
from app.drafting.export.drawing import export_scene
from app.drafting.section.section import section
from app.drafting.view.board_view import board_scene
from app.errors import WriterError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet.view_page import board_page, section_page
from app.scene.primitives import Scene
from app.service.background.budget import apart
from app.service.checks.checking import CheckResult, judged
from app.service.checks.long_designs import has_many_parts
from app.service.drawings.file_names import drawing_name, file_name, view_name
from app.service.drawings.formats import JSON, drawing_format, view_format
from app.service.drawings.made_file import MadeFile, ProvedFile
from app.service.sight import Sight


def export_file(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    fmt: str = "svg",
    kerf: float = 0.0,
    *,
    revision: str = "",
) -> ProvedFile:
    """One true-size drawing of a board for other programs and machines, in mm.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        face: the face drawn; ``under`` is mirrored.
        fmt: name of the format, as ``svg`` or ``dxf``.
        kerf: full width of the cut, by half of which lines are moved into the waste [mm].
        revision: what the state of the design is called; empty for a file on its own.

    Raises:
        NotFoundError: no such board or arrangement.
        WriterError: no such format, a number that cannot be drawn, or a kerf that makes something vanish.
        ProofError: the file, read back, does not show what the design asks for.
    """
    return _drawing(
        design,
        judged(resolve(design, board, arrangement, catalogue(), revision or revision_name(design))),
        face,
        fmt,
        kerf,
    )


def drawing_of(sight: Sight, face: Face, fmt: str, kerf: float = 0.0) -> ProvedFile:
    """The same of a board that is shown; of a large design in another process. Raises as :func:`export_file`."""
    design, seen = sight.design, sight.checked
    if has_many_parts(design):
        return apart(
            True, export_file, design, seen.board, seen.arrangement, face, fmt, kerf, revision=seen.resolved.revision
        )
    return apart(False, _drawing, design, seen, face, fmt, kerf)


def _drawing(design: Design, seen: CheckResult, face: Face, fmt: str, kerf: float) -> ProvedFile:
    from app.proof import prove_drawing

    board, stops = seen.resolved, len(seen.report.stops)
    kind, way = drawing_format(fmt)
    data = way.write(export_scene(board, face, kerf, stops))
    proof = prove_drawing(data, way.reader(), board, face, kerf)
    name = drawing_name(design, board, face, kind, kerf)
    return ProvedFile(data=data, name=name, format=kind, stops=stops, proof=proof)


def view_file(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    view: str = "board",
    fmt: str = "svg",
    paper: str = "",
    *,
    revision: str = "",
) -> MadeFile:
    """A drawing to read: the board as on screen, from either face, or a section, as it is or on a page of paper.

    Args:
        design: the design.
        board: id of the board; None for the deck.
        arrangement: id of the arrangement; None for the first.
        view: ``board``, ``underside`` or ``section:`` and the id of a placement, or its letter.
        fmt: name of the format: ``svg``; or ``pdf``, at the largest of the usual scales that fits, which it states.
        paper: ``a4``, ``letter``, … or sides as ``594x841``; empty for the shop's.
        revision: what the state of the design is called; empty for a file on its own.

    Raises:
        NotFoundError: no such board, arrangement or placement.
        WriterError: no such view or format.
        PaperError: no such paper, or one too small.
    """
    return _view(
        design,
        judged(resolve(design, board, arrangement, catalogue(), revision or revision_name(design))),
        view,
        fmt,
        paper,
    )


def view_of(sight: Sight, view: str, fmt: str, paper: str = "") -> MadeFile:
    """The same of a board that is shown, in the units it is shown in; raises as :func:`view_file`."""
    seen = sight.checked
    design = sight.design.model_copy(update={"units": seen.resolved.units})
    if has_many_parts(design):
        return apart(
            True, view_file, design, seen.board, seen.arrangement, view, fmt, paper, revision=seen.resolved.revision
        )
    return apart(False, _view, design, seen, view, fmt, paper)


def _view(design: Design, seen: CheckResult, view: str, fmt: str, paper: str) -> MadeFile:
    kind, _, placement = view.partition(":")
    if view not in ("board", "underside") and not (kind == "section" and placement):
        raise WriterError(f"There is no view “{view[:40]}”. Use board, underside, or section: and a part's id.")
    board, stops = seen.resolved, len(seen.report.stops)
    chosen, way = view_format(fmt)
    placement = _by_letter(board, placement)
    if way.on_paper:
        printing = Printing(paper_by_text(paper) if paper else board.tooling.paper, stops=stops)
        scene = _on_paper(seen, view, placement, printing)
    else:
        scene = _on_no_paper(seen, view, placement)
    data = way.write(scene, board.title)
    return MadeFile(data=data, name=view_name(design, board, view, chosen), format=chosen, stops=stops)


def _on_no_paper(seen: CheckResult, view: str, placement: str) -> Scene:
    found = seen.report.findings
    return (
        section(seen.resolved, placement, found) if placement else board_scene(seen.resolved, found, face=_face(view))
    )


def _on_paper(seen: CheckResult, view: str, placement: str, printing: Printing) -> Scene:
    board, found = seen.resolved, seen.report.findings
    if placement:
        return section_page(board, placement, printing, findings=found)
    return board_page(board, _face(view), printing, findings=found)


def _face(view: str) -> Face:
    return "under" if view == "underside" else "top"


def _by_letter(board: ResolvedBoard, name: str) -> str:
    """The id of the placement of that id, or else of that letter; the name itself where there is none."""
    if board.placed(name) is not None:
        return name
    return next((p.id for p in board.placements if p.label and p.label == name), name)


def design_file(design: Design) -> MadeFile:
    """The design itself, as a file to keep or pass on."""
    return MadeFile(data=dumps(design).encode("utf-8"), name=file_name(JSON, design.title), format=JSON)
