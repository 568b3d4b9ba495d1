"""The page *As built*: rows to tick and to type in, where each of them goes, and what came of it."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from markupsafe import Markup
from msgspec import Struct

from app.service.screens.bench.built_seen import SHOWN, BuiltRow, BuiltSeen, Show, built_seen
from app.service.sight import Sight
from app.web.pages.built.photo import PhotoForm, photo_form
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import Option, ViewState

NONE: Mapping[str, str] = MappingProxyType({})


class Listed(Struct, frozen=True):
    """Which cuts are listed: of all, or of some; of one part alone; and which page of them."""

    show: Show
    part: str
    page: int

    @property
    def query(self) -> dict[str, str]:
        """The same in an address."""
        page = str(self.page) if self.page > 1 else ""
        return {"show": self.show if self.show != "all" else "", "part": self.part, "leaf": page}


def listed_of(show: str, part: str, page: int) -> Listed:
    """What an address asks for; what it does not know is left at every cut."""
    return Listed(next((one for one, _ in SHOWN if one == show), "all"), part[:200], page)


class FieldRow(Struct, frozen=True):
    """A row of the form.

    Args:
        seen: the cut.
        ident: its number on the page, for ids.
        ticked: whether its tick stands, as typed.
        typed: what was typed in it, by the kind of the field.
        wrong: what is wrong in it, likewise.
        unfolded: whether the two distances are open.
    """

    seen: BuiltRow
    ident: int
    ticked: bool
    typed: Mapping[str, str]
    wrong: Mapping[str, str]
    unfolded: bool


class BuiltPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        head: the head.
        unit: of what is typed.
        seen: what it says.
        rows: the rows of the form.
        shown: names of the cuts whose tick stood when the page was made.
        picture: the board as built, inline SVG.
        filters: which cuts are listed.
        part_url: the page of the list, to which the part is put.
        pages: every page of the list; none where there is one.
        ways: what distances are measured from and to.
        problem: what is wrong that belongs beside no field; empty if nothing is.
        wrong: how many fields are wrong.
        action: where forms go, to be followed by what is asked for.
        room_url: making room on the board as built.
        at_board_url: the same one hole at a time.
        back_url: the page of the bench.
        photo: what is asked for to measure by a photograph.
    """

    view: ViewState
    head: PageHead
    unit: str
    seen: BuiltSeen
    rows: tuple[FieldRow, ...]
    shown: str
    picture: Markup
    filters: tuple[Option, ...]
    part_url: str
    pages: tuple[Option, ...]
    ways: tuple[tuple[str, str, bool], ...]
    problem: str
    wrong: int
    action: str
    room_url: str
    at_board_url: str
    back_url: str
    photo: PhotoForm


_WAYS = (
    ("centres", "centre to centre"),
    ("near rims", "between the holes, near rim to near rim"),
    ("far rims", "over both holes, far rim to far rim"),
)


def built_page(
    sight: Sight,
    view: ViewState,
    listed: Listed,
    *,
    problems: Mapping[str, str] = NONE,
    typed: Mapping[str, str] = NONE,
    photo: PhotoForm | None = None,
) -> BuiltPage:
    """The page for the board in view, with what was typed where something could not be taken."""
    view = view.at(select=(), section=False, face="top", layers=(), to="").showing(sight.revision)
    seen = built_seen(sight, listed.show, listed.part, listed.page)
    here = Listed(seen.show, seen.part, seen.page)
    plain = view.at(seen="")
    rows = tuple(_row(row, number, problems, typed) for number, row in enumerate(seen.rows, 1))
    beside = {f"{kind}.{row.seen.code}" for row in rows for kind in row.wrong}
    return BuiltPage(
        view=view,
        head=head_of(sight, view, "/built", tally=False),
        unit=sight.unit.value,
        seen=seen,
        rows=rows,
        shown=typed.get("shown", "") if typed else " ".join(row.code for row in seen.rows if row.ticked),
        picture=Markup(seen.picture),  # noqa: S704 - our own writer's SVG
        filters=tuple(
            Option(words, plain.url("/built", **Listed(show, seen.part, 1).query), show == seen.show)
            for show, words in SHOWN
        ),
        part_url=f"/designs/{view.design}/built",
        pages=_pages(plain, here, seen.pages),
        ways=tuple((way, words, typed.get("ways", "centres") == way) for way, words in _WAYS),
        problem=" ".join(dict.fromkeys(said for name, said in problems.items() if name not in beside)),
        wrong=len(beside),
        action=f"/designs/{view.design}/built/",
        room_url=plain.url("/room", built="1"),
        at_board_url=plain.url("/at-board"),
        back_url=plain.url("/bench"),
        photo=photo or photo_form(sight, view),
    )


def _row(row: BuiltRow, number: int, problems: Mapping[str, str], typed: Mapping[str, str]) -> FieldRow:
    kinds = ("x", "y", "m", "a", "ad", "b", "bd")
    said = {kind: typed.get(f"{kind}.{row.code}", "") for kind in kinds}
    wrong = {kind: problems[f"{kind}.{row.code}"] for kind in kinds if f"{kind}.{row.code}" in problems}
    ticked = f"on.{row.code}" in typed if typed else row.ticked
    unfolded = any(said[kind] or kind in wrong for kind in ("a", "ad", "b", "bd"))
    return FieldRow(row, number, ticked, said, wrong, unfolded)


_NEAR = 3  # pages linked on either side of the one in view


def _pages(view: ViewState, listed: Listed, many: int) -> tuple[Option, ...]:
    """The first, the last and those round the one in view; none where there is but one."""
    if many == 1:
        return ()
    numbers = [n for n in range(1, many + 1) if n in (1, many) or abs(n - listed.page) <= _NEAR]
    return tuple(
        Option(str(n), view.url("/built", **Listed(listed.show, listed.part, n).query), n == listed.page)
        for n in numbers
    )
