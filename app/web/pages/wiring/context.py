"""The page of wiring: the underside with its wires, the lists, and the forms to choose by."""

from __future__ import annotations

from collections.abc import Mapping

from markupsafe import Markup
from msgspec import Struct, field

from app.service.drawings.formats import LISTS, sheet_format
from app.service.screens.bench.wiring_seen import WiringSeen, wiring_seen
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import Option, ViewState


class WiringPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        head: the head.
        seen: what it says.
        drawing: the underside, inline SVG.
        wire_urls: where each wire is lit up without scripts.
        plain_url: where none is.
        files: the same as files.
        unit: unit of fields, ``mm`` or ``inch``.
        back_url: the page of the bench.
        report_url: the board page with the fit report.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
    """

    view: ViewState
    head: PageHead
    seen: WiringSeen
    drawing: Markup
    wire_urls: tuple[str, ...]
    plain_url: str
    files: tuple[Option, ...]
    unit: str
    back_url: str
    report_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def wiring_page(
    sight: Sight,
    view: ViewState,
    lit: int = 0,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> WiringPage:
    """The page for the board in view, one wire lit up."""
    view = view.at(select=(), section=False, face="top").showing(sight.revision)
    seen, forms = wiring_seen(sight, lit), (sheet_format()[0], *LISTS)
    return WiringPage(
        view=view,
        head=head_of(sight, view, "/wiring"),
        seen=seen,
        drawing=Markup(seen.drawing),  # noqa: S704 - our own writer's SVG
        wire_urls=tuple(f"{view.url('/wiring', wire=str(wire.number))}#picture" for wire in seen.wires),
        plain_url=view.url("/wiring"),
        files=tuple(Option(form.words, view.url(f"/wiring{form.ending}")) for form in forms),
        unit=sight.unit.value,
        back_url=view.url("/bench"),
        report_url=view.url(),
        problems=problems or {},
        typed=typed or {},
    )
