"""The whole application against what a careless or hostile sender may send it.

Nothing here may end in a traceback, a changed or lost design, or markup that came from outside. Sources: RFC 9110
(400, 403, 404, 413, 421, 422), RFC 3986 (percent-encoding), RFC 8259 (JSON has no NaN), W3C Content Security Policy
Level 3, W3C Fetch Metadata Request Headers, HTML standard (what a browser sends with a form).
"""

from __future__ import annotations

import asyncio
import io
import json
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any
from urllib.parse import quote, unquote

import pymupdf
import pytest
from ezdxf.filemanagement import read as read_dxf
from fastapi import FastAPI
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient
from starlette.types import Message

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.load import loads
from app.document.schema import VERSION
from app.service import new_design, open_workshop
from app.web.app import create_app
from app.web.guards import Address
from tests.boards.scenario_cuts import scenario_files
from tests.long_run import in_gate
from tests.reading.pages import Page
from tests.web.routes import routes_of as routes

HERE = "127.0.0.1:8642"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
NASTY = "<script>alert(1)</script>\"'&<img src=x onerror=alert(2)>"
NASTY_LABEL = "<b a='\">&"
TITLE = "Kept on the shelf"


@pytest.fixture(scope="module")
def application(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    workshop = open_workshop(tmp_path_factory.mktemp("hostile"))
    yield create_app(workshop, Address("127.0.0.1", 8642))
    workshop.close()


@pytest.fixture(scope="module")
def client(application: FastAPI) -> Iterator[TestClient]:
    # An unforeseen error is raised here and fails the test, instead of becoming a polite page.
    with TestClient(application, base_url=f"http://{HERE}", follow_redirects=False) as opened:
        yield opened


@pytest.fixture(scope="module")
def kept(client: TestClient) -> str:
    """Id of a design on the shelf that nothing below may change."""
    return opened(client, with_changes(title=TITLE))


@pytest.fixture(scope="module")
def nasty(client: TestClient) -> str:
    """Id of a design whose words are markup."""

    def change(raw: dict[str, Any]) -> None:
        raw["title"], raw["notes"] = NASTY, NASTY
        board = raw["boards"][0]
        board["name"] = NASTY
        board["keep_clear"] = [{"face": "under", "x": 10, "y": 10, "width": 9, "height": 9, "label": NASTY}]
        for arrangement in board["arrangements"]:
            arrangement["name"] = NASTY
            arrangement["placements"][0]["label"] = NASTY_LABEL
            for station in arrangement["stations"]:
                station["name"] = NASTY
        # Something to report, so that names appear in sentences too.
        board["arrangements"][0]["placements"][0]["x"] = 5.0

    return opened(client, with_changes(change))


def with_changes(change: Any = None, **fields: Any) -> bytes:
    """A good one-player design, changed."""
    raw = json.loads(dumps(new_design(NewDeck(title="Bench test deck"))))
    raw.update(fields)
    if change is not None:
        change(raw)
    return json.dumps(raw).encode()


def send_file(client: TestClient, data: bytes, name: str = "design.json") -> Any:
    return client.post("/designs/open", files={"file": (name, data, "application/json")})


def opened(client: TestClient, data: bytes) -> str:
    answer = send_file(client, data)
    assert answer.status_code == 303, Page(answer.text).words
    return str(answer.headers["location"].removeprefix("/designs/").partition("?")[0])


def document(client: TestClient, design: str) -> str:
    return str(client.get(f"/designs/{design}/design.json").text)


def shelf_titles(client: TestClient) -> list[str]:
    """Ids of the designs the shelf shows."""
    return re.findall(r'href="/designs/([^"/?#]+)"', client.get("/").text)


def address(path: str, design: str) -> str:
    names = {"design_id": design, "verb": "move", "fmt": "svg", "part_id": "rotary", "name": "none", "placement": "a"}
    names |= {"names": "base.css", "board_id": "deck", "kind": "parts", "maker": "fan", "maker_id": "fan"}
    names |= {"pattern_id": "pattern", "key": "A" * 32}
    return re.sub(r"\{(\w+)[^}]*\}", lambda match: names[match[1]], path)


# -- who may ask -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("host", ["rebound.example", "rebound.example:8642", "127.0.0.1:9", "127.0.0.1.x.example:8642"])
def test_no_page_answers_under_another_name(client: TestClient, application: FastAPI, kept: str, host: str) -> None:
    for path in routes(application, "GET"):
        answer = client.get(address(path, kept), headers={"host": host})
        assert answer.status_code == 421, path
        assert TITLE not in answer.text
    for asset in ("/static/base.css", "/static/htmx.js", "/static/palette.css"):
        assert client.get(asset, headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://elsewhere.example"},
        {"origin": "https://127.0.0.1:8643"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"origin": f"http://{HERE}", "sec-fetch-site": "cross-site"},
        {"referer": "http://elsewhere.example/page"},
    ],
    ids=str,
)
def test_no_other_site_can_change_anything(
    client: TestClient, application: FastAPI, kept: str, headers: dict[str, str]
) -> None:
    before, shelf = document(client, kept), shelf_titles(client)
    for path in routes(application, "POST"):
        answer = client.post(address(path, kept), data={"select": "p1", "dx": "5", "dy": "0"}, headers=headers)
        assert answer.status_code == 403, path
        assert "nothing was done" in Page(answer.text).words
    assert document(client, kept) == before
    assert shelf_titles(client) == shelf


