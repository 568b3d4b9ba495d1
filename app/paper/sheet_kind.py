"""Kinds of sheets: each declared once, with what it needs, its rows and its pages; and what sheets are made from."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Generic, Literal, Protocol, TypeVar, cast

from msgspec import Struct, field
from propcache.api import cached_property

from app.compare.states import ComparedStates
from app.drafting.words import unit_of
from app.errors import NotFoundError
from app.fit.report.acceptance import AcceptedFinding
from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.lists.list_code import list_code
from app.paper.sheet.sheets import Pages, SheetSet, plan_sheets
from app.retrofit.retrofit import Retrofit
from app.scene.primitives import Scene
from app.scene.table import Table
from app.shop.own_columns import OwnColumn
from app.units import Unit
from app.values import replace

Need = Literal["board", "face", "bit", "report", "boards", "retrofit", "states"]
"""What a sheet depends on besides paper and printer: the board, the face, the bit drawn alone, what was accepted, all
boards of the design, what the board needs that was drilled to an older state, the two states that are compared."""


Ask = Literal["reading", "counted"]
"""What may be asked of a list besides paper and printer."""

T = TypeVar("T")


class Drawn(Protocol):
    """Pages of paper at true size, each of which may be drawn only when it is asked for."""

    def __len__(self) -> int: ...
    def __getitem__(self, index: int, /) -> Scene: ...


class Laid(Drawn, Protocol):
    """A template laid out on sheets."""

    @property
    def plan(self) -> SheetSet:
        """How its sheets are laid."""


Laying = Callable[[Face, Bit | None], Laid]
"""Gives the template of a face, for one bit alone or for all, and may remember it."""


class SheetJob(Struct, frozen=True, eq=False, dict=True):
    """What sheets are made from: the same job gives the same sheets.

    Args:
        board: the board.
        printing: paper, margins, correction, and the stops that the head of every sheet tells of.
        face: the face they are of.
        only: the bit whose work alone is drawn; None for everything.
        accepted: accepted cautions as they stand; None if nobody has looked.
        files: names of the files of both faces, for the words; missing ones are described.
        laying: gives the templates; by default each is laid out once for this job.
        retrofit: what a board needs that was drilled to an older state; None where nobody asks.
        states: two states of the design that are compared; None where nobody asks.
        all_boards: gives such jobs for every board of the design, of its whole faces, the same each time; None where
            there is no other board.
        every_arrangement: gives the board with each of its arrangements; None where it has but this one.
        columns: of the builder's own, on the parts list.
    """

    board: ResolvedBoard
    printing: Printing
    face: Face = "top"
    only: Bit | None = None
    accepted: Sequence[AcceptedFinding] | None = None
    files: Mapping[Face, str] = field(default_factory=dict)
    laying: Laying | None = None
    all_boards: Callable[[], Sequence[SheetJob]] | None = None
    retrofit: Retrofit | None = None
    states: ComparedStates | None = None
    every_arrangement: Callable[[], Sequence[ResolvedBoard]] | None = None
    columns: tuple[OwnColumn, ...] = ()

    @cached_property
    def _kept(self) -> dict[str, object]:
        return {}

    @cached_property
    def _laid(self) -> dict[tuple[Face, Bit | None], Laid]:
        return {}

    @property
    def unit(self) -> Unit:
        """Unit of the words: the one the board is shown in."""
        return unit_of(self.board)

    def laid(self, face: Face, only: Bit | None = None) -> Laid:
        """The template of a face.

        Raises:
            PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
        """
        if self.laying is not None:
            return self.laying(face, only)
        if (face, only) not in self._laid:
            above = () if face == "top" else self.laid("top").plan.ruled
            plan = plan_sheets(self.board, face, self.printing, only=only, above=above)
            self._laid[face, only] = Pages(self.board, face, self.printing, only=only, plan=plan)
        return self._laid[face, only]

    @property
    def every(self) -> Sequence[SheetJob]:
        """Jobs for all boards of the design, in its order."""
        return self.all_boards() if self.all_boards is not None else (replace(self, only=None) if self.only else self,)

    def once(self, name: str, make: Callable[[], T]) -> T:
        """What a kind works out from this job under a name of its own, worked out once."""
        if name not in self._kept:
            self._kept[name] = make()
        return cast("T", self._kept[name])

    @property
    def template(self) -> Laid:
        """The template of the job's own face."""
        return self.laid(self.face, self.only)


class Leaf(Struct, frozen=True):
    """A page, told before it is drawn.

    Args:
        words: what it is.
        lying: whether it is read with its long side across.
    """

    words: str
    lying: bool = False


class SheetCode(Struct, frozen=True):
    """A check code, and the sheets that bear it: ids of their board and arrangement, and what they are in words."""

    code: str
    board: str
    arrangement: str
    words: str


