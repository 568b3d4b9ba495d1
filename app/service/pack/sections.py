"""The sections of a booklet, each with its pages; what several booklets and files share is drawn once."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from msgspec import Struct

from app.fit.finding import Finding
from app.model.resolved import Placed, ResolvedBoard
from app.paper.booklet.numbers import PageFeet
from app.paper.kinds import FILES
from app.paper.kinds.what_changed import WHAT_CHANGED
from app.paper.sheet.view_page import board_page, section_page
from app.paper.sheet_kind import SheetJob, SheetKind, bound_pages
from app.proof.sheets import PROVERS
from app.scene.primitives import Scene
from app.service.pack.boards import PackBoards, faces
from app.service.pack.request import Variant
from app.values import replace

Step = Callable[[], None]
"""Told of each page that is drawn and each file that is made; raises where the work has to end."""

Key = tuple[str, ...]


class Section(Struct, frozen=True):
    """Pages of a booklet under one title.

    Args:
        title: in the contents.
        level: how deep.
        pages: drawn; none of a heading over others.
        kind: of sheets that are read back; None where nothing is drilled from them.
        job: what these were made from.
        name: of what was read back.
        before: how many of its pages come before those that are drilled from.
    """

    title: str
    level: int = 0
    pages: tuple[Scene, ...] = ()
    kind: SheetKind[object] | None = None
    job: SheetJob | None = None
    name: str = ""
    before: int = 0


class DrawnPages:
    """Pages that were drawn for one paper and unit.

    Args:
        step: told of each.
    """

    def __init__(self, step: Step) -> None:
        self.feet = PageFeet()
        self._kept: dict[Key, tuple[Scene, ...]] = {}
        self._step = step

    def once(self, key: Key, draw: Callable[[], Iterator[Scene]]) -> tuple[Scene, ...]:
        """Pages, drawn if nobody has asked for them yet."""
        if key not in self._kept:
            pages = []
            for page in draw():
                pages.append(page)
                self._step()
            self._kept[key] = tuple(pages)
        return self._kept[key]

    def of_kind(self, kind: SheetKind[object], job: SheetJob, of: Key) -> tuple[Scene, ...]:
        """The pages of a kind alone, without those at the front of its file.

        Args:
            kind: of sheets.
            job: what they are made from.
            of: the board and its arrangement, or the way to build the design; then the face.
        """

        def draw() -> Iterator[Scene]:
            pages = kind.pages(job)
            return (pages[index] for index in range(len(pages)))

        # Of a board, an arrangement and a face it depends only on what it needs.
        return self.once((kind.name, *(of if "face" in kind.needs else of[:-1])), draw)

    def bound(self, kind: SheetKind[object], job: SheetJob, of: Key) -> tuple[Scene, ...]:
        """The pages of a kind's file; what is at its front is of whole boards, and of both faces the same."""
        return tuple(page for part in kind.bound for page in self.of_kind(part, job, of))


def sections_of(boards: PackBoards, variant: Variant, unit: str, paper: str, drawn: DrawnPages) -> list[Section]:
    """All sections of a booklet but what was proved: the boards, every kind of sheets, what is sunk from below."""
    jobs = boards.jobs(variant, unit, paper)
    views = list(_views(boards, jobs, unit, drawn))
    bound = [(kind, list(_kind(boards, variant, unit, paper, kind, drawn))) for kind in bound_kinds()]
    of_boards = [_grouped(_titled(kind), pages) for kind, pages in bound if "board" in kind.needs]
    of_paper = [_grouped(_titled(kind), pages) for kind, pages in bound if "board" not in kind.needs]
    below = _grouped("Sections of what is cut from below", list(_cuts_below(boards, jobs, unit, drawn)))
    changed = _changed(boards, unit, paper, drawn)
    found = [changed, _grouped("The boards", views), *of_boards, below, *of_paper]
    return [section for group in found for section in group]


def _changed(boards: PackBoards, unit: str, paper: str, drawn: DrawnPages) -> list[Section]:
    """What changed since an older state, where that is told."""
    job = boards.changes_job(unit, paper)
    if job is None or boards.since is None:
        return []
    return [Section(f"What changed since {boards.since.called}", 0, changed_pages(job, drawn))]


def changed_pages(job: SheetJob, drawn: DrawnPages) -> tuple[Scene, ...]:
    """The sheets of what changed, which are the same in every booklet and a file of their own."""
    return drawn.once((WHAT_CHANGED.name,), lambda: bound_pages(WHAT_CHANGED, job))


def bound_kinds() -> tuple[SheetKind[object], ...]:
    """The kinds of sheets that are bound: those that are a packed file, and do not show again what others show."""
    return tuple(kind for kind in FILES.values() if kind.packed and not kind.again)


def _titled(kind: SheetKind[object]) -> str:
    return f"{kind.words[:1].upper()}{kind.words[1:]}"


