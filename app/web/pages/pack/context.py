"""The page of a pack: what goes into it, what will be made, and where it is made."""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct

from app.service.pack.asked import PackKept, PackNews
from app.service.screens.plans.pack_seen import PackSeen
from app.web.shared.view_state import ViewState


class PackPage(Struct, frozen=True):
    """The page.

    Args:
        view: the view.
        title: of the design.
        seen: what may be chosen, and what will be made.
        minutes: how long a pack that is made is kept.
        back_url, paper_url, revisions_url: the board page, the paper page, the page of revisions.
    """

    view: ViewState
    title: str
    seen: PackSeen
    minutes: int
    back_url: str
    paper_url: str
    revisions_url: str


def pack_page(view: ViewState, title: str, seen: PackSeen, minutes: int) -> PackPage:
    """The page of a pack."""
    view = view.at(select=(), face="top", section=False)
    return PackPage(view, title, seen, minutes, view.url(), view.url("/paper"), view.url("/revisions"))


def news_words(news: PackNews) -> dict[str, object]:
    """How far a pack is, for the script of the page."""
    if not news.total:
        return {"done": 0, "total": 0, "words": "Laying out the sheets"}
    said = f"{news.done} of about {news.total} pages and files"
    return {"done": news.done, "total": news.total, "words": said + _left(news.left)}


def _left(seconds: float | None) -> str:
    if seconds is None:
        return ""
    if seconds < 1.5:
        return "; about a second left"
    if seconds < 90.0:
        return f"; about {seconds:.0f} s left"
    return f"; about {seconds / 60:.0f} min left"


def kept_words(design: str, kept: PackKept) -> Mapping[str, object]:
    """A pack that is made, for the script of the page."""
    address = f"/designs/{design}/pack/kept/{kept.key}"
    return {"url": address, "words": f"{kept.name}: {kept.files} files, {kept.pages} pages, {_size(kept.size)}"}


def _size(size: int) -> str:
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{size / 1e3:.0f} kB"
