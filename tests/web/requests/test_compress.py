"""Answers are packed for other computers that take it, never for this one, and never where that could betray a page."""

from __future__ import annotations

import gzip
import zlib
from collections.abc import Iterator

import httpx2
import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response, StreamingResponse
from starlette.routing import Route
from starlette.testclient import TestClient

from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.compress import SMALLEST, Compress, is_elsewhere
from app.web.guards import SECURITY_HEADERS, Address
from tests.web.conftest import BASE
from tests.web.waiting import run

ELSEWHERE = "192.0.2.7"
"""A computer that is not this one (RFC 5737: numbers for examples)."""


def asking(workshop: Workshop, peer: str) -> TestClient:
    return TestClient(create_app(workshop, Address("127.0.0.1", 8123)), base_url=BASE, client=(peer, 40000))


def raw(client: TestClient, url: str, **headers: str) -> tuple[httpx2.Response, bytes]:
    with client.stream("GET", url, headers={k.replace("_", "-"): v for k, v in headers.items()}) as answer:
        return answer, b"".join(answer.iter_raw())


@pytest.mark.parametrize("peer", ["127.0.0.1", "127.8.0.1", "::1", "::ffff:127.0.0.1", "testclient", ""])
def test_to_this_computer_everything_goes_as_it_is(workshop: Workshop, deck: str, peer: str) -> None:
    answer, body = raw(asking(workshop, peer), f"/designs/{deck}", accept_encoding="gzip")
    assert "content-encoding" not in answer.headers
    assert body.startswith(b"<!doctype html>")


@pytest.mark.parametrize("peer", [ELSEWHERE, "::ffff:192.0.2.7", "2001:db8::7"])
def test_another_computer_gets_the_same_page_in_a_fraction(workshop: Workshop, deck: str, peer: str) -> None:
    _, plain = raw(asking(workshop, "127.0.0.1"), f"/designs/{deck}")
    answer, body = raw(asking(workshop, peer), f"/designs/{deck}", accept_encoding="br, gzip;q=0.8")
    assert answer.headers["content-encoding"] == "gzip"
    assert "content-length" not in answer.headers or int(answer.headers["content-length"]) == len(body)
    assert {"hx-request", "accept-encoding"} <= {v.strip().lower() for v in answer.headers["vary"].split(",")}
    assert gzip.decompress(body) == plain
    assert len(body) < len(plain) / 4  # markup repeats itself; text packs to a third or less
    assert {name: answer.headers[name] for name in SECURITY_HEADERS} == SECURITY_HEADERS
    assert answer.headers["cache-control"] == "no-store"


@pytest.mark.parametrize("offer", ["", "identity", "gzip;q=0", "br", "gzip;q=x"])
def test_who_does_not_take_it_gets_it_plain_and_caches_are_told(workshop: Workshop, deck: str, offer: str) -> None:
    answer, body = raw(asking(workshop, ELSEWHERE), f"/designs/{deck}", accept_encoding=offer)
    assert "content-encoding" not in answer.headers
    assert body.startswith(b"<!doctype html>")
    assert "accept-encoding" in answer.headers["vary"].lower()


@pytest.mark.parametrize(
    ("site", "packed"), [("same-origin", True), ("none", True), ("cross-site", False), ("same-site", False)]
)
def test_what_another_site_asks_for_is_never_packed(workshop: Workshop, deck: str, site: str, packed: bool) -> None:
    answer, _ = raw(asking(workshop, ELSEWHERE), "/?find=x", accept_encoding="gzip", sec_fetch_site=site)
    assert ("content-encoding" in answer.headers) == packed


def test_a_pdf_is_packed_inside_already(workshop: Workshop, deck: str) -> None:
    answer, body = raw(asking(workshop, ELSEWHERE), f"/designs/{deck}/view.pdf", accept_encoding="gzip")
    assert "content-encoding" not in answer.headers
    assert body.startswith(b"%PDF")


def test_a_file_of_the_program_gets_a_weak_tag_and_no_ranges(workshop: Workshop) -> None:
    here, there = asking(workshop, "127.0.0.1"), asking(workshop, ELSEWHERE)
    plain, whole = raw(here, "/static/base.css")
    answer, body = raw(there, "/static/base.css", accept_encoding="gzip")
    assert gzip.decompress(body) == whole
    assert answer.headers["etag"] == f"W/{plain.headers['etag']}"
    assert "accept-ranges" not in answer.headers
    part, piece = raw(there, "/static/base.css", accept_encoding="gzip", range="bytes=2-9")
    assert (part.status_code, piece) == (206, whole[2:10])
    again, nothing = raw(there, "/static/base.css", accept_encoding="gzip", if_none_match=answer.headers["etag"])
    assert (again.status_code, nothing) == (304, b"")


@pytest.fixture
def small() -> Iterator[TestClient]:
    """An application of one page of any length, and one that comes in pieces."""

    def page(request: Request) -> Response:
        return PlainTextResponse("a" * int(request.query_params["length"]))

    def pieces(_: Request) -> Response:
        return StreamingResponse((f"piece {n}\n" for n in range(3)), media_type="text/plain")

    app = Starlette(routes=[Route("/", page), Route("/pieces", pieces)])
    app.add_middleware(Compress)
    with TestClient(app, client=(ELSEWHERE, 1)) as client:
        yield client


def test_short_answers_are_not_worth_it(small: TestClient) -> None:
    for length, packed in ((0, False), (SMALLEST - 1, False), (SMALLEST, True)):
        answer, body = raw(small, f"/?length={length}", accept_encoding="gzip")
        assert ("content-encoding" in answer.headers) == packed
        assert (gzip.decompress(body) if packed else body) == b"a" * length


def test_head_says_what_get_would(small: TestClient) -> None:
    for length in (SMALLEST - 1, SMALLEST):
        seen, _ = raw(small, f"/?length={length}", accept_encoding="gzip")
        head = small.head(f"/?length={length}", headers={"accept-encoding": "gzip"})
        assert head.content == b""
        assert head.headers.get("content-encoding") == seen.headers.get("content-encoding")


def test_each_piece_of_a_stream_can_be_read_when_it_comes() -> None:
    sent: list[bytes] = []

    async def app(scope: object, receive: object, send: object) -> None:
        await send({"type": "http.response.start", "status": 200, "headers": [(b"content-type", b"text/plain")]})  # type: ignore[operator]
        for n in range(3):
            await send({"type": "http.response.body", "body": b"piece %d" % n, "more_body": n < 2})  # type: ignore[operator]

    async def send(message: dict[str, object]) -> None:
        body = message.get("body")
        if isinstance(body, bytes):
            sent.append(body)

    scope = {"type": "http", "method": "GET", "client": (ELSEWHERE, 1), "headers": [(b"accept-encoding", b"gzip")]}
    run(Compress(app)(scope, None, send))  # type: ignore[arg-type]
    reader = zlib.decompressobj(16 + zlib.MAX_WBITS)
    assert [reader.decompress(piece) for piece in sent] == [b"piece 0", b"piece 1", b"piece 2"]
    assert reader.eof


def test_a_peer_without_a_number_is_on_this_computer() -> None:
    assert not is_elsewhere({"client": None})
    assert not is_elsewhere({"client": ("/run/socket", 0)})
    assert is_elsewhere({"client": (ELSEWHERE, 0)})
