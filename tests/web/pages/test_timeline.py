"""The timeline page: every step listed, any of them gone to, nothing lost."""

from __future__ import annotations

from html import unescape

from starlette.testclient import TestClient

from app.document.where import Where
from app.service.edits import changes
from app.service.workshop import Workshop
from app.web.pages.timeline.context import MOST


def retitled(workshop: Workshop, deck: str, *titles: str) -> None:
    for title in titles:
        workshop.edit(deck, Where(), changes.title_set(title))


def test_every_step_stands_newest_first_and_one_is_now(client: TestClient, workshop: Workshop, deck: str) -> None:
    retitled(workshop, deck, "First", "Second")
    page = unescape(client.get(f"/designs/{deck}/timeline").text)
    assert page.index("Second") < page.index("First") < page.index("New deck")
    assert page.count('aria-current="step"') == 1
    assert "3 steps" in page
    assert page.count("Go back to this step:") == 2


def test_going_to_a_moment_and_forward_again(client: TestClient, workshop: Workshop, deck: str) -> None:
    retitled(workshop, deck, "First", "Second")
    first = workshop.moments(deck)[1].id
    page = unescape(client.post(f"/designs/{deck}/timeline", data={"revision": first, "unit": "mm"}).text)
    assert workshop.design(deck)[1].title == "First"
    assert "Undone; Redo brings it back" in page
    client.post(f"/designs/{deck}/redo", data={"page": "timeline"})
    assert workshop.design(deck)[1].title == "Second"
    client.post(f"/designs/{deck}/timeline", data={"revision": first})
    retitled(workshop, deck, "Third")
    page = unescape(client.get(f"/designs/{deck}/timeline").text)
    assert "Left behind when you went another way" in page
    assert len(workshop.moments(deck)) == 4


def test_an_unknown_moment_is_a_plain_sentence_and_changes_nothing(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    answer = client.post(f"/designs/{deck}/timeline", data={"revision": "nonsense"})
    assert answer.status_code == 404
    assert "timeline lists those there are" in unescape(answer.text)
    assert client.get(f"/designs/{deck}/thumbnail.svg?revision=nonsense").status_code == 404
    assert len(workshop.moments(deck)) == 1


def test_each_moment_has_its_own_drawing(client: TestClient, workshop: Workshop, deck: str) -> None:
    workshop.edit(deck, Where(), changes.removed(Where(), ["a"]))
    first, second = (moment.id for moment in workshop.moments(deck))
    answer = client.get(f"/designs/{deck}/thumbnail.svg?revision={first}")
    assert answer.headers["content-type"].startswith("image/svg+xml")
    assert client.get(f"/designs/{deck}/thumbnail.svg?revision={second}").text != answer.text
    workshop.undo(deck)
    assert client.get(f"/designs/{deck}/thumbnail.svg").text == answer.text


def test_a_long_history_is_read_page_by_page(client: TestClient, workshop: Workshop, deck: str) -> None:
    retitled(workshop, deck, *(f"Title {n}" for n in range(MOST + 5)))
    page = unescape(client.get(f"/designs/{deck}/timeline").text)
    assert page.count('class="card step') == MOST
    assert "Earlier steps" in page and "Later steps" not in page
    rest = unescape(client.get(f"/designs/{deck}/timeline?before=7").text)
    assert rest.count('class="card step') == 6
    assert "Later steps" in rest and "Earlier steps" not in rest
    for odd in ("-1", "x", "9" * 30):
        assert client.get(f"/designs/{deck}/timeline?before={odd}").status_code == 200
