"""Arrangements of a board from the board page: one more, another name, one less, and back again."""

from __future__ import annotations

from html import unescape

import pytest
from starlette.testclient import TestClient

from app.arrange.design.arrangements import add_arrangement, called, remove_arrangement
from app.arrange.letters import taken_letters
from app.document.resolve import find_arrangement
from app.document.schema import BoardEntry
from app.document.where import Where
from app.errors import EditError
from app.model.limits import ARRANGEMENTS
from app.service.edits import changes
from app.service.workshop import Workshop
from tests.reading.pages import Page


def board_of(workshop: Workshop, deck: str) -> BoardEntry:
    return workshop.design(deck)[1].boards[0]


def ids(workshop: Workshop, deck: str) -> list[str]:
    return [a.id for a in board_of(workshop, deck).arrangements]


def send(client: TestClient, deck: str, verb: str, **fields: str) -> str:
    """What the page after a change shows; the change was taken."""
    answer = client.post(f"/designs/{deck}/edit/{verb}", data={"unit": "mm", **fields})
    assert answer.status_code == 200, Page(answer.text).words[-300:]
    return unescape(answer.text)


def test_a_copy_has_every_hole_under_its_letter_and_is_what_is_looked_at_next(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    page = send(client, deck, "arrangement-add", kind="copy", arrangement="one")
    board = board_of(workshop, deck)
    old, new = find_arrangement(board, "one"), board.arrangements[-1]
    assert len(board.arrangements) == 3 and called(new) == f"{called(old)} copy"
    assert (new.placements, new.stations) == (old.placements, old.stations)
    assert f'data-undo="Copied the arrangement “{called(old)}” as “{called(new)}”"' in page
    assert f'name="arrangement" value="{new.id}"' in page
    # Each holds its own parts: what is taken out of one stays in the other.
    workshop.edit(deck, Where(None, new.id), changes.removed(Where(None, new.id), [new.placements[0].id]))
    assert find_arrangement(board_of(workshop, deck), "one").placements == old.placements


def test_a_blank_one_goes_on_with_the_letters_of_the_board(client: TestClient, workshop: Workshop, deck: str) -> None:
    taken = taken_letters(board_of(workshop, deck))
    send(client, deck, "arrangement-add", kind="blank")
    new = board_of(workshop, deck).arrangements[-1]
    assert (new.placements, new.stations, called(new)) == ((), (), "Arrangement 3")
    page = send(client, deck, "add", arrangement=new.id, part="button-24-nut-long")
    (placed,) = find_arrangement(board_of(workshop, deck), new.id).placements
    assert placed.label and placed.label not in taken
    assert "Arrangement 3" in page


def test_a_name_is_changed_and_the_id_stays(client: TestClient, workshop: Workshop, deck: str) -> None:
    before = ids(workshop, deck)
    assert "For the party" in send(client, deck, "arrangement-rename", called=" For the party ", arrangement="one")
    assert called(find_arrangement(board_of(workshop, deck), "one")) == "For the party"
    assert ids(workshop, deck) == before
    for wrong, said in (("", "0"), ("x" * 201, "201"), ("for THE party", "Another arrangement of this board")):
        answer = client.post(f"/designs/{deck}/edit/arrangement-rename", data={"unit": "mm", "called": wrong})
        assert answer.status_code == 422 and said in answer.text and 'id="wrong-called"' in answer.text
        assert '<details class="rename" id="arrangements" open>' in answer.text


@pytest.mark.parametrize("gone", ["two", "one"])
def test_one_removed_comes_back_by_undo_and_its_letters_and_id_are_not_given_again(
    client: TestClient, workshop: Workshop, deck: str, gone: str
) -> None:
    before = board_of(workshop, deck)
    (left,) = (a for a in before.arrangements if a.id != gone)
    page = send(client, deck, "arrangement-remove", arrangement=gone)
    assert f'name="arrangement" value="{left.id}"' in page
    after = board_of(workshop, deck)
    assert ids(workshop, deck) == [left.id]
    assert taken_letters(after) == taken_letters(before)
    assert after.arrangements[0].placements == left.placements, "what stays is as it was"
    # Looked at from the arrangement that is there no more, as another window would.
    name = called(find_arrangement(before, gone))
    for verb in ("undo", "redo", "undo"):
        answer = client.post(f"/designs/{deck}/{verb}", data={"unit": "mm", "arrangement": gone})
        assert answer.status_code == 200 and (name in unescape(answer.text))
    assert board_of(workshop, deck) == before
    # Made anew under the same name it has another id, so no address and no file mistakes it for the old one.
    design = remove_arrangement(workshop.design(deck)[1], None, gone).design
    grown = add_arrangement(design, None, None)
    again = add_arrangement(remove_arrangement(grown.design, None, grown.arrangement).design, None, None)
    assert again.arrangement != grown.arrangement
    assert gone not in [a.id for a in again.design.boards[0].arrangements]


def test_undo_of_an_added_one_looks_at_the_first_again(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, "arrangement-add", kind="blank")
    new = board_of(workshop, deck).arrangements[-1].id
    head = workshop.head(deck)
    answer = client.post(f"/designs/{deck}/undo", data={"unit": "mm", "arrangement": new, "seen": head.revision.id})
    assert answer.status_code == 200 and new not in ids(workshop, deck)
    first = workshop.moments(deck)[-1].id
    for page in ("redo", "timeline"):
        fields = {"unit": "mm", "arrangement": new, "revision": workshop.moments(deck)[0].id if page else first}
        assert client.post(f"/designs/{deck}/{page}", data=fields).status_code == 200


def test_the_last_one_stays_and_says_so(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = send(client, deck, "arrangement-remove", arrangement="two")
    assert "the board’s only arrangement" in page
    assert not any(sheet.action.endswith("arrangement-remove") for sheet in Page(page).forms)
    answer = client.post(f"/designs/{deck}/edit/arrangement-remove", data={"unit": "mm"})
    assert answer.status_code == 422 and "the board’s only arrangement" in answer.text
    assert len(ids(workshop, deck)) == 1


def test_a_full_board_takes_no_more_and_says_so(client: TestClient, workshop: Workshop) -> None:
    design = workshop.design(workshop.open_scenario("pine-shelf-compact").design.id)[1]
    while len(design.boards[0].arrangements) < ARRANGEMENTS.most:
        design = add_arrangement(design, None, None).design
    assert len({a.id for a in design.boards[0].arrangements}) == ARRANGEMENTS.most
    assert len({called(a) for a in design.boards[0].arrangements}) == ARRANGEMENTS.most
    with pytest.raises(EditError, match=f"up to {ARRANGEMENTS.most} arrangements"):
        add_arrangement(design, None, design.boards[0].arrangements[0].id)


def test_from_four_on_the_switch_is_a_list(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, "arrangement-add", kind="blank")
    assert 'id="arrangement-list"' not in client.get(f"/designs/{deck}").text
    send(client, deck, "arrangement-add", kind="blank")
    for page in ("", "/stations", "/paper"):
        text = client.get(f"/designs/{deck}{page}").text
        assert 'id="arrangement-list"' in text
        links = [
            link for link in Page(text).links if any(f"arrangement={each}" in link for each in ids(workshop, deck))
        ]
        assert len(set(links)) >= len(ids(workshop, deck))


def test_only_here_means_in_no_other_arrangement(client: TestClient, workshop: Workshop, deck: str) -> None:
    send(client, deck, "arrangement-add", kind="copy", arrangement="two")
    send(client, deck, "arrangement-add", kind="blank")
    words = unescape(client.get(f"/designs/{deck}/stations").text)
    assert "Only here:" not in words and words.count("No holes of its own") == len(ids(workshop, deck))
    where = Where(None, ids(workshop, deck)[-1])
    workshop.edit(deck, where, changes.added(where, "button-24-nut-long", None, "top", 1.0))
    (label,) = (p.label for p in find_arrangement(board_of(workshop, deck), where.arrangement).placements)
    assert f"Only here: {label}<" in unescape(client.get(f"/designs/{deck}/stations").text)
