"""One booklet of a pack: every sheet of a way to build a design, on one paper and in one unit, with its contents."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import ProofError
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import Placed, ResolvedBoard
from app.paper.booklet.front import BookletFacts, ContentsLine, front_pages
from app.paper.booklet.proved import ProvedRow, proved_pages
from app.paper.kinds import COVER, KINDS, TEMPLATE
from app.paper.sheet.sheets import SheetSet
from app.paper.sheet.view_page import board_page, section_page
from app.paper.sheet_kind import SheetJob, SheetKind, bound_pages
from app.proof.compare import ProofTally
from app.proof.read_pdf import READER, read_pdf
from app.proof.result import Proof
from app.proof.template import check_tiles
from app.scene.primitives import Scene
from app.service.checks.checking import CheckResult, judged
from app.service.drawings.sheet_jobs import sheet_job
from app.service.pack.request import Variant
from app.writers.pdf import Bookmark, write

Step = Callable[[], None]
"""Told of each page that is drawn; raises where the work has to end."""


@dataclass(frozen=True, slots=True)
class TemplateSheets:
    """The sheets of a template within a booklet, to be read back: where they lie, and the board they are of."""

    plan: SheetSet
    board: ResolvedBoard
    printing: Printing
    name: str


@dataclass(frozen=True, slots=True)
class Section:
    """Pages of a booklet under one title.

    Args:
        title: in the contents.
        level: how deep.
        pages: drawn.
        template: what is read back of its last pages; None where nothing is drilled from them.
    """

    title: str
    level: int
    pages: tuple[Scene, ...]
    template: TemplateSheets | None = None


class DrawnSections:
    """Sections that were drawn for one paper and unit, so that what several booklets share is drawn once."""

    def __init__(self, step: Step) -> None:
        self._kept: dict[tuple[object, ...], Section] = {}
        self._step = step

    def once(self, key: tuple[object, ...], title: str, level: int, draw: Callable[[], Iterator[Scene]],
             template: Callable[[], TemplateSheets | None] = lambda: None) -> Section:  # fmt: skip
        """A section, drawn if no other booklet has had it."""
        if key not in self._kept:
            pages = []
            for page in draw():
                pages.append(page)
                self._step()
            self._kept[key] = Section(title, level, tuple(pages), template())
        return replace(self._kept[key], title=title, level=level)


@dataclass(frozen=True, slots=True)
class Booklet:
    """A booklet as it was written and read back: its bytes, how many pages, what reading found of each template."""

    data: bytes
    pages: int
    contents: tuple[ContentsLine, ...]
    proofs: tuple[tuple[str, Proof], ...]


def booklet(design: Design, variant: Variant, paper: str, unit: str, revision: str, drawn: DrawnSections) -> Booklet:
    """A booklet.

    Args:
        design: the design.
        variant: the way to build it.
        paper: name of the paper.
        unit: of the measures, ``mm`` or ``inch``.
        revision: what the state of the design is called.
        drawn: what other booklets of this paper and unit have drawn.

    Raises:
        PaperError: the paper is too small for a sheet.
        ProofError: a template, read back, does not show what the design asks for.
    """
    in_unit = design.model_copy(update={"units": unit})
    seen = [judged(resolve(in_unit, b.id, a.id, catalogue(), revision)) for b, a in variant.boards]
    printing = Printing(paper_by_text(paper))
    jobs = [sheet_job(in_unit, each, "top", printing) for each in seen]
    sections = [*_views(seen, jobs, drawn), *_kinds(in_unit, seen, jobs, drawn), *_sections(seen, jobs, drawn)]
    facts = _facts(design, seen)
    rows = [ProvedRow(s.template.name, len(s.template.plan.tiling.tiles), 0, 0.0) for s in sections if s.template]
    last = len(proved_pages(jobs[0].board, jobs[0].printing, rows, READER))
    sections.append(Section("What was proved", 0, ()))
    first = len(front_pages(facts, _contents(sections, 0), jobs[0].printing))
    lines = _contents(sections, first)
    front = tuple(front_pages(facts, lines, jobs[0].printing))
    body = [*front, *(page for section in sections for page in section.pages)]
    bare = write(body, title=design.title, bookmarks=_bookmarks(lines))
    proofs = _proved(bare, sections, first)
    rows = [ProvedRow(name, proof.pages, proof.holes, proof.largest) for name, proof in proofs]
    end = tuple(proved_pages(jobs[0].board, jobs[0].printing, rows, READER))
    if len(end) != last:
        raise ProofError("The page of what was proved is longer than was reckoned. Please report it.")
    data = write([*body, *end], title=design.title, bookmarks=_bookmarks(lines))
    return Booklet(data, len(body) + len(end), lines, proofs)


def _facts(design: Design, seen: Sequence[CheckResult]) -> BookletFacts:
    latest = design.published[-1] if design.published else None
    published = latest is not None and seen[0].resolved.revision == f"revision {latest.letter}"
    return BookletFacts(
        tuple(each.resolved for each in seen),
        tuple(len(each.report.stops) for each in seen),
        design.notes,
        latest.changes if latest and published else (),
        latest.date if latest and published else "",
    )


def _key(job: SheetJob, *more: object) -> tuple[object, ...]:
    return (*more, job.board.id, job.board.arrangement_id)


def _views(seen: Sequence[CheckResult], jobs: Sequence[SheetJob], drawn: DrawnSections) -> Iterator[Section]:
    """Each board from above, on a page."""
    for number, (each, job) in enumerate(zip(seen, jobs, strict=True)):
        board = job.board

        def draw(each: CheckResult = each, job: SheetJob = job, board: ResolvedBoard = board) -> Iterator[Scene]:
            yield board_page(board, "top", job.printing, findings=each.report.open)

        title = "The boards" if number == 0 else board.name
        yield drawn.once(_key(job, "view"), title, min(number, 1), draw)


def _kinds(
    design: Design, seen: Sequence[CheckResult], jobs: Sequence[SheetJob], drawn: DrawnSections
) -> Iterator[Section]:
    """Every kind of sheets that there is, in the order of the list of kinds."""
    for kind in KINDS.values():
        if kind.name == COVER.name or "boards" in kind.needs:
            continue
        title = f"{kind.words[:1].upper()}{kind.words[1:]}"
        if "board" not in kind.needs:
            yield drawn.once((kind.name,), title, 0, lambda kind=kind: bound_pages(kind, jobs[0]))  # type: ignore[misc]
            continue
        first = True
        for each, job in zip(seen, jobs, strict=True):
            for face in _faces(kind, job):
                own = sheet_job(design, each, face, job.printing) if face != "top" else job
                if not kind.rows(own):
                    continue
                where = own.board.name if face == "top" else f"{own.board.name}, underside"
                name = f"{title}: {where}" if len(jobs) > 1 or face != "top" else title
                yield drawn.once(
                    _key(own, kind.name, face), name, 0 if first else 1, _draw(kind, own), _template(kind, own, name)
                )
                first = False


def _faces(kind: SheetKind[object], job: SheetJob) -> tuple[Face, ...]:
    """The faces that sheets of a kind are made for: from below only where something is cut or fixed there."""
    return ("top", "under") if "face" in kind.needs and has_work_below(job.board) else ("top",)


def has_work_below(board: ResolvedBoard) -> bool:
    """Whether anything is cut or screwed from the underside of a board."""
    return any(p.counterbore or p.recess or (p.screws and p.part.mount == "under") for p in board.drilled)


def _draw(kind: SheetKind[object], job: SheetJob) -> Callable[[], Iterator[Scene]]:
    """The pages of a kind with what stands before them; the cover, which shows both faces, only with the top one."""

    def draw() -> Iterator[Scene]:
        if kind.name == TEMPLATE.name and job.face == "under":
            pages = kind.pages(job)
            return (pages[k] for k in range(len(pages)))
        return bound_pages(kind, job)

    return draw


def _template(kind: SheetKind[object], job: SheetJob, name: str) -> Callable[[], TemplateSheets | None]:
    if kind.name != TEMPLATE.name:
        return lambda: None
    return lambda: TemplateSheets(job.template.plan, job.board, job.printing, name)


def _sections(seen: Sequence[CheckResult], jobs: Sequence[SheetJob], drawn: DrawnSections) -> Iterator[Section]:
    """The section through one part of each kind that is counterbored or sunk."""
    first = True
    for each, job in zip(seen, jobs, strict=True):
        for placed in _sunk(job.board):

            def draw(each: CheckResult = each, job: SheetJob = job, ident: str = placed.id) -> Iterator[Scene]:
                yield section_page(job.board, ident, job.printing, findings=each.report.findings)

            title = f"Section through {placed.label or placed.part.name}"
            title = f"{title}: {job.board.name}" if len(jobs) > 1 else title
            yield drawn.once(_key(job, "section", placed.id), title, 0 if first else 1, draw)
            first = False


def _sunk(board: ResolvedBoard) -> tuple[Placed, ...]:
    """One part of each kind and depth that is cut from below, in the order of the board."""
    found: dict[tuple[object, ...], Placed] = {}
    for placed in board.drilled:
        if placed.counterbore or placed.recess:
            found.setdefault((placed.part.id, placed.counterbore, placed.recess), placed)
    return tuple(found.values())


def _contents(sections: Sequence[Section], first: int) -> tuple[ContentsLine, ...]:
    """The contents of pages that begin after ``first`` others."""
    lines, page = [], first + 1
    for section in sections:
        lines.append(ContentsLine(section.title, page, section.level))
        page += len(section.pages)
    return tuple(lines)


def _bookmarks(lines: Sequence[ContentsLine]) -> tuple[Bookmark, ...]:
    return tuple(Bookmark(line.title, line.page - 1, line.level) for line in lines)


def _proved(data: bytes, sections: Sequence[Section], first: int) -> tuple[tuple[str, Proof], ...]:
    """What reading a booklet back has found of each template in it.

    Raises:
        ProofError: it does not show what the design asks for.
    """
    pages, at, found = read_pdf(data), first, []
    for section in sections:
        end = at + len(section.pages)
        if section.template is not None:
            asked = section.template
            begin = end - len(asked.plan.tiling.tiles)
            tally = ProofTally(f"The booklet, {asked.name},")
            kinds = check_tiles(pages[begin:end], asked.plan, asked.board, asked.printing, tally, first=begin + 1)
            proof = Proof(sum(n for _, n in kinds), tally.largest, end - begin, READER, kinds)
            found.append((asked.name, proof))
        at = end
    if at != len(pages):
        raise ProofError(f"The booklet has {len(pages)} pages, not {at}. Please report it.")
    return tuple(found)
