"""The page of the steps: read, reworded, added, hidden, moved and reset; own words outlive changes of the design."""

from __future__ import annotations

import re
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.document.schema import ArrangementEntry
from app.document.steps_schema import AddedStepEntry, StepsEntry
from app.errors import DocumentError
from app.paper.kinds import steps
from tests.companions import with_companions


@pytest.fixture
def several(client: TestClient) -> str:
    """Path of a deck with a grille, a fan and sockets."""
    file = ("a.json", dumps(with_companions()).encode(), "application/json")
    return client.post("/designs/open", files={"file": file}).url.path


def titles(text: str) -> list[str]:
    """Titles of the steps that are shown, in order."""
    return [unescape(each).strip() for each in re.findall(r'class="step-number">\d+</span> ([^<]*)</h3>', text)]


def keys(text: str) -> list[str]:
    return [
        unescape(each).replace(":", "/") for each in re.findall(r'<li class="card step[^"]*" id="step-([^"]*)"', text)
    ]


def send(client: TestClient, path: str, verb: str, **fields: str) -> str:
    answer = client.post(f"{path}/steps/{verb}", data={"unit": "mm", **fields})
    assert answer.status_code == 200, answer.text
    return answer.text


def refused(client: TestClient, path: str, verb: str, fields: dict[str, str]) -> str:
    """The page again, with what is wrong."""
    answer = client.post(f"{path}/steps/{verb}", data={"unit": "mm", **fields})
    assert answer.status_code == 422, answer.text
    return answer.text


def test_every_step_has_its_number_and_its_picture(client: TestClient, several: str) -> None:
    text = client.get(f"{several}/steps").text
    assert len(titles(text)) == len(keys(text)) > 20
    pictures = [unescape(each) for each in re.findall(r'<img src="([^"]*step\.svg[^"]*)"', text)]
    assert len(pictures) == len(keys(text))
    for address in pictures:
        answer = client.get(address)
        assert answer.headers["content-type"] == "image/svg+xml", address
        assert "immutable" in answer.headers["cache-control"]
    assert "no-cache" in client.get(re.sub(r"revision=[^&]*", "revision=older", pictures[0])).headers["cache-control"]


def test_a_step_is_reworded_and_reset(client: TestClient, several: str) -> None:
    before = client.get(f"{several}/steps").text
    usual = titles(before)
    text = send(client, several, "step-reword", which="seal", title="Oil the edges", text="Once.\r\n\r\nThen again.  ")
    at = keys(before).index("seal")
    assert titles(text) == [*usual[:at], "Oil the edges", *usual[at + 1 :]]
    assert "<li>Once.</li><li>Then again.</li>" in text
    assert "In your own words" in text
    card = text[text.index('id="step-seal"') :]
    assert "Dries" in card[: card.index("</li>\n")], "what follows from the design stays: needs, drying, cautions"
    assert card.index("keep flames and sparks away") < card.index('id="step-reword-seal"')
    text = send(client, several, "step-reset", which="seal")
    assert titles(text) == usual
    assert "In your own words" not in text


def test_what_still_holds_what_was_shown_goes_on_with_the_design(client: TestClient, several: str) -> None:
    """Shown in inches and sent unchanged but for the title: the sentences stay those of the design, in its units."""
    fields = {
        "title": "Saw",
        "title.was": "Cut",
        "text": 'Deck: 14" wide.\r\nLook.',
        "text.was": 'Deck: 14" wide.\nLook.',
    }
    text = send(client, several, "step-reword", which="cut", **fields)
    assert titles(text)[0] == "Saw"
    assert "Deck: 14" not in text
    assert "everything is measured from them" in text
    text = send(client, several, "step-reword", which="cut", **{**fields, "title": "Cut"})
    assert titles(text)[0] == "Saw", "nothing was typed"


def test_own_words_outlive_changes_of_the_design(client: TestClient, several: str) -> None:
    """The fan board goes and comes back: its step is marked, not lost."""
    key = "through/fan"
    send(client, several, "step-reword", which=key, title="Cut the fan's mouth", text="With a hole saw.")
    client.post(f"{several}/boards/board-remove", data={"unit": "mm", "which": "fan"})
    text = client.get(f"{several}/steps").text
    assert "What this step was for is no longer in the design." in text
    assert "Cut the fan's mouth" in titles(text)
    assert "With a hole saw." in text
    assert not any(other.endswith("/fan") for other in keys(text) if other != key)
    bench = client.get(f"{several}/bench").text
    assert "1 step is for something that is gone" in bench
    # The list for programs says it too.
    assert (
        "What this step was for is no longer in the design. With a hole saw." in client.get(f"{several}/steps.csv").text
    )
    client.post(f"{several}/undo", data={"unit": "mm"})
    text = client.get(f"{several}/steps").text
    assert "no longer in the design" not in text
    assert "Cut the fan's mouth" in titles(text)


