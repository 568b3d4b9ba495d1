"""The shelf: designs looked for, put in order, shown by pages; what is said of each is made once and kept."""

from __future__ import annotations

import sqlite3
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.dump import dumps
from app.document.where import Where
from app.errors import StoreError
from app.service.background import made_once
from app.service.edits import changes
from app.service.shelf import shelf
from app.service.shelf.search import MOST, ShelfQuery, folded
from app.service.shelf.starting import new_design
from app.service.workshop import Workshop, open_workshop
from app.store import Derived
from app.web.pages.shelf.search import FEW, wanted_in
from tests.reading.pages import Page


def filled(workshop: Workshop, *titles: str) -> list[str]:
    """Designs of those titles, the last one changed last; all of the same small deck."""
    text = dumps(new_design(NewDeck(title="TITLE", players=1)))
    return [workshop.open_file(text.replace("TITLE", title).encode()).design.id for title in titles]


def titles(workshop: Workshop, **wanted: object) -> list[str]:
    return [item.row.title for item in workshop.shelf.look(ShelfQuery(**wanted)).items]  # type: ignore[arg-type]


def test_a_title_is_found_by_its_words_whatever_their_case_accents_and_order(workshop: Workshop) -> None:
    filled(workshop, "Küche groß", "Kitchen deck", "deck for the KITCHEN", "Garage")
    assert titles(workshop, find="kitchen DECK") == ["deck for the KITCHEN", "Kitchen deck"]
    assert titles(workshop, find="kuche GROSS") == ["Küche groß"]
    assert titles(workshop, find="kit") == ["deck for the KITCHEN", "Kitchen deck"]
    assert titles(workshop, find="kitchen garage") == []
    assert len(titles(workshop, find="")) == 4


def test_titles_are_in_the_order_of_a_reader_and_not_of_a_database(workshop: Workshop) -> None:
    ordered = ["Deck 9", "deck 10", "Deck 010b", "Éclair", "ﬁne", "Zebra"]
    filled(workshop, *reversed(ordered[1::2]), *ordered[::2])
    assert titles(workshop, order="title") == ordered
    assert folded("É") == folded("e\u0301") == "e"


def test_labels_are_given_shown_looked_for_and_copied(client: TestClient, workshop: Workshop) -> None:
    first, second = filled(workshop, "Attic", "Cellar")
    page = client.post(f"/designs/{first}/labels", data={"labels": "Two players, club ,, CLUB"}).text
    assert workshop.labels() == {first: ("CLUB", "Two players")}
    assert 'href="/?label=CLUB"' in page
    assert "CLUB (1)" in page
    client.post(f"/designs/{second}/labels", data={"labels": "club"})
    assert titles(workshop, label="club") == ["Cellar", "Attic"]
    assert titles(workshop, label="two players") == titles(workshop, find="PLAYERS attic") == ["Attic"]
    assert titles(workshop, label="none") == []
    assert "No design is labelled “none”." in unescape(client.get("/?label=none").text)
    copy = workshop.duplicate(first).design.id
    assert workshop.labels()[copy] == ("CLUB", "Two players")
    client.post(f"/designs/{first}/labels", data={"labels": " ", "label": "club"})
    assert titles(workshop, label="club", order="made") == ["Attic copy", "Cellar"]


def test_a_label_that_cannot_be_is_told_beside_its_field(client: TestClient, workshop: Workshop) -> None:
    (deck,) = filled(workshop, "Attic")
    answer = client.post(f"/designs/{deck}/labels", data={"labels": "x" * 41})
    assert answer.status_code == 422
    assert "up to 40 characters" in answer.text
    assert f'value="{"x" * 41}"' in answer.text
    assert workshop.labels() == {}


def test_a_shelf_is_saved_in_one_file_and_opened_as_any_other(client: TestClient, workshop: Workshop) -> None:
    attic, _ = filled(workshop, "Attic", "Cellar")
    saved = client.get("/shelf.zip")
    assert saved.headers["content-type"] == "application/zip"
    assert saved.headers["content-disposition"] == 'attachment; filename="holewise-shelf.zip"'
    workshop.edit(attic, Where(), changes.title_set("Attic, higher"))
    sent = {"file": ("mine.zip", saved.content, "application/zip")}
    page = unescape(client.post("/designs/open", files=sent).text)
    assert "2 designs: 1 beside what has changed here, 1 here already." in page
    assert "“Attic, higher” has changed here" in page
    assert sorted(titles(workshop)) == ["Attic", "Attic, higher", "Cellar"]
    spoilt = {"file": ("mine.zip", saved.content[:-60], "application/zip")}
    answer = client.post("/designs/open", files=spoilt)
    assert answer.status_code == 422
    assert "“mine.zip” cannot be opened. The file is damaged" in unescape(answer.text)
    assert len(titles(workshop)) == 3


def test_the_last_changed_comes_first(workshop: Workshop) -> None:
    first, _ = filled(workshop, "First", "Second")
    assert titles(workshop) == ["Second", "First"]
    workshop.edit(first, Where(), changes.title_set("First again"))
    assert titles(workshop) == ["First again", "Second"]


