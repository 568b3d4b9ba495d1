"""What a proxy says is believed from a proxy that was named, and from nobody else."""

from __future__ import annotations

import json
from typing import Any

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import JSONResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from app.web.guards import Address, Guard
from app.web.problems import refusal
from app.web.proxies import Proxied, from_this_computer

HERE = "127.0.0.1:8123"
PROXY = "192.168.1.2"
TOLD = {"x-forwarded-proto": "https", "x-forwarded-host": "deck.example", "x-forwarded-for": "203.0.113.9"}


async def seen(request: Request) -> JSONResponse:
    return JSONResponse(
        {
            "scheme": request.scope["scheme"],
            "host": request.headers["host"],
            "client": request.client.host if request.client else None,
            "here": from_this_computer(request.scope),
            "told": sorted(name for name in request.headers if name.startswith("x-") or name == "forwarded"),
        }
    )


def behind(peer: str, *trusted: str, hosts: tuple[str, ...] = ()) -> TestClient:
    inner = Starlette(routes=[Route("/", seen, methods=["GET", "POST"])])
    guarded = Guard(inner, address=Address("127.0.0.1", 8123, hosts=hosts), refusal=refusal)
    return TestClient(Proxied(guarded, trusted=trusted), base_url=f"http://{HERE}", client=(peer, 50000))


def ask(client: TestClient, **headers: str) -> Any:
    return json.loads(client.get("/", headers={k.replace("_", "-"): v for k, v in headers.items()}).text)


@pytest.mark.parametrize(("peer", "trusted"), [
    (PROXY, (PROXY,)),
    (PROXY, ("10.0.0.0/8", "192.168.1.0/24")),
    (f"::ffff:{PROXY}", (PROXY,)),
    ("fd00::2", ("fd00::/8",)),
])  # fmt: skip
def test_a_named_proxy_is_believed(peer: str, trusted: tuple[str, ...]) -> None:
    answer = ask(behind(peer, *trusted, hosts=("deck.example",)), **TOLD)
    assert (answer["scheme"], answer["host"], answer["client"]) == ("https", "deck.example", "203.0.113.9")
    assert not answer["here"]


@pytest.mark.parametrize(("peer", "trusted"), [
    (PROXY, ()),
    ("192.168.1.3", (PROXY,)),
    ("127.0.0.1", (PROXY,)),
    ("testclient", (PROXY,)),
    ("fd00::2", ("10.0.0.0/8",)),
])  # fmt: skip
def test_nobody_else_is(peer: str, trusted: tuple[str, ...]) -> None:
    more = {"forwarded": "for=203.0.113.9;proto=https", "x-request-id": "given", "x-real-ip": "203.0.113.9"}
    answer = ask(behind(peer, *trusted, hosts=("deck.example",)), **TOLD, **more)
    assert (answer["scheme"], answer["host"], answer["client"]) == ("http", HERE, peer)
    assert answer["told"] == [], "taken away before anything can read it"


@pytest.mark.parametrize(("way", "asked"), [
    ("203.0.113.9", "203.0.113.9"),
    ("127.0.0.1, 203.0.113.9", "203.0.113.9"),  # begun with an invention
    ("203.0.113.9, 192.168.1.2", "203.0.113.9"),  # through two proxies of ours
    ("203.0.113.9, 198.51.100.4", "198.51.100.4"),  # through a proxy that is not ours
    ("unknown", "unknown"),
    ("", None),
    ("192.168.1.2", None),
])  # fmt: skip
def test_who_asked_is_the_last_that_is_no_proxy_of_ours(way: str, asked: str | None) -> None:
    answer = ask(behind(PROXY, PROXY), x_forwarded_for=way)
    assert (answer["client"], answer["here"]) == (asked, False)


def test_who_asks_through_a_proxy_on_this_computer_is_not_this_computer() -> None:
    client = behind("127.0.0.1", "127.0.0.1", hosts=("deck.example",))
    assert not ask(client, **TOLD)["here"]
    assert not ask(client, x_forwarded_proto="https")["here"], "for whom is not said"
    assert ask(client)["here"], "the proxy itself asks"
    assert ask(behind("::1"))["here"]


@pytest.mark.parametrize("proto", ["javascript", "", "ftp"])
def test_a_scheme_that_is_none_is_not_taken(proto: str) -> None:
    assert ask(behind(PROXY, PROXY), x_forwarded_proto=proto)["scheme"] == "http"


@pytest.mark.parametrize(("hosts", "host", "status"), [
    ((), "deck.example", 421),
    (("deck.example",), "deck.example", 200),
    (("deck.example",), "DECK.example:8443", 200),
    (("deck.example:8443",), "deck.example:8443", 200),
    (("deck.example:8443",), "deck.example", 421),
    (("deck.example",), "other.deck.example", 421),
    (("deck.example",), "deck.example.other", 421),
])  # fmt: skip
def test_only_a_name_that_was_given_is_answered(hosts: tuple[str, ...], host: str, status: int) -> None:
    assert behind("10.0.0.9", hosts=hosts).get("/", headers={"host": host}).status_code == status
    told = {"x-forwarded-host": host}
    assert behind(PROXY, PROXY, hosts=hosts).get("/", headers=told).status_code == status


@pytest.mark.parametrize(("origin", "told", "status"), [
    ("https://deck.example", TOLD, 200),
    ("https://deck.example", {"x-forwarded-proto": "https"}, 200),  # it names itself to us, not what it was asked for
    ("https://deck.example", {}, 200),  # a proxy that says nothing
    ("http://deck.example", TOLD, 403),  # not by https: whoever is in between could have made that page
    ("https://other.example", TOLD, 403),
    ("https://deck.example:8443", TOLD, 403),  # another server on the same machine
    ("https://deck.example.other.example", TOLD, 403),
    ("null", TOLD, 403),
])  # fmt: skip
def test_a_form_comes_from_a_name_that_was_given(origin: str, told: dict[str, str], status: int) -> None:
    client = behind(PROXY, PROXY, hosts=("deck.example",))
    assert client.post("/", headers={"origin": origin, **told}).status_code == status


def test_a_name_given_with_its_port_is_the_origin_with_that_port() -> None:
    client = behind(PROXY, PROXY, hosts=("deck.example:8443",))
    assert client.post("/", headers={"origin": "https://deck.example:8443"}).status_code == 200
    assert client.post("/", headers={"origin": "https://deck.example"}).status_code == 403