def test_a_form_without_origin_is_taken(client: TestClient) -> None:
    """A script on this computer sends no Origin, and old browsers send none with a form: both are the user."""
    assert send_file(client, with_changes(title="Sent by a script")).status_code == 303


def test_reading_never_changes_anything(client: TestClient, application: FastAPI, kept: str) -> None:
    before = document(client, kept)
    for path in routes(application, "POST"):
        answer = client.get(address(path, kept))
        assert answer.status_code in {404, 405} or path in routes(application, "GET"), path
    assert document(client, kept) == before


# -- files that are nobody's business ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "/static/../pyproject.toml",
        "/static/..%2fpyproject.toml",
        "/static/%2e%2e/pyproject.toml",
        "/static/%2e%2e%2fpyproject.toml",
        "/static/..%5cpyproject.toml",
        "/static/%252e%252e%252fpyproject.toml",
        "/static/....//pyproject.toml",
        "/static//etc/passwd",
        "/static/%2fetc%2fpasswd",
        "/static/%00",
        "/static/base.css%00.png",
        "/static/",
        "/static",
        "/static/js",
        "/static/CON",
        "/parts/..%2f..%2fpyproject.svg",
        "/parts/%00.svg",
        "/scenarios/..%2f..%2fpyproject.svg",
        "/designs/..%2f..%2fetc%2fpasswd",
        "/designs/%00",
        "/designs/../../pyproject.toml",
        "/" + "a" * 9000,
        "//elsewhere.example/",
        "/.git/config",
        "/openapi.json",
        "/docs",
    ],
)
def test_nothing_outside_is_served(application: FastAPI, path: str) -> None:
    status, headers, body = raw_get(application, path)
    assert status in {307, 404, 405}, body[:200]
    assert b"hatchling" not in body
    assert b"root:" not in body
    if status == 307:
        assert re.match(rf"(http://{HERE})?/[^/]", headers["location"]), "it leads away"


def raw_get(application: FastAPI, path: str) -> tuple[int, dict[str, str], bytes]:
    """Ask for a path exactly as it is: test clients tidy paths up before they send them."""
    sent: list[Message] = []

    async def receive() -> Message:
        return {"type": "http.request", "body": b"", "more_body": False}

    async def send(message: Message) -> None:
        sent.append(message)

    scope = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "GET",
        "scheme": "http",
        "path": unquote(path),
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [(b"host", HERE.encode())],
        "client": ("127.0.0.1", 50000),
        "server": ("127.0.0.1", 8642),
    }
    with ThreadPoolExecutor(1) as thread:  # the browser tests leave a loop running in this one
        thread.submit(asyncio.run, application(scope, receive, send)).result()
    headers = {name.decode(): value.decode() for name, value in sent[0]["headers"]}
    return sent[0]["status"], headers, b"".join(m.get("body", b"") for m in sent[1:])


# -- files that are no designs -----------------------------------------------------------------------------


def edited(path: str, value: Any) -> bytes:
    """The good design with one place changed; ``path`` as ``boards.0.name``."""

    def change(raw: dict[str, Any]) -> None:
        *steps, last = (int(step) if step.isdigit() else step for step in path.split("."))
        inner: Any = raw
        for step in steps:
            inner = inner[step]
        inner[last] = value

    return with_changes(change)


