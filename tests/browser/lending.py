"""One browser page lent to test after test: loading a page anew costs a third of what a new page costs.

Only what looks and presses leaves a page as it was. What can be undone of the rest is undone: listeners, answers held
back, what was sent by the browser's own protocol, further pages. After a test that did more, or that failed, the next
one gets a new page.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page

_MORE = {
    BrowserContext: (
        *("add_init_script", "expose_binding", "expose_function", "grant_permissions", "new_cdp_session", "route"),
        *("set_extra_http_headers", "set_geolocation", "set_offline", "storage_state"),
    ),
    Page: (
        *("add_init_script", "emulate_media", "expose_binding", "expose_function", "on", "once", "pause", "route"),
        "set_extra_http_headers",
    ),
}
"""What is done to a page, or to its context, that stays when another address is loaded."""
_UNDONE: dict[tuple[type, str], Callable[[Any, tuple[Any, ...], Any], None]] = {
    (BrowserContext, "new_cdp_session"): lambda _context, _given, session: session.detach(),
    (Page, "on"): lambda page, given, _: page.remove_listener(*given),
    (Page, "route"): lambda page, _given, _: page.unroute_all(),
}
"""What of it can be undone: by the thing it was done to, what was given, and what came of it."""


class Lender:
    """Lends a page of one browser to one test after the other.

    Args:
        browser: where pages are opened.
        options: those of a new context.
    """

    def __init__(self, browser: Browser, options: dict[str, Any]) -> None:
        self._browser = browser
        self._options = options
        self._context: BrowserContext | None = None
        self._page: Page | None = None
        self._more: list[str] = []
        self._undo: list[Callable[[], None]] = []
        self.is_out = False

    def lend(self) -> tuple[BrowserContext, Page]:
        """A context with nothing kept in it, and its one page, with nothing in it."""
        if self._context is None or self._page is None:
            self._context = self._browser.new_context(**self._options)
            self._page = self._context.new_page()
        self.is_out = True
        return self._context, self._page

    def watch(self) -> None:
        """From now on note what is done that stays: said once all is set up that every test has."""
        for thing in (self._context, self._page):
            for name in _MORE[type(thing)] if thing is not None else ():
                if not hasattr(vars(thing).get(name), "noted"):
                    setattr(thing, name, self._noting(getattr(thing, name), name))
        self._more.clear()
        self._undo.clear()

    def take_back(self, plain: str, *, well: bool) -> None:
        """Clear what is kept, or close the page if it may not be lent again.

        Args:
            plain: address of an answer of the same server that runs no script.
            well: whether the test passed.
        """
        self.is_out = False
        if self._context is None or self._page is None:
            return
        if not well or self._more or self._page not in self._context.pages:
            self.close()
            return
        try:
            for other in self._context.pages:
                if other is not self._page:
                    other.close()
            for undo in self._undo:
                undo()
            self._page.mouse.move(0, 0)
            self._page.goto(plain)
            self._page.set_viewport_size(self._options["viewport"])
            self._page.evaluate("() => { localStorage.clear(); sessionStorage.clear(); }")
            self._context.clear_cookies()
        except Error:  # the server is gone, or the page leaves again
            self.close()

    def close(self) -> None:
        """Close the page; the next one to be lent is new."""
        if self._context is not None:
            self._context.close()
        self._context = self._page = None

    def _noting(self, done: Callable[..., Any], name: str) -> Callable[..., Any]:
        thing = done.__self__  # type: ignore[attr-defined]
        undone = _UNDONE.get((type(thing), name))

        def noted(*given: Any, **named: Any) -> Any:
            came = done(*given, **named)
            if undone:
                self._undo.append(lambda: undone(thing, given, came))
            else:
                self._more.append(name)
            return came

        noted.noted = True  # type: ignore[attr-defined]
        return noted