def test_a_long_shelf_is_read_page_by_page(client: TestClient, workshop: Workshop) -> None:
    extra = 5
    filled(workshop, *(f"Deck {n}" for n in range(MOST + extra)))
    first = client.get("/?order=title")
    assert first.text.count('class="card design"') == MOST
    assert f"{MOST + extra} designs" in first.text
    links = [link for link in Page(first.text).links if "page=2" in link]
    assert links == ["/?order=title&page=2#designs"]
    rest = client.get(links[0])
    assert rest.text.count('class="card design"') == extra
    assert "Deck 64" in rest.text and "Deck 59" not in rest.text
    beyond = client.get("/?order=title&page=99999")
    assert beyond.text == rest.text
    found = unescape(client.get("/?find=deck 64").text)
    assert found.count('class="card design"') == 1
    assert f"1 of {MOST + extra} designs" in found


@pytest.mark.parametrize("asked", ["page=-1", "page=x", "page=" + "9" * 30, "order=nonsense", "away=0", "find=%00%ff"])
def test_nonsense_in_the_address_is_the_first_page(client: TestClient, deck: str, asked: str) -> None:
    answer = client.get(f"/?{asked}")
    assert answer.status_code == 200
    assert ("Two-seater" in answer.text) == (not asked.startswith("find"))


def test_htmx_gets_the_list_alone_and_the_form_works_without(client: TestClient, workshop: Workshop) -> None:
    filled(workshop, *(f"Deck {n}" for n in range(FEW + 1)))
    whole = client.get("/?find=deck+3")
    form = Page(whole.text).form("/")
    assert (form.method, form.fields) == ("get", {"find": "deck 3", "order": "changed"})
    block = client.get("/?find=deck+3", headers={"HX-Request": "true", "HX-Target": "found"})
    assert "<!doctype" not in block.text
    assert block.text[block.text.index("<div") :].strip() in whole.text
    assert "Deck 3" in block.text and "Deck 4" not in block.text


def test_few_designs_need_no_looking(client: TestClient, workshop: Workshop) -> None:
    filled(workshop, *(f"Deck {n}" for n in range(FEW)))
    assert 'role="search"' not in client.get("/").text
    filled(workshop, "One more")
    assert 'role="search"' in client.get("/").text


def test_nothing_found_says_so_and_what_was_typed_is_safe(client: TestClient, workshop: Workshop) -> None:
    filled(workshop, "Deck")
    page = client.get("/", params={"find": '<b>"none"'})
    assert "<b>" not in page.text
    assert 'No title or label contains “<b>"none"”.' in unescape(page.text)


def test_putting_away_comes_back_to_the_same_page_of_the_shelf(client: TestClient, workshop: Workshop) -> None:
    design = filled(workshop, *(f"Deck {n}" for n in range(FEW + 1)))[3]
    form = Page(client.get("/?find=deck+3&order=title").text).form(f"/designs/{design}/remove")
    answer = client.post(f"/designs/{design}/remove", data=form.fields)
    assert str(answer.url).endswith("/?find=deck+3&order=title#put-away")
    assert f"/designs/{design}/put-back" in answer.text
    assert wanted_in(form.fields) == ShelfQuery("deck 3", "title")