def doubled(raw: dict[str, Any]) -> None:
    placements = raw["boards"][0]["arrangements"][0]["placements"]
    placements.append(placements[0])


GOOD = with_changes()
CORNERS = "boards.0.outline.corners"
CROSSED = [{"x": 0, "y": 0}, {"x": 600, "y": 200}, {"x": 600, "y": 0}, {"x": 0, "y": 150}]
BOW_TIE = [{"x": 0, "y": 0}, {"x": 600, "y": 200}, {"x": 600, "y": 0}, {"x": 0, "y": 200}]
NO_WIDTH = [{"x": 5, "y": 0}, {"x": 5, "y": 100}, {"x": 5, "y": 200}]
PLACEMENT = "boards.0.arrangements.0.placements.0"

# What is sent, and what the answer must say: the place, and what is wrong or what to do.
BAD_FILES: dict[str, tuple[bytes, list[str]]] = {
    "empty": (b"", ["No file was chosen", "json"]),
    "only space": (b"   \n", ["line", "column"]),
    "cut short": (GOOD[: len(GOOD) // 2], ["line", "column", "cut short"]),
    "not text": (b"\x89PNG\r\n\x1a\n\x00\xff\xfe", ["UTF-8"]),
    "another text": (b"<html><body>hello</body></html>", ["JSON"]),
    "text of two bytes a letter": (GOOD.decode().encode("utf-16"), ["UTF-8"]),
    "a list": (b"[1, 2, 3]", ["object"]),
    "a word": (b'"holewise-design"', ["object"]),
    "null": (b"null", ["object"]),
    "another format": (with_changes(format="something-else"), ["format", "Choose a file"]),
    "deep lists": (b'{"format": "holewise-design", "version": 2, "title": ' + b"[" * 100_000, ["nested"]),
    "deep objects": (b'{"a":' * 50_000 + b"1" + b"}" * 50_000, ["nested"]),
    "nesting that closes": (edited("notes", None).replace(b"null", b"[" * 500 + b"]" * 500), ["nested"]),
    "a huge whole number": (GOOD.replace(b'"version": %d' % VERSION, b'"version": ' + b"9" * 5000), ["number"]),
    "infinity as digits": (edited(f"{PLACEMENT}.x", 0).replace(b'"x": 0,', b'"x": 1e999,', 1), ["x"]),
    "NaN": (edited(f"{PLACEMENT}.x", float("nan")), ["NaN", "finite"]),
    "Infinity": (edited(f"{PLACEMENT}.y", float("inf")), ["Infinity", "finite"]),
    "no version": (edited("version", None), ["version"]),
    "wrong version": (edited("version", 0), ["version"]),
    "version in words": (edited("version", "one"), ["version"]),
    "true is no version": (edited("version", True), ["version"]),
    "newer version": (edited("version", 99), ["newer", "Update Holewise"]),
    "unknown field": (with_changes(colour="red"), ["colour", "Unknown field"]),
    "unknown field inside": (edited("boards.0.colour", "red"), ["boards[0].colour"]),
    "no boards": (edited("boards", []), ["boards"]),
    "text for a length": (edited(f"{PLACEMENT}.x", "wide"), ["placements[0].x"]),
    "zero-width board": (edited(CORNERS, NO_WIDTH), ["boards[0].outline.corners"]),
    "self-crossing outline": (edited(CORNERS, BOW_TIE), ["boards[0].outline.corners", "cross"]),
    "outline that crosses unevenly": (edited(CORNERS, CROSSED), ["boards[0].outline.corners", "cross"]),
    "two corners": (edited(CORNERS, BOW_TIE[:2]), ["boards[0].outline.corners"]),
    "set back too far": (edited(f"{CORNERS}.0.setback", [9999, 9999]), ["boards[0].outline.corners"]),
    "negative thickness": (edited("boards.0.layers.0.thickness", -18), ["boards[0].layers[0].thickness"]),
    "zero thickness": (edited("boards.0.layers.0.thickness", 0), ["boards[0].layers[0].thickness"]),
    "unknown part": (edited(f"{PLACEMENT}.part", "button-of-glass"), ["placements[0].part", "button-of-glass"]),
    "unknown material": (edited("boards.0.layers.0.material", "cheese"), ["layers[0].material", "cheese", "mdf"]),
    "unknown paper": (edited("shop.paper", "napkin"), ["shop.paper", "napkin"]),
    "duplicate id": (with_changes(doubled), ["placements", "twice"]),
    "duplicate key": (GOOD.replace(b'"title":', b'"title": "first", "title":', 1), ["title", "twice"]),
    "markup for an id": (edited(f"{PLACEMENT}.id", "<script>"), ["placements[0].id"]),
    "a path for an id": (edited("boards.0.id", "../../etc"), ["boards[0].id"]),
    "a control character in the title": (edited("title", "a\x00b"), ["title"]),
    "a title without end": (edited("title", "a" * 100_000), ["title"]),
    "half a surrogate": (GOOD.replace(b'"title": "Bench', b'"title": "\\ud800Bench', 1), ["title"]),
}


@pytest.mark.parametrize("what", BAD_FILES)
def test_a_file_that_is_no_design_is_refused_with_place_and_remedy(client: TestClient, kept: str, what: str) -> None:
    data, words = BAD_FILES[what]
    before, shelf = document(client, kept), shelf_titles(client)
    answer = send_file(client, data, "deck <b>.json")
    assert 400 <= answer.status_code < 500, f"{answer.status_code} {answer.headers.get('location')}"
    said = Page(answer.text).words
    for word in words:
        assert word in said, said
    assert "Traceback" not in answer.text
    assert "pydantic" not in answer.text
    assert "deck <b>" not in answer.text, "the file's name came back as markup"
    assert document(client, kept) == before
    assert shelf_titles(client) == shelf


def test_a_file_of_more_than_ten_megabytes_is_refused_with_a_page(client: TestClient, kept: str) -> None:
    answer = send_file(client, b" " * 10_000_001)
    assert answer.status_code == 413
    page = Page(answer.text)
    assert "10 MB" in page.words
    assert "Nothing was changed" in page.words
    assert document(client, kept)


def test_a_file_larger_than_any_design_is_refused_before_it_is_read(client: TestClient) -> None:
    answer = send_file(client, b'{"format": "holewise-design", "notes": "' + b"a" * 6_000_000 + b'"}')
    assert answer.status_code in {413, 422}
    assert "MB" in Page(answer.text).words


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        (b"not a form at all", "application/json"),
        (b"not a form at all", "multipart/form-data"),
        (b"--x\r\nbroken", "multipart/form-data; boundary=x"),
        (b'--x\r\nContent-Disposition: form-data; name="file"\r\n\r\nx', "multipart/form-data; boundary=x"),
        (b"a=%ff%fe&b", "application/x-www-form-urlencoded"),
        (b"&".join(b"f%d=1" % n for n in range(5000)), "application/x-www-form-urlencoded"),
        (b"", ""),
    ],
)
@pytest.mark.parametrize("path", ["/designs", "/designs/open", "/designs/{id}/edit/move", "/designs/{id}/preview"])
def test_a_form_that_is_none_is_refused(client: TestClient, kept: str, path: str, content: bytes, kind: str) -> None:
    before = document(client, kept)
    answer = client.post(path.format(id=kept), content=content, headers={"content-type": kind} if kind else {})
    assert 400 <= answer.status_code < 500
    assert "text/html" in answer.headers["content-type"]
    assert document(client, kept) == before


