"""What is written down of a request and of a fault: a number, the way it took, and nothing of what was sent."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, StreamingResponse
from starlette.routing import Route
from starlette.testclient import TestClient
from starlette.types import Message, Receive, Scope, Send

import app.proof
import app.proof.sheets
from app.errors import ProofError
from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.error_origin import places_of
from app.web.guards import SECURITY_HEADERS, Address
from app.web.log import Contained, Logged, Routed

BASE = "http://127.0.0.1:8123"
SECRET = "name-of-my-deck"  # noqa: S105 - what must not be written down
KEY = "0123456789_of-the-test.~"
NUMBER = r"[0-9a-f]{16}"
LINE = re.compile(
    r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}\+00:00 (?P<number>\S+) (?P<method>\S+) (?P<pattern>\S+) "
    r"(?P<status>\d{3}|-) (?P<ms>\d+\.\d) ms (?P<size>\d+) B"
)


def broken(app: FastAPI) -> FastAPI:
    """The app with two addresses that fail, quoting what was sent."""

    @app.get("/broken/{word}")
    def breaks(word: str) -> None:
        try:
            int(word)
        except ValueError as error:
            raise KeyError(word) from error

    @app.get("/half/{word}")
    async def half(word: str) -> Any:
        async def pieces() -> Any:
            yield b"half"
            raise RuntimeError(word)

        return StreamingResponse(pieces())

    return app


def client_of(app: Any, peer: str = "127.0.0.1") -> TestClient:
    return TestClient(app, base_url=BASE, client=(peer, 1), raise_server_exceptions=False, follow_redirects=False)


@pytest.fixture
def logged(workshop: Workshop) -> Iterator[TestClient]:
    app = broken(create_app(workshop, Address("127.0.0.1", 8123), log=True, proxies=["10.0.0.1"]))
    with client_of(Contained(app)) as opened:
        yield opened


def lines(capsys: pytest.CaptureFixture[str]) -> list[dict[str, str]]:
    found = []
    for line in capsys.readouterr().err.splitlines():
        match = LINE.fullmatch(line)
        assert match, line
        found.append(match.groupdict())
    return found


def test_a_line_says_what_was_asked_and_answered_by_its_pattern(
    logged: TestClient, deck: str, capsys: pytest.CaptureFixture[str]
) -> None:
    page = logged.get(f"/designs/{deck}?unit=mm&note={SECRET}")
    logged.post(f"/designs/{deck}/undo", data={"note": SECRET})
    logged.get(f"/{SECRET}")
    logged.get("/static/icon.svg")
    logged.get("/", headers={"host": "other.example"})
    found = lines(capsys)
    assert [(f["method"], f["pattern"], f["status"]) for f in found] == [
        ("GET", "/designs/{design_id}", "200"),
        ("POST", "/designs/{design_id}/undo", "303"),
        ("GET", "-", "404"),
        ("GET", "/static", "200"),
        ("GET", "-", "421"),
    ]
    assert found[0]["size"] == str(len(page.content))
    assert found[0]["number"] == page.headers["x-request-id"]
    assert len({f["number"] for f in found}) == len(found)


def test_a_request_that_is_copied_on_its_way_keeps_its_pattern(capsys: pytest.CaptureFixture[str]) -> None:
    async def here(_: Request) -> PlainTextResponse:
        return PlainTextResponse("here")

    routes = Routed(Starlette(routes=[Route("/here/{word}", here)]))

    async def copying(scope: Scope, receive: Receive, send: Send) -> None:
        await routes({**scope}, receive, send)

    client_of(Logged(copying, lines=True)).get(f"/here/{SECRET}")
    (line,) = lines(capsys)
    assert line["pattern"] == "/here/{word}"


def test_nothing_sent_and_no_design_is_in_the_log(
    logged: TestClient,
    workshop: Workshop,
    deck: str,
    capfd: pytest.CaptureFixture[str],
    caplog: pytest.LogCaptureFixture,
) -> None:
    files = {"file": (f"{SECRET}.json", SECRET.encode(), "application/json")}
    logged.post("/designs/open", files=files)
    logged.post(f"/designs/{deck}/edit/title", data={"title": SECRET})
    for path in (f"/broken/{SECRET}", f"/half/{SECRET}", f"/designs/{SECRET}", f"/?key={SECRET}"):
        logged.get(path, headers={"cookie": f"a={SECRET}", "user-agent": SECRET})
    said = capfd.readouterr().err + caplog.text
    assert "KeyError" in said, "the fault itself is written down"
    assert SECRET not in said
    assert deck not in said
    assert workshop.design(deck)[1].title not in said


def test_without_being_asked_for_no_line_is_written(client: TestClient, capfd: pytest.CaptureFixture[str]) -> None:
    assert re.fullmatch(NUMBER, client.get("/").headers["x-request-id"])
    assert capfd.readouterr().err == ""


def test_a_number_is_taken_from_a_trusted_proxy_only(workshop: Workshop) -> None:
    app = create_app(workshop, Address("127.0.0.1", 8123), proxies=["10.0.0.1"])

    def number(peer: str, given: str) -> str:
        with client_of(app, peer) as asking:
            return str(asking.get("/health", headers={"x-request-id": given}).headers["x-request-id"])

    assert number("10.0.0.1", "from-the-proxy_1.2") == "from-the-proxy_1.2"
    assert re.fullmatch(NUMBER, number("10.0.0.2", "from-the-proxy_1.2"))
    for odd in ("two words", "x" * 65, "", "<b>", "a\tb"):
        assert re.fullmatch(NUMBER, number("10.0.0.1", odd)), odd


@pytest.mark.parametrize("headers", [{}, {"hx-request": "true"}], ids=["page", "notice"])
def test_a_fault_is_a_page_with_the_number_it_has_in_the_log(
    logged: TestClient, headers: dict[str, str], caplog: pytest.LogCaptureFixture
) -> None:
    answer = logged.get(f"/broken/{SECRET}", headers=headers)
    assert answer.status_code == 500
    number = answer.headers["x-request-id"]
    assert f"Log entry {number}" in answer.text
    assert "A fault in Holewise" in answer.text and "KeyError" not in answer.text and SECRET not in answer.text
    assert SECURITY_HEADERS.items() <= dict(answer.headers).items()
    (entry,) = caplog.messages
    assert entry.startswith(f"{number} fault in GET /broken/{{word}}\n")
    assert re.search(r"test_log\.py:\d+ in breaks", entry)
    assert entry.index("ValueError") < entry.index("from which came") < entry.index("KeyError")


def test_what_is_answered_on_purpose_is_no_fault(logged: TestClient, caplog: pytest.LogCaptureFixture) -> None:
    answer = logged.get("/designs/nowhere")
    assert answer.status_code == 404
    assert "Log entry" not in answer.text
    assert caplog.messages == []


@pytest.mark.parametrize(
    ("path", "status"), [("template.pdf", 500), ("drawing.dxf", 500), ("proof?of=template", 200), ("proof?of=svg", 200)]
)
def test_a_file_that_is_withheld_is_told_and_written_down_without_its_words(
    logged: TestClient,
    deck: str,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
    path: str,
    status: int,
) -> None:
    def refusing(*_: object, **__: object) -> None:
        raise ProofError(f"{SECRET} is missing.")

    monkeypatch.setattr(app.proof.sheets, "prove_template", refusing)
    monkeypatch.setattr(app.proof, "prove_drawing", refusing)
    answer = logged.get(f"/designs/{deck}/{path}")
    assert answer.status_code == status
    number = answer.headers["x-request-id"]
    assert f"{SECRET} is missing." in answer.text and f"Log entry {number}." in answer.text
    assert ("That file is withheld" if status == 500 else "Do not use it.") in answer.text
    (entry,) = caplog.messages
    pattern = {"template.pdf": "template.pdf", "drawing.dxf": "drawing.{fmt}"}.get(path, "proof")
    assert entry.startswith(f"{number} withheld in GET /designs/{{design_id}}/{pattern}\n")
    assert entry.splitlines()[-1] == "ProofError" and "in refusing" in entry
    assert SECRET not in entry and deck not in entry


def test_a_fault_in_the_middle_of_an_answer_is_written_down_and_ends_it(
    logged: TestClient, caplog: pytest.LogCaptureFixture, capsys: pytest.CaptureFixture[str]
) -> None:
    answer = logged.get(f"/half/{SECRET}")
    assert answer.content == b"half"
    (entry,) = caplog.messages
    assert entry.splitlines()[-1] == "RuntimeError"
    (line,) = lines(capsys)
    assert (line["status"], line["size"]) == ("200", "4")


@pytest.mark.parametrize("error", [KeyError, asyncio.CancelledError])
def test_a_fault_that_was_dealt_with_does_not_reach_the_server(error: type[BaseException]) -> None:
    async def fails(scope: Scope, receive: Receive, send: Send) -> None:
        raise error(SECRET)

    async def never() -> Message:
        raise AssertionError

    async def sent(_: Message) -> None:
        raise AssertionError

    with ThreadPoolExecutor(1) as thread:  # the browser tests leave a loop running in this one
        thread.submit(asyncio.run, Contained(fails)({"type": "http"}, never, sent)).result()


def test_an_error_is_told_by_type_and_place_only() -> None:
    def inner() -> None:
        raise ValueError(SECRET)

    try:
        try:
            inner()
        except ValueError as error:
            raise LookupError(SECRET) from error
    except LookupError as error:
        said = places_of(error)
    assert SECRET not in said
    assert re.search(r"in inner\nValueError\nfrom which came\n.*\nLookupError$", said, re.S)


def test_no_key_is_in_the_log(workshop: Workshop, capsys: pytest.CaptureFixture[str]) -> None:
    app = create_app(workshop, Address("127.0.0.1", 8123), key=KEY, log=True)
    with client_of(app) as asking:
        for path in (f"/?key={KEY}", "/", f"/{KEY}"):
            asking.get(path)
    found = lines(capsys)
    assert [f["status"] for f in found] == ["303", "200", "404"]
    assert KEY not in str(found)
