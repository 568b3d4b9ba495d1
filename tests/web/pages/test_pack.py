"""The page of a pack, without scripts and as its script asks: chosen, counted, made, fetched, stopped."""

from __future__ import annotations

import asyncio
import io
import json
import stat
import sys
import time
import zipfile
from collections.abc import Iterator
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from starlette.testclient import TestClient

from app.arrange.placement.edit import move_by
from app.document.load import loads
from app.document.where import Where
from app.errors import NotFoundError, StoreError
from app.service.background.workers import workers
from app.service.pack import kept as keeping
from app.service.pack.kept import KeptPacks
from app.service.workshop import Workshop
from app.web.app import create_app
from app.web.guards import Address
from tests.reading.pages import Page
from tests.web.conftest import BASE
from tests.web.requests.test_budgets import Asked
from tests.web.waiting import run

FEW = "chosen=1&arrangements=two&boards=deck&papers=a4&units=mm&only=lists&only=design"


@pytest.fixture(autouse=True)
def apart(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Packs are kept in a folder of the test's own."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    yield
    workers().close()


def chosen(client: TestClient, deck: str, *only: str, letter: str = "") -> str:
    """The address of a small pack of a deck."""
    arrangement = client.get(f"/designs/{deck}/design.json").json()["boards"][0]["arrangements"][0]["id"]
    parts = "".join(f"&only={each}" for each in only or ("lists", "design"))
    asked = f"chosen=1&arrangements={arrangement}&boards=deck&papers=a4&units=mm{parts}"
    return f"{asked}&letter={letter}" if letter else asked


def events(body: str) -> list[tuple[str, dict[str, object]]]:
    """The events of a stream, with what each says."""
    found = []
    for block in body.split("\n\n"):
        if block:
            name, data = block.split("\n")
            found.append((name.removeprefix("event: "), json.loads(data.removeprefix("data: "))))
    return found


def names_in(data: bytes) -> set[str]:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert archive.testzip() is None
        return {name.split("/", 1)[1] for name in archive.namelist()}


def test_without_scripts_the_form_is_a_plain_download(client: TestClient, deck: str) -> None:
    page = Page(client.get(f"/designs/{deck}/pack").text)
    form = page.form("/pack.zip")
    assert form.method == "get"
    assert {"Make the pack", "Count again"} <= {words for *_, words in form.buttons}
    assert "about" in page.words
    boxes = [a for tag, a in page.tags if tag == "input" and a.get("type") == "checkbox"]
    assert {a["value"] for a in boxes if "checked" in a} >= {"a4", "letter", "mm", "inch", "booklets", "design"}
    answer = client.get(f"/designs/{deck}/pack.zip?{chosen(client, deck)}")
    assert answer.headers["content-type"] == "application/zip"
    assert answer.headers["content-disposition"] == 'attachment; filename="two-seater-plan.zip"'
    names = names_in(answer.content)
    assert {"README.txt", "proof.json", "SHA256SUMS", "design/two-seater.json"} <= names
    assert not [name for name in names if name.endswith(".pdf")]


def test_the_page_counts_what_is_chosen_and_says_what_is_missing(client: TestClient, deck: str) -> None:
    all_of_it = Page(client.get(f"/designs/{deck}/pack").text).words
    less = Page(client.get(f"/designs/{deck}/pack?{chosen(client, deck, 'booklets')}").text).words
    assert "Sheets, each kind by itself 26 files" not in less
    assert "Booklets, every sheet in one file 1 file about" in less
    assert all_of_it != less
    for field, words in (("papers=a4", "Choose a paper."), ("only=lists&only=design", "Choose what to pack.")):
        asked = chosen(client, deck).replace(field, "")
        answer = client.get(f"/designs/{deck}/pack?{asked}")
        assert answer.status_code == 422
        assert words in answer.text
        refused = client.get(f"/designs/{deck}/pack.zip?{asked}")  # the same page, and no file
        assert refused.status_code == 422
        assert words in refused.text
        assert events(client.get(f"/designs/{deck}/pack/progress?{asked}").text) == [("failed", {"words": words})]


def test_what_there_is_not_is_said_by_page_and_stream(client: TestClient, deck: str) -> None:
    for query, words in (("letter=Q", "no revision “Q”"), (f"{chosen(client, deck)}&letter=Q", "no revision “Q”")):
        answer = client.get(f"/designs/{deck}/pack?{query}")
        assert answer.status_code == 404
        assert words in unescape(answer.text)
        name, said = events(client.get(f"/designs/{deck}/pack/progress?{query}").text)[-1]
        assert name == "failed"
        assert words in str(said["words"])
    assert client.get(f"/designs/none/pack?{FEW}").status_code == 404
    assert "Not found" in client.get(f"/designs/{deck}/pack/kept/..%2F..%2Fetc").text
    assert client.get(f"/designs/{deck}/pack/kept/{'A' * 32}").status_code == 404


def test_a_stream_tells_how_far_it_is_and_where_the_pack_is_kept(client: TestClient, deck: str) -> None:
    answer = client.get(f"/designs/{deck}/pack/progress?{chosen(client, deck, 'booklets', 'lists')}")
    assert answer.headers["content-type"].startswith("text/event-stream")
    told = events(answer.text)
    assert told[-1][0] == "made", told[-1]
    assert {name for name, _ in told[:-1]} == {"news"}
    done = [int(str(said["done"])) for name, said in told if name == "news"]
    assert done == sorted(done)
    url = str(told[-1][1]["url"])
    fetched = client.get(url)
    assert fetched.headers["content-disposition"] == 'attachment; filename="two-seater-plan.zip"'
    assert fetched.content == client.get(url).content
    assert any(name.startswith("booklets/") for name in names_in(fetched.content))
    whole = client.get(f"/designs/{deck}/pack.zip?{chosen(client, deck, 'booklets', 'lists')}")
    assert whole.content == fetched.content


def test_the_pack_of_a_revision_is_that_of_the_design_as_it_was(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    client.post(f"/designs/{deck}/revisions/publish", data={"note": "", "changes": "First"})
    published = workshop.written(deck)
    first = published.boards[0].arrangements[0].placements[0]
    workshop.edit(deck, Where(), lambda design: move_by(design, None, None, first.id, 6.0, 0))
    page = client.get(f"/designs/{deck}/pack?letter=A").text
    assert 'value="A" selected' in page
    assert f'href="/designs/{deck}/pack?letter=A"' in unescape(client.get(f"/designs/{deck}/revisions").text)
    now = client.get(f"/designs/{deck}/pack.zip?{chosen(client, deck, 'design', 'sheets')}").content
    then = client.get(f"/designs/{deck}/pack.zip?{chosen(client, deck, 'design', 'sheets', letter='A')}")
    assert "revision-a" in then.headers["content-disposition"]
    with zipfile.ZipFile(io.BytesIO(then.content)) as archive:
        name = next(name for name in archive.namelist() if "/design/" in name)
        assert loads(archive.read(name).decode()).boards == published.boards
        code = json.loads(archive.read(next(n for n in archive.namelist() if n.endswith("proof.json"))))
        assert code["state"] == "revision A"
    assert now != then.content
    found = workshop.moments(deck)
    assert found  # nothing was changed by packing
    assert len(found) == 3
    assert not [name for name in names_in(then.content) if "what-changed" in name]
    client.post(f"/designs/{deck}/revisions/publish", data={"note": "", "changes": "Moved"})
    newer = client.get(f"/designs/{deck}/pack.zip?{chosen(client, deck, 'sheets', letter='B')}")
    assert [name for name in names_in(newer.content) if "what-changed" in name]  # since revision A


def test_the_codes_of_packed_sheets_are_found(client: TestClient, deck: str) -> None:
    import pymupdf

    data = client.get(f"/designs/{deck}/pack.zip?{chosen(client, deck, 'sheets')}").content
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        name = next(name for name in archive.namelist() if name.endswith("top-template.pdf"))
        with pymupdf.open(stream=archive.read(name), filetype="pdf") as file:
            code = file[1].get_text().split("code ")[1][:5]
    assert "Two-seater" in Page(client.get(f"/designs/{deck}/revisions?code={code}").text).words.split("Check code")[1]


def test_a_pack_is_stopped_with_its_reader_and_nothing_of_it_is_kept(
    workshop: Workshop, deck: str, tmp_path: Path
) -> None:
    application = create_app(workshop, Address("127.0.0.1", 8123))
    with TestClient(application, base_url=BASE) as client:  # the rest of the application is there
        query = f"{chosen(client, deck, 'booklets', 'sheets')}&papers=letter&units=inch"

    async def stopped() -> Asked:
        asked = AskedFor(application, f"/designs/{deck}/pack/progress", query)
        while b'"done": ' not in asked.body or b'"total": 0' in asked.body.rpartition(b"data: ")[2]:
            await asyncio.sleep(0.02)
        asked.gone.set()
        await asyncio.wait([asked.task], timeout=60)
        async with asyncio.timeout(60):
            while workers().pids:  # the process that made it goes with its reader
                await asyncio.sleep(0.02)
        return asked

    asked = run(stopped())
    assert asked.task.done()
    assert b"event: made" not in asked.body
    assert not list(tmp_path.glob("holewise-packs-*/*"))


class AskedFor(Asked):
    """The same with a query."""

    def __init__(self, application: FastAPI, path: str, query: str) -> None:
        self._query = query
        super().__init__(application, path)

    def scope(self, path: str) -> dict[str, Any]:
        return {**super().scope(path), "query_string": self._query.encode()}


@pytest.mark.skipif(sys.platform == "win32", reason="owners and modes of a POSIX system")
def test_kept_packs_are_private_found_by_their_key_alone_and_go(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "packs"
    kept = KeptPacks(folder)
    key = kept.keep("plan.zip", b"one")
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert KeptPacks(folder).find(key).read_bytes() == b"one"  # another process
    for wrong in ("", ".", "..", "../packs", key[:-1], key + "x", f"{key}/plan.zip", "é" * 32):
        with pytest.raises(NotFoundError, match="not here any more"):
            kept.find(wrong)
    keys = [kept.keep("plan.zip", b"more") for _ in range(keeping._MOST)]
    assert len(list(folder.iterdir())) <= keeping._MOST
    assert kept.find(keys[-1]).name == "plan.zip"
    now = time.time()
    monkeypatch.setattr(keeping, "time", lambda: now + 60 * keeping.MINUTES + 60)
    last = kept.keep("plan.zip", b"late")
    assert [each.name for each in folder.iterdir()] == [last]
    monkeypatch.setattr(keeping, "time", lambda: now)
    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(StoreError, match="No space left on device"):
        kept.keep("plan.zip", b"too much")
    assert [each.name for each in folder.iterdir()] == [last]


def full(path: Path, data: bytes) -> int:
    raise OSError(28, "No space left on device")


@pytest.mark.skipif(sys.platform == "win32", reason="links of a POSIX system")
def test_a_folder_that_somebody_else_has_put_there_is_not_used(tmp_path: Path) -> None:
    (tmp_path / "theirs").mkdir()
    (tmp_path / "packs").symlink_to(tmp_path / "theirs")
    with pytest.raises(StoreError, match="belongs to somebody else"):
        KeptPacks(tmp_path / "packs").keep("plan.zip", b"mine")
    assert list((tmp_path / "theirs").iterdir()) == []
