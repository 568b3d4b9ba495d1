"""What downloaded files are called: which design, which arrangement, which face, and how large it shall come out."""

from __future__ import annotations

from app.document.schema import Design
from app.document.slug import slug
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.sheet_kind import SheetKind
from app.service.drawings.formats import Format, sheet_format
from app.units import format_exact


def file_name(kind: Format, *words: str) -> str:
    """The name of a file of that format, from words."""
    return f"{slug(*words)}{kind.ending}"


def drawing_name(design: Design, board: ResolvedBoard, face: Face, kind: Format, kerf: float = 0.0) -> str:
    """The name of an exchange drawing, with the size that a program has to show when it opens the file.

    As ``harbour-lane-two-seater-two-top-600x220mm.dxf``; with the board's id where there are several, and with
    the kerf if there is one, so that such a file is not taken for one without.
    """
    width, front_to_back = (format_exact(round(v, 3)) for v in (board.width, board.depth_front_to_back))
    cut = f"-kerf-{format_exact(round(kerf, 3))}mm" if kerf else ""
    # The size is never what is cut off a long name.
    return f"{slug(*_board(design, board), _face(face))}-{width}x{front_to_back}mm{cut}{kind.ending}"


def view_name(design: Design, board: ResolvedBoard, view: str, kind: Format) -> str:
    """The name of a drawing to read, as ``harbour-lane-two-seater-two-section-p1.pdf``."""
    return file_name(kind, *_board(design, board), *view.split(":", 1))


def sheets_name(
    kind: SheetKind[object],
    design: Design,
    board: ResolvedBoard,
    face: Face,
    printing: Printing,
    as_format: Format | None = None,
    table: str = "",
) -> str:
    """The name of a file of sheets, as ``harbour-lane-two-seater-two-underside-template.pdf``.

    Of a list one ``table`` may be named. Sheets that show no board are those of a paper, and of the printer they are
    corrected for. Without a format they are sheets of paper.
    """
    form = as_format or sheet_format()[0]
    if "board" not in kind.needs:
        printer = printing.correction.printer
        return file_name(form, kind.name, printing.paper.name, printer and f"corrected-{printer}")
    side = _face(face) if "face" in kind.needs else ""
    if kind.is_of_all(printing):
        return file_name(form, design.title, side, kind.name)
    return file_name(form, *_board(design, board), side, kind.name, table.replace("_", "-"))


def _board(design: Design, board: ResolvedBoard) -> tuple[str, str, str]:
    """The design, the board where it has several, and its arrangement."""
    return design.title, board.id if len(design.boards) > 1 else "", board.arrangement_id


def _face(face: Face) -> str:
    return "underside" if face == "under" else "top"
