"""The boards of a pack: judged once for each unit, and what their sheets are made from once for each paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from app.catalogue.load import catalogue, paper_by_text
from app.document.published import revision_name
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.kinds.what_changed import WHAT_CHANGED
from app.paper.sheet.sheets import SheetSet
from app.paper.sheet_kind import Laid, Laying, SheetJob, SheetKind
from app.scene.primitives import Scene
from app.service.checks.checking import CheckResult, judged
from app.service.drawings.compare_files import StatesAsked, states_job
from app.service.drawings.sheet_jobs import sheet_job
from app.service.pack.request import PackRequest, Since, Variant, variants_of
from app.values import replace

Key = tuple[str, ...]


class PackBoards:
    """What the files of a pack are made from, each worked out when it is first asked for.

    Args:
        design: the design.
        request: what the pack is asked to hold.
        since: the older state that what changed is told from; None to tell nothing of it.

    Raises:
        HolewiseError: something is asked for that there is not.
    """

    def __init__(self, design: Design, request: PackRequest, since: Since | None = None) -> None:
        self.design, self.request, self.since = design, request.tidy(), since
        self.variants = variants_of(design, self.request)
        self.revision = revision_name(design)
        self._in_unit: dict[str, Design] = {}
        self._seen: dict[Key, CheckResult] = {}
        self._jobs: dict[Key, SheetJob] = {}
        self._firsts: dict[Key, SheetJob] = {}
        self._changes: dict[Key, SheetJob | None] = {}

    def in_unit(self, unit: str) -> Design:
        """The design with its measures in a unit."""
        if unit not in self._in_unit:
            self._in_unit[unit] = self.design.model_copy(update={"units": unit})
        return self._in_unit[unit]

    def seen(self, unit: str, board: str, arrangement: str) -> CheckResult:
        """A board with an arrangement, judged."""
        key = (unit, board, arrangement)
        if key not in self._seen:
            self._seen[key] = judged(resolve(self.in_unit(unit), board, arrangement, catalogue(), self.revision))
        return self._seen[key]

    def job(self, unit: str, paper: str, board: str, arrangement: str, face: Face = "top") -> SheetJob:
        """What the sheets of a face of a board are made from; both faces are laid out once.

        On the workshop's paper where none is named, as lists are.
        """
        key = (unit, paper, board, arrangement, face)
        if key not in self._jobs:
            if face == "top":
                seen = self.seen(unit, board, arrangement)
                printing = Printing(paper_by_text(paper) if paper else seen.resolved.tooling.paper)
                laid = sheet_job(self.in_unit(unit), seen, "top", printing)
                made = replace(laid, laying=_drawn_once(laid))
            else:
                top = self.job(unit, paper, board, arrangement)
                made = replace(top, face=face, laying=top.laid)
            self._jobs[key] = made
        return self._jobs[key]

    def jobs(self, variant: Variant, unit: str, paper: str, face: Face = "top") -> tuple[SheetJob, ...]:
        """Those of all boards of a way to build the design, the deck first."""
        return tuple(self.job(unit, paper, board.id, arrangement.id, face) for board, arrangement in variant.boards)

    def changes_job(self, unit: str, paper: str) -> SheetJob | None:
        """What the sheet of what changed is made from; None where nothing is asked, or nothing has changed.

        A pack of some boards, or of some ways to build them, tells of these and of the design as a whole.

        Raises:
            EditError: the two states share no board.
        """
        if self.since is None:
            return None
        key = (unit, paper)
        if key not in self._changes:
            now = self.revision or "how it is now"
            asked = StatesAsked(self.since.design, self.design, self.since.called, now, self.revision)
            job = states_job(asked, unit, paper)
            if job.states is not None:
                job = replace(job, states=job.states.without(*self._left_out()))
            self._changes[key] = job if WHAT_CHANGED.rows(job) else None
        return self._changes[key]

    def _left_out(self) -> tuple[frozenset[tuple[str, str]], frozenset[tuple[str, str]]]:
        """Boards with arrangements that are not packed, by ids and by names."""
        built = {(board.id, arrangement.id) for variant in self.variants for board, arrangement in variant.boards}
        boards = {board for board, _ in built}
        rest = [(b, a) for b in self.design.boards for a in b.arrangements if (b.id, a.id) not in built]
        ids = {(b.id, a.id) for b, a in rest} | {(b.id, "") for b, _ in rest if b.id not in boards}
        return frozenset(ids), frozenset((b.name, a.name) for b, a in rest)

    def job_of_all(self, variant: Variant, unit: str, paper: str, face: Face = "top") -> SheetJob:
        """What sheets of the whole design are made from: that of its deck, with the boards as this way has them."""
        key = (variant.id, unit, paper, face)
        if key not in self._firsts:
            jobs = self.jobs(variant, unit, paper, face)
            order = {board.id: number for number, board in enumerate(self.design.boards)}
            every = tuple(sorted(jobs, key=lambda job: order[job.board.id]))
            self._firsts[key] = replace(jobs[0], all_boards=_given(every))
        return self._firsts[key]


class KeptPages:
    """A template whose sheets are drawn once, for its own file, the file of all boards and the booklets.

    Args:
        laid: the template.
    """

    def __init__(self, laid: Laid) -> None:
        self._laid = laid
        self._pages: dict[int, Scene] = {}

    @property
    def plan(self) -> SheetSet:
        """How its sheets are laid."""
        return self._laid.plan

    def __len__(self) -> int:
        return len(self._laid)

    def __getitem__(self, index: int, /) -> Scene:
        if index not in self._pages:
            self._pages[index] = self._laid[index]
        return self._pages[index]


def _drawn_once(job: SheetJob) -> Laying:
    known: dict[tuple[Face, Bit | None], KeptPages] = {}

    def laying(face: Face, only: Bit | None) -> Laid:
        if (face, only) not in known:
            known[face, only] = KeptPages(job.laid(face, only))
        return known[face, only]

    return laying


def _given(jobs: Sequence[SheetJob]) -> Callable[[], Sequence[SheetJob]]:
    return lambda: jobs


def faces(kind: SheetKind[object], *boards: ResolvedBoard) -> tuple[Face, ...]:
    """The faces that sheets of a kind are made for: from below only where something is cut or fixed there.

    What is cut from film lies on the top face; mirrored, for behind a cover, it is asked for on its own page.
    """
    both = "face" in kind.needs and kind.cut is None and any(map(has_work_below, boards))
    return ("top", "under") if both else ("top",)


def has_work_below(board: ResolvedBoard) -> bool:
    """Whether anything is cut or screwed from the underside of a board."""
    return any(p.counterbore or p.recess or (p.screws and p.part.mount == "under") for p in board.drilled)
