"""Every kind of sheet: a module for each, and the list of them."""

from app.paper.kinds.all_templates import ALL_TEMPLATES
from app.paper.kinds.check_sheet import CHECK_SHEET
from app.paper.kinds.coupon import COUPON
from app.paper.kinds.cover import COVER
from app.paper.kinds.legends import LEGENDS
from app.paper.kinds.lists import DRILLING, MARKING, PARTS
from app.paper.kinds.outline_marking import OUTLINE_MARKING
from app.paper.kinds.photo_cards import PHOTO_CARDS
from app.paper.kinds.steps import STEPS
from app.paper.kinds.template import TEMPLATE
from app.paper.kinds.wiring import WIRING
from app.paper.sheet_kind import SheetKind

_EVERY = (
    COVER, TEMPLATE, ALL_TEMPLATES, CHECK_SHEET, COUPON, OUTLINE_MARKING, MARKING, DRILLING, PARTS, WIRING, LEGENDS,
    STEPS, PHOTO_CARDS,
)  # fmt: skip

KINDS: dict[str, SheetKind[object]] = {kind.name: kind for kind in _EVERY}
"""Every kind by its name."""

FILES: dict[str, SheetKind[object]] = {
    name: kind for name, kind in KINDS.items() if all(kind is not other.front for other in KINDS.values())
}
"""The kinds that are a file of their own; the others only stand at the front of one."""

__all__ = [
    "ALL_TEMPLATES", "CHECK_SHEET", "COUPON", "COVER", "FILES", "KINDS", "LEGENDS", "OUTLINE_MARKING", "PHOTO_CARDS",
    "STEPS", "TEMPLATE",
]  # fmt: skip