def test_a_step_of_an_arrangement_that_is_not_in_view_is_not_called_gone(client: TestClient) -> None:
    design = load_scenario("lantern-hill-solo")
    bare = ArrangementEntry(id="bare", name="Bare")
    deck = design.boards[0].model_copy(update={"arrangements": (*design.boards[0].arrangements, bare)})
    file = ("a.json", dumps(design.model_copy(update={"boards": (deck,)})).encode(), "application/json")
    path = client.post("/designs/open", files={"file": file}).url.path
    key = next(key for key in keys(client.get(f"{path}/steps").text) if key.startswith("mount/"))
    send(client, path, "step-reword", which=key, title="Mine", text="By hand.")
    text = client.get(f"{path}/steps?arrangement=bare").text
    assert "Mine" in titles(text)
    assert "no longer in the design" not in text.lower()
    assert "What this step was for is not in this arrangement." in text


def test_words_that_are_emptied_are_the_usual_ones_again(client: TestClient, several: str) -> None:
    usual = titles(client.get(f"{several}/steps").text)
    assert "Mine" in titles(send(client, several, "step-reword", which="ease", title="Mine", text="Own."))
    fields = {"title": "", "title.was": "Mine", "text": "", "text.was": "Own."}
    assert titles(send(client, several, "step-reword", which="ease", **fields)) == usual


def test_steps_are_added_moved_hidden_shown_and_deleted(client: TestClient, several: str) -> None:
    text = client.get(f"{several}/steps").text
    usual = keys(text)
    text = send(client, several, "step-add", title="Have tea", text="Two sugars.", after=usual[0])
    assert keys(text) == [usual[0], "own/1", *usual[1:]]
    text = send(client, several, "step-move", which="own/1", way="up")
    assert keys(text) == ["own/1", *usual]
    assert keys(send(client, several, "step-move", which="own/1", way="up")) == ["own/1", *usual], "it is at the top"
    text = send(client, several, "step-hide", which=usual[0])
    assert keys(text) == ["own/1", *usual[1:]]
    assert f"Left out on purpose: {titles(client.get(f'{several}/steps?undo').text)[0]}" not in text
    assert "Left out on purpose: " in text
    assert keys(send(client, several, "step-move", which="own/1", way="down"))[:2] == [usual[1], "own/1"], (
        "past hidden ones"
    )
    text = send(client, several, "step-show", which=usual[0])
    assert sorted(keys(text)) == sorted(["own/1", *usual])
    text = send(client, several, "step-remove", which="own/1")
    assert keys(text) == usual
    text = send(client, several, "step-add", title="Have coffee", text="")
    assert keys(text) == [*usual, "own/2"], "its number is not given again"
    for step in ("Added", "Deleted", "Showed", "Moved", "Hid"):
        assert f"{step} the step" in unescape(client.get(f"{several}/timeline").text)
    send(client, several, "step-move", which=usual[3], way="down")
    assert keys(send(client, several, "steps-reset")) == [*usual, "own/2"]


def test_a_moved_list_takes_what_the_design_gains(client: TestClient, several: str) -> None:
    usual = keys(client.get(f"{several}/steps").text)
    send(client, several, "step-move", which="seal", way="up")
    client.post(f"{several}/boards/board-add", data={"unit": "mm", "name": "Shelf"})
    text = keys(client.get(f"{several}/steps").text)
    assert text.index("seal") < text.index("sand")
    assert {*text} == {*usual, *(key for key in text if key.endswith("/shelf"))}


@pytest.mark.parametrize("words", ["<script>alert(1)</script>", "=1+1", "{{ 7*7 }}", "ẞ漢字\u202eabc", "a" * 200])
def test_hostile_words_are_words(client: TestClient, several: str, words: str) -> None:
    if "\u202e" in words:
        assert "can be printed" in refused(client, several, "step-add", {"title": words, "text": words})
        return
    text = send(client, several, "step-add", title=words, text=words)
    assert words in titles(text)
    assert "<script>alert" not in text
    assert client.get(f"{several}/steps.pdf").status_code == 200
    cell = "'" + words if words.startswith("=") else words
    assert cell in client.get(f"{several}/steps.csv").content.decode("utf-8-sig").replace('""', '"')