def test_the_verdict_and_picture_of_a_moment_are_made_once(
    client: TestClient, workshop: Workshop, deck: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = client.get("/")
    picture = next(address for address in Page(first.text).loads if "thumbnail.svg" in address)
    drawn = client.get(picture)
    assert "immutable" in drawn.headers["cache-control"]

    def again(*_: object) -> object:
        raise AssertionError("it was kept")

    for name in ("parsed", "every_state"):
        monkeypatch.setattr(shelf, name, again)
    monkeypatch.setattr("app.service.drawings.drawings.thumbnail_svg", again)
    anew = open_workshop(tmp_path / "data")  # as after a start anew: nothing is in memory
    assert anew.shelf.look().items == workshop.shelf.look().items
    assert anew.shelf.picture(deck, workshop.moments(deck)[0].id)[0] == drawn.content
    anew.close()


def test_another_state_of_the_program_makes_it_anew_and_forgets_the_old(
    client: TestClient, workshop: Workshop, deck: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    client.get("/")
    monkeypatch.setattr(made_once, "program_code", lambda: "another")
    anew = open_workshop(tmp_path / "data")
    found = anew.shelf.look()
    assert set(found.made.verdicts) == {workshop.moments(deck)[0].id}
    anew.shelf.keep(found.made)
    anew.close()
    with sqlite3.connect(tmp_path / "data" / "holewise.db") as raw:
        assert raw.execute("SELECT DISTINCT code FROM derived").fetchall() == [("another",)]
    raw.close()


def test_a_page_comes_where_nothing_can_be_kept(
    client: TestClient, workshop: Workshop, deck: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise StoreError("There is no room left on the disk.")

    monkeypatch.setattr(Derived, "keep", full)
    monkeypatch.setattr(Derived, "read_many", full)
    for _ in range(2):
        answer = client.get("/")
        assert answer.status_code == 200
        assert "Fits" in answer.text
    # It is made once all the same, as long as the program runs.
    assert workshop.shelf.look().made.verdicts == {}


def test_only_what_the_page_shows_is_made(workshop: Workshop) -> None:
    filled(workshop, *(f"Deck {n}" for n in range(MOST + 3)))
    shown = workshop.shelf.look(ShelfQuery(page=2))
    assert [item.row.title for item in shown.items] == ["Deck 2", "Deck 1", "Deck 0"]
    assert set(shown.made.verdicts) == set(shown.made.pictures) == {item.row.head for item in shown.items}
    assert workshop.shelf.look(ShelfQuery(page=2)).made.verdicts == {}


def test_a_design_is_duplicated_whole_and_each_copy_is_another_design(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    sheets = {sheet.action: sheet for sheet in Page(client.get("/").text).forms}
    answer = client.post(f"/designs/{deck}/duplicate", data=sheets[f"/designs/{deck}/duplicate"].fields)
    copy = answer.url.path.rsplit("/", 1)[-1]
    was, now = workshop.design(deck)[1], workshop.design(copy)[1]
    assert answer.status_code == 200 and copy != deck
    assert len(now.boards[0].arrangements) == 2, "two players: both, and the first alone"
    assert (now.title, now.model_copy(update={"title": was.title})) == ("Two-seater copy", was)
    assert [moment.summary for moment in workshop.moments(copy)] == ["Copied from “Two-seater”"]
    workshop.edit(copy, Where(), changes.title_set("Another"))
    assert workshop.design(deck)[1] == was
    # What was put away has its title still, for the day it is put back.
    workshop.remove(workshop.duplicate(deck).design.id)
    assert workshop.duplicate(deck).design.title == "Two-seater copy 2"


def test_a_design_is_renamed_on_the_shelf_and_comes_first_under_its_new_title(
    client: TestClient, workshop: Workshop
) -> None:
    first, second = filled(workshop, "First", "Second")
    form = Page(client.get("/").text).form(f"/designs/{first}/title")
    assert form.fields == {"title": "First"}
    answer = client.post(f"/designs/{first}/title", data=form.sent(title="  Garage bench "))
    assert answer.status_code == 200 and str(answer.url).endswith(f"/#design-{first}")
    assert titles(workshop) == ["Garage bench", "Second"]
    assert workshop.design(first)[1].title == "Garage bench" and workshop.design(second)[1].title == "Second"
    workshop.undo(first)
    assert titles(workshop) == ["First", "Second"], "it is a step like any other"


def test_a_title_that_cannot_be_taken_is_shown_again_in_its_card(client: TestClient, workshop: Workshop) -> None:
    (design,) = filled(workshop, "First")
    for wrong, said in (("", "got 0"), ("x" * 201, "got 201")):
        answer = client.post(f"/designs/{design}/title", data={"title": wrong})
        assert answer.status_code == 422 and said in answer.text
        assert f'id="wrong-title-{design}"' in answer.text and '<details class="rename-card" open>' in answer.text
        assert Page(answer.text).form(f"/designs/{design}/title").fields["title"] == wrong
    assert titles(workshop) == ["First"] and len(workshop.moments(design)) == 1


def test_renaming_stays_on_the_page_of_the_shelf_that_still_shows_it(client: TestClient, workshop: Workshop) -> None:
    design = filled(workshop, *(f"Deck {n}" for n in range(FEW + 1)))[3]
    form = Page(client.get("/?find=deck+3&order=title").text).form(f"/designs/{design}/title")
    answer = client.post(f"/designs/{design}/title", data=form.sent(title="Deck 3 again"))
    assert str(answer.url).endswith(f"/?find=deck+3&order=title#design-{design}")
    answer = client.post(f"/designs/{design}/title", data=form.sent(title="Bench"))
    assert str(answer.url).endswith(f"/#design-{design}") and "Bench" in answer.text


def test_a_design_that_fits_only_in_its_first_arrangement_is_not_shown_as_fitting(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    where = Where(None, "one")
    on = workshop.look(deck, where).checked.resolved.placements[0]
    workshop.edit(deck, where, changes.added(where, "button-24-nut-long", (on.x + 1, on.y), "top", 0.0))
    alone = {a: len(workshop.look(deck, Where(arrangement=a)).checked.report.stops) for a in ("two", "one")}
    assert alone["two"] == 0 < alone["one"], "or this says nothing"
    words = Page(client.get("/").text).words
    for name, stops in (("Two players", alone["two"]), ("One player", alone["one"])):
        assert f"{name} · {'fits' if not stops else f'{stops} stop'}" in words
    assert f"{max(alone.values())} stops" in words
    (item,) = workshop.shelf.look().items
    assert item.verdict is not None and item.verdict.stops == max(alone.values())
