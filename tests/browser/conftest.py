"""The running app in a real browser: every page must stay quiet and ask no other place for anything."""

from __future__ import annotations

from collections.abc import Callable, Generator, Iterator
from contextlib import ExitStack, contextmanager
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, expect

from tests.browser.bench import Bench
from tests.browser.lending import Lender
from tests.browser.nursery import Nursery, nursery
from tests.running import Server, running_app

LIMIT = 60_000
"""Longest wait of a retrying expectation [ms]: a busy machine is slow, a broken page never gets there."""

AXE = {"resultTypes": ["violations"], "preload": False}
"""Options of axe: only what it has against a page is told at length, and style sheets are not fetched once more."""

_PASSED = pytest.StashKey[bool]()


def axe_finds_nothing(page: Page, within: str | None = None) -> None:
    """Axe-core has nothing against a page, or against what is within a selector."""
    found = Axe().run(page, context={"include": [within]} if within else None, options=AXE).response["violations"]
    assert not found, "\n".join(
        f"{v['id']}: {v['help']}\n"
        + "\n".join(f"   {n['html'][:200]}\n   {n['failureSummary']}" for n in v["nodes"][:4])
        for v in found
    )


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


@pytest.fixture(scope="session")
def apps() -> Iterator[Nursery]:
    """Where apps are forked from."""
    with nursery() as begun:
        yield begun


@pytest.fixture(scope="module")
def server(apps: Nursery, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """The app in a process of its own, on an empty data folder; one for each test file."""
    with running_app(tmp_path_factory.mktemp("served") / "data", begin=apps.begin) as running:
        yield running


class Watch:
    """What pages said and asked for that they should not have."""

    def __init__(self, origin: str) -> None:
        self.origin = origin
        self.expected: list[str] = []
        self.said: list[str] = []
        self._heard: dict[str, Callable[[Any], None]] = {
            "console": self._console,
            "pageerror": lambda error: self.said.append(f"script error: {error}"),
            "request": lambda request: self._asked(request.url),
            "crash": lambda _: self.said.append("the page crashed"),
        }

    def follow(self, page: Page) -> None:
        """Listen to one page."""
        for event, heard in self._heard.items():
            page.on(event, heard)  # type: ignore[call-overload]

    def leave(self, page: Page) -> None:
        """Listen to it no longer."""
        for event, heard in self._heard.items():
            page.remove_listener(event, heard)

    def expect(self, words: str) -> None:
        """Let messages with these words pass: the browser itself reports a refused form."""
        self.expected.append(words)

    def _console(self, message: ConsoleMessage) -> None:
        where = message.location["url"]
        # A page that names no icon of its own, as a bare answer between two tests, has the browser look for one; and
        # what another app answered to the page before may be told late.
        if not where.endswith("/favicon.ico") and (where.startswith(self.origin) or not where.startswith("http")):
            self._note(message.type, f"{message.text} ({where})")

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


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item: pytest.Item) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Note on a test whether it passed, for what its fixtures do afterwards."""
    report = yield
    item.stash[_PASSED] = item.stash.get(_PASSED, True) and report.passed
    return report


@pytest.fixture(scope="session")
def lender(browser: Browser, browser_context_args: dict[str, Any]) -> Iterator[Lender]:
    """Lends one page to all tests, as long as they leave it as it was."""
    lending = Lender(browser, browser_context_args)
    yield lending
    lending.close()


@contextmanager
def borrowed(lender: Lender, watch: Watch, item: pytest.Item) -> Iterator[BrowserContext]:
    """A context with nothing kept in it, watched, with one page; given back at the end."""
    context, page = lender.lend()
    context.set_default_timeout(LIMIT)
    context.on("page", watch.follow)
    watch.follow(page)
    lender.watch()
    yield context
    context.remove_listener("page", watch.follow)
    watch.leave(page)
    lender.take_back(f"{watch.origin}/health", well=item.stash.get(_PASSED, False))


@pytest.fixture
def context(lender: Lender, watch: Watch, request: pytest.FixtureRequest) -> Iterator[BrowserContext]:
    """A context of a laptop, with one page."""
    with borrowed(lender, watch, request.node) as lent:
        yield lent


@pytest.fixture(scope="session")
def lenders(browser: Browser) -> Iterator[dict[str, Lender]]:
    """Those of other sizes and colours, by their options; of this browser, and gone with it."""
    assert browser.is_connected()
    lending: dict[str, Lender] = {}
    yield lending
    for each in lending.values():
        each.close()


@pytest.fixture
def open_page(
    browser: Browser, lenders: dict[str, Lender], watch: Watch, request: pytest.FixtureRequest
) -> Iterator[Callable[..., Page]]:
    """Pages of another size or colour: width and height [px], scheme, and more options of a context."""
    with ExitStack() as stack:

        def new(width: int, height: int, scheme: str, **more: Any) -> Page:
            size = {"width": width, "height": height}
            options = {"viewport": size, "color_scheme": scheme, "reduced_motion": "reduce", **more}
            lender = lenders.setdefault(repr(sorted(options.items())), Lender(browser, options))
            if lender.is_out:  # two alike at once
                lender = Lender(browser, options)
                stack.callback(lender.close)
            return stack.enter_context(borrowed(lender, watch, request.node)).pages[0]

        yield new


@pytest.fixture
def page(context: BrowserContext) -> Page:
    """The page of the context."""
    return context.pages[0]


@pytest.fixture
def bench(page: Page, server: Server) -> Bench:
    """A new two-player deck on the bench."""
    made = Bench(page, server.url)
    made.put_deck(title="Bench test, two players")
    return made


@pytest.fixture
def make_bench(page: Page, server: Server) -> Callable[..., Bench]:
    """A deck made with answers of the test's own."""

    def make(**answers: str) -> Bench:
        made = Bench(page, server.url)
        made.put_deck(**answers)
        return made

    return make
