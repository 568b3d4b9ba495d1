"""What a cover sheet says: settings, the order of work, what to measure, what was accepted."""

from __future__ import annotations

from collections.abc import Sequence

from app.catalogue.load import catalogue
from app.drafting.words import exact, length, revision_words, thickness, unit_of
from app.fit.report.acceptance import AcceptedFinding
from app.fit.words.messages import message
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.check.check_sheet import corrected
from app.paper.cover.corners import corner_words
from app.paper.cover.measures import diagonals, hole_pairs
from app.paper.cover.text import Paragraph
from app.paper.sheet.sheets import SheetSet
from app.scene.palette import TEXT_MUTED
from app.shop.screw_pilots import screw_pilots
from app.units import INCH, Unit

SETTINGS = ("Actual size (100 %)", "Fit to page off", "Borderless off", "One page per sheet", "Single-sided")
"""What the print dialog must say, one by one."""

Measure = tuple[str, str, str]
"""What is measured, its length, and by how much it may be off; the last two empty for a note."""


def subtitle(board: ResolvedBoard) -> str:
    """Board, arrangement, revision, material and thickness."""
    layers = [f"{thickness(layer.thickness, unit_of(board))} {layer.material.name}" for layer in board.layers]
    return f"{board.name}, {board.arrangement_name}, {revision_words(board)}; {' on '.join(layers)}"


def printed_on(printing: Printing) -> str:
    """Paper and correction in force."""
    return f"Paper {printing.paper.name}; {corrected(printing)}."


def cut_below(board: ResolvedBoard) -> bool:
    """Whether anything is made from the underside: a counterbore, a recess or screw pilots."""
    return any(p.counterbore or p.recess for p in board.drilled) or _pilots(board, "under")


def _pilots(board: ResolvedBoard, face: Face) -> bool:
    found = (screw_pilots(board, placed) for placed in board.drilled)
    return any(pilots is not None and pilots.face == face for pilots in found)


def face_words(board: ResolvedBoard, sheets: SheetSet, first_page: int, file: str) -> tuple[str, str]:
    """Which file prints a face; and on which pages, with which code, and what it is for."""
    count = len(sheets.tiling.tiles)
    pages = f"page {first_page}" if count == 1 else f"pages {first_page} to {first_page + count - 1}"
    if sheets.template.face == "top":
        use = "Punch and drill from here." if board.drilled else "No holes are drilled."
    elif cut_below(board):
        use = "Mirrored, as you see it turned over."
    else:
        use = "Mirrored. Nothing is cut from this face: not needed."
    return file or _file(sheets.template.face), f"{pages[:1].upper()}{pages[1:]}, code {sheets.code}. {use}"


def _file(face: Face) -> str:
    return "file “…top-template”" if face == "top" else "file “…underside-template”"


def steps(board: ResolvedBoard, top: SheetSet, under: SheetSet, unit: Unit) -> list[Paragraph]:
    """The order of work, numbered."""
    size = f"{_held(board.width, unit)} × {_held(board.depth_front_to_back, unit)}"
    check = (
        "Print the check sheet first, then this file, with the settings above. On every sheet the 100\u00a0mm and the "
        "4\u00a0in bars must measure true, across and up. If one does not, do not drill: type what the check sheet "
        "measures into the print doctor, a page of the app that names the wrong setting. Check sheet and doctor: on "
        "the board's page press Paper, then “Check sheet and print doctor”."
    )
    lay = (
        "Lay each top face sheet with its printed lines on the ruled ones and matching marks together. Tape it "
        "down. Then measure from centre to centre, as listed on the right; if one is off by more, lay the "
        "sheets again."
    )
    cut = f"Cut the board to {size}. Mark its left and front edges: everything is measured from these two."
    if board.round_edges & {"left", "front"}:
        cut = (
            f"Cut a blank of {size}, its corners square. Mark its left and front edges: everything is measured "
            "from these two, which the rim only touches. Saw it to the rim last."
        )
    said = [
        check,
        cut,
        f"Draw lines right across the top face, {_ruled(top, unit)}.",
        lay,
    ]
    if not board.drilled:
        return _numbered([*said[:3], "No holes are drilled in this board; the sheets show its outline."])
    stops = ", but screw pilots only as deep as written" if _pilots(board, "top") else ""
    said.append(
        f"Punch every centre through the paper. Drill a {_pilot(unit)} pilot right through at each{stops}, square to "
        "the face."
    )
    if cut_below(board):
        said.append(
            f"Turn the board over, front edge still towards you. {_ruled_below(top, under, unit)} "
            "Lay the underside sheets on the lines: their crosses meet the pilots."
        )
        said.append(f"From the underside, with a depth stop: {_cuts_below(board)}.")
        said.append(
            "Turn the board back. Drill the holes from the top face to the sizes on the sheets, on a scrap board."
        )
    else:
        said.append("Drill the holes to the sizes on the sheets, from the top face, on a scrap board.")
    corners = corner_words(board, unit)
    if corners:
        said.append(f"Last, round the corners along the rim on the sheets: {corners}.")
    return _numbered(said)


