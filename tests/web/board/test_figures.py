"""The figures on the board page, in millimetres and in inches: they agree with one another and with the verdict."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from html import unescape
from typing import Any

import pytest
from msgspec import Struct
from starlette.testclient import TestClient

from app.document.where import Where
from app.service.workshop import Workshop
from tests.reading.following import read
from tests.reading.remedy_words import LENGTH

UNITS = ("mm", "inch")
SNAP = "button-30-snap"  # its clips hold 1.5 to 5 mm of board

Opened = Callable[..., str]


class Card(Struct, frozen=True):
    """A finding as it stands on the page: its rule and sentence, what to do, the figures of its bar, its button."""

    rule: str
    sentence: str
    remedy: str
    there: str
    limit: str
    button: str


@pytest.fixture
def opened(workshop: Workshop, deck: str) -> Opened:
    """Id of a deck that was opened from a file: these buttons on a bare board of 760 × 260 × 18 mm, and no more."""

    def open_(part: str, *places: tuple[float, float]) -> str:
        document = workshop.design(deck)[1].model_dump(mode="json")
        board = document["boards"][0]
        board["arrangements"] = [one(board["arrangements"][0], part, places)]
        return workshop.open_file(json.dumps(document).encode()).design.id

    return open_


def one(arrangement: dict[str, Any], part: str, places: tuple[tuple[float, float], ...]) -> dict[str, Any]:
    first = next(p for p in arrangement["placements"] if p["label"] == "B")
    del first["station"]
    placed = [
        {**first, "id": label.lower(), "label": label, "part": part, "x": x, "y": y}
        for label, (x, y) in zip("BCDE", places, strict=False)
    ]
    return {**arrangement, "placements": placed, "stations": []}


def cards(client: TestClient, deck: str, units: str) -> list[Card]:
    """The findings of a deck in a unit, those told one by one."""
    page = client.get(f"/designs/{deck}", params={"units": units}).text

    def inside(pattern: str, text: str) -> str:
        found = re.search(pattern, text, re.DOTALL)
        return unescape(re.sub(r"<[^>]+>", "", found[1])).strip().replace("−", "-") if found else ""

    found = []
    for text in page.split('<li class="finding')[1:]:
        limit = inside(r'</svg>\s*<span class="muted">(.*?)</span>', text)
        found.append(
            Card(
                inside(r"<h3[^>]*>(.*?)</h3>", text),
                inside(r"<p>(.*?)</p>", text),
                inside(r'<p class="remedy">(.*?)</p>', text),
                inside(r'<div class="measure">\s*<span>(.*?)</span>', text),
                limit,
                inside(r'name="said" value="([^"]*)"', text),
            )
        )
    return [card for card in found if card.remedy]


def length(text: str) -> float:
    """A length as it is read [mm], whatever its sign."""
    return -read(text[1:]) if text.startswith("-") else read(text)


def assert_seen(card: Card) -> None:
    """That something is wrong is seen in the figures of a card, and its button does what its words say."""
    if card.limit:
        least = card.limit.startswith("needs ")
        there, wanted = length(card.there), length(card.limit.removeprefix("needs ").removeprefix("at most "))
        assert (there < wanted) if least else (there > wanted), card
    assert not re.search(r"\d\.\d{3,} mm", card.sentence), f"finer than a hundredth of a millimetre: {card}"
    figures = re.findall(LENGTH, card.button)
    assert all(read(figure) > 0 for figure in figures), card
    assert set(figures) <= set(re.findall(LENGTH, card.remedy)), card


@pytest.mark.parametrize("lack", [0.0004, 0.0049, 0.0051, 0.4])
def test_what_is_lacking_is_seen_in_both_units_or_is_nothing(client: TestClient, opened: Opened, lack: float) -> None:
    """Two holes of 28 mm, each up to 1 mm off, want 5 mm of MDF between them; nuts 37 mm across, 3 mm to turn.

    What is short by 0.005 mm or less could not be said, and is not short. Where there is room, moves are by half
    millimetres, or 1/32 in.
    """
    for rule, apart in (("web", 28 + 5 + 2), ("under clash", 37 + 3 + 2)):
        deck = opened("button-28-nut-long", (200.0, 130.0), (200.0 + apart - lack, 130.0))
        found = {units: cards(client, deck, units) for units in UNITS}
        assert [card.rule for card in found["mm"]] == [card.rule for card in found["inch"]]
        assert any(card.rule.endswith(rule) for card in found["mm"]) == (lack > 0.005)
        for units, step in zip(UNITS, (0.5, 25.4 / 32), strict=True):
            for card in found[units]:
                assert_seen(card)
                moves = [read(figure) / step for figure in re.findall(LENGTH, card.button)]
                assert moves and moves == pytest.approx(list(map(round, moves)), abs=1e-6), card


def test_a_counterbore_is_offered_in_both_units_and_does_as_it_is_said(
    client: TestClient, workshop: Workshop, opened: Opened
) -> None:
    """18 mm of board and clips for up to 5 mm: 13 mm deep and no other depth will do, as the least ledge is 5 mm."""
    for units in UNITS:
        deck = opened(SNAP, (200.0, 130.0))
        (card,) = cards(client, deck, units)
        assert_seen(card)
        assert card.limit.startswith("at most ")
        assert length(card.there) >= 18.0 - 1e-6
        kept = re.search(rf"({LENGTH}) of board is left", card.remedy)
        assert kept and read(kept[1]) <= length(card.limit.removeprefix("at most ")), "too much is left again"
        assert card.button.startswith("Counterbore B")
        wide, deep = map(read, re.findall(LENGTH, card.button))
        assert (wide, deep) == pytest.approx((35.0, 13.0), abs=0.0005 * 25.4)
        page = client.get(f"/designs/{deck}", params={"units": units}).text
        fix = re.search(r'name="finding" value="([^"]+)">\s*<input type="hidden" name="said" value="([^"]+)"', page)
        assert fix
        values = {"unit": units, "units": units, "finding": unescape(fix[1]), "said": unescape(fix[2])}
        assert client.post(f"/designs/{deck}/edit/fix-apply", data=values).status_code == 200
        assert workshop.look(deck, Where()).checked.report.open == ()


@pytest.mark.parametrize("part", ["button-24-snap", "button-28-snap", "button-24-nut-short"])
@pytest.mark.parametrize("thickness", [12.0, 18.0])
def test_what_to_do_is_the_same_in_both_units(client: TestClient, opened: Opened, part: str, thickness: float) -> None:
    deck = opened(part, (200.0, 130.0))
    work = {"unit": "mm", "thickness": str(thickness), "drilling": "hand", "paper": "a4"}
    client.post(f"/designs/{deck}/shop/settings", data=work)
    in_mm, in_inches = ([kind(card) for card in cards(client, deck, units)] for units in UNITS)
    assert in_mm == in_inches


def kind(card: Card) -> tuple[str, str, str]:
    """What a card says to do and does, without its lengths."""
    return card.rule, re.sub(LENGTH, "…", card.remedy), re.sub(LENGTH, "…", card.button)


@pytest.mark.parametrize("name", ["leaky-raft", "pine-shelf-compact"])
def test_no_card_of_a_scenario_says_one_thing_and_does_another(
    client: TestClient, workshop: Workshop, name: str
) -> None:
    deck = workshop.open_scenario(name).design.id
    for units in UNITS:
        for card in cards(client, deck, units):
            if re.search(LENGTH, card.remedy):  # late in a long report nothing was tried for the sentence
                assert_seen(card)


@pytest.mark.parametrize("view", ["", "&face=under", "&face=section&select=b"])
def test_nothing_is_written_in_millimetres_on_a_drawing_in_inches(client: TestClient, deck: str, view: str) -> None:
    page = client.get(f"/designs/{deck}?units=inch{view}").text
    told = " ".join(unescape(text) for text in re.findall(r"<text[^>]*>([^<]*)</text>", page))
    assert '"' in told
    for own in ("Button, 28 mm hole, nut, long thread", "hole 28 mm"):  # hardware keeps its name, a hole its bit's size
        told = told.replace(own, "")
    assert re.findall(r"[^ ]* ?\d mm\b", told) == []
