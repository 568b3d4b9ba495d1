"""What is let in and what is not: Host, Origin, size; and what every answer carries.

Behaviour checked against the Fetch metadata and CSP3 recommendations (W3C) and RFC 9110 (421, 413).
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.applications import Starlette
from starlette.datastructures import Headers
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.types import Message, Receive, Scope, Send

from app.web.guards import BODY_LIMIT, Address, Guard, foreign_origin
from app.web.problems import refusal
from tests.web.waiting import run

HERE = "127.0.0.1:8123"


async def echo(request: Request) -> PlainTextResponse:
    body = await request.body()
    return PlainTextResponse(f"{request.method} {len(body)}")


async def swallow(request: Request) -> PlainTextResponse:
    # As a framework does that turns every failure of the body into its own answer.
    try:
        await request.body()
    except Exception:  # noqa: BLE001
        return PlainTextResponse("half a body", 400)
    return PlainTextResponse("whole body")


@pytest.fixture
def client() -> Iterator[TestClient]:
    inner = Starlette(
        routes=[Route("/", echo, methods=["GET", "POST", "DELETE"]), Route("/swallow", swallow, methods=["POST"])]
    )
    guarded = Guard(inner, address=Address("127.0.0.1", 8123), refusal=refusal)
    with TestClient(guarded, base_url=f"http://{HERE}") as opened:
        yield opened


@pytest.mark.parametrize("host", ["127.0.0.1:8123", "localhost:8123", "LOCALHOST:8123", "[::1]:8123"])
def test_this_computer_is_let_in(client: TestClient, host: str) -> None:
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "rebound.example:8123",
        "rebound.example",
        "127.0.0.1:9",
        "127.0.0.1",
        "localhost.rebound.example:8123",
        "127.0.0.1.rebound.example:8123",
        "user@localhost:8123",
        "localhost:8123/x",
        "[::1",
        "localhost:port",
        "",
    ],
)
def test_another_host_is_refused_with_a_page(client: TestClient, host: str) -> None:
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "Open the address it printed" in answer.text


def test_a_wildcard_address_takes_numbers_but_no_names() -> None:
    address = Address("0.0.0.0", 8123)  # noqa: S104 - nothing is bound
    assert address.accepts("192.168.7.20:8123")
    assert address.accepts("[fe80::1]:8123")
    assert not address.accepts("rebound.example:8123")
    assert not Address("127.0.0.1", 8123).accepts("192.168.7.20:8123")
    assert Address("bench.local", 8123).accepts("bench.local:8123")


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": f"http://{HERE}"},
        {"origin": f"http://{HERE}", "sec-fetch-site": "same-origin"},
        {"origin": "null", "sec-fetch-site": "same-origin"},
        {"referer": f"http://{HERE}/designs/1"},
        {"sec-fetch-site": "none"},
    ],
)
def test_our_own_forms_are_taken(client: TestClient, headers: dict[str, str]) -> None:
    assert client.post("/", headers=headers).status_code == 200


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://rebound.example"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "null"},
        {"origin": "null", "sec-fetch-site": "cross-site"},
        {"origin": f"http://{HERE}", "sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"referer": "http://rebound.example/127.0.0.1:8123"},
        {"origin": f"file://{HERE}"},
        {"origin": "http://["},
    ],
)
@pytest.mark.parametrize("method", ["POST", "DELETE"])
def test_forged_requests_are_refused_and_change_nothing(
    client: TestClient, headers: dict[str, str], method: str
) -> None:
    answer = client.request(method, "/", headers=headers)
    assert answer.status_code == 403
    assert "nothing was done" in answer.text


def test_reading_is_safe_from_anywhere() -> None:
    assert foreign_origin("GET", Headers({"origin": "http://rebound.example"})) == ""


def test_every_answer_carries_the_policy(client: TestClient) -> None:
    for answer in (client.get("/"), client.get("/nowhere"), client.get("/", headers={"host": "x.example"})):
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert "unsafe" not in policy
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert answer.headers["cache-control"] == "no-store"


def test_too_large_a_body_is_refused_by_its_length(client: TestClient) -> None:
    assert client.post("/", content=b"x" * BODY_LIMIT).text == f"POST {BODY_LIMIT}"
    answer = client.post("/", content=b"x" * (BODY_LIMIT + 1))
    assert answer.status_code == 413
    assert "More than 10 MB was sent" in answer.text


@pytest.mark.parametrize("path", ["/", "/swallow"])
def test_too_large_a_body_is_refused_without_a_length(client: TestClient, path: str) -> None:
    def pieces() -> Iterator[bytes]:
        for _ in range(12):
            yield b"x" * 1_000_000

    answer = client.post(path, content=pieces())
    assert answer.status_code == 413
    assert "More than 10 MB was sent" in answer.text


async def deaf(request: Request) -> PlainTextResponse:
    # As a route does that needs no form, or finds at once that there is nothing at the address.
    return PlainTextResponse("not read", 404)


@pytest.mark.parametrize("length", [True, False])
def test_what_no_route_reads_is_read_before_the_answer(length: bool) -> None:
    """Else the connection closes while the browser still sends, and it shows no page."""
    inner = Starlette(routes=[Route("/", deaf, methods=["POST"])])
    guarded = Guard(inner, address=Address("127.0.0.1", 8123), refusal=refusal)
    pieces = [b"x" * 1_000_000] * 9
    told = (b"content-length", b"9000000") if length else (b"transfer-encoding", b"chunked")
    headers = [(b"host", HERE.encode()), told]
    said: list[Message] = []
    left = list(pieces)

    async def receive() -> Message:
        return {"type": "http.request", "body": left.pop(), "more_body": bool(left)}

    async def send(message: Message) -> None:
        assert left == [], "nothing is said before all is read"
        said.append(message)

    scope = {"type": "http", "method": "POST", "path": "/", "headers": headers, "query_string": b""}
    run(guarded(scope, receive, send))
    assert said[0]["status"] == 404


def test_half_a_body_is_never_seen_by_a_route() -> None:
    seen: list[str] = []

    async def app(scope: Scope, receive: Receive, send: Send) -> None:
        seen.append(scope["path"])

    guarded = Guard(app, address=Address("127.0.0.1", 8123), refusal=refusal)
    left: list[Message] = [
        {"type": "http.disconnect"},
        {"type": "http.request", "body": b"half", "more_body": True},
    ]

    async def receive() -> Message:
        return left.pop()

    async def send(message: Message) -> None:
        raise AssertionError(message)

    headers = [(b"host", HERE.encode()), (b"content-length", b"8")]
    run(guarded({"type": "http", "method": "POST", "path": "/", "headers": headers}, receive, send))
    assert seen == []


def test_what_was_asked_for_is_shown_as_text_not_as_markup(client: TestClient) -> None:
    answer = client.post("/", headers={"origin": "http://<img src=x>"})
    assert "<img" not in answer.text
