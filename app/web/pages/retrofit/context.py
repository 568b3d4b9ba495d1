"""The page of a retrofit: what to start from, the picture, what to do hole by hole, findings, files."""

from __future__ import annotations

from datetime import datetime

from markupsafe import Markup
from msgspec import Struct

from app.service import Workshop
from app.service.drawings.retrofit_files import RETROFIT_ENDINGS
from app.service.screens.choices import Choice
from app.service.screens.plans.compare_choice import NOW, comparables
from app.service.screens.plans.compare_seen import FindingRow
from app.service.screens.plans.retrofit_seen import HoleRow, RetrofitSeen
from app.service.sight import Sight
from app.web.pages.retrofit.asked import RetrofitWays
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import ViewState
from app.web.shared.words import ago


class RetrofitPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        head: the head.
        board: name of the board.
        olders, wases: what the board may have been drilled to, and in which arrangement.
        problem: why nothing is shown; empty if something is.
        as_built: whether marks say what was really drilled.
        drawing: of it.
        verdict, summed: what it comes to.
        board_work, reasons, cautions: sentences.
        todo, stay: holes.
        told: what comes of what was chosen.
        gained: findings.
        fields: hidden fields of the form of a single hole.
        chosen: how many holes were chosen for.
        files: the files, each with its address.
        clear_url: the same with nothing chosen.
        back_url: the board page.
    """

    view: ViewState
    head: PageHead
    board: str
    olders: tuple[Choice, ...]
    wases: tuple[Choice, ...]
    problem: str
    as_built: bool
    drawing: Markup
    verdict: str
    summed: str
    board_work: tuple[str, ...]
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    todo: tuple[HoleRow, ...]
    stay: tuple[HoleRow, ...]
    told: tuple[str, ...]
    gained: tuple[FindingRow, ...]
    fields: tuple[tuple[str, str], ...]
    chosen: int
    files: tuple[Choice, ...]
    clear_url: str
    back_url: str


_FILES = {".pdf": "Template and list, as PDF", ".csv": "List for a spreadsheet", ".json": "List for programs"}


def retrofit_page(
    workshop: Workshop,
    sight: Sight,
    view: ViewState,
    ways: RetrofitWays,
    seen: RetrofitSeen | None,
    now: datetime,
    problem: str = "",
) -> RetrofitPage:
    """The page of a retrofit.

    Args:
        workshop: the workshop.
        sight: the design, its board and its arrangement.
        view: the view.
        ways: what was chosen.
        seen: what came of it; None if there is nothing to show.
        now: the time.
        problem: why there is nothing.
    """
    view = view.at(select=(), face="top", section=False).showing(sight.revision)
    head = head_of(sight, view, "/retrofit", tally=False, query={"from": ways.older, "was": ways.was})
    found = comparables(workshop, view.design, ways.older)
    olders = tuple(
        Choice(
            one.value,
            "As it is now, or as it was marked at the board" if one.value == NOW
            else f"{one.words} ({ago(one.moment.created, now)})" if one.moment is not None else one.words,
            one.value == ways.older,
        )
        for one in found
    )  # fmt: skip
    endings = RETROFIT_ENDINGS if seen is not None and seen.verdict != "nothing" else ()
    return RetrofitPage(
        view=view,
        head=head,
        board=sight.checked.resolved.name,
        olders=olders,
        wases=seen.wases if seen else (),
        problem=problem,
        as_built=seen is not None and seen.as_built,
        drawing=Markup(seen.drawing if seen else ""),  # noqa: S704
        verdict=seen.verdict if seen else "",
        summed=seen.summed if seen else "",
        board_work=seen.board if seen else (),
        reasons=seen.reasons if seen else (),
        cautions=seen.cautions if seen else (),
        todo=seen.todo if seen else (),
        stay=seen.stay if seen else (),
        told=seen.told if seen else (),
        gained=seen.gained if seen else (),
        fields=(*view.fields, *((k, v) for k, v in ways.query.items() if v)),
        chosen=len(ways.chosen),
        files=tuple(Choice(view.url(f"/retrofit{e}", **ways.query), _FILES[e]) for e in endings),
        clear_url=view.url("/retrofit", **{**ways.query, "do": ""}),
        back_url=view.url(),
    )