Row_co = TypeVar("Row_co", covariant=True)


class Card(Struct, frozen=True):
    """What a list holds, in figures, and what has to be done before one works by it; empty for nothing."""

    holds: str
    first: str = ""


def counted_card(_: SheetJob, tables: Sequence[Table]) -> Card:
    """How long each table of a list is, for a list that says nothing better of itself."""
    rows = [f"{len(table.rows):,} in “{table.title}”" for table in tables if table.rows]
    return Card(", ".join(rows) or "Nothing")


class SheetKind(Struct, Generic[Row_co], frozen=True):
    """A kind of sheets.

    Args:
        name: in addresses, on the command line and in names of files, as ``check-sheet``.
        words: what a builder calls it, as ``drill template``.
        needs: what it depends on; without ``board`` it belongs to a paper and a printer, and says no more of the board
            than the design and the revision it is printed with.
        rows: its content as a table, a row of plain values each.
        leaves: its pages, told before they are drawn.
        pages: its pages.
        front: the kind whose pages come before its own in its file; None if there is none.
        unproved: why nothing reads it back before it is handed out; empty if something does.
        tables: its content as tables with heads, the first of them the list itself, for a page on screen and for
            programs; None where it is a drawing, and nobody wants its figures by themselves.
        said: sentences before its tables.
        purpose: what a list is for, in a sentence.
        card: what a list holds, in figures.
        pictures: drawings that go with its tables on a screen.
        asks: what may be asked of it besides paper and printer: ``reading`` of a rule, ``counted`` for what.
        page: the page that shows it, where it has one of its own, as ``/marking``.
        coded: whether its pages bear its code.
        codes: the check codes on its sheets.
        narrowed: whether it is of the board in view alone where that is asked for, though it usually is of all.
        cut: what a cutting plotter cuts of it, each item on a layer; None where nothing is.
        again: whether it shows once more, on fewer sheets, what other kinds show; then it is not bound with these.
        packed: whether it is in a plan pack; not what only serves this program.
    """

    name: str
    words: str
    needs: frozenset[Need]
    rows: Callable[[SheetJob], Sequence[Row_co]]
    leaves: Callable[[SheetJob], Sequence[Leaf]]
    pages: Callable[[SheetJob], Drawn]
    front: SheetKind[object] | None = None
    unproved: str = ""
    tables: Callable[[SheetJob], tuple[Table, ...]] | None = None
    said: Callable[[SheetJob], Sequence[str]] = lambda _: ()
    purpose: str = ""
    card: Callable[[SheetJob, Sequence[Table]], Card] = counted_card
    pictures: Callable[[SheetJob], Sequence[Scene]] = lambda _: ()
    asks: frozenset[Ask] = frozenset()
    page: str = ""
    coded: bool = False
    codes: Callable[[SheetJob], Sequence[SheetCode]] = lambda _: ()
    narrowed: bool = False
    cut: Callable[[SheetJob], Scene] | None = None
    again: bool = False
    packed: bool = True

    def code(self, job: SheetJob) -> str:
        """Short code of all a list says, as ``7K-42``; empty of a kind whose pages bear none.

        It stays the same as long as nothing on the list changes, so a printed one with another is stale.
        """
        if self.tables is None or not self.coded:
            return ""
        tables = self.tables
        return job.once(f"{self.name} code", lambda: list_code(job.board, tables(job), self.said(job)))

    def is_of_all(self, printing: Printing) -> bool:
        """Whether it is of all boards of the design, printed so."""
        return "boards" in self.needs and not (self.narrowed and printing.alone)

    @property
    def bound(self) -> tuple[SheetKind[object], ...]:
        """The kinds whose pages are in its file, in their order."""
        return (*(self.front.bound if self.front else ()), self)


def bound_leaves(kind: SheetKind[object], job: SheetJob) -> tuple[Leaf, ...]:
    """The pages of a kind's file, told before they are drawn."""
    return tuple(leaf for part in kind.bound for leaf in part.leaves(job))


def bound_pages(kind: SheetKind[object], job: SheetJob) -> Iterator[Scene]:
    """The pages of a kind's file, one after the other."""
    for part in kind.bound:
        pages = part.pages(job)
        yield from (pages[index] for index in range(len(pages)))


def bound_page(kind: SheetKind[object], job: SheetJob, number: int) -> Scene:
    """One page of a kind's file, counted from 1; no other is drawn for it unless their numbers run on.

    Raises:
        NotFoundError: there is no such page.
    """
    left = number
    for part in kind.bound:
        many = len(part.leaves(job))
        if 1 <= left <= many:
            return part.pages(job)[left - 1]
        left -= many
    raise NotFoundError(f"There is no page {number}; the {kind.words} has pages 1 to {number - left}.")
