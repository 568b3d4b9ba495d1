"""What belongs to the program is kept by the browser for good, and never shown stale."""

from __future__ import annotations

import posixpath
import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
from starlette.testclient import TestClient

from app.catalogue.load import catalogue
from app.paths import data_dir
from app.service.drawings.drawings import part_picture_width
from app.web import assets


def addresses(page: str) -> set[str]:
    found = re.findall(r'(?:href|src)="(/(?:static/|parts\.svg)[^"#]+)', page)
    return {address.replace("&amp;", "&") for address in found}


def test_everything_a_page_needs_may_be_kept_for_good(client: TestClient, deck: str) -> None:
    for path in ("/", f"/designs/{deck}", f"/designs/{deck}/paper", f"/designs/{deck}/stations"):
        needed = addresses(client.get(path).text)
        assert len(needed) >= 3
        for address in needed:
            answer = client.get(address)
            assert answer.status_code == 200, address
            assert answer.headers["cache-control"] == "public, max-age=31536000, immutable", address


def test_a_page_asks_for_one_style_sheet_and_for_one_script_beside_htmx(client: TestClient, deck: str) -> None:
    page = client.get(f"/designs/{deck}").text
    assert len(re.findall(r'<link rel="stylesheet"', page)) == 1
    htmx, own = re.findall(r'<script src="([^"]+)"', page)
    assert htmx.endswith("/htmx.js")
    joined = client.get(own).text
    assert joined.count("\nmodules[") == len(joined_of(own)), "each module once"


def joined_of(address: str) -> set[str]:
    """The modules that a joined script needs, followed from file to file."""
    follow = set(address.partition("/joined/")[2].split("+"))
    for _ in range(9):
        texts = [(name, (data_dir("static") / "js" / name).read_text("utf-8")) for name in follow]
        follow |= {
            posixpath.normpath(f"{posixpath.dirname(name)}/{other}".lstrip("/"))
            for name, text in texts
            for other in re.findall(r'(?:from|import) "(\.[^"]+)"', text)
        }
    return follow


def test_a_joined_style_sheet_says_what_its_files_say_in_their_order(client: TestClient) -> None:
    sheet = client.get(f"{assets.root()}/joined/palette.css+base.css+board.css+phone.css").text
    names = ("base.css", "board.css", "phone.css")
    base, board, phone = ((data_dir("static") / name).read_text("utf-8") for name in names)
    colours = client.get("/static/palette.css").text
    assert sheet == f"{colours}{base}{board}@media (max-width: 620px) {{\n{phone}}}\n"


@pytest.mark.parametrize(
    "names", ["", "none.js", "base.css+forms/busy.js", "../../app/cli.js", "base.css+", "..%2Fbase.css"]
)
def test_only_files_of_one_sort_are_joined(client: TestClient, names: str) -> None:
    assert client.get(f"{assets.root()}/joined/{names}").status_code == 404


def test_all_hardware_of_the_palette_is_one_file_and_each_tile_shows_its_own(client: TestClient, deck: str) -> None:
    tiles = re.findall(
        r'name="part" value="([^"]+)"(?:(?!</button>).)*?<use href="([^"#]+)#([^"]+)"/>',
        client.get(f"/designs/{deck}").text, re.DOTALL,
    )  # fmt: skip
    assert [part for part, _, _ in tiles] == [shown for _, _, shown in tiles] and len(tiles) > 20
    (address,) = {address.replace("&amp;", "&") for _, address, _ in tiles}
    answer = client.get(address)
    assert answer.headers["content-type"] == "image/svg+xml"
    there = {one.attrib["id"]: one for one in ET.fromstring(answer.content)}  # noqa: S314 - our own
    assert set(there) == set(catalogue().parts) and {part for part, _, _ in tiles} <= set(there)
    for part, symbol in there.items():
        width = part_picture_width(catalogue().parts[part])
        box = [float(number) for number in symbol.attrib["viewBox"].split()]
        assert box == pytest.approx([-width / 2, -width / 2, width, width], abs=1e-3), "about the middle of the part"
        assert len(symbol) and not [each for each in symbol.iter() if "id" in each.attrib and each is not symbol]


def test_a_plain_name_is_asked_for_again(client: TestClient) -> None:
    for address in ("/static/base.css", "/static/htmx.js", "/static/palette.css", "/parts.svg"):
        answer = client.get(address)
        assert answer.status_code == 200
        assert answer.headers["cache-control"] == "no-cache"
    assert client.get("/static/0123456789ab/base.css").status_code == 404, "of another state of the program"
    old = client.get("/parts.svg?state=0123456789ab")
    assert old.headers["cache-control"] == "no-cache"


def test_a_file_that_changes_changes_every_address(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("static/deep", "static/__pycache__", "templates/deep"):
        (tmp_path / name).mkdir(parents=True)
        (tmp_path / name / "file.css").write_text("a { color: red; }")
    monkeypatch.setattr(assets, "data_dir", lambda name: tmp_path / name)
    # The last as a process that starts writes what it has compiled.
    compiled = "static/__pycache__/file.cpython-311.pyc.139726"
    states = []
    for write in ("", "static/deep/file.css", "", compiled):
        if write:
            (tmp_path / write).write_text("a { color: teal; }")
        assets.code.cache_clear()
        states.append(assets.code())
    assets.code.cache_clear()
    assert states[0] != states[1] == states[2] == states[3]
