"""HEAD answers as GET does, without the body (RFC 9110, 9.3.2)."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from fastapi import FastAPI
from httpx2 import Response
from starlette.testclient import TestClient

from app.service.pack.kept import KeptPacks
from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.guards import Address
from tests.web.routes import address_of, routes_of

STREAMS = {"/designs/{design_id}/pack/progress"}
"""What tells its news as it comes, and has no length before its end."""


@pytest.fixture(autouse=True)
def apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Packs are kept in a folder of the test's own."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))


@pytest.fixture
def application(workshop: Workshop) -> FastAPI:
    return create_app(workshop, Address("127.0.0.1", 8123))


def told(answer: Response) -> dict[str, str]:
    """The headers of an answer but for its own number in the log."""
    return {name: value for name, value in answer.headers.items() if name != "x-request-id"}


def test_every_address_that_answers_get_answers_head_alike(
    client: TestClient, application: FastAPI, workshop: Workshop, deck: str
) -> None:
    placement = workshop.design(deck)[1].boards[0].arrangements[0].placements[0].id
    client.post(f"/designs/{deck}/make/fan", data={"on": "deck"})
    client.post(f"/designs/{deck}/pattern", data={"width": "40"})
    client.post(f"/designs/{deck}/legends/legends-letter", data={})
    client.post(f"/designs/{deck}/revisions/publish", data={"changes": "First revision"})
    arrangement = workshop.design(deck)[1].boards[0].arrangements[0].id
    little = f"?chosen=1&boards=deck&papers=a4&units=mm&only=design&arrangements={arrangement}"
    kept = KeptPacks().keep("deck-pack.zip", b"PK")
    for path in sorted(set(routes_of(application, "GET")) - STREAMS):
        asked = "?from=now" if "/retrofit." in path else little if path.endswith("/pack.zip") else ""
        address = address_of(path, deck, placement, key=kept) + asked
        whole, head = client.get(address), client.head(address)
        assert head.status_code == whole.status_code == 200, address
        assert told(head) == told(whole), address
        assert int(head.headers["content-length"]) == len(whole.content) > 0
        assert head.content == b""


@pytest.mark.parametrize("address", ["/nowhere", "/designs/none", "/static/none.css", "/designs/open"])
def test_what_get_refuses_head_refuses(client: TestClient, address: str) -> None:
    whole, head = client.get(address), client.head(address)
    assert head.status_code == whole.status_code >= 400
    assert told(head) == told(whole)
    assert head.content == b""


def test_a_stranger_is_refused_without_a_body(client: TestClient) -> None:
    head = client.head("/", headers={"host": "elsewhere.example"})
    assert head.status_code == 421
    assert head.content == b""


def test_files_of_the_program_too(client: TestClient) -> None:
    link = re.search(r'href="(/static/[^"]+\.css)"', client.get("/").text)
    assert link is not None
    whole, head = client.get(link[1]), client.head(link[1])
    assert told(head) == told(whole)
    assert head.content == b""
