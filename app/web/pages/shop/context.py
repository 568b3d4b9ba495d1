"""The shop page: what the builder works with, and the bit for each hole."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct, field

from app.service.screens.shop_seen import ShopSeen, shop_seen
from app.service.sight import Sight
from app.web.shared.head import PageHead, head_of
from app.web.shared.view_state import ViewState


class ShopPage(Struct, frozen=True):
    """The shop page.

    Args:
        view: the view.
        head: the head.
        seen: what the workshop has.
        unit: unit of fields, ``mm`` or ``inch``.
        problems: sentence by field that could not be taken.
        typed: what stood in the fields then.
        back_url: the board page.
    """

    view: ViewState
    head: PageHead
    seen: ShopSeen
    unit: str
    back_url: str
    problems: Mapping[str, str] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)


def shop_page(
    sight: Sight,
    view: ViewState,
    *,
    carried: int = 0,
    problems: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
) -> ShopPage:
    """The page for a view of a design."""
    view = view.showing(sight.revision)
    return ShopPage(
        view=view,
        head=head_of(sight, view, "/shop", tally=False),
        seen=shop_seen(sight, carried, (typed or {}).get("kind", "forstner")),
        unit=sight.unit.value,
        back_url=view.url(),
        problems=problems or {},
        typed=typed or {},
    )
