"""Laws of bringing, on random designs: what was there stays, letters mean one hole, a second time nothing is left."""

from __future__ import annotations

import json

from hypothesis import given
from hypothesis import strategies as st

from app.arrange.family.bring import bring
from app.arrange.family.wanted import BringSource, BringWays, Wanted
from app.catalogue.load import catalogue
from app.document.dump import dumps
from app.document.load import recalled
from app.document.resolve import find_board
from app.document.schema import BoardEntry, Design
from app.errors import DocumentError, EditError
from tests.long_run import examples
from tests.unit.document.designs import designs


def wanted_in(design: Design) -> list[Wanted]:
    boards = [Wanted("board", b.id) for b in design.boards]
    return [*boards, *(Wanted("arrangement", b.id, a.id) for b in design.boards for a in b.arrangements)]


def letters_of(board: BoardEntry) -> dict[str, set[tuple[object, ...]]]:
    """Where each letter of a board stands."""
    found: dict[str, set[tuple[object, ...]]] = {}
    for placement in (p for a in board.arrangements for p in a.placements if p.label):
        hole = (placement.part, placement.x, placement.y, placement.angle, placement.counterbore, placement.recess)
        found.setdefault(placement.label.upper(), set()).add(hole)
    return found


@given(source=designs(), target=designs(), data=st.data(), replace=st.booleans(), centred=st.booleans())
@examples(15)
def test_whatever_is_brought(source: Design, target: Design, data: st.DataObject, replace: bool, centred: bool) -> None:
    wanted, ways = data.draw(st.sampled_from(wanted_in(source))), BringWays(replace=replace, centred=centred)
    asked = BringSource(source), (wanted,), catalogue(), ways
    try:
        done = bring(target, *asked)
    except EditError:  # no board for it, or something locked
        return
    try:
        again = recalled(dumps(done.design))
    except DocumentError:  # moved beyond the last millimetre a file may have: a trial keeps it, and says so
        assert centred
        return
    assert json.loads(dumps(again)) == json.loads(dumps(done.design))
    board = find_board(done.design, done.places[0][0])
    others = [b for b in done.design.boards if b.id != board.id]
    assert others == [b for b in target.boards if b.id != board.id]
    old = next((b for b in target.boards if b.id == board.id), None)
    had = letters_of(old) if old else {}
    stays = {a.id: a for a in old.arrangements} if old else {}
    if wanted.sort == "arrangement":
        for arrangement in board.arrangements:
            assert arrangement.id == done.places[0][1] or arrangement == stays[arrangement.id]
        for letter, holes in letters_of(board).items():
            assert len(holes) <= max(1, len(had.get(letter, ())))  # a letter that meant one hole still does
        assert not {r.upper() for a in board.arrangements for r in a.retired} & (letters_of(board).keys() - had.keys())
    assert bring(done.design, *asked).same
