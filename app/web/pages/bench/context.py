"""The pages of the bench: cards of all lists, and one list as tables."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service.drawings.formats import CSV, LISTS, sheet_format
from app.service.drawings.printers import PrintRequest
from app.service.screens.bench.bench_forms import PartsForms, RateField, parts_forms, rate_fields
from app.service.screens.bench.bench_seen import BenchCard, bench_cards, code_said
from app.service.screens.bench.list_seen import ListSeen, job_asked, list_seen
from app.service.sight import Sight
from app.service.workshop import Workshop
from app.values import replace
from app.web.shared.head import PageHead, head_of
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


class BenchPage(Struct, frozen=True):
    """The cards.

    Args:
        view: the view.
        head: the head.
        cards: every list, and where it is.
        at_board_url: the drilling run one step at a time.
        built_url: what was drilled, typed in as it was measured.
        retrofit_url: what a board needs that is drilled to something else.
        code: what was typed as the code of a printed sheet.
        said: what is to be said of it; empty where none was typed.
        paper_url: the template and its check sheet.
        back_url: the board page.
    """

    view: ViewState
    head: PageHead
    cards: tuple[tuple[BenchCard, str], ...]
    at_board_url: str
    built_url: str
    retrofit_url: str
    code: str
    said: str
    paper_url: str
    back_url: str


class ListPage(Struct, frozen=True):
    """A list.

    Args:
        view: the view.
        head: the head.
        unit: unit of fields, ``mm`` or ``inch``.
        seen: what it says.
        drawings: that go with it, inline SVG.
        path: of the page.
        files: the same as files; none where something could not be taken.
        at_board_url: the drilling run one step at a time; empty of other lists.
        tables: where each table by itself is, as CSV, by its name.
        asked: what its address says besides the view, which its forms carry on.
        rates: fields of how long work takes; none but on the drilling run.
        parts: what is set on the parts list; None on others.
        problems: sentence by field of a form that could not be taken.
        typed: what stood in its fields.
        back_url: the page of the bench.
    """

    view: ViewState
    head: PageHead
    unit: str
    seen: ListSeen
    drawings: tuple[Markup, ...]
    path: str
    files: tuple[Option, ...]
    at_board_url: str
    tables: Mapping[str, str]
    asked: Mapping[str, str]
    rates: tuple[RateField, ...]
    parts: PartsForms | None
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def bench_page(sight: Sight, view: ViewState, code: str = "") -> BenchPage:
    """The cards of the board in view, and what is to be said of a code on a printed sheet."""
    view = view.at(select=(), section=False, face="top")
    return BenchPage(
        view=view,
        head=head_of(sight, view, "/bench"),
        cards=tuple((card, view.url(card.page)) for card in bench_cards(sight)),
        at_board_url=view.url("/at-board"),
        built_url=view.url("/built"),
        retrofit_url=view.url("/retrofit"),
        code=code[:20],
        said=code_said(sight, code),
        paper_url=view.url("/paper"),
        back_url=view.url(),
    )


def list_page(
    workshop: Workshop,
    sight: Sight,
    view: ViewState,
    kind: str,
    asked: PrintRequest,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> ListPage:
    """A list of the board in view; with what was wrong with a form of it, and what was typed there."""
    view = view.at(select=(), section=False, face="top").showing(sight.revision)
    seen = list_seen(workshop, sight, kind, asked)
    query = {"reading": asked.reading, "paper": asked.paper, "counted": asked.counted}
    head = head_of(sight, view, f"/bench/{kind}", query={"reading": asked.reading, "counted": asked.counted})
    # What a rule reads in one unit it does not in the other.
    head = replace(head, units=switches_of(sight, view, f"/bench/{kind}", counted=asked.counted)["units"])
    forms = (sheet_format()[0], *LISTS)
    more = seen.tables if len(seen.tables) > 1 and not seen.problems else ()
    return ListPage(
        view=view,
        head=head,
        unit=sight.unit.value,
        seen=seen,
        drawings=tuple(Markup(drawing) for drawing in seen.drawings),  # noqa: S704 - our own writer's SVG
        path=f"/designs/{view.design}/bench/{kind}",
        files=() if seen.problems else tuple(Option(f.words, view.url(f"/{kind}{f.ending}", **query)) for f in forms),
        at_board_url=view.url("/at-board") if kind == "drilling" else "",
        tables={t.name: view.url(f"/{kind}{CSV.ending}", **query, table=t.name) for t in more},
        asked={name: text for name, text in query.items() if text},
        rates=rate_fields(sight) if kind == "drilling" else (),
        parts=parts_forms(sight, job_asked(workshop, sight, asked)[0]) if kind == "parts" else None,
        back_url=view.url("/bench"),
        problems=problems or {},
        typed=typed or {},
    )
