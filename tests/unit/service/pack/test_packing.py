"""What goes into a pack, told before it is made; made by one process or two; stopped."""

from __future__ import annotations

import threading

import pymupdf
import pytest

from app.arrange.placement.edit import move_by
from app.document.load import loads
from app.errors import NotFoundError, PaperError, ProofError, WriterError
from app.service.pack import shared_work
from app.service.pack.boards import PackBoards
from app.service.pack.figures import figures, figures_of
from app.service.pack.files import Part, files_of
from app.service.pack.packing import made_pack
from app.service.pack.request import PackRequest, Since
from app.values import replace
from tests.companions import with_companions
from tests.tools import ROOT

SOLO = loads((ROOT / "scenarios" / "lantern-hill-solo.json").read_text("utf-8"))
TWO = loads((ROOT / "scenarios" / "harbour-lane-two-seater.json").read_text("utf-8"))


@pytest.mark.parametrize(
    ("request_", "error", "words"),
    [
        (PackRequest(boards=("none",)), NotFoundError, "There is no board “none”. There are: deck"),
        (PackRequest(arrangements=("x",)), NotFoundError, "There is no arrangement “x”"),
        (PackRequest(papers=("a99",)), PaperError, "There is no paper “a99”"),
        (PackRequest(units=("cubit",)), WriterError, "There are no units “cubit”"),
        (PackRequest(only=("all",)), WriterError, "There are no files “all”"),
        (PackRequest(papers=()), WriterError, "a paper and a unit"),
    ],
)
def test_what_there_is_not_is_refused_with_what_there_is(
    request_: PackRequest, error: type[Exception], words: str
) -> None:
    with pytest.raises(error, match=words):
        made_pack(SOLO, request_)


@pytest.mark.parametrize("only", [(), ("booklets",), ("sheets",), ("lists", "design"), ("drawings",)])
def test_the_figures_told_before_are_those_of_the_pack(only: tuple[str, ...]) -> None:
    request = PackRequest(only=only, papers=("a4",))
    told, said = figures_of(TWO, request), list[tuple[int, int]]()
    pack = made_pack(TWO, request, lambda done, total: said.append((done, total)))
    by_group = {group.group: group.files for group in told.groups}
    made = [file.path.split("/")[0] for file in pack.files if "/" in file.path]
    assert by_group == {group: made.count(group) for group in by_group}
    assert told.files + 3 == len(pack.files)  # where to begin, the proof, the checksums
    assert told.pages == pytest.approx(pack.pages, rel=0.05)
    assert [done for done, _ in said] == sorted(done for done, _ in said)
    assert {total for _, total in said} == {max(told.steps, 1)}
    assert said[-1] == (told.steps, told.steps)
    counted = len({done for done, _ in said}) - 1
    assert counted == pytest.approx(told.steps, rel=0.1)  # page by page, not in leaps


def test_papers_and_units_named_twice_are_packed_once() -> None:
    once = made_pack(SOLO, PackRequest(papers=("a4",), units=("mm",), only=("sheets",)))
    assert made_pack(SOLO, PackRequest(papers=("A4", "a4 "), units=("mm", "mm"), only=("sheets", "sheets"))) == once


def test_boards_that_are_left_out_are_nowhere_and_all_of_a_design_only_whole() -> None:
    design = with_companions()
    some = made_pack(design, PackRequest(boards=("deck", "fan"), papers=("a4",), units=("mm",), only=("sheets",)))
    assert {name for file in some.files for name in ("grille", "door") if name in file.path} == set()
    assert any("-fan-" in file.path for file in some.files)
    whole = figures(PackBoards(design, PackRequest(papers=("a4",), units=("mm",), only=("sheets",))))
    assert whole.files > len(some.files)


def test_the_help_of_another_process_changes_nothing_and_its_error_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    request = PackRequest(papers=("a4",), only=("booklets", "lists", "design"))
    assert made_pack(SOLO, request, processes=2) == made_pack(SOLO, request)

    def refusing(boards: PackBoards, part: Part, step: object) -> object:
        if part[0] == "sheets":
            raise ProofError("It is not true.")
        return files_of(boards, part, step)  # type: ignore[arg-type]

    monkeypatch.setattr(shared_work, "files_of", refusing)
    monkeypatch.setattr("app.service.pack.packing._SHARED", 0)
    with pytest.raises(ProofError, match="It is not true"):
        made_pack(SOLO, request, processes=2)
    assert not [thread for thread in threading.enumerate() if thread.name == "pack-helper"]


@pytest.mark.parametrize("processes", [1, 2])
def test_a_pack_is_stopped_at_any_page(processes: int) -> None:
    for at in (0, 5, 40):

        def told(done: int, _: int, at: int = at) -> None:
            if done >= at:
                raise KeyboardInterrupt

        with pytest.raises(KeyboardInterrupt):
            made_pack(SOLO, PackRequest(), told, processes=processes)
        assert not [thread for thread in threading.enumerate() if thread.name == "pack-helper"]


def test_a_pack_says_what_changed_since_an_older_state() -> None:
    """A sheet of its own, and the first section of every booklet; nothing of it where nothing changed, or in part."""
    first = SOLO.boards[0].arrangements[0].placements[0].id
    newer, since = move_by(SOLO, None, None, first, 30.0, 40.0).design, Since(SOLO, "revision A")
    request = PackRequest(papers=("a4",), units=("inch",), only=("booklets", "sheets"))
    told = figures_of(newer, request, since)
    pack = made_pack(newer, request, since=since)
    by_group = {group.group: group.files for group in told.groups}
    assert by_group == {group: sum(f.path.startswith(f"{group}/") for f in pack.files) for group in by_group}
    assert told.pages == pytest.approx(pack.pages, rel=0.05)
    assert [f.path for f in pack.files if "what-changed" in f.path] == [
        "sheets/a4-inch/lantern-hill-solo-what-changed.pdf"
    ]
    booklet = next(file.data for file in pack.files if file.path.startswith("booklets/"))
    with pymupdf.open(stream=booklet, filetype="pdf") as read:
        _, title, page = read.get_toc()[0]
        said = " ".join(read[page - 1].get_text().split())
    assert title == "What changed since revision A"
    assert 'moved 1.1811" to the right' in said
    assert figures_of(SOLO, request, since) == figures_of(SOLO, request)


def test_what_changed_in_a_way_to_build_that_is_left_out_is_not_told() -> None:
    both = {arrangement.id: arrangement for arrangement in TWO.boards[0].arrangements}
    only = next(p.id for p in both["two"].placements if all(q.id != p.id for q in both["one"].placements))
    newer = move_by(TWO, None, "two", only, 30.0, 0.0).design
    since, request = Since(TWO, "revision A"), PackRequest(papers=("a4",), units=("mm",), only=("sheets",))
    for some in ("one", "two"):
        boards = PackBoards(newer, replace(request, arrangements=(some,)), since)
        assert (boards.changes_job("mm", "a4") is not None) is (some == "two")
