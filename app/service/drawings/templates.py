"""Templates laid out lately, so that the paper page, its pictures and the file lay the sheets and draw them once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from threading import Lock
from typing import Final, overload

from app.model.part import Face
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.model.tooling import Bit
from app.paper.sheet.sheets import Pages, SheetSet, plan_sheets
from app.scene.primitives import Group, Item, Scene
from app.service.background.memory import Memory

# Measured with tracemalloc on boards of 10 to 300 holes: a plan, with what all its pages have in common, takes 2 to
# 3 kB a hole, and as much again the board that is held with it; a page 0.2 to 0.3 kB for each of its primitives.
_OF_PLAN: Final = 50_000
_OF_HOLE: Final = 6_000
_OF_ITEM: Final = 400


@dataclass(frozen=True, slots=True)
class TemplatePages(Sequence[Scene]):
    """The pages of a template, drawn by one reader at a time.

    Args:
        board: the board itself: another with the same content counts as another.
        asked: the face, how it is printed, and the bit whose work alone is drawn.
        pages: each drawn when it is asked for.
    """

    board: ResolvedBoard
    asked: tuple[Face, Printing, Bit | None]
    pages: Pages
    _turn: Lock = field(default_factory=Lock, repr=False, compare=False)

    @property
    def plan(self) -> SheetSet:
        """How the sheets are laid."""
        return self.pages.plan

    def __len__(self) -> int:
        return len(self.pages)

    @overload
    def __getitem__(self, index: int) -> Scene: ...
    @overload
    def __getitem__(self, index: slice) -> Sequence[Scene]: ...
    def __getitem__(self, index: int | slice) -> Scene | Sequence[Scene]:
        """The page of a sheet, from 0; drawn once as long as it is remembered."""
        if isinstance(index, slice):
            return [self._page(k) for k in range(len(self))[index]]
        return self._page(range(len(self))[index])

    def _page(self, index: int) -> Scene:
        key = (id(self), index)
        held = _DRAWN.get(key)
        if held is not None and held[0] is self:
            return held[1]
        with self._turn:
            scene = self.pages[index]
        # The template is held along with the page, so that no other can come to have its id meanwhile.
        _DRAWN.put(key, (self, scene), _OF_ITEM * _count(scene.items))
        return scene


_LAID: Memory[TemplatePages] = Memory(48_000_000)
_DRAWN: Memory[tuple[TemplatePages, Scene]] = Memory(48_000_000)


def template_of(board: ResolvedBoard, face: Face, printing: Printing, only: Bit | None = None) -> TemplatePages:
    """The template of one face of a board.

    Raises:
        PaperError: the paper is too small for a sheet, or margin or overlap are not possible on it.
    """
    asked = (face, printing, only)
    key = (id(board), *asked)
    kept = _LAID.get(key)
    if kept is not None and kept.board is board:
        return kept
    above = () if face == "top" else template_of(board, "top", printing).plan.ruled
    plan = plan_sheets(board, face, printing, only=only, above=above)
    made = TemplatePages(board, asked, Pages(board, face, printing, only=only, plan=plan))
    _LAID.put(key, made, _OF_PLAN + _OF_HOLE * len(made.plan.template.marks))
    return made


def _count(items: tuple[Item, ...]) -> int:
    return sum(_count(item.items) if isinstance(item, Group) else 1 for item in items)