def _pilot(unit: Unit) -> str:
    """The bit for the pilots at the centres: in inches the nearest 1/32, as small bits are sold."""
    wide = catalogue().rule("pilot-diameter")
    if unit is Unit.INCH:
        wide = round(wide / INCH * 32) / 32 * INCH
    return _held(wide, unit)


def _cuts_below(board: ResolvedBoard) -> str:
    """What is made from the underside, in order, and nothing that is not."""
    flat = [
        name
        for name, there in (
            ("counterbores", any(p.counterbore for p in board.drilled)),
            ("recesses", any(p.recess for p in board.drilled)),
        )
        if there
    ]
    pilots = ["screw pilots"] if _pilots(board, "under") else []
    return f"{_and(flat)} first, then {pilots[0]}" if flat and pilots else _and([*flat, *pilots])


def _ruled_below(top: SheetSet, under: SheetSet, unit: Unit) -> str:
    above, below = _ruled(top, unit), _ruled(under, unit)
    if above == below:
        return "Draw the same lines on its underside; the left edge is now on your right."
    return f"Draw lines right across its underside, {below}; the left edge is now on your right."


def _numbered(said: Sequence[str]) -> list[Paragraph]:
    return [Paragraph(text, str(n)) for n, text in enumerate(said, start=1)]


def _ruled(sheets: SheetSet, unit: Unit) -> str:
    """Distances of the lines to rule, as ``128 mm and 320 mm (centre) from the left edge; 90 mm from the front``."""
    upright = sorted((r.distance, r.centre) for r in sheets.ruled if r.axis == "x")
    level = sorted(r.distance for r in sheets.ruled if r.axis == "y")
    left = _and([_held(d, unit) + (" (centre)" if centre else "") for d, centre in upright])
    return f"{left} from the left edge; {_and([_held(d, unit) for d in level])} from the front edge"


def _held(mm: float, unit: Unit) -> str:
    """A length whose number and unit stay on one line."""
    return exact(mm, unit).replace(" ", "\u00a0")


def _and(words: Sequence[str]) -> str:
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else list(words))


def measures(board: ResolvedBoard, unit: Unit) -> list[Measure]:
    """What to measure on the board and on the laid sheets."""
    edge = 2 * board.tooling.drilling.edge
    off = f"± {length(edge, unit)}"
    rows: list[Measure] = [
        ("Width, left to right", length(board.width, unit), off),
        ("Depth, front to back", length(board.depth_front_to_back, unit), off),
    ]
    across = diagonals(board)
    limit = f"± {length(across.limit, unit)}"
    if across.lengths and abs(across.lengths[0] - across.lengths[1]) < 0.05:
        rows.append(("Both diagonals", length(across.lengths[0], unit), limit))
    elif across.lengths:
        rows.append(("Front left to back right", length(across.lengths[0], unit), limit))
        rows.append(("Front right to back left", length(across.lengths[1], unit), limit))
    else:
        rows.append(("Diagonals", "none", ""))
    rows.append((across.between, "", ""))
    return rows + _between_holes(board, unit)


def _between_holes(board: ResolvedBoard, unit: Unit) -> list[Measure]:
    pairs = hole_pairs(board)
    method = board.tooling.drilling
    rows: list[Measure] = [
        (f"Centres {p.a.name} to {p.b.name}", length(p.length, unit), f"± {length(p.limit, unit)}") for p in pairs
    ]
    if not pairs:
        return [("No two holes are far enough apart to measure between.", "", "")]
    if not all(p.news for p in pairs):
        rows.append(("All holes are nearly in one line: nothing across it can be checked this way.", "", ""))
    elif len(pairs) < 3:
        rows.append(("There are no more holes to measure between.", "", ""))
    name = method.name[:1].lower() + method.name[1:]
    rows.append((f"Limits: {name}, {length(method.position, unit)} for every hole.", "", ""))
    return rows


def accepted_words(accepted: Sequence[AcceptedFinding], board: ResolvedBoard, unit: Unit) -> list[Paragraph]:
    """Each accepted caution with its figure and the builder's reason."""
    found = []
    for standing in accepted:
        reason = standing.accepted.reason.strip() or "no reason given"
        again = " Worse now than when it was accepted." if standing.awake else ""
        found.append(Paragraph(f"{message(standing.finding, board, unit)} Accepted: {reason}{again}", "•"))
    return found


def accepted_unseen(board: ResolvedBoard) -> list[Paragraph]:
    """What to say of acceptances that were not looked at."""
    if not board.accepted:
        return [Paragraph("None.", style=TEXT_MUTED)]
    count = len(board.accepted)
    noun = "caution is" if count == 1 else "cautions are"
    return [Paragraph(f"{count} {noun} accepted in the design; the fit report lists them.", style=TEXT_MUTED)]
