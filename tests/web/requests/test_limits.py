"""Every way in keeps the limits, and what an older program stored beyond them stays of use."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.cli import main
from app.document.dump import dumps
from app.document.load import recalled
from app.model import limits
from app.service import new_design
from app.service.workshop import Workshop
from app.store import Store, open_store
from app.web.app import create_app
from app.web.guards import Address
from tests.long_run import in_gate
from tests.reading.pages import Page
from tests.web.conftest import BASE

Raw = dict[str, Any]


def good() -> Raw:
    raw: Raw = json.loads(dumps(new_design(NewDeck(title="Bench deck"))))
    return raw


def resized(raw: Raw, wide: float) -> Raw:
    """The design with a plain board ``wide`` mm wide and 260 mm deep."""
    sides = ((0, 0), (wide, 0), (wide, 260), (0, 260))
    raw["boards"][0]["outline"] = {"corners": [{"x": x, "y": y} for x, y in sides]}
    return raw


def filled(raw: Raw, count: int) -> Raw:
    """The design with retired letters: text that costs nothing to draw."""
    raw["boards"][0]["arrangements"][0]["retired"] = [f"Z{k}" for k in range(count)]
    return raw


def far_off(raw: Raw, x: float) -> Raw:
    """The design with its first part ``x`` mm from the left edge."""
    raw["boards"][0]["arrangements"][0]["placements"][0]["x"] = x
    return raw


def twice_open(raw: Raw) -> Raw:
    """The design with an opening that stands twice, a third within it and a fourth along it."""
    boxes = ((20, 20, 40, 30), (20, 20, 40, 30), (25, 25, 10, 10), (60, 20, 10, 30))
    rings = [((x, y), (x + w, y), (x + w, y + h), (x, y + h)) for x, y, w, h in boxes]
    raw["boards"][0]["outline"]["openings"] = [[{"x": float(x), "y": float(y)} for x, y in ring] for ring in rings]
    return raw


def opened(client: TestClient, raw: Raw) -> Any:
    data = json.dumps(raw).encode()
    return client.post("/designs/open", files={"file": ("deck.json", data)}, follow_redirects=False)


def edited(client: TestClient, design: str, verb: str, **fields: str) -> Any:
    return client.post(f"/designs/{design}/{verb}", data=fields, follow_redirects=False)


BEYOND: list[tuple[Callable[[], Raw], str, str]] = [
    (lambda: resized(good(), 0.001), "boards[0].outline.corners", "got 0.001 × 260 mm"),
    (lambda: resized(good(), 5000.1), "boards[0].outline.corners", "got 5000.1 × 260 mm"),
    (
        lambda: filled(good(), limits.RETIRED.most + 1),
        "boards[0].arrangements[0].retired",
        "up to 5,000 retired letters, got 5,001",
    ),
    (
        lambda: far_off(good(), 10_000.5),
        "boards[0].arrangements[0].placements[0]",
        "up to 10,000 mm from the left and the front edge, got 10000.5 mm from the left edge",
    ),
]


@pytest.mark.parametrize("case", range(len(BEYOND)))
def test_a_file_beyond_a_limit_is_refused_with_its_place(client: TestClient, workshop: Workshop, case: int) -> None:
    make, place, said = BEYOND[case]
    answer = opened(client, make())
    assert answer.status_code == 422
    words = Page(answer.text).words
    assert place in words
    assert said in words
    assert workshop.shelf.look().items == ()


@pytest.mark.parametrize("case", range(len(BEYOND)))
def test_the_command_line_refuses_the_same_files(tmp_path: Path, capsys: pytest.CaptureFixture[str], case: int) -> None:
    make, place, said = BEYOND[case]
    file = tmp_path / "deck.json"
    file.write_text(json.dumps(make()), "utf-8")
    assert main(["check", str(file)]) == 2
    told = capsys.readouterr().err
    assert place in told
    assert said in told


def test_a_file_that_would_be_stored_too_long_is_refused_though_it_is_short(
    client: TestClient, workshop: Workshop
) -> None:
    """Defaults written out make the text longer; a station's are the longest."""
    raw = good()
    raw["boards"] = [{**raw["boards"][0], "id": f"b{k}", "arrangements": [
        {"id": f"a{a}", "stations": [{"id": f"s{s}", "steps": [0] * 20} for s in range(20)], "retired": ["A"] * 2500}
        for a in range(10)
    ]} for k in range(10)]  # fmt: skip
    assert len(json.dumps(raw, separators=(",", ":"))) < limits.STORED.most
    answer = opened(client, raw)
    assert answer.status_code == 422
    assert "2,000,000 bytes as stored" in Page(answer.text).words
    assert workshop.shelf.look().items == ()