@pytest.mark.parametrize(
    ("verb", "fields", "said"),
    [
        ("step-add", {"title": " ", "text": "x"}, "Write what is done in this step."),
        ("step-add", {"title": "x" * 201, "text": ""}, "one line of up to 200 characters"),
        ("step-add", {"title": "x", "text": "y" * 2001}, "got 2,001"),
        (
            "step-reword",
            {"which": "cut", "title": "Cut\u202e", "text": ""},
            "can be printed",
        ),
        ("step-move", {"which": "cut", "way": "sideways"}, "must be one of up, down"),
    ],
)
def test_what_cannot_be_taken_is_told_beside_it_and_nothing_is_lost(
    client: TestClient, several: str, verb: str, fields: dict[str, str], said: str
) -> None:
    before = client.get(f"{several}/steps").text
    text = refused(client, several, verb, fields)
    assert said in unescape(text)
    assert keys(text) == keys(before)
    if len(fields.get("text", "")) > 2000:
        assert fields["text"] in text, "what was typed stands in its field"


@pytest.mark.parametrize("verb", ["step-hide", "step-reset", "step-move", "step-remove", "step-reword"])
def test_a_step_that_is_not_there_is_said(client: TestClient, several: str, verb: str) -> None:
    answer = client.post(f"{several}/steps/{verb}", data={"which": "own/99", "way": "up", "title": "x", "text": ""})
    assert answer.status_code == 404
    assert "step" in answer.text


def test_one_board_alone_is_read_and_printed_by_itself(client: TestClient, several: str) -> None:
    text = client.get(f"{several}/steps?board=fan&alone=1").text
    assert keys(text)
    assert all(key.endswith("/fan") or "/" not in key or key.startswith("mount/fan/") for key in keys(text))
    assert "step-add" not in text
    lines = client.get(f"{several}/steps.csv?board=fan&alone=1").text.splitlines()
    assert len(lines) - 1 == len(keys(text))
    file = client.get(f"{several}/steps.pdf?board=fan&alone=1")
    assert "fan" in file.headers["content-disposition"]
    assert "fan" not in client.get(f"{several}/steps.pdf").headers["content-disposition"]


def test_other_windows_are_told(client: TestClient, several: str) -> None:
    seen = re.search(r'name="seen" value="([^"]*)"', client.get(f"{several}/steps").text)
    assert seen is not None
    send(client, several, "step-hide", which="ease", seen=seen[1], window="one")
    text = send(client, several, "step-hide", which="sand", seen=seen[1], window="two")
    assert "Hid the step" in text[text.index('id="told"') :][:400]


def test_a_long_list_is_read_in_parts_and_a_form_comes_back_to_its_part(client: TestClient) -> None:
    design = load_scenario("lantern-hill-solo")
    added = tuple(AddedStepEntry(key=f"own/{k}", title=f"Step of my own {k}") for k in range(1, 151))
    file = ("a.json", dumps(design.model_copy(update={"steps": StepsEntry(added=added)})).encode(), "application/json")
    path = client.post("/designs/open", files={"file": file}).url.path
    first, second = client.get(f"{path}/steps").text, client.get(f"{path}/steps?start=101").text
    assert len(keys(first)) == 100
    assert keys(first)[-1] != keys(second)[0]
    assert len({*keys(first), *keys(second)}) == len(keys(first)) + len(keys(second)) == 150 + 17
    assert "101 to 167" in first
    answer = client.post(f"{path}/steps/step-move", data={"which": "own/150", "way": "up", "start": "101"})
    assert keys(answer.text)[-2:] == ["own/150", "own/149"]
    for odd in ("0", "-5", "x", "99999", "9" * 30):
        assert keys(client.get(f"{path}/steps?start={odd}").text)


def test_the_bench_has_their_card_and_a_page_of_the_sheet_its_picture(client: TestClient, several: str) -> None:
    text = client.get(f"{several}/bench").text
    found = re.search(r'<h3><a href="([^"]*/steps[^"]*)">Steps</a>', text)
    assert found is not None
    count = len(keys(client.get(unescape(found[1])).text))
    assert f"{count} steps for 4 boards." in text
    assert client.get(f"{several}/sheet.svg?of=steps&leaf=1").headers["content-type"] == "image/svg+xml"


def test_another_board_that_cannot_be_laid_out_does_not_take_the_bench_away(
    client: TestClient, several: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As one in a store is whose material a newer catalogue no longer has; files of such are not opened."""

    def wrong(*_: object, **__: object) -> None:
        raise DocumentError("There is no such material.", "boards[1]")

    monkeypatch.setattr(steps, "steps_of", wrong)
    answer = client.get(f"{several}/bench")
    assert answer.status_code == 200
    assert "Not every board can be laid out" in answer.text