@pytest.mark.parametrize(
    "fields",
    [
        {"x": "wide"},
        {"x": "nan"},
        {"y": "inf"},
        {"x": "1e400"},
        {"x": "9" * 400},
        {"x": "1/0"},
        {"y": ""},
        {"angle": "nan"},
        {"angle": "1e309"},
        {"label": "x" * 500},
        {"label": "a\x00b"},
    ],
    ids=str,
)
def test_a_measure_that_is_none_is_shown_again_beside_its_field(
    client: TestClient, kept: str, fields: dict[str, str]
) -> None:
    before = document(client, kept)
    first = json.loads(before)["boards"][0]["arrangements"][0]["placements"][0]["id"]
    url = f"/designs/{kept}"
    sheet = Page(client.get(url, params={"select": first}).text).form("/edit/place")
    answer = client.post(sheet.action, data=sheet.sent(**fields))
    assert answer.status_code == 422
    ((name, typed),) = fields.items()
    again = Page(answer.text)
    if "\x00" not in typed:
        assert again.form("/edit/place").fields[name] == typed, "what was typed is lost"
    field = next(a for tag, a in again.tags if tag == "input" and a.get("name") == name)
    assert field.get("aria-invalid") == "true"
    described = field.get("aria-describedby", "").split()
    assert described
    assert any(a.get("id") in described for _, a in again.tags)
    assert document(client, kept) == before


