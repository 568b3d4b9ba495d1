"""A whole shelf in one file and back: nothing lost, nothing twice, and no file of anybody's does harm.

The format of the archive is read and written here by Python's own ``zipfile``, without a line of the program.
"""

from __future__ import annotations

import io
import json
import shutil
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.placement.edit import move_by
from app.document.dump import dumps
from app.document.scenarios import load_scenario
from app.document.where import Where
from app.errors import DocumentError, HolewiseError
from app.service.edits.changes import title_set
from app.service.shelf import opened_shelf
from app.service.shelf.opened_shelf import read_shelf
from app.service.windows import Sender
from app.service.workshop import Workshop, open_workshop
from app.store import whole_shelf

Files = dict[str, bytes]
NAMES = ("harbour-lane-two-seater", "lantern-hill-solo", "orchard-row-cabinet")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with three designs: one published twice and changed since, one labelled, one put away."""
    folder = tmp_path_factory.mktemp("made") / "one"
    workshop = open_workshop(folder)
    two, solo, row = (workshop.open_scenario(name).design.id for name in NAMES)
    for note in ("first", "second"):
        workshop.edit(two, Where(), title_set(f"Two-seater, {note}"))
        workshop.revisions.publish(two, note, ["First"], "2026-02-01", Sender(""))
    workshop.edit(two, Where(), title_set("Two-seater, since"))
    workshop.label(solo, ["club", "one player"])
    workshop.remove(row)
    workshop.close()
    return folder


@pytest.fixture(scope="module")
def data(made: Path) -> bytes:
    """That shelf as a file."""
    workshop = open_workshop(made)
    saved = workshop.saved().data
    workshop.close()
    return saved


@pytest.fixture
def shelf(made: Path, tmp_path: Path) -> Iterator[Workshop]:
    """A copy of that shelf."""
    shutil.copytree(made, tmp_path / "one")
    workshop = open_workshop(tmp_path / "one")
    yield workshop
    workshop.close()


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Workshop]:
    workshop = open_workshop(tmp_path / "other")
    yield workshop
    workshop.close()


def files_in(data: bytes) -> Files:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(files: Files, kind: int = zipfile.ZIP_DEFLATED) -> bytes:
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w", kind) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
    return buffer.getvalue()


def with_index(data: bytes, change: Callable[[dict[str, Any]], object]) -> bytes:
    files = files_in(data)
    index = json.loads(files["index.json"])
    change(index)
    return packed({**files, "index.json": json.dumps(index).encode()})


def told(workshop: Workshop, data: bytes) -> list[str]:
    return sorted(arrival.how for arrival in workshop.open_shelf(data))


def test_a_shelf_comes_back_whole_and_gives_the_same_file(shelf: Workshop, other: Workshop) -> None:
    saved = shelf.saved()
    assert (saved.designs, saved.left_out) == (3, ())
    files = files_in(saved.data)
    index = json.loads(files["index.json"])
    assert {row["title"] for row in index["designs"]} == {
        "Two-seater, since", *(load_scenario(name).title for name in NAMES[1:])
    }  # fmt: skip
    assert told(other, saved.data) == ["new"] * 3
    assert other.saved().data == saved.data
    rows = {row.title: row for away in (False, True) for row in other._store.designs(removed=away)}
    two = rows["Two-seater, since"].id
    assert [row.letter for row in other.revisions.of(two)] == ["A", "B"]
    assert other.revisions.written(two, "A").title == "Two-seater, first"
    assert [m.summary for m in other.moments(two)] == [
        "Published revision A", "Published revision B", "Opened from a saved shelf"
    ]  # fmt: skip
    assert rows["Orchard Row cabinet"].removed
    assert set(other.labels().values()) == {("club", "one player")}
    assert told(other, saved.data) == ["same"] * 3
    assert other.saved().data == saved.data


def test_what_is_another_here_stays_and_comes_beside_once(shelf: Workshop) -> None:
    data = shelf.saved().data
    solo = next(row.id for row in shelf._store.designs() if row.title == "Lantern Hill solo")
    first = shelf.design(solo)[1].boards[0].arrangements[0].placements[0]
    shelf.edit(solo, Where(), lambda design: move_by(design, None, None, first.id, 1.0, 0.0))
    found = {arrival.how: arrival for arrival in shelf.open_shelf(data)}
    assert set(found) == {"same", "other"}
    assert "has changed here, so this one comes beside it as “Lantern Hill solo copy”" in found["other"].said
    assert shelf.written(found["other"].id).boards == load_scenario("lantern-hill-solo").boards
    assert shelf.labels()[found["other"].id] == ("club", "one player")
    assert told(shelf, data) == ["same"] * 3  # the copy of the last time is known again


def test_a_design_that_cannot_be_read_hides_no_other(shelf: Workshop, other: Workshop) -> None:
    files = files_in(shelf.saved().data)
    name = next(name for name in files if "lantern" in name)
    for broken in (b"{", b"\xff\xfe", b"[]", b'{"format": "holewise-design", "version": 99}', b"[" * 5000):
        found = other.open_shelf(packed({**files, name: broken}))
        assert sorted(a.how for a in found) in (["new", "new", "refused"], ["refused", "same", "same"])
        refused = next(a for a in found if a.how == "refused")
        assert refused.title == "Lantern Hill solo"
        assert refused.said
    raw = json.loads(files[name])
    raw["boards"][0]["arrangements"][0]["placements"][0]["part"] = "no-such-part"
    assert "refused" in told(other, packed({**files, name: json.dumps(raw).encode()}))
    assert told(other, packed(files)) == ["new", "same", "same"]


def test_what_is_damaged_on_the_shelf_is_left_out_and_said(shelf: Workshop) -> None:
    shelf._store.add("{ not JSON", "Broken one", "New deck")
    saved = shelf.saved()
    assert (saved.designs, saved.left_out) == (3, ("Broken one",))
    assert "cannot be read: Broken one" in files_in(saved.data)["README.txt"].decode()


def doubled(index: dict[str, Any]) -> None:
    index["designs"].append(index["designs"][0])


def same_file(index: dict[str, Any]) -> None:
    index["designs"][1]["file"] = index["designs"][0]["file"]


def stated(field: str, value: object) -> Callable[[dict[str, Any]], None]:
    def change(index: dict[str, Any]) -> None:
        index["designs"][0][field] = value

    return change


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda i: i.update(format="other"), "not that of a shelf"),
        (lambda i: i.update(version=2), "newer Holewise: its version is 2, and this one reads up to 1"),
        (lambda i: i.update(version="1"), "index of the shelf is damaged"),
        (lambda i: i.update(more=1), "index of the shelf is damaged"),
        (lambda i: i.pop("designs") and i.update(designs=3), "index of the shelf is damaged"),
        (doubled, "twice"),
        (same_file, "twice"),
        (stated("file", "../../etc/passwd"), "index of the shelf is damaged"),
        (stated("file", "/etc/passwd"), "index of the shelf is damaged"),
        (stated("file", "designs/../x.json"), "index of the shelf is damaged"),
        (stated("file", "designs\\x.json"), "index of the shelf is damaged"),
        (stated("file", "designs/none.json"), "is not in the file"),
        (stated("id", "x'; DROP TABLE designs"), "index of the shelf is damaged"),
        (stated("labels", ["x"] * 13), "index of the shelf is damaged"),
        (stated("revisions", [{"letter": "a", "file": "designs/x.json"}]), "index of the shelf is damaged"),
    ],
)
def test_a_spoilt_index_is_refused(data: bytes, change: Callable[[dict[str, Any]], object], said: str) -> None:
    with pytest.raises(HolewiseError, match=said):
        read_shelf(with_index(data, change), ())


def test_a_label_that_cannot_be_keeps_all_of_it_out(data: bytes, other: Workshop) -> None:
    with pytest.raises(HolewiseError, match="up to 40 characters"):
        other.open_shelf(with_index(data, stated("labels", ["x" * 41])))
    assert other._store.designs() == ()


def bomb(data: bytes) -> bytes:
    """A design of 8 MB of blanks, which pack to 8 kB."""
    files = files_in(data)
    name = next(name for name in files if name.startswith("designs/"))
    return packed({**files, name: b" " * 8_000_000})


def lying(data: bytes) -> bytes:
    """The same, its head saying that it is 10 bytes long."""
    spoilt = bytearray(bomb(data))
    size = (8_000_000).to_bytes(4, "little")
    at = spoilt.find(size)
    while at >= 0:
        spoilt[at : at + 4] = (10).to_bytes(4, "little")
        at = spoilt.find(size)
    return bytes(spoilt)


def twice(data: bytes) -> bytes:
    files, buffer = files_in(data), io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        for name, text in files.items():
            archive.writestr(name, text)
        with pytest.warns(UserWarning, match="Duplicate"):
            archive.writestr(next(iter(files)), b"{}")
    return buffer.getvalue()


def many(_: bytes) -> bytes:
    return packed({f"f{n}": b"" for n in range(20_001)}, zipfile.ZIP_STORED)


def locked(data: bytes) -> bytes:
    spoilt = bytearray(data)
    for head, flags in ((b"PK\x03\x04", 6), (b"PK\x01\x02", 8)):
        at = spoilt.find(head)
        while at >= 0:
            spoilt[at + flags] |= 1
            at = spoilt.find(head, at + 4)
    return bytes(spoilt)


@pytest.mark.parametrize(
    ("made_of", "said"),
    [
        (bomb, "unpacks to more than a design"),
        (lying, "damaged|unpacks to more"),
        (twice, "twice"),
        (many, "holds 20,001 files"),
        (locked, "locked"),
        (lambda s: packed(files_in(s), zipfile.ZIP_BZIP2), "packed in a way"),
        (lambda _: packed({"a.txt": b"x"}), "no saved shelf"),
        (lambda _: packed({"index.json": b"[" * 100_000}), "nested"),
        (lambda _: packed({"index.json": b'"x"'}), "not that of a shelf"),
        (lambda s: s[:-400], "damaged"),
        (lambda s: s[:200] + b"x" * 50 + s[250:], "damaged|twice|no saved"),
        (lambda _: b"PK\x03\x04" + b"\0" * 100, "damaged"),
        (lambda _: b"PK\x05\x06" + b"\0" * 18, "no saved shelf"),
        (lambda _: b"PK\x03\x04" + b"\0" * (opened_shelf.LARGEST + 1), "up to 64 MB"),
    ],
)
def test_a_file_made_to_do_harm_is_refused(data: bytes, made_of: Callable[[bytes], bytes], said: str) -> None:
    """By what reads a file, before anything of it is looked for on a shelf."""
    with pytest.raises(DocumentError, match=said):
        read_shelf(made_of(data), ())


def test_a_shelf_that_unpacks_to_more_than_any_is_refused(data: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(opened_shelf, "_UNPACKED", 30_000)
    with pytest.raises(DocumentError, match="unpacks to more"):
        read_shelf(data, ())


def test_if_it_cannot_be_written_nothing_of_it_is_there(
    shelf: Workshop, other: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    put, calls = whole_shelf._put, list[object]()

    def fails(*given: Any) -> None:
        calls.append(given)
        if len(calls) == 3:
            raise OSError("no space left")
        put(*given)

    monkeypatch.setattr(whole_shelf, "_put", fails)
    with pytest.raises(OSError, match="no space"):
        other.open_shelf(shelf.saved().data)
    assert other._store.designs() == other._store.designs(removed=True) == ()


def test_a_file_opened_by_itself_is_a_design_as_ever(shelf: Workshop, other: Workshop) -> None:
    files = files_in(shelf.saved().data)
    for name, data in files.items():
        if name.startswith("designs/"):
            assert other.open_file(data).revision.number == 1
    made = other.create(NewDeck(title="New", players=1)).design.id
    assert dumps(other.written(made))
