"""The page of what a drilled board needs: from a step, another arrangement or design; choices, files, bad addresses."""

from __future__ import annotations

import csv
import io
import json
import re
from html import unescape

import pymupdf
import pytest
from starlette.testclient import TestClient

from app.arrange.placement.edit import move_by
from app.document.dump import dumps
from app.document.where import Where
from app.service.workshop import Workshop


def moved(workshop: Workshop, deck: str) -> tuple[str, str]:
    """The step before a button was moved by 30 and 40 mm, and the button's id."""
    before = workshop.moments(deck)[-1].id
    placed = workshop.design(deck)[1].boards[0].arrangements[0].placements
    first = next(p for p in placed if p.part.startswith("button"))
    workshop.edit(deck, Where(), lambda design: move_by(design, None, None, first.id, 30.0, 40.0))
    return before, first.id


def page_of(client: TestClient, deck: str, query: str = "") -> str:
    answer = client.get(f"/designs/{deck}/retrofit{query}")
    assert answer.status_code == 200, answer.text
    return unescape(answer.text)


def test_a_step_back_says_what_to_plug_and_to_drill(client: TestClient, workshop: Workshop, deck: str) -> None:
    before, _ = moved(workshop, deck)
    page = page_of(client, deck)
    assert page == page_of(client, deck, f"?from=step:{before}")  # the step before, unless one is chosen
    assert "Glue in a plug of" in page and "where a new board takes" in page
    assert 'class="plug"' in page and 'class="is"' in page
    assert "Nothing has to be done." in page_of(client, deck, "?from=now")
    assert "from the left" in page and '"' in page_of(client, deck, f"?from=step:{before}&units=inch")


def test_a_choice_is_kept_in_the_address_and_can_be_taken_back(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    before, ident = moved(workshop, deck)
    steps = len(workshop.moments(deck))
    hole = f"{ident}/hole-1"
    chosen = page_of(client, deck, f"?from=step:{before}&hole={hole}&way=open")
    assert f'name="do" value="{hole}:open"' in chosen
    assert "stays open in the top face" in chosen
    assert "Set all back to least work" in chosen
    back = page_of(client, deck, f"?from=step:{before}&do={hole}:open&hole={hole}&way=")
    assert back == page_of(client, deck, f"?from=step:{before}")
    assert len(workshop.moments(deck)) == steps  # nothing was kept


def test_its_files_say_the_same(client: TestClient, workshop: Workshop, deck: str) -> None:
    before, ident = moved(workshop, deck)
    query = f"?from=step:{before}"
    rows = list(csv.reader(io.StringIO(client.get(f"/designs/{deck}/retrofit.csv{query}").content.decode("utf-8-sig"))))
    assert [row[2] for row in rows[1:3]] == ["plug", "drill"]
    found = json.loads(client.get(f"/designs/{deck}/retrofit.json{query}").content)["retrofit"]
    assert len(found) == len(rows) - 1
    answer = client.get(f"/designs/{deck}/retrofit.pdf{query}")
    assert answer.headers["content-type"] == "application/pdf"
    words = " ".join(str(page.get_text()) for page in pymupdf.open(stream=answer.content).pages())
    assert "RETROFIT TEMPLATE" in words and re.search(r"Piece\s+1", words)
    plugged = client.get(f"/designs/{deck}/retrofit.csv{query}&do={ident}/hole-1:open")
    assert b",plug," not in plugged.content


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("from=step:none", "That step of this design is not in the store"),
        ("from=design:none", "There is no design"),
        ("from=nonsense", "Choose what to compare from the lists"),
        ("from=now&was=none", "Choose how the board was drilled from the list"),
        ("from=now&hole=a/hole-1&way=melt", "cannot be dealt with by “melt”"),
    ],
)
def test_what_is_not_there_is_said_and_the_lists_stay(client: TestClient, deck: str, query: str, said: str) -> None:
    answer = client.get(f"/designs/{deck}/retrofit?{query}")
    assert answer.status_code == 422
    text = unescape(answer.text)
    assert said in text and 'role="alert"' in text and "As it is now" in text


def test_a_design_without_this_board_is_said_and_a_file_needs_an_older_state(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    answer = client.get(f"/designs/{deck}/retrofit.pdf")
    assert answer.status_code == 422 and "Choose what the board was drilled to first." in unescape(answer.text)
    raw = json.loads(dumps(workshop.written(deck)))
    raw["boards"][0]["id"] = "another"
    sent = client.post("/designs/open", files={"file": ("a.json", json.dumps(raw), "application/json")})
    other = re.search(r"/designs/([0-9a-f]+)", str(sent.url))
    assert other is not None
    said = client.get(f"/designs/{deck}/retrofit?from=design:{other[1]}")
    assert said.status_code == 422 and "so there is nothing to start from" in unescape(said.text)


def test_more_choices_than_an_address_holds_are_refused(client: TestClient, deck: str) -> None:
    many = ",".join(f"a{k}/hole-1:plug" for k in range(201))
    answer = client.get(f"/designs/{deck}/retrofit?from=now&do={many}")
    assert answer.status_code == 422 and "up to 200 can be" in unescape(answer.text)
