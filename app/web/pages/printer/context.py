"""The printer page: print the check sheet, type what it measures, read what the doctor says, keep a correction."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from app.service.drawings.formats import sheet_format
from app.service.drawings.sheet_files import CHECK_SHEET
from app.service.screens.printer_seen import PrinterSeen
from app.service.sight import Sight
from app.web.shared.switches import switches_of
from app.web.shared.view_state import Option, ViewState


class PrinterPage(Struct, frozen=True):
    """The printer page.

    Args:
        view: the view.
        title: of the design.
        units: switch.
        seen: what there is to say of the paper and the printer.
        sheet_url: the check sheet.
        unit: of the fields.
        back_url: the paper page.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields.
    """

    view: ViewState
    title: str
    units: tuple[Option, ...]
    seen: PrinterSeen
    sheet_url: str
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def printer_page(
    sight: Sight,
    view: ViewState,
    seen: PrinterSeen,
    *,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> PrinterPage:
    """The page for a paper and, if one is in force, a correction."""
    view = view.at(select=(), section=False)
    query = {"paper": seen.paper, "printer": seen.printer}
    return PrinterPage(
        view=view,
        title=sight.title,
        units=switches_of(sight, view, "/printer", **query)["units"],
        seen=seen,
        sheet_url=view.url(f"/{CHECK_SHEET}{sheet_format()[0].ending}", **query),
        unit=sight.unit.value,
        back_url=view.url("/paper", **query),
        problems=problems or {},
        typed=typed or {},
    )