# -- words that are markup ---------------------------------------------------------------------------------


def html_pages(design: str) -> list[str]:
    return [
        "/",
        f"/designs/{design}",
        f"/designs/{design}?units=inch&face=under",
        f"/designs/{design}?select={quote(NASTY)}",
        f"/designs/{design}/paper",
        f"/designs/{design}/paper?face=under&units=inch&paper=letter",
        f"/designs/{design}/paper?paper={quote(NASTY)}",
        f"/designs/{quote(NASTY)}",
        f"/{quote(NASTY)}",
        f"/designs/{design}?board={quote(NASTY)}",
        f"/designs/{design}?arrangement={quote(NASTY)}",
        f"/parts/{quote(NASTY, safe='')}.svg",
    ]


def assert_harmless(page: Page) -> None:
    assert not page.inline
    for tag, attributes in page.tags:
        assert tag != "b" or "a" not in attributes
        assert attributes.get("src") != "x"
    for place in page.loads + page.links + [form.action for form in page.forms]:
        assert not re.match(r"[a-z]+:|//", place.strip().lower()) or place.startswith("data:image/"), place


def test_words_from_outside_are_words_on_every_page(client: TestClient, nasty: str) -> None:
    for path in html_pages(nasty):
        answer = client.get(path)
        assert "text/html" in answer.headers["content-type"] or answer.status_code == 200
        assert "<script>alert" not in answer.text, path
        assert "<img src=x" not in answer.text, path
        assert_harmless(Page(answer.text))
    board = Page(client.get(f"/designs/{nasty}").text)
    assert NASTY in board.words
    assert NASTY in Page(client.get("/").text).words


def test_words_from_outside_are_words_in_htmx_answers_too(client: TestClient, nasty: str) -> None:
    placements = json.loads(document(client, nasty))["boards"][0]["arrangements"][0]["placements"]
    form = {"select": placements[0]["id"], "dx": "1", "dy": "0"}
    headers = {"hx-request": "true", "hx-target": "bench"}
    for answer in (
        client.post(f"/designs/{nasty}/preview", data=form, headers=headers),
        client.get(f"/designs/{nasty}", params={"select": placements[0]["id"]}, headers=headers),
        client.post(f"/designs/{nasty}/edit/place", data={**form, "x": NASTY}, headers=headers),
        client.post(f"/designs/{nasty}/edit/{quote(NASTY, safe='')}", data=form, headers=headers),
        client.post(f"/designs/{nasty}/edit/fix-apply", data={**form, "finding": NASTY}, headers=headers),
        client.post(f"/designs/{nasty}/edit/add", data={**form, "part": NASTY}, headers=headers),
    ):
        assert "<script>alert" not in answer.text
        assert "<img src=x" not in answer.text
        assert_harmless(Page(answer.text))


def test_words_from_outside_are_words_in_a_form_shown_again(client: TestClient) -> None:
    sheet = Page(client.get("/").text).form("/designs")
    answer = client.post(sheet.action, data=sheet.sent(title=NASTY, width=NASTY, material=NASTY))
    assert answer.status_code == 422
    again = Page(answer.text)
    assert_harmless(again)
    assert again.form("/designs").fields["title"] == NASTY
    assert again.form("/designs").fields["width"] == NASTY