def test_a_new_deck_is_no_smaller_than_a_board_can_be(client: TestClient, workshop: Workshop) -> None:
    fields = {"title": "x", "players": "0", "buttons": "1", "shape": "straight", "stick": "none", "drilling": "hand"}
    fields |= {"width": "0.001", "depth": "19.9", "thickness": "18", "material": "mdf"}
    answer = client.post("/designs", data=fields)
    assert answer.status_code == 422
    words = Page(answer.text).words
    assert "width in mm is a number from 20 to 5,000, got 0.001" in words
    assert "depth in mm is a number from 20 to 5,000, got 19.9" in words
    assert workshop.shelf.look().items == ()


def test_an_outline_from_a_file_is_no_smaller_either(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = workshop.design(deck)
    packed = json.dumps([[[0, 0, 0, 0], [0.001, 0, 0, 0], [0.001, 0.001, 0, 0], [0, 0.001, 0, 0]]])
    answer = edited(client, deck, "outline/take", outline=packed)
    assert answer.status_code == 422
    assert "from 20 to 5,000 mm wide and deep" in Page(answer.text).words
    assert workshop.design(deck) == before


def test_a_change_that_would_cross_a_limit_is_refused_and_nothing_is_lost(
    client: TestClient, workshop: Workshop
) -> None:
    """Taking a part out leaves its letter behind: one more than a design may hold could not be read again."""
    answer = opened(client, filled(good(), limits.RETIRED.most))
    design = answer.headers["location"].split("/")[2]
    before = workshop.design(design)
    placement = before[1].boards[0].arrangements[0].placements[0].id
    answer = edited(client, design, "edit/remove", select=placement)
    assert answer.status_code == 422
    words = Page(answer.text).words
    assert "boards[0].arrangements[0].retired" in words
    assert "got 5,001" in words
    assert "Nothing was changed" in words
    assert workshop.design(design) == before
    assert edited(client, design, "edit/title", title="Still of use").status_code == 303
    assert workshop.design(design)[1].title == "Still of use"


def test_a_part_is_moved_as_far_as_it_may_be_and_no_farther(client: TestClient, workshop: Workshop, deck: str) -> None:
    part = workshop.design(deck)[1].boards[0].arrangements[0].placements[0].id
    assert edited(client, deck, "edit/place", select=part, x="10000", y="-10000").status_code == 303
    before = workshop.design(deck)
    for x, y in (("10000.1", "0"), ("0", "-10000.1")):
        answer = edited(client, deck, "edit/place", select=part, x=x, y=y)
        assert answer.status_code == 422
        assert "up to 10,000 mm from the left and the front edge, got 10000.1 mm" in Page(answer.text).words
    assert workshop.design(deck) == before
    assert edited(client, deck, "edit/duplicate", select=part).status_code == 303, "the copy lands on the nearer side"


def old_store(folder: Path, raw: Raw) -> tuple[Store, str]:
    """A store with a design that an older program took, and a step on it, with their documents as they were."""
    store = open_store(folder)
    text = dumps(recalled(json.dumps(raw)))
    head = store.add(text, raw["title"], "Opened from a file")
    return store, head.design.id


OLD: list[Callable[[], Raw]] = [
    lambda: resized(good(), 6000.0),
    lambda: filled(good(), 90_000),
    lambda: good() | {"notes": "n" * 3_000_000},
    lambda: far_off(good(), 100_000.0),
    lambda: twice_open(good()),
]


@pytest.mark.parametrize(
    "case",
    in_gate(range(len(OLD)), {1, 2}.__contains__),
    ids=["six metres", "letters", "three megabytes", "far off", "twice open"],
)
def test_what_is_stored_beyond_a_limit_is_read_shown_exported_and_undone(tmp_path: Path, case: int) -> None:
    raw = OLD[case]()
    store, design = old_store(tmp_path, raw)
    workshop = Workshop(store)
    with TestClient(create_app(workshop, Address("127.0.0.1", 8123)), base_url=BASE) as client:
        for page in ("", "/timeline", "/board", "/shop", "/paper"):
            assert client.get(f"/designs/{design}{page}").status_code == 200, page
        for file in ("/drawing.svg", "/drawing.dxf", "/view.svg", "/view.pdf", "/template.pdf?paper=a0", "/sheet.svg"):
            assert client.get(f"/designs/{design}{file}").status_code == 200, file
        assert design in client.get("/").text
        exported = client.get(f"/designs/{design}/design.json")
        assert recalled(exported.text) == workshop.design(design)[1]
        # What makes it no worse is taken; then undone, done again, and looked at in the timeline.
        assert edited(client, design, "edit/title", title="Mended").status_code == 303
        assert workshop.design(design)[1].title == "Mended"
        assert edited(client, design, "undo").status_code == 303
        assert workshop.design(design)[1].title == raw["title"]
        assert edited(client, design, "redo").status_code == 303
        first = workshop.moments(design)[0].id
        assert client.get(f"/designs/{design}/thumbnail.svg?revision={first}").status_code == 200
        assert edited(client, design, "timeline", revision=first).status_code == 303
        assert workshop.design(design)[1].title == raw["title"]
    workshop.close()
