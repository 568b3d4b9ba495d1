"""A damaged row says so on its own card and hides no other; its timeline opens, and what is good is shown again.

The rows are damaged by SQL, as a failed disk or a hand in the file leaves them.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from html import unescape
from pathlib import Path

import pytest
from msgspec import Struct
from msgspec.structs import asdict
from starlette.testclient import TestClient

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.document.schema import VERSION
from app.document.where import Where
from app.service.drawings.drawings import thumbnail_svg
from app.service.edits import changes
from app.service.shelf.shelf import Ailment
from app.service.workshop import Workshop
from app.web.pages.shelf.cards import AILMENTS
from tests.long_run import long
from tests.reading.pages import Page

Sql = Callable[..., list[tuple[bytes, ...]]]
VERSION_SAID = f"'\"version\": {VERSION}'"


class Harm(Struct, frozen=True):
    """What is done to a design of two moments.

    Args:
        sql: statements; ``:design``, ``:first`` and ``:head`` are its ids.
        ailment: what its card says.
        shown: whether its board can be seen all the same.
    """

    sql: tuple[str, ...]
    ailment: Ailment
    shown: bool = False


def document(was: str, now: str) -> tuple[str, ...]:
    """The text of the moment that is shown, with something in it exchanged."""
    return (f"UPDATE revisions SET document = replace(document, {was}, {now}) WHERE id = :head",)  # noqa: S608 - ours


def stored(value: str) -> tuple[str, ...]:
    return (f"UPDATE revisions SET document = {value} WHERE id = :head",)  # noqa: S608 - ours


NO_TITLE = (
    # As in a table that was put together again from what was left of it.
    "PRAGMA writable_schema = ON",
    "UPDATE sqlite_master SET sql = replace(sql, 'title TEXT NOT NULL', 'title TEXT') WHERE name = 'designs'",
    "PRAGMA writable_schema = RESET",
    "UPDATE designs SET title = NULL WHERE id = :design",
)

HARMS: dict[str, Harm] = {
    "a date that is none": Harm(("UPDATE designs SET modified = 'banana' WHERE id = :design",), "date", shown=True),
    "a date of bytes": Harm(("UPDATE designs SET created = x'ff00' WHERE id = :design",), "date", shown=True),
    "a date out of all time": Harm(
        ("UPDATE designs SET modified = '0001-01-01T00:00:00+00:00' WHERE id = :design",), "date", shown=True
    ),
    "a moment without a date": Harm(("UPDATE revisions SET created = '' WHERE id = :head",), "date", shown=True),
    "a title of bytes": Harm(("UPDATE designs SET title = x'48ff' WHERE id = :design",), "title", shown=True),
    "a title that is text and is not": Harm(
        ("UPDATE designs SET title = CAST(x'48ff' AS TEXT) WHERE id = :design",), "title", shown=True
    ),
    "no title": Harm(NO_TITLE, "title", shown=True),
    "a ring of moments": Harm(("UPDATE revisions SET parent = :head WHERE id = :first",), "tangled", shown=True),
    "a moment of its own making": Harm(
        ("UPDATE revisions SET parent = :head WHERE id = :head",), "tangled", shown=True
    ),
    "a moment before that is missing": Harm(
        ("UPDATE revisions SET parent = 'nonsense' WHERE id = :first",), "tangled", shown=True
    ),
    "a missing head": Harm(("UPDATE designs SET head = 'nonsense' WHERE id = :design",), "gone"),
    "a head of another design": Harm(
        ("UPDATE designs SET head = (SELECT head FROM designs WHERE id != :design) WHERE id = :design",), "gone"
    ),
    "its last moment cut off": Harm(("DELETE FROM revisions WHERE id = :head",), "gone"),
    "its row lost": Harm(("DELETE FROM designs WHERE id = :design",), "adrift", shown=True),
    "a document that is no text": Harm(stored("CAST(CAST(document AS BLOB) || x'ff' AS TEXT)"), "unread"),
    "a document of bytes": Harm(stored("x'fffe00'"), "unread"),
    "a document that is no JSON": Harm(stored("substr(document, 1, 500)"), "unread"),
    "an empty document": Harm(stored("''"), "unread"),
    "null bytes in the document": Harm(document("'\"mm\"'", "'\"m' || char(0) || '\"'"), "unread"),
    "a version that is none": Harm(document(VERSION_SAID, '\'"version": "x"\''), "unread"),
    "a title that is none": Harm(document("'\"Hurt, second\"'", "'null'"), "unread"),
    "a document of a newer version": Harm(document(VERSION_SAID, "'\"version\": 99'"), "newer"),
    "a part nobody knows": Harm(document('\'"part": "\'', '\'"part": "no-\''), "undrawn"),
}


class Hurt(Struct, frozen=True):
    """A design that is damaged: ids of it, of its first moment, and of the one it shows."""

    design: str
    first: str
    head: str


@pytest.fixture
def database(tmp_path: Path, workshop: Workshop) -> Sql:
    """Runs SQL on the file behind the app, which knows nothing of it."""

    def run(*statements: str, **values: str) -> list[tuple[bytes, ...]]:
        with sqlite3.connect(tmp_path / "data" / "holewise.db") as raw:
            raw.text_factory = bytes
            found = []
            for statement in statements:
                used = {name: value for name, value in values.items() if f":{name}" in statement}
                found += raw.execute(statement, used).fetchall()
        raw.close()
        return found

    return run


@pytest.fixture
def hurt(workshop: Workshop, deck: str) -> Hurt:
    """A design of two moments beside a sound one; damaged by nothing yet."""
    design = workshop.create(NewDeck(title="Hurt", players=1)).design.id
    workshop.edit(design, Where(), changes.title_set("Hurt, second"))
    first, second = (moment.id for moment in workshop.moments(design))
    return Hurt(design, first, second)


SEEN = [
    pytest.param(
        name, seen, id=f"{name}, {'seen before' if seen else 'never seen'}", marks=[long] if seen and n % 4 else []
    )
    for n, (name, harm) in enumerate(HARMS.items())
    for seen in (False, True)
    if not (seen and harm.shown)
]
"""Each harm; and those of a document also done after the shelf was looked at, and keeps a verdict of it."""


@pytest.mark.parametrize(("name", "seen"), SEEN)
def test_a_damaged_design_has_a_card_that_says_so_and_a_way_back(
    client: TestClient,
    workshop: Workshop,
    hurt: Hurt,
    database: Callable[..., list[tuple[bytes, ...]]],
    name: str,
    seen: bool,
) -> None:
    harm = HARMS[name]
    if seen:
        assert unescape(client.get("/").text).count("Fits") == 2
    database(*harm.sql, **asdict(hurt))

    answer = client.get("/")
    words = unescape(answer.text)
    assert answer.status_code == 200
    assert AILMENTS[harm.ailment] in words
    assert "Two-seater" in words and words.count("Fits") == 1 + harm.shown
    links = Page(answer.text).links
    timeline, file = f"/designs/{hurt.design}/timeline", f"/designs/{hurt.design}/stored.json"
    assert {timeline, file} <= set(links)
    copying = f"/designs/{hurt.design}/duplicate"
    assert (copying in [sheet.action for sheet in Page(answer.text).forms]) == harm.shown
    if not harm.shown and harm.ailment != "undrawn":
        assert client.post(copying).status_code in {404, 422}

    saved = client.get(file)
    assert saved.headers["content-disposition"].startswith("attachment")
    left = database("SELECT id, CAST(document AS BLOB) FROM revisions WHERE design = :design", design=hurt.design)
    documents = {name.decode(): text for name, text in left}
    assert saved.content == documents.get(hurt.head, documents[hurt.first])

    past = client.get(timeline)
    assert past.status_code == 200
    assert "New deck" in past.text
    assert client.post(timeline, data={"revision": hurt.first, "unit": "mm"}).status_code == 200
    assert workshop.design(hurt.design)[1].title == "Hurt"
    after = unescape(client.get("/").text)
    assert after.count("Fits") == 2
    # A ring and a hole in the past stay what they are; and when a design was made is not made up.
    assert (AILMENTS[harm.ailment] in after) == (harm.ailment == "tangled" or name == "a date of bytes")


@pytest.mark.parametrize("name", [name for name, harm in HARMS.items() if not harm.shown])
def test_a_board_that_cannot_be_shown_leads_on(client: TestClient, hurt: Hurt, database: Sql, name: str) -> None:
    database(*HARMS[name].sql, **asdict(hurt))
    answer = client.get(f"/designs/{hurt.design}")
    assert answer.status_code == 422
    assert f"/designs/{hurt.design}/timeline" in Page(answer.text).links


def test_what_fails_in_a_way_nobody_thought_of_hides_nothing_either(
    client: TestClient,
    workshop: Workshop,
    hurt: Hurt,
    monkeypatch: pytest.MonkeyPatch,
    caplog: pytest.LogCaptureFixture,
) -> None:
    drawn = thumbnail_svg

    def fails(board: object) -> str:
        if getattr(board, "title", "") == "Hurt, second":
            raise ZeroDivisionError
        return drawn(board)  # type: ignore[arg-type]

    monkeypatch.setattr("app.service.drawings.drawings.thumbnail_svg", fails)
    words = unescape(client.get("/").text)
    assert AILMENTS["fault"] in words
    assert words.count("Fits") == 1
    assert "ZeroDivisionError" in caplog.text
    monkeypatch.undo()
    assert unescape(client.get("/").text).count("Fits") == 2  # a fault is not kept


def test_nothing_left_but_the_title(client: TestClient, hurt: Hurt, database: Sql) -> None:
    database("DELETE FROM revisions WHERE design = :design", design=hurt.design)
    words = unescape(client.get("/").text)
    assert AILMENTS["nothing"] in words
    assert words.count("Fits") == 1
    assert client.get(f"/designs/{hurt.design}/timeline").status_code == 200
    assert client.get(f"/designs/{hurt.design}/stored.json").status_code == 404
    client.post(f"/designs/{hurt.design}/remove")
    assert AILMENTS["nothing"] not in unescape(client.get("/").text)


def test_a_damaged_moment_cannot_be_gone_to_and_nothing_changes(
    client: TestClient, workshop: Workshop, hurt: Hurt, database: Sql
) -> None:
    database("UPDATE revisions SET document = 'x' WHERE id = :first", first=hurt.first)
    answer = client.post(f"/designs/{hurt.design}/timeline", data={"revision": hurt.first})
    assert answer.status_code == 422
    assert "Go to another step" in unescape(answer.text)
    assert client.get(f"/designs/{hurt.design}/thumbnail.svg?revision={hurt.first}").status_code == 422
    assert workshop.design(hurt.design)[1].title == "Hurt, second"


def test_a_ring_is_walked_round_once_when_a_window_is_told(
    client: TestClient, workshop: Workshop, hurt: Hurt, database: Sql
) -> None:
    database("UPDATE revisions SET parent = :head WHERE id = :first", head=hurt.head, first=hurt.first)
    workshop.edit(hurt.design, Where(), changes.title_set("Hurt, third"))
    made = workshop.meanwhile(hurt.design, hurt.first).made
    assert [moment.number for moment in made] == [3]
    assert client.post(f"/designs/{hurt.design}/undo", data={"unit": "mm"}).status_code == 200


def test_a_number_that_is_none_does_not_stop_the_next_change(
    client: TestClient, workshop: Workshop, hurt: Hurt, database: Sql
) -> None:
    database("UPDATE revisions SET number = 'x' WHERE id = :first", first=hurt.first)
    workshop.edit(hurt.design, Where(), changes.title_set("Hurt, third"))
    assert workshop.design(hurt.design)[0].revision.number == 3
    assert client.get(f"/designs/{hurt.design}/timeline").status_code == 200


def test_a_ring_that_came_while_the_app_ran_is_told_after_the_next_change(
    client: TestClient, workshop: Workshop, hurt: Hurt, database: Sql
) -> None:
    client.get("/")
    database("UPDATE revisions SET parent = :head WHERE id = :first", head=hurt.head, first=hurt.first)
    workshop.edit(hurt.design, Where(), changes.title_set("Hurt, third"))
    assert AILMENTS["tangled"] in unescape(client.get("/").text)