@pytest.mark.parametrize("face", ["top", "under"])
def test_words_from_outside_are_words_in_every_file(client: TestClient, nasty: str, face: str) -> None:
    for path in (f"/designs/{nasty}/drawing.svg?face={face}", f"/designs/{nasty}/thumbnail.svg"):
        svg = client.get(path)
        assert svg.status_code == 200
        assert svg.headers["content-type"].startswith("image/svg+xml")
        assert not Page(svg.text).inline
        assert "<script" not in svg.text
    pdf = client.get(f"/designs/{nasty}/template.pdf?face={face}&paper=a4")
    with pymupdf.open(stream=pdf.content, filetype="pdf") as sheets:
        assert "alert(1)" in "".join(page.get_text() for page in sheets)
        assert not sheets.has_links()
        assert not any(sheets.xref_get_key(n, "JS")[0] != "null" for n in range(1, sheets.xref_length()))
    dxf = client.get(f"/designs/{nasty}/drawing.dxf?face={face}")
    assert not read_dxf(io.StringIO(dxf.text)).audit().errors
    for answer in (pdf, dxf):
        disposition = answer.headers["content-disposition"]
        assert re.fullmatch(r'attachment; filename="[a-z0-9.-]+"', disposition), disposition


def test_a_design_of_markup_can_be_edited_and_comes_back_as_it_was(client: TestClient, nasty: str) -> None:
    raw = json.loads(document(client, nasty))
    assert raw["title"] == NASTY
    assert loads(json.dumps(raw)).boards[0].name == NASTY
    first = raw["boards"][0]["arrangements"][0]["placements"][0]
    assert first["label"] == NASTY_LABEL
    sheet = Page(client.get(f"/designs/{nasty}", params={"select": first["id"]}).text).form("/edit/place")
    assert sheet.fields["label"] == NASTY_LABEL
    assert client.post(sheet.action, data=sheet.sent(x="111")).status_code == 303
    after = json.loads(document(client, nasty))["boards"][0]["arrangements"][0]["placements"][0]
    assert (after["label"], after["x"]) == (NASTY_LABEL, 111.0)


# -- what every answer carries -----------------------------------------------------------------------------


def test_every_answer_carries_the_exact_policy(client: TestClient, application: FastAPI, kept: str) -> None:
    for path in [address(path, kept) for path in routes(application, "GET")] + ["/nowhere", "/static/base.css"]:
        answer = client.get(path)
        assert answer.headers["content-security-policy"] == POLICY, path
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["referrer-policy"] == "same-origin"
        assert "access-control-allow-origin" not in answer.headers
        assert "set-cookie" not in answer.headers


def test_no_page_has_anything_inline_or_from_elsewhere(client: TestClient, kept: str) -> None:
    first = json.loads(document(client, kept))["boards"][0]["arrangements"][0]["placements"][0]["id"]
    for path in [*html_pages(kept), f"/designs/{kept}?select={first}"]:
        assert_harmless(Page(client.get(path).text))


def test_everything_a_page_loads_is_there(client: TestClient, kept: str) -> None:
    for path in html_pages(kept):
        for place in Page(client.get(path).text).loads:
            if not place.startswith(("data:", "#")):
                assert client.get(place.partition("#")[0]).status_code == 200, (path, place)


@pytest.mark.parametrize(
    "scenario",
    in_gate(scenario_files(), lambda file: file.stem in ("foundry-yard-cabinet", "leaky-raft", "pine-shelf-compact")),
    ids=lambda file: file.stem,
)
def test_every_scenario_opens_whole(client: TestClient, scenario: Path) -> None:
    """Its own hardware has pictures too, and every fix it offers can be taken or says why not."""
    design = opened(client, scenario.read_bytes())
    for path in (f"/designs/{design}", f"/designs/{design}?face=under&units=inch", f"/designs/{design}/paper"):
        page = Page(client.get(path).text)
        assert_harmless(page)
        for place in page.loads:
            if not place.startswith(("data:", "#")):
                assert client.get(place.partition("#")[0]).status_code == 200, (path, place)
    for form in Page(client.get(f"/designs/{design}").text).forms:
        if form.action.endswith("/edit/fix-apply"):
            answer = client.post(form.action, data=form.fields)
            assert answer.status_code in {303, 422}, (form.fields, answer.status_code)
            if answer.status_code == 303:
                client.post(f"/designs/{design}/undo")


def test_every_link_and_form_of_a_page_leads_somewhere(client: TestClient, application: FastAPI, kept: str) -> None:
    patterns = [re.sub(r"\{\w+\}", "[^/]+", path) for path in routes(application, "POST")]
    for path in html_pages(kept)[:5]:
        page = Page(client.get(path).text)
        for link in page.links:
            if not link.startswith("#"):
                assert client.get(link.partition("#")[0]).status_code == 200, (path, link)
        for form in page.forms:
            if form.method == "post":
                action = form.action.partition("?")[0]
                assert any(re.fullmatch(pattern, action) for pattern in patterns), action


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "BREW"])
def test_another_method_is_refused_with_a_page(client: TestClient, kept: str, method: str) -> None:
    answer = client.request(method, f"/designs/{kept}")
    assert answer.status_code == 405
    assert "text/html" in answer.headers["content-type"]


