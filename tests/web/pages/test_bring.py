"""The page that brings things to other designs: chosen, tried, done where it passes, and nothing half-done."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.placement.edit import move_by
from app.document.as_built_schema import MarkEntry
from app.document.dump import dumps
from app.document.resolve import find_board
from app.document.schema import Design
from app.document.where import Where
from app.service.workshop import Workshop
from tests.companions import with_companions


@pytest.fixture
def source(workshop: Workshop) -> str:
    """A deck with companions, on the shelf."""
    return workshop.open_file(dumps(with_companions()).encode()).design.id


@pytest.fixture
def others(workshop: Workshop) -> tuple[str, str]:
    """Two designs that may take something."""
    names = ("lantern-hill-solo", "harbour-lane-two-seater")
    one, two = (workshop.open_scenario(name).design.id for name in names)
    return one, two


def asking(source: str, *to: str, what: tuple[str, ...] = ("board:grille",)) -> str:
    query = "&".join((*(f"what={each}" for each in what), *(f"into={each}" for each in to), "trying=1"))
    return f"/designs/{source}/bring?{query}"


def form_of(page: str) -> dict[str, str]:
    """The form of what was tried, as a browser sends it: hidden fields, and boxes that are ticked."""
    form = page[page.index('id="tried"') :]
    hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)">', form)
    boxes = re.findall(r'<input type="checkbox" id="[^"]+" name="([^"]+)" checked', form)
    return {**{name: unescape(value) for name, value in hidden}, **dict.fromkeys(boxes, "on")}


def test_it_is_tried_shown_and_brought_as_one_step_each(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str]
) -> None:
    before = {each: workshop.design(each)[0].revision.id for each in others}
    page = client.get(asking(source, *others, what=("board:grille", "board:sockets")))
    assert page.status_code == 200
    assert {each: workshop.design(each)[0].revision.id for each in others} == before  # only tried
    assert page.text.count('class="thumb"') >= 4  # both boards in both designs
    assert "comes along" in page.text
    done = client.post(f"/designs/{source}/bring", data=form_of(page.text))
    assert done.status_code == 200
    assert "Brought to " in done.text
    assert not re.search(r'name="into" value="[^"]+" checked', done.text)  # none is left to be tried
    for each in others:
        head, design = workshop.design(each)
        assert [b.id for b in design.boards][-2:] == ["grille", "sockets"]
        things = "the board “Loudspeaker grille” and the board “Row of sockets”"
        assert head.undo == f"Brought {things} from “{_title(workshop, source)}”"
        changes = unescape(client.get(f"/designs/{each}/compare").text)
        assert f"was brought from “{_title(workshop, source)}”" in changes
        assert workshop.undo(each).revision.id == before[each]


def _title(workshop: Workshop, design: str) -> str:
    return workshop.design(design)[1].title


def test_one_that_moved_on_is_said_and_left_alone_and_the_rest_are_done(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str]
) -> None:
    form = form_of(client.get(asking(source, *others)).text)
    first = workshop.design(others[0])[1].boards[0].arrangements[0].placements[0]
    workshop.edit(others[0], Where(), lambda d: move_by(d, None, None, first.id, 0.5, 0.0))
    moved = workshop.design(others[0])[0].revision.id
    page = unescape(client.post(f"/designs/{source}/bring", data=form).text)
    assert "“Lantern Hill solo” was changed after it was tried, so it was left alone." in page
    assert workshop.design(others[0])[0].revision.id == moved
    assert len(workshop.design(others[1])[1].boards) == 2
    assert form_of(page)[f"rev.{others[0]}"] == moved  # tried again, on what it is now
    client.post(f"/designs/{source}/bring", data=form_of(page))
    assert len(workshop.design(others[0])[1].boards) == 2


def test_it_is_brought_as_it_was_tried_though_the_source_has_changed_since(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str]
) -> None:
    was = find_board(workshop.design(source)[1], "grille")
    form = form_of(client.get(asking(source, others[0])).text)
    hole = was.arrangements[0].placements[0]
    workshop.edit(source, Where("grille", None), lambda d: move_by(d, "grille", None, hole.id, 1.0, 0.0))
    client.post(f"/designs/{source}/bring", data=form)
    assert find_board(workshop.design(others[0])[1], "grille").arrangements == was.arrangements


def test_one_that_would_have_new_stops_cannot_be_ticked_nor_smuggled_in(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str], deck: str
) -> None:
    arrangement = workshop.design(deck)[1].boards[0].arrangements[0].id
    page = client.get(asking(deck, source, what=(f"arrangement:deck/{arrangement}",))).text
    assert "Does not pass" in page  # two players on a compact deck
    assert f'name="into.{source}"' not in page
    head = workshop.design(source)[0].revision.id
    forged = {"what": f"arrangement:deck/{arrangement}", f"into.{source}": "on", f"rev.{source}": head}
    said = unescape(client.post(f"/designs/{deck}/bring", data=forged).text)
    assert "did not take it, so it is as it was" in said
    assert workshop.design(source)[0].revision.id == head


def test_again_there_is_nothing_to_do_and_what_was_changed_there_is_not_ticked(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str]
) -> None:
    client.post(f"/designs/{source}/bring", data=form_of(client.get(asking(source, others[0])).text))
    assert "Has it already" in client.get(asking(source, others[0])).text
    hole = find_board(workshop.design(others[0])[1], "grille").arrangements[0].placements[0]
    workshop.edit(others[0], Where("grille", None), lambda d: move_by(d, "grille", None, hole.id, 0.5, 0.0))
    page = client.get(asking(source, others[0])).text
    assert "has been changed there since" in page
    assert f'name="into.{others[0]}"' in page
    assert f"into.{others[0]}" not in form_of(page)

    def drilled(design: Design) -> Design:
        mark = MarkEntry(placement=hole.id, cut="hole-1", work="through", at=(hole.x, hole.y), width=4.5)
        boards = tuple(
            b.model_copy(update={"arrangements": (b.arrangements[0].model_copy(update={"as_built": (mark,)}),)})
            if b.id == "grille"
            else b
            for b in design.boards
        )
        return design.model_copy(update={"boards": boards})

    copy = workshop.open_file(dumps(drilled(workshop.design(others[0])[1])).encode()).design.id
    assert "is drilled already in" in client.get(asking(source, copy)).text


@pytest.mark.parametrize(
    ("query", "said"),
    [
        ("trying=1", "Choose at least one board"),
        ("what=board:grille&trying=1", "Choose at least one other design"),
        ("what=nonsense&into=x&trying=1", "cannot be brought"),
        ("what=board:none&into=x&trying=1", "no board"),
        ("what=board:grille&into=none&trying=1", "There is no design"),
        ("what=board:grille&trying=1&" + "&".join(f"into={n}" for n in range(61)), "Up to 60 designs"),
    ],
)
def test_what_cannot_be_tried_is_said_and_the_choices_stay(
    client: TestClient, source: str, others: tuple[str, str], query: str, said: str
) -> None:
    answer = client.get(f"/designs/{source}/bring?{query}")
    assert said in unescape(answer.text)
    assert "To which designs" in answer.text
    assert answer.status_code == (200 if "into=none" in query else 422)  # what one of several designs lacks is no error


def test_designs_are_chosen_by_label_and_by_words(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str]
) -> None:
    workshop.label(others[0], ["club"])
    assert "Harbour Lane" not in client.get(f"/designs/{source}/bring?label=club").text
    both = client.get(f"/designs/{source}/bring?label=club&into={others[1]}").text
    assert "Lantern Hill" in both
    assert re.search(rf'name="into" value="{others[1]}" checked', both)  # what is ticked stays in sight
    assert "Lantern Hill" in client.get(f"/designs/{source}/bring?find=CLUB").text


def test_alone_on_the_shelf_there_is_nobody_to_bring_it_to(client: TestClient, source: str) -> None:
    assert "There is no other design on the shelf" in client.get(f"/designs/{source}/bring").text


def test_the_next_revision_proposes_what_was_brought(
    client: TestClient, workshop: Workshop, source: str, others: tuple[str, str]
) -> None:
    client.post(f"/designs/{others[0]}/revisions/publish", data={"note": "", "changes": "First"})
    client.post(f"/designs/{source}/bring", data=form_of(client.get(asking(source, others[0])).text))
    page = unescape(client.get(f"/designs/{others[0]}/revisions").text)
    assert "Publish revision B" in page
    assert f"“Loudspeaker grille” was brought from “{_title(workshop, source)}”" in page
