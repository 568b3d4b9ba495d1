"""What a pack will hold, in figures, before anything of it is drawn."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec import Struct

from app.document.schema import Design
from app.paper.kinds.what_changed import WHAT_CHANGED
from app.paper.sheet_kind import bound_leaves
from app.service.drawings.formats import DRAWINGS, LISTS
from app.service.pack.boards import PackBoards
from app.service.pack.files import built_boards, planned_cuts, planned_lists, planned_sheets
from app.service.pack.request import GROUPS, PackRequest, Since
from app.service.pack.sections import pages_of_sections

_FRONT_AND_END = 2
"""Pages of a booklet besides its sections: title with contents, what was proved; each may take one more."""


class GroupFigures(Struct, frozen=True):
    """How many files of a group there will be, and about how many pages; none of what has no pages."""

    group: str
    files: int
    pages: int


class PackFigures(Struct, frozen=True):
    """What a pack will hold.

    Args:
        groups: of files, those that are asked for.
        steps: about how many pages and files will be made, each once; what several booklets share counts once.
        stops: how many findings say that a board cannot be built as drawn.
    """

    groups: tuple[GroupFigures, ...]
    steps: int
    stops: int

    @property
    def files(self) -> int:
        """Files of all groups."""
        return sum(group.files for group in self.groups)

    @property
    def pages(self) -> int:
        """Pages of all groups."""
        return sum(group.pages for group in self.groups)


def figures_of(design: Design, request: PackRequest, since: Since | None = None) -> PackFigures:
    """The figures of a pack; raises as :class:`PackBoards`."""
    return figures(PackBoards(design, request, since))


def figures(boards: PackBoards) -> PackFigures:
    """The figures of a pack.

    Pages are counted in one unit, as its words hardly ever break a page that those of the other do not.
    """
    request = boards.request
    unit, papers, units = request.units[0], request.papers, len(request.units)
    found, steps = dict.fromkeys(GROUPS, (0, 0)), 0
    if request.wants("sheets") or request.wants("booklets"):
        for paper in papers:
            planned = [(p, len(bound_leaves(p.kind, p.job))) for p in planned_sheets(boards, paper, unit)]
            changed = boards.changes_job(unit, paper)
            more = len(WHAT_CHANGED.leaves(changed)) if changed is not None else 0
            bound = [pages_of_sections(boards, variant, unit, paper) for variant in boards.variants]
            if request.wants("sheets"):
                files = len(planned) + bool(more)
                found["sheets"] = _more(found["sheets"], files, sum(many for _, many in planned) + more, units)
                steps += units * (
                    files
                    + more * (not request.wants("booklets"))
                    + sum(many for p, many in planned if p.kind.again or not request.wants("booklets"))
                )
            if request.wants("booklets"):
                pages = sum(sum(each.values()) + _FRONT_AND_END for each in bound)
                found["booklets"] = _more(found["booklets"], len(bound), pages, units)
                steps += units * len(bound)
                drawn = {key: many for each in bound for key, many in each.items()}
                steps += units * sum(drawn.values())
    if request.wants("lists"):
        lists = len(LISTS) * sum(1 for _ in planned_lists(boards, unit))
        found["lists"], steps = (units * lists, 0), steps + units * lists
    if request.wants("drawings"):
        drawings = len(DRAWINGS) * len(built_boards(boards)) + len(planned_cuts(boards))
        found["drawings"], steps = (drawings, 0), steps + drawings
    if request.wants("design"):
        found["design"], steps = (1, 0), steps + 1
    stops = sum(len(boards.seen(unit, *ids).report.stops) for ids in built_boards(boards))
    return PackFigures(tuple(_asked(found.items(), request)), steps, stops)


def _asked(found: Iterable[tuple[str, tuple[int, int]]], request: PackRequest) -> Iterable[GroupFigures]:
    return (GroupFigures(group, *many) for group, many in found if request.wants(group))


def _more(before: tuple[int, int], files: int, pages: int, times: int) -> tuple[int, int]:
    return before[0] + times * files, before[1] + times * pages
