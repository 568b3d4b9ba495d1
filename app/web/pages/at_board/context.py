"""The page at the board: one step, what is pressed there, and where each press goes."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from markupsafe import Markup
from msgspec import Struct

from app.service.screens.bench.at_board_seen import AtBoardSeen, at_board_seen
from app.service.sight import Sight
from app.web.shared.view_state import ViewState

NONE: Mapping[str, str] = MappingProxyType({})


class AtBoardPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        unit: unit of what is typed.
        title: of the design and the board.
        seen: what it says.
        picture: of the step, inline SVG.
        saying_off: whether it asks how far off the hole came out.
        problems: sentence by field that could not be taken.
        typed: what was typed.
        action: where presses go, to be followed by what was pressed.
        step_url: this step.
        off_url: this step, asking how far off it came out.
        undone_url: the first cut that nobody marked; empty where all are.
        end_url: what was drilled so far.
        back_url: the page of the bench.
        report_url: the fit report.
    """

    view: ViewState
    unit: str
    title: str
    seen: AtBoardSeen
    picture: Markup
    saying_off: bool
    problems: Mapping[str, str]
    typed: Mapping[str, str]
    action: str
    step_url: str
    off_url: str
    undone_url: str
    end_url: str
    back_url: str
    report_url: str


def at_board_page(
    sight: Sight,
    view: ViewState,
    asked: str,
    *,
    off: bool = False,
    problems: Mapping[str, str] = NONE,
    typed: Mapping[str, str] = NONE,
) -> AtBoardPage:
    """The step asked for of the board in view."""
    seen = at_board_seen(sight, asked)
    view = view.at(select=(), section=False, face="top", layers=(), to="").showing(sight.revision)
    here = view.url("/at-board", at=seen.code)
    return AtBoardPage(
        view=view,
        unit=sight.unit.value,
        title=f"{sight.title}, {sight.checked.resolved.name}",
        seen=seen,
        picture=Markup(seen.picture),  # noqa: S704 - our own writer's SVG
        saying_off=off and seen.kind == "cut" and seen.code == asked,
        problems=problems,
        typed=typed,
        action=f"/designs/{view.design}/at-board/",
        step_url=here,
        off_url=view.url("/at-board", at=seen.code, say="off"),
        undone_url=view.url("/at-board", at=seen.undone) if seen.undone and seen.undone != seen.code else "",
        end_url=view.url("/at-board", at="end"),
        back_url=view.url("/bench"),
        report_url=view.url(),
    )