def _grouped(title: str, sections: Sequence[Section]) -> list[Section]:
    """Sections under a heading; one alone bears it itself."""
    if len(sections) < 2:
        return [replace(section, title=title) for section in sections]
    return [Section(title), *(replace(section, level=1) for section in sections)]


def _views(boards: PackBoards, jobs: Sequence[SheetJob], unit: str, drawn: DrawnPages) -> Iterator[Section]:
    """Each board from above, on a page."""
    for job in jobs:
        seen = boards.seen(unit, job.board.id, job.board.arrangement_id)

        def draw(job: SheetJob = job, findings: Sequence[Finding] = seen.report.open) -> Iterator[Scene]:
            yield board_page(job.board, "top", job.printing, findings=findings)

        yield Section(job.board.name, 0, drawn.once(("view", *_of(job.board)), draw))


def _of(board: ResolvedBoard) -> tuple[str, str]:
    return board.id, board.arrangement_id


def _kind(
    boards: PackBoards, variant: Variant, unit: str, paper: str, kind: SheetKind[object], drawn: DrawnPages
) -> Iterator[Section]:
    """The sheets of a kind: of the whole design once, else of each face of each board that it says anything of."""
    for job, of in jobs_of(boards, variant, unit, paper, kind):
        face, whole = job.face, kind.is_of_all(job.printing)
        if not of:
            title = ""
        elif whole:
            title = "Underside" if face == "under" else "Top face"
        else:
            title = job.board.name if face == "top" else f"{job.board.name}, underside"
        # What stands before the sheets of a board shows both its faces, and comes once.
        alone = face == "under" and not whole
        pages = drawn.of_kind(kind, job, of) if alone else drawn.bound(kind, job, of)
        before = 0 if alone else sum(len(part.leaves(job)) for part in kind.bound[:-1])
        if kind.name in PROVERS:
            yield Section(title, 0, pages, kind, job, f"{_titled(kind)}: {title}" if title else _titled(kind), before)
        else:
            yield Section(title, 0, pages)


def jobs_of(
    boards: PackBoards, variant: Variant, unit: str, paper: str, kind: SheetKind[object]
) -> Iterator[tuple[SheetJob, Key]]:
    """What the sheets of a kind are made from, and known by; nothing where it has nothing to say."""
    jobs = boards.jobs(variant, unit, paper)
    if kind.is_of_all(jobs[0].printing):
        each = faces(kind, *(job.board for job in jobs))
        found: list[tuple[SheetJob, Key]] = [
            (boards.job_of_all(variant, unit, paper, face), (variant.id, face)) for face in each
        ]
    elif "board" not in kind.needs:
        found = [(jobs[0], ())]
    else:
        found = [
            (boards.job(unit, paper, *_of(job.board), face), (*_of(job.board), face))
            for job in jobs
            for face in faces(kind, job.board)
        ]
    return ((job, of) for job, of in found if kind.rows(job))


def _cuts_below(boards: PackBoards, jobs: Sequence[SheetJob], unit: str, drawn: DrawnPages) -> Iterator[Section]:
    """The section through one part of each kind that is counterbored or sunk."""
    for job in jobs:
        seen = boards.seen(unit, *_of(job.board))
        for placed in _sunk(job.board):

            def draw(
                job: SheetJob = job, ident: str = placed.id, findings: Sequence[Finding] = seen.report.findings
            ) -> Iterator[Scene]:
                yield section_page(job.board, ident, job.printing, findings=findings)

            title = f"{placed.label or placed.part.name}, {job.board.name[:1].lower()}{job.board.name[1:]}"
            yield Section(title, 0, drawn.once(("section", *_of(job.board), placed.id), draw))


def _sunk(board: ResolvedBoard) -> tuple[Placed, ...]:
    """One part of each kind and depth that is cut from below, in the order of the board."""
    found: dict[tuple[object, ...], Placed] = {}
    for placed in board.drilled:
        if placed.counterbore or placed.recess:
            found.setdefault((placed.part.id, placed.counterbore, placed.recess), placed)
    return tuple(found.values())


def pages_of_sections(boards: PackBoards, variant: Variant, unit: str, paper: str) -> dict[Key, int]:
    """How many pages each section of a booklet has, by what it is of, without drawing any."""
    counted: dict[Key, int] = {}
    changed = boards.changes_job(unit, paper)
    if changed is not None:
        counted[WHAT_CHANGED.name,] = len(WHAT_CHANGED.leaves(changed))
    jobs = boards.jobs(variant, unit, paper)
    for job in jobs:
        counted["view", *_of(job.board)] = 1
        for placed in _sunk(job.board):
            counted["section", *_of(job.board), placed.id] = 1
    for kind in bound_kinds():
        for own, of in jobs_of(boards, variant, unit, paper, kind):
            parts = kind.bound if of[-1:] != ("under",) or kind.is_of_all(own.printing) else (kind,)
            counted[kind.name, *of] = sum(len(part.leaves(own)) for part in parts)
    return counted