# -- anything at all ---------------------------------------------------------------------------------------

NAMES = st.sampled_from(["board", "arrangement", "face", "units", "select", "paper", "revision", "x", "free", "q"])
VALUES = st.one_of(
    st.sampled_from(["deck", "one", "two", "top", "under", "mm", "inch", "a4", "letter", "p1", "p1,p2", "", "0"]),
    st.sampled_from(
        ["nan", "-1", "1e999", "0x0", "1x1", "100x100", "99999x99999", "-5x-5", "nanxnan", "infx3", "1e9x1e9"]
    ),
    st.text(max_size=40),
    st.integers().map(str),
    st.floats().map(str),
)
QUERIES = st.lists(st.tuples(NAMES, VALUES), max_size=5)


@given(data=st.data(), query=QUERIES, htmx=st.booleans())
def test_no_address_ever_ends_in_a_fault_of_ours(
    application: FastAPI, client: TestClient, kept: str, data: st.DataObject, query: list[tuple[str, str]], htmx: bool
) -> None:
    path = data.draw(st.sampled_from(routes(application, "GET")))
    design = data.draw(st.sampled_from([kept, kept, kept, "1", "%00", "none"]))
    headers = {"hx-request": "true", "hx-target": data.draw(st.sampled_from(["bench", "sheets", "x"]))} if htmx else {}
    answer = client.get(address(path, design), params=[(n, encodable(v)) for n, v in query], headers=headers)
    assert answer.status_code < 500, answer.text[:300]
    assert "Traceback" not in answer.text


@given(
    data=st.data(),
    fields=st.dictionaries(
        st.sampled_from(
            [
                "board",
                "arrangement",
                "face",
                "units",
                "select",
                "dx",
                "dy",
                "x",
                "y",
                "angle",
                "label",
                "part",
                "finding",
                "drill",
                "lock",
                "title",
                "thickness",
                "drilling",
                "paper",
                "bits",
                "free",
                "players",
                "buttons",
                "width",
                "depth",
                "material",
                "shape",
                "stick",
                "name",
            ]
        ),
        VALUES,
        max_size=12,
    ),
)
def test_no_form_ever_ends_in_a_fault_of_ours(
    application: FastAPI, client: TestClient, data: st.DataObject, fields: dict[str, str]
) -> None:
    design = scratch(client)
    path = data.draw(st.sampled_from(routes(application, "POST")))
    verbs = [
        "move",
        "place",
        "add",
        "duplicate",
        "remove",
        "drill",
        "lock",
        "part",
        "counterbore-clear",
        "fix-apply",
        "title",
        "settings",
        "nonsense",
    ]
    url = address(path, design).replace("/edit/move", f"/edit/{data.draw(st.sampled_from(verbs))}")
    sent = {name: encodable(value) for name, value in fields.items()}
    number = data.draw(st.integers(0, 40))  # the board is what earlier examples left of it
    if number < 20 and (there := placements(client, design)):
        sent["select"] = there[number % len(there)]
    answer = client.post(url, data=sent)
    assert answer.status_code < 500, answer.text[:300]
    assert "Traceback" not in answer.text
    # Whatever came in, the design can still be read, drawn and judged.
    loads(document(client, design))
    assert client.get(f"/designs/{design}").status_code == 200
    assert client.get("/").status_code == 200


_scratch: dict[int, str] = {}


def scratch(client: TestClient) -> str:
    """A design to spoil; a new one for each run."""
    key = id(client)
    if key not in _scratch:
        _scratch[key] = opened(client, with_changes(title="Scrap board"))
    return _scratch[key]


def placements(client: TestClient, design: str) -> list[str]:
    raw = json.loads(document(client, design))
    return [p["id"] for p in raw["boards"][0]["arrangements"][0]["placements"]][:20]


def encodable(text: str) -> str:
    """Without halves of surrogates, which no client can send."""
    return text.encode("utf-8", "replace").decode("utf-8")
