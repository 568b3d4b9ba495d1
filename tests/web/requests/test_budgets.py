"""Every address has a time and a size; long work ends with its time or reader, and others are answered meanwhile."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from app.service.background.budget import Budget, apart
from app.service.room import room
from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.budgets import budget_of, budgets
from app.web.guards import BODY_LIMIT, Address
from tests.endless import is_gone, pid_in, working
from tests.web.waiting import run

BASE = "http://127.0.0.1:8123"
WORDS = "Turn to the next page."


def routes(application: FastAPI) -> set[str]:
    """Method and address of every route, as the table names them."""
    found, waiting = set[str](), list(application.routes)
    while waiting:
        route = waiting.pop()
        if isinstance(route, APIRoute):
            found |= {f"{method} {route.path}" for method in route.methods or ()}
        else:
            waiting += getattr(getattr(route, "original_router", None), "routes", [])
    return found


def test_every_address_has_a_budget(client: TestClient) -> None:
    assert isinstance(client.app, FastAPI)
    found = routes(client.app)
    assert len(found) > 40
    for address in found:
        method, path = address.split(" ")
        assert address in budgets() or "/static" in path
        budget = budget_of(method, path)
        assert 0 < budget.seconds <= 60
        assert 0 <= budget.size <= BODY_LIMIT
        assert method == "POST" or budget.size == 0 or "room" in path
    assert {a for a in budgets() if a != "GET /static"} <= found  # no row for what is not there


@pytest.mark.parametrize("announced", [True, False])
def test_a_body_larger_than_its_address_takes_is_refused(client: TestClient, deck: str, announced: bool) -> None:
    most = budgets()["POST /designs/{design_id}/undo"].size
    body = b"seen=" + b"a" * most
    sent = body if announced else iter([body[: most // 2], body[most // 2 :]])
    headers = {"content-type": "application/x-www-form-urlencoded"}
    answer = client.post(f"/designs/{deck}/undo", content=sent, headers=headers)
    assert answer.status_code == 413
    assert f"{most // 1_000_000} MB" in answer.text
    assert client.post(f"/designs/{deck}/undo", data={"seen": ""}).status_code == 200


class Asked:
    """One request to an application, with a reader who may go."""

    def __init__(self, application: FastAPI, path: str) -> None:
        self.gone = asyncio.Event()
        self.status = 0
        self.body = b""
        self._begun = False
        self.task = asyncio.create_task(application(self.scope(path), self._receive, self._send))

    def scope(self, path: str) -> dict[str, Any]:
        """What the server says of the request."""
        return {
            "type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": "GET", "scheme": "http",
            "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "",
            "headers": [(b"host", b"127.0.0.1:8123")], "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 8123),
        }  # fmt: skip

    async def _receive(self) -> dict[str, Any]:
        if not self._begun:
            self._begun = True
            return {"type": "http.request", "body": b"", "more_body": False}
        await self.gone.wait()
        return {"type": "http.disconnect"}

    async def _send(self, message: Any) -> None:
        self.status = message.get("status", self.status)
        self.body += message.get("body", b"")


def slow_app(workshop: Workshop, note: Path, monkeypatch: pytest.MonkeyPatch, seconds: float) -> FastAPI:
    """The application with an address at which work never ends."""
    application = create_app(workshop, Address("127.0.0.1", 8123))
    monkeypatch.setitem(budgets(), "GET /slow", Budget(seconds, 0, "Counting to infinity", WORDS))

    @application.get("/slow")
    def slow() -> None:
        apart(True, working, note)

    return application


def test_work_ends_with_its_reader_and_others_are_answered_meanwhile(
    workshop: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    note = tmp_path / "pid"
    application = slow_app(workshop, note, monkeypatch, 60.0)

    async def both() -> int:
        slow = Asked(application, "/slow")
        pid = await asyncio.to_thread(pid_in, note)
        other = Asked(application, "/")
        await other.task
        assert other.status == 200
        assert not slow.task.done()
        slow.gone.set()
        await slow.task
        return pid

    assert is_gone(run(both()))


def test_work_over_its_time_is_ended_and_answered(
    workshop: Workshop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    note = tmp_path / "pid"
    application = slow_app(workshop, note, monkeypatch, 1.0)
    with TestClient(application, base_url=BASE) as client:
        answer = client.get("/slow")
    assert answer.status_code == 503
    for words in ("That took too long", "Counting to infinity took longer than 1 s", WORDS):
        assert words in answer.text
    assert is_gone(pid_in(note))


@pytest.mark.parametrize("of", ["", "/template.pdf", "/drawing.svg", "/drawing.dxf", "/view.pdf", "/room"])
def test_what_is_made_in_another_process_is_the_same(
    client: TestClient, workshop: Workshop, deck: str, of: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    here = client.get(f"/designs/{deck}{of}")
    assert here.status_code == 200
    monkeypatch.setattr("app.web.pages.board.route.is_long", lambda _: True)
    for place in ("sheet_files", "board_files"):
        monkeypatch.setattr(f"app.service.drawings.{place}.has_many_parts", lambda _: True)
    monkeypatch.setattr(room, "_MANY", 0)
    room._found.cache_clear()
    there = client.get(f"/designs/{deck}{of}")
    assert there.status_code == 200
    assert there.content == here.content
    own = {"date", "x-request-id"}  # which each answer has its own of
    told = [{k: v for k, v in answer.headers.items() if k not in own} for answer in (there, here)]
    assert told[0] == told[1]
