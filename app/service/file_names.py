"""What downloaded files are called: which design, which arrangement, which face, and how large it shall come out."""

from __future__ import annotations

import re
import unicodedata

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.part import Face
from app.model.resolved import ResolvedBoard
from app.units import format_exact

_LONGEST = 80


def slug(*words: str) -> str:
    """A name every system takes, from words; ``design`` if nothing of them is left."""
    text = unicodedata.normalize("NFKD", "-".join(word for word in words if word))
    plain = re.sub(r"[^a-z0-9]+", "-", text.encode("ascii", "ignore").decode().lower()).strip("-")
    return plain[:_LONGEST].strip("-") or "design"


def export_name(
    design: Design,
    board: str | None = None,
    arrangement: str | None = None,
    face: Face = "top",
    fmt: str = "svg",
    kerf: float = 0.0,
) -> str:
    """The file name of an exchange drawing, with the size that a program has to show when it opens the file.

    As ``harbour-lane-two-seater-two-top-600x220mm.dxf``; with the board's id where there are several, and with
    the kerf if there is one, so that such a file is not taken for one without.

    Raises:
        NotFoundError: no such board or arrangement.
    """
    resolved = resolve(design, board, arrangement, catalogue())
    width, depth = (format_exact(round(v, 3)) for v in (resolved.width, resolved.depth_front_to_back))
    which = resolved.id if len(design.boards) > 1 else ""
    cut = f"-kerf-{format_exact(round(kerf, 3))}mm" if kerf else ""
    name = slug(design.title, which, resolved.arrangement_id, _face(face))
    return f"{name}-{width}x{depth}mm{cut}.{fmt}"


def template_name(design: Design, board: str | None = None, arrangement: str | None = None, face: Face = "top") -> str:
    """The file name of a drill template, as ``harbour-lane-two-seater-two-underside-template.pdf``.

    Raises:
        NotFoundError: no such board or arrangement.
    """
    return template_name_of(design, resolve(design, board, arrangement, catalogue()), face)


def template_name_of(design: Design, resolved: ResolvedBoard, face: Face) -> str:
    """The same for a board of the design that is resolved already."""
    which = resolved.id if len(design.boards) > 1 else ""
    return f"{slug(design.title, which, resolved.arrangement_id, _face(face), 'template')}.pdf"


def _face(face: Face) -> str:
    return "underside" if face == "under" else "top"
