"""The link with the key, followed as people do: typed, or from a page of another site."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import BrowserContext, Page, expect

from tests.browser.conftest import LIMIT, Watch
from tests.browser.nursery import Nursery
from tests.running import Server, running_app

KEY = "0123456789_of-the-test.~"


@pytest.fixture(scope="module")
def server(apps: Nursery, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    with running_app(tmp_path_factory.mktemp("locked") / "data", key=KEY, begin=apps.begin) as running:
        yield running


@pytest.fixture
def watch(server: Server) -> Watch:
    """Complains of nothing: another site is asked here on purpose, and refusals are what is looked for."""
    return Watch(server.url)


@pytest.fixture(autouse=True)
def _watched(context: BrowserContext) -> None:
    context.set_default_timeout(LIMIT)


@pytest.fixture
def elsewhere(server: Server) -> Iterator[str]:
    """A page of another site, with the link in it."""

    class Mail(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(200)
            self.send_header("content-type", "text/html")
            self.end_headers()
            self.wfile.write(f'<a href="{server.url}/?key={KEY}">the deck</a>'.encode())

        def log_message(self, *_: object) -> None:
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Mail) as other:
        threading.Thread(target=other.serve_forever, daemon=True).start()
        yield f"http://localhost:{other.server_address[1]}/"  # another name is another site
        other.shutdown()


def test_the_link_opens_the_shelf_from_anywhere_and_leaves_no_key_behind(
    page: Page, server: Server, elsewhere: str
) -> None:
    page.goto(server.url)
    expect(page.get_by_role("heading")).to_have_text("A key is needed")
    page.goto(elsewhere)
    page.get_by_role("link").click()
    expect(page).to_have_title("Shelf · Holewise")
    expect(page).to_have_url(f"{server.url}/")
    assert page.evaluate("document.cookie") == "", "no script reads the key"


def test_the_link_typed_opens_the_shelf(page: Page, server: Server) -> None:
    page.goto(f"{server.url}/?key={KEY}")
    expect(page).to_have_url(f"{server.url}/")
    expect(page).to_have_title("Shelf · Holewise")
