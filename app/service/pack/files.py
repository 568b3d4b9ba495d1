"""The files of a pack: what each is called, and how it is made."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import PurePosixPath
from typing import Literal

from msgspec import Struct, field

from app.document.dump import dumps
from app.document.slug import slug
from app.model.part import Face
from app.paper.kinds import FILES
from app.paper.kinds.what_changed import WHAT_CHANGED
from app.paper.sheet_kind import SheetCode, SheetJob, SheetKind
from app.proof.result import Proof
from app.service.drawings.board_files import export_file
from app.service.drawings.formats import DRAWINGS, JSON, LISTS, sheet_format
from app.service.drawings.list_files import LIST_KINDS, list_of
from app.service.drawings.made_file import MadeFile, ProvedFile
from app.service.drawings.plotter_files import CUT_KINDS, cut_of
from app.service.drawings.sheet_files import bound_file
from app.service.pack.boards import Key, PackBoards
from app.service.pack.booklet import Figures, booklet
from app.service.pack.request import Variant
from app.service.pack.sections import DrawnPages, Step, changed_pages, jobs_of
from app.values import replace

Part = tuple[Literal["sheets"], str, str] | tuple[Literal["lists", "drawings", "design"], str, Literal[""]]
"""A part of a pack that is made by itself: sheets and booklets of a paper and a unit, lists of a unit, drawings …"""


class PackedFile(Struct, frozen=True):
    """A file of a pack.

    Args:
        path: where it lies in it.
        data: its bytes.
        pages: how many pages it has; 0 of what has none.
        proofs: what reading it back has found, by what was read.
        codes: the check codes on its sheets.
    """

    path: str
    data: bytes
    pages: int = 0
    proofs: tuple[tuple[str, Proof], ...] = field(default=())
    codes: tuple[SheetCode, ...] = field(default=())


def parts_of(boards: PackBoards) -> tuple[Part, ...]:
    """The parts that a pack is made of: sheets, the longest work, at both ends, where two processes begin."""
    request, sheets, short = boards.request, list[Part](), list[Part]()
    if request.wants("booklets") or request.wants("sheets"):
        sheets += [("sheets", paper, unit) for paper in request.papers for unit in request.units]
    if request.wants("drawings"):
        short.append(("drawings", "", ""))
    if request.wants("lists"):
        short += [("lists", unit, "") for unit in request.units]
    if request.wants("design"):
        short.append(("design", "", ""))
    half = (len(sheets) + 1) // 2
    return (*sheets[:half], *short, *sheets[half:])


def files_of(boards: PackBoards, part: Part, step: Step) -> Iterator[PackedFile]:
    """The files of a part, one after the other; the same design gives the same bytes.

    Args:
        boards: of the pack.
        part: of it.
        step: told of each page or file that is made; raises where the work has to end.

    Raises:
        HolewiseError: a file cannot be made, or does not agree with the design.
    """
    if part[0] == "sheets":
        drawn, figures = DrawnPages(step), Figures()
        if boards.request.wants("sheets"):
            yield from _sheets(boards, part[1], part[2], drawn, figures, step)
        if boards.request.wants("booklets"):
            yield from _booklets(boards, part[1], part[2], drawn, figures, step)
    elif part[0] == "lists":
        yield from _lists(boards, part[1], step)
    elif part[0] == "drawings":
        yield from _drawings(boards, step)
    else:
        yield PackedFile(f"design/{slug(boards.design.title)}{JSON.ending}", dumps(boards.design).encode())
        step()


def _booklets(
    boards: PackBoards, paper: str, unit: str, drawn: DrawnPages, figures: Figures, step: Step
) -> Iterator[PackedFile]:
    for variant in boards.variants:
        made = booklet(boards, variant, paper, unit, drawn, figures)
        name = slug(boards.design.title, variant.id, paper, unit)
        yield PackedFile(f"booklets/{name}{sheet_format()[0].ending}", made.data, made.pages, made.proofs)
        step()


class PlannedSheets(Struct, frozen=True):
    """A file of sheets: of which kind, what it is made from, what its pages are known by, of which way to build."""

    kind: SheetKind[object]
    job: SheetJob
    of: Key
    variant: Variant

    @property
    def key(self) -> Key:
        """What its figures are known by."""
        return self.kind.name, self.job.board.id, self.job.board.arrangement_id, self.job.face


def planned_sheets(boards: PackBoards, paper: str, unit: str) -> Iterator[PlannedSheets]:
    """Each kind of sheets by itself, of each board and face it says anything of; what several ways share, once."""
    done = set[Key]()
    for kind in (kind for kind in FILES.values() if kind.packed):
        for variant in boards.variants:
            if kind.again and (len(variant.boards) < 2 or len(variant.boards) < len(boards.design.boards)):
                continue
            for job, of in jobs_of(boards, variant, unit, paper, kind):
                if (kind.name, *of) not in done:
                    done.add((kind.name, *of))
                    yield PlannedSheets(kind, job, of, variant)


def _sheets(
    boards: PackBoards, paper: str, unit: str, drawn: DrawnPages, figures: Figures, step: Step
) -> Iterator[PackedFile]:
    for planned in planned_sheets(boards, paper, unit):
        pages = drawn.bound(planned.kind, planned.job, planned.of)
        made = bound_file(planned.kind, boards.in_unit(unit), planned.job, pages)
        if isinstance(made, ProvedFile):
            figures[planned.key] = (made.proof.holes, made.proof.largest)
        packed = _packed(f"sheets/{slug(paper, unit)}", made, len(pages))
        yield _of_variant(packed, boards, planned) if planned.kind.is_of_all(planned.job.printing) else packed
        step()
    changed = boards.changes_job(unit, paper)
    if changed is not None:
        pages = changed_pages(changed, drawn)
        made = bound_file(WHAT_CHANGED, boards.in_unit(unit), changed, pages)
        yield _packed(f"sheets/{slug(paper, unit)}", made, len(pages))
        step()


def _of_variant(packed: PackedFile, boards: PackBoards, planned: PlannedSheets) -> PackedFile:
    """A file of the whole design, with the way to build it in its name where there are several."""
    if len(boards.variants) < 2:
        return packed
    path = PurePosixPath(packed.path)
    return replace(packed, path=str(path.with_name(f"{path.stem}-{slug(planned.variant.id)}{path.suffix}")))


def planned_lists(boards: PackBoards, unit: str) -> Iterator[PlannedSheets]:
    """Every list that has a row."""
    done = set[Key]()
    for kind in (FILES[name] for name in LIST_KINDS):
        for variant in boards.variants:
            for job, of in jobs_of(boards, variant, unit, "", kind):
                if of[-1:] != ("under",) and (kind.name, *of) not in done:
                    done.add((kind.name, *of))
                    yield PlannedSheets(kind, job, of, variant)


def _lists(boards: PackBoards, unit: str, step: Step) -> Iterator[PackedFile]:
    """Every list, for a spreadsheet and for scripts."""
    for planned in planned_lists(boards, unit):
        for form in LISTS:
            made = list_of(planned.kind, boards.in_unit(unit), planned.job, form.name)
            packed = _packed(f"lists/{unit}", made)
            yield _of_variant(packed, boards, planned) if planned.kind.is_of_all(planned.job.printing) else packed
            step()


def built_boards(boards: PackBoards) -> tuple[tuple[str, str], ...]:
    """Every board with an arrangement that one of the ways to build the design has, by ids."""
    return tuple(dict.fromkeys((b.id, a.id) for variant in boards.variants for b, a in variant.boards))


def _drawings(boards: PackBoards, step: Step) -> Iterator[PackedFile]:
    face: Face = "top"
    for board, arrangement in built_boards(boards):
        for form in DRAWINGS:
            yield _packed("drawings", export_file(boards.design, board, arrangement, face, form.name))
            step()
    for kind, job in planned_cuts(boards):
        yield _packed("drawings", cut_of(kind, boards.design, job))
        step()


def planned_cuts(boards: PackBoards) -> tuple[tuple[SheetKind[object], SheetJob], ...]:
    """What a plotter cuts, of each kind and board that has any."""
    jobs = [boards.job(boards.design.units, "", board, arrangement) for board, arrangement in built_boards(boards)]
    kinds = [FILES[name] for name in CUT_KINDS]
    return tuple((kind, job) for kind in kinds for job in jobs if kind.rows(job))


def _packed(folder: str, made: MadeFile, pages: int = 0) -> PackedFile:
    proofs = ((made.name, made.proof),) if isinstance(made, ProvedFile) else ()
    return PackedFile(f"{folder}/{made.name}", made.data, pages, proofs, made.codes)
