"""The page of legends: each part's legend, the board with all of them, and the files."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service.drawings.formats import LISTS, SVG, sheet_format
from app.service.screens.bench.legends_seen import LegendsSeen, legends_seen
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import Option, ViewState


class LegendsPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view, with the part in hand selected.
        head: the head.
        seen: what it says.
        drawing: the board with its legends.
        parts: address of each part in hand, by its id.
        files: what to download; none while there is no legend.
        mirrored: the same for the inside of a clear cover.
        unit: of the fields.
        back_url: the bench.
        problems: sentence by field that could not be taken; ``form`` for what belongs beside none.
        typed: what stood in the fields then.
    """

    view: ViewState
    head: PageHead
    seen: LegendsSeen
    drawing: Markup
    parts: Mapping[str, str]
    files: tuple[Option, ...]
    mirrored: tuple[Option, ...]
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def legends_page(
    sight: Sight,
    view: ViewState,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> LegendsPage:
    """The page with the selected part in hand."""
    view = view.at(face="top", section=False, select=view.select[:1])
    seen = legends_seen(sight, next(iter(view.select), ""))
    bare = view.at(select=())
    held = seen.form.id if seen.form else ""
    view = view.at(select=(held,) if held else ()).showing(sight.revision)
    pdf = sheet_format()[0]
    names = [(form, f"Table, {form.words}") for form in LISTS]
    files = [(pdf, "Print and cut, PDF"), (SVG, "For a plotter, SVG"), *names]
    turned = bare.at(face="under")
    return LegendsPage(
        view=view,
        head=head_of(sight, bare, "/legends"),
        seen=seen,
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        parts={part.id: bare.at(select=(part.id,)).url("/legends") for part in seen.parts},
        files=tuple(Option(words, bare.url(f"/legends{form.ending}")) for form, words in files) if seen.many else (),
        mirrored=tuple(Option(words, turned.url(f"/legends{form.ending}")) for form, words in files[:2])
        if seen.many
        else (),
        unit=sight.unit.value,
        back_url=bare.url("/bench"),
        problems=problems or {},
        typed=typed or {},
    )
