"""The files of a pack: what each is called, and how it is made."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.published import revision_name
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.slug import slug
from app.model.printing import Printing
from app.paper.kinds import ALL_TEMPLATES, FILES
from app.proof.result import Proof
from app.service.checks.checking import judged
from app.service.drawings.board_files import export_file
from app.service.drawings.formats import DRAWINGS, LISTS
from app.service.drawings.list_files import LIST_KINDS, list_of
from app.service.drawings.made_file import MadeFile, ProvedFile
from app.service.drawings.sheet_files import sheet_file
from app.service.drawings.sheet_jobs import sheet_job
from app.service.pack.booklet import DrawnSections, Step, booklet, has_work_below
from app.service.pack.request import PackRequest, Variant, variants_of


@dataclass(frozen=True, slots=True)
class PackedFile:
    """A file of a pack.

    Args:
        path: where it lies in it.
        data: its bytes.
        pages: how many pages it has; 0 of what has none.
        proofs: what reading it back has found, by what was read.
    """

    path: str
    data: bytes
    pages: int = 0
    proofs: tuple[tuple[str, Proof], ...] = field(default=())


def packed_files(design: Design, request: PackRequest, step: Step) -> Iterator[PackedFile]:
    """Every file of a pack, one after the other; the same design gives the same bytes.

    Args:
        design: the design.
        request: what the pack is asked to hold.
        step: told of each page or file that is made; raises where the work has to end.

    Raises:
        HolewiseError: something is asked for that there is not, or a file does not agree with the design.
    """
    variants, revision = variants_of(design, request), revision_name(design)
    for paper in request.papers:
        for unit in request.units:
            in_unit, place = design.model_copy(update={"units": unit}), f"{paper}-{unit}"
            if request.wants("booklets"):
                yield from _booklets(design, variants, paper, unit, revision, step)
            if request.wants("sheets"):
                yield from _sheets(in_unit, variants, paper, place, step)
    if request.wants("lists"):
        for unit in request.units:
            yield from _lists(design.model_copy(update={"units": unit}), variants, unit, step)
    if request.wants("drawings"):
        yield from _drawings(design, variants, step)
    if request.wants("design"):
        yield PackedFile(f"design/{slug(design.title)}.json", dumps(design).encode())
        step()


def _booklets(
    design: Design, variants: tuple[Variant, ...], paper: str, unit: str, revision: str, step: Step
) -> Iterator[PackedFile]:
    drawn = DrawnSections(step)
    for variant in variants:
        made = booklet(design, variant, paper, unit, revision, drawn)
        name = slug(design.title, variant.id, paper, unit)
        yield PackedFile(f"booklets/{name}.pdf", made.data, made.pages, made.proofs)


def _sheets(design: Design, variants: tuple[Variant, ...], paper: str, place: str, step: Step) -> Iterator[PackedFile]:
    """Each kind of sheets by itself; what several variants share, once."""
    done = set[tuple[object, ...]]()
    for kind in FILES.values():
        for variant in variants:
            for board, arrangement in variant.boards:
                of = (board.id, arrangement.id) if "board" in kind.needs and kind is not ALL_TEMPLATES else ()
                if kind is ALL_TEMPLATES and (len(design.boards) < 2 or variant is not variants[0]):
                    continue
                for face in ("top", "under") if "face" in kind.needs else ("top",):
                    if (kind.name, of, face) in done:
                        continue
                    done.add((kind.name, of, face))
                    if face == "under" and not _below(design, board.id, arrangement.id):
                        continue
                    made = sheet_file(kind.name, design, board.id, arrangement.id, face, paper)
                    yield _packed(f"sheets/{place}", made)
                    step()


def _below(design: Design, board: str, arrangement: str) -> bool:
    return has_work_below(resolve(design, board, arrangement, catalogue()))


def _lists(design: Design, variants: tuple[Variant, ...], unit: str, step: Step) -> Iterator[PackedFile]:
    """Every list that has a row, for a spreadsheet and for scripts."""
    done, revision = set[tuple[str, str]](), revision_name(design)
    for variant in variants:
        for board, arrangement in variant.boards:
            if (board.id, arrangement.id) in done:
                continue
            done.add((board.id, arrangement.id))
            seen = judged(resolve(design, board.id, arrangement.id, catalogue(), revision))
            job = sheet_job(design, seen, "top", Printing(seen.resolved.tooling.paper))
            for kind in (FILES[name] for name in LIST_KINDS):
                for form in LISTS if kind.rows(job) else ():
                    yield _packed(f"lists/{unit}", list_of(kind, design, job, form.name))
                    step()


def _drawings(design: Design, variants: tuple[Variant, ...], step: Step) -> Iterator[PackedFile]:
    done = set[tuple[str, str]]()
    for variant in variants:
        for board, arrangement in variant.boards:
            if (board.id, arrangement.id) in done:
                continue
            done.add((board.id, arrangement.id))
            for form in DRAWINGS:
                yield _packed("drawings", export_file(design, board.id, arrangement.id, "top", form.name))
                step()


def _packed(folder: str, made: MadeFile) -> PackedFile:
    proofs = ((made.name, made.proof),) if isinstance(made, ProvedFile) else ()
    return PackedFile(f"{folder}/{made.name}", made.data, proofs[0][1].pages if proofs else 0, proofs)
