"""The running app in a real browser: every page must stay quiet and ask no other place for anything."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.bench import Bench
from tests.running import Server

LIMIT = 15_000
"""Longest wait of a retrying expectation [ms]: a busy machine is slow, a broken page never gets there."""

expect.set_options(timeout=LIMIT)  # a context's own limit holds for what is done in it, not for what is expected of it


@pytest.fixture(scope="session")
def browser_context_args(browser_context_args: dict[str, Any]) -> dict[str, Any]:
    """A laptop's screen, in light colours, without animations."""
    return {
        **browser_context_args,
        "viewport": {"width": 1280, "height": 720},
        "color_scheme": "light",
        "reduced_motion": "reduce",
        "locale": "en-GB",
        "accept_downloads": True,
    }


class Watch:
    """What pages said and asked for that they should not have."""

    def __init__(self, origin: str) -> None:
        self.origin = origin
        self.expected: list[str] = []
        self.said: list[str] = []

    def follow(self, page: Page) -> None:
        """Listen to one page."""
        page.on("console", lambda message: self._note(message.type, message.text))
        page.on("pageerror", lambda error: self.said.append(f"script error: {error}"))
        page.on("request", lambda request: self._asked(request.url))
        page.on("crash", lambda _: self.said.append("the page crashed"))

    def expect(self, words: str) -> None:
        """Let messages with these words pass: the browser itself reports a refused form."""
        self.expected.append(words)

    def _note(self, kind: str, text: str) -> None:
        if kind in {"error", "warning"} and not any(words in text for words in self.expected):
            self.said.append(f"{kind}: {text}")

    def _asked(self, url: str) -> None:
        if not url.startswith((self.origin, "data:", "blob:", "about:")):
            self.said.append(f"asked {url}")


@pytest.fixture
def watch(server: Server) -> Iterator[Watch]:
    """Fails the test at its end if a page reported an error or asked another origin."""
    watching = Watch(server.url)
    yield watching
    assert not watching.said


@pytest.fixture(autouse=True)
def _watched(context: BrowserContext, watch: Watch) -> None:
    context.set_default_timeout(LIMIT)
    context.on("page", watch.follow)


@pytest.fixture
def bench(page: Page, server: Server) -> Bench:
    """A new two-player deck on the bench, made through the form."""
    made = Bench(page, server.url)
    made.make_deck(title="Bench test, two players")
    return made


@pytest.fixture
def make_bench(page: Page, server: Server) -> Callable[..., Bench]:
    """A deck made through the form with answers of the test's own."""

    def make(**answers: str) -> Bench:
        made = Bench(page, server.url)
        made.make_deck(**answers)
        return made

    return make
