"""Without the key nothing is answered; with it, once by the link and then by a cookie, everything is.

RFC 9110 (401 needs a challenge), RFC 6265 and its successor draft (SameSite), WHATWG HTML (Refresh).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from http.cookies import SimpleCookie
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.assets import root
from app.web.guards import Address

KEY = "0123456789_of-the-test.~"
BASE = "http://127.0.0.1:8123"


def client_of(app: FastAPI, peer: str = "192.168.1.50", base: str = BASE) -> TestClient:
    return TestClient(app, base_url=base, follow_redirects=False, client=(peer, 50000))


@pytest.fixture
def locked(workshop: Workshop) -> FastAPI:
    return create_app(workshop, Address("127.0.0.1", 8123), key=KEY, proxies=["10.0.0.1"])


@pytest.fixture
def stranger(locked: FastAPI) -> Iterator[TestClient]:
    with client_of(locked) as opened:
        yield opened


def cookies_of(answer: Any) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for header in answer.headers.get_list("set-cookie"):
        found |= SimpleCookie(header)
    return found


@pytest.mark.parametrize("peer", ["192.168.1.50", "127.0.0.1", "::1"])
def test_nothing_is_answered_without_the_key(locked: FastAPI, deck: str, peer: str) -> None:
    """Not even on this computer, and one answer for all: it tells nothing of what there is."""
    addresses = [
        "/",
        f"/designs/{deck}",
        "/nowhere",
        f"{root()}/base.css",
        "/static/icon.svg",
        f"/designs/{deck}/design.json",
    ]
    with client_of(locked, peer) as asking:
        answers = [asking.get(address) for address in addresses]
        answers += [asking.post(f"/designs/{deck}/undo"), asking.get("/", headers={"host": "other.example"})]
        answers += [asking.get("/?key=wrong"), asking.get("/?key="), asking.post(f"/?key={KEY}")]
        asking.cookies.set("holewise-8123", "wrong")
        answers.append(asking.get("/"))
    assert {answer.status_code for answer in answers} == {401}
    assert len({answer.text for answer in answers}) == 1
    for answer in answers:
        assert answer.headers["www-authenticate"]
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["cache-control"] == "no-store"
        assert "Two-seater" not in answer.text and "static" not in answer.text and "set-cookie" not in answer.headers


def test_the_link_sets_a_cookie_and_leads_to_the_same_address_without_the_key(stranger: TestClient, deck: str) -> None:
    answer = stranger.get(f"/designs/{deck}?board=deck&key={KEY}&unit=mm")
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/designs/{deck}?board=deck&unit=mm"
    cookie = cookies_of(answer)["holewise-8123"]
    assert cookie.value == KEY
    assert cookie["httponly"] and cookie["samesite"].lower() == "strict" and cookie["path"] == "/"
    assert not cookie["secure"] and not cookie["max-age"] and not cookie["expires"]
    assert stranger.get(f"/designs/{deck}").status_code == 200
    assert stranger.get(f"{root()}/base.css").status_code == 200
    assert stranger.post(f"/designs/{deck}/undo").status_code == 303


def test_no_other_server_on_this_computer_overwrites_the_cookie(workshop: Workshop) -> None:
    names = set()
    for port in (8123, 8124):
        with client_of(create_app(workshop, Address("127.0.0.1", port), key=KEY)) as asking:
            names |= set(cookies_of(asking.get(f"/?key={KEY}")))
    assert len(names) == 4, "two for each"


@pytest.mark.parametrize("path", ["//other.example/", "/\\other.example/", "///other.example/x", "/%5Cother.example"])
def test_the_link_leads_to_no_other_site(stranger: TestClient, path: str) -> None:
    answer = stranger.get(f"{BASE}{path}?key={KEY}")
    assert answer.status_code == 303
    assert re.match(r"/[^/\\]", answer.headers["location"])


@pytest.mark.parametrize(("proto", "safe"), [("https", True), ("http", False)])
def test_the_cookie_is_for_https_alone_behind_a_proxy_with_https(locked: FastAPI, proto: str, safe: bool) -> None:
    with client_of(locked, "10.0.0.1") as proxy:
        answer = proxy.get(f"/?key={KEY}", headers={"x-forwarded-proto": proto, "x-forwarded-for": "192.168.1.50"})
        assert [bool(cookie["secure"]) for cookie in cookies_of(answer).values()] == [safe, safe]
    with client_of(locked) as asking:
        answer = asking.get(f"/?key={KEY}", headers={"x-forwarded-proto": proto})
        assert not cookies_of(answer)["holewise-8123"]["secure"], "anybody can say so"


def test_a_browser_that_came_from_another_site_is_asked_once_to_load_again(stranger: TestClient) -> None:
    """It keeps back the strict cookie on the way on from the link, and sends it with a request of the page itself."""
    came = "holewise-8123-came"
    sent = cookies_of(stranger.get(f"/?key={KEY}"))[came]
    assert sent["samesite"].lower() == "lax" and sent["httponly"] and int(sent["max-age"]) <= 60
    stranger.cookies.clear()
    stranger.cookies.set(came, sent.value)
    answer = stranger.get("/")
    assert answer.status_code == 401
    assert answer.headers["refresh"] == "0"
    assert cookies_of(answer)[came]["max-age"] == "0", "so that it asks only once"
    stranger.cookies.clear()
    assert "refresh" not in stranger.get("/").headers


def test_other_cookies_of_this_computer_do_not_matter(stranger: TestClient) -> None:
    odd = 'other={"a": "b"}; broken; =x; holewise-8124=nothing'
    ours = f"{odd}; holewise-8123={KEY}; more=ä".encode("latin-1")
    assert stranger.get("/", headers={b"cookie": ours}).status_code == 200
    assert stranger.get("/", headers={"cookie": odd}).status_code == 401


def test_what_is_changed_from_another_site_is_refused_with_the_key_too(stranger: TestClient, deck: str) -> None:
    stranger.get(f"/?key={KEY}")
    answer = stranger.post(f"/designs/{deck}/undo", headers={"origin": "http://other.example"})
    assert answer.status_code == 403


def test_without_a_key_the_word_means_nothing(client: TestClient) -> None:
    assert client.get(f"/?key={KEY}").status_code == 200
