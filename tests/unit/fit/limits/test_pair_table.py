"""The table of everything against everything: complete, of rules there are, and what the rules go by."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import combinations_with_replacement, product
from types import MappingProxyType

import pytest

from app.fit.features import neighbours
from app.fit.features.features import KINDS, PLACES, WORDS
from app.fit.features.placed_features import PlacedFeatures
from app.fit.finding import Finding
from app.fit.limits import pair_table
from app.fit.limits.pair_table import AGAINST, BETWEEN, BOARD, OWN, PAIR_RULES, Cell, Table, rows_of_tables
from app.fit.registry import RULES
from app.geometry.outline import Corner, Outline
from app.geometry.shapes import circle, rectangle
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.part import Flange
from app.model.resolved import Recess, ResolvedBoard
from app.values import replace
from tests.folding import each
from tests.unit.fit.boards import at, board, button, found, hanging, nut, plate, stick

NAMES = {rule.name for rule in RULES}


def pairs(kinds: Iterable[str]) -> set[tuple[int, int]]:
    """Every two indices, the lower first, each with itself as well."""
    return set(combinations_with_replacement(range(len(tuple(kinds))), 2))


def missing(kinds: tuple[str, ...], places: tuple[str, ...]) -> dict[str, set[tuple[int, int]]]:
    """The cells that the tables do not have, by table."""
    wanted = {
        "between": (pairs(kinds), BETWEEN),
        "own": (pairs(kinds), OWN),
        "against": (set(product(range(len(kinds)), range(len(places)))), AGAINST),
        "board": (pairs(places), BOARD),
    }
    return {name: cells - set(filled) for name, (cells, filled) in wanted.items()}


def test_every_two_things_have_a_cell() -> None:
    assert missing(KINDS, PLACES) == {"between": set(), "own": set(), "against": set(), "board": set()}


def test_there_is_no_cell_of_what_there_is_not() -> None:
    assert set(BETWEEN) == set(OWN) == pairs(KINDS)
    assert set(BOARD) == pairs(PLACES)
    assert set(AGAINST) == set(product(range(len(KINDS)), range(len(PLACES))))


def test_a_kind_or_a_place_without_cells_is_found_out() -> None:
    lacking = missing((*KINDS, "hook"), PLACES)
    many = len(KINDS) + 1  # with each kind and with itself
    assert {name: len(cells) for name, cells in lacking.items()} == {
        "between": many,
        "own": many,
        "against": len(PLACES),
        "board": 0,
    }
    lacking = missing(KINDS, (*PLACES, "chute"))
    assert (len(lacking["against"]), len(lacking["board"])) == (len(KINDS), len(PLACES) + 1)


@each("title, one, other, cell", rows_of_tables())
def test_a_cell_has_rules_that_there_are_or_a_sentence(title: str, one: str, other: str, cell: Cell) -> None:
    assert bool(cell.rules) != bool(cell.because), (title, one, other)
    assert set(cell.rules) <= NAMES
    assert not cell.because or (cell.because[0].isupper() and cell.because.endswith("."))


def test_every_rule_stands_in_the_table() -> None:
    told = {rule for *_, cell in rows_of_tables() for rule in cell.rules}
    assert told == NAMES


def test_no_cell_of_two_placements_or_of_one_has_two_rules_about_pairs() -> None:
    """Each pair is measured for one rule: a second would never be asked."""
    for cells in (BETWEEN, OWN):
        assert all(len(set(cell.rules) & set(PAIR_RULES)) <= 1 for cell in cells.values())


def test_a_cell_written_twice_is_refused() -> None:
    sheet = pair_table._Sheet(symmetric=True)
    sheet.judged(0, (1, 2), "web")
    with pytest.raises(ValueError, match=r"\(0, 1\)"):
        sheet.harmless(1, 0, "It does no harm.")


OPENING = Outline(tuple(Corner(x, y) for x, y in ((250, 100), (350, 100), (350, 200), (250, 200))))
NUT = button(20, fixing=nut(width=34))
TOPPED = button(20, flange=0, fixing=plate("top", 60, 60, (25, 0)))
SCREWED = hanging(rectangle(24, 24), hole=20, flange=0, fixing=plate("under", 60, 60, (17, 0)))
HEADED = button(20, flange=0, fixing=plate("under", 30, 30, (0, 14)))
DOME = replace(button(), flange=Flange(circle(32), 40))  # higher than a knob comes down
LEVER = stick(screws=plate("under", 40, 60, (0, -25), (0, 25)))


def two(*kinds: str) -> ResolvedBoard:
    """Two placements, the first with the one kind and the second with the other, so near that they clash."""
    parts = {
        "hole": button(28, flange=0),
        "counterbore": button(28, flange=0),
        "recess": button(28, flange=0),
        "screw": SCREWED,
        "flange": DOME,
        "plate on top": TOPPED,
        "screw head on top": button(20, flange=0, fixing=plate("top", 30, 30, (0, 14))),
        "plate": SCREWED,
        "body": hanging(flange=0),
        "nut": NUT,
        "screw head": HEADED,
        "lever": LEVER,
    }
    made = []
    for x, name, kind in ((290, "a", kinds[0]), (293, "b", kinds[1])):
        bore = (40.0, 5.0) if kind == "counterbore" else None
        recess = Recess(44, 44, 6, 5) if kind == "recess" else None
        made.append(at(x, 150, parts[kind], name=name, bore=bore, recess=recess))
    return board(*made)


def words_of(rule: str, checked: ResolvedBoard) -> set[tuple[str, ...]]:
    """What the findings of a rule say clashes."""
    return {tuple(sorted(f.detail.things)) for f in found(checked, rule)}


def judged(cells: Table) -> Iterator[tuple[str, int, int]]:
    for (a, b), cell in sorted(cells.items()):
        yield from ((rule, a, b) for rule in cell.rules)


@pytest.fixture
def rewritten(monkeypatch: pytest.MonkeyPatch) -> Iterator[pytest.MonkeyPatch]:
    """Tables may be exchanged for others; what was worked out from them is forgotten before and after."""
    yield monkeypatch
    monkeypatch.undo()
    forget()


def forget() -> None:
    for known in (pair_table.judged_by, pair_table.kinds_against, neighbours._rule_matrix):
        known.cache_clear()


def without(cells: Mapping[tuple[int, int], Cell], *kinds: tuple[int, int]) -> Table:
    return MappingProxyType({k: Cell((), "Left out.") if k in kinds else cell for k, cell in cells.items()})


TAKEN = [
    row
    for row in judged(BETWEEN)
    if KINDS[row[1]] in ("hole", "counterbore", "screw", "flange", "lever", "nut", "body", "plate on top")
    and KINDS[row[2]] not in ("spanner room", "wire room", "legend")  # legends: tests/unit/fit/lettering
]


@pytest.mark.parametrize(("rule", "one", "other"), TAKEN, ids=lambda v: KINDS[v] if isinstance(v, int) else v)
def test_a_rule_about_two_things_goes_by_the_table(
    rule: str, one: int, other: int, rewritten: pytest.MonkeyPatch
) -> None:
    """Only this cell is filled, and the rule finds these two; it is empty, and the rule finds nothing."""
    checked = two(KINDS[one], KINDS[other])
    everything = {k for k in BETWEEN if k != (one, other)}
    rewritten.setattr(pair_table, "BETWEEN", without(BETWEEN, *everything))
    # no short cut by a flange or a nut
    rewritten.setattr(PlacedFeatures, "codes", property(lambda self: self.features.kind))
    forget()
    assert words_of(rule, checked) == {tuple(sorted((WORDS[one], WORDS[other])))}
    rewritten.setattr(pair_table, "BETWEEN", without(BETWEEN, *BETWEEN))
    forget()
    assert not found(checked, rule)


BY_PLACE = (
    "outside-board",
    "edge-distance",
    "flange-overhang",
    "under-overhang",
    "edge-slot",
    "rail-clash",
    "depth-below",
)
WHERE: dict[str, ResolvedBoard] = {
    "outside-board": board(at(0, 150)),
    "edge-distance": board(at(19, 150)),
    "flange-overhang": board(at(0, 150)),
    "under-overhang": board(at(0, 150, NUT)),
    "edge-slot": board(at(300, 5), edges=(EdgeFeature("front", slot_depth=10),)),
    "rail-clash": board(
        at(300, 5, NUT),
        edges=(EdgeFeature("front", rail=10),),
        keep_clear=(KeepClear("top", circle(60, 300, 5), ""), KeepClear("under", circle(60, 300, 5), "")),
    ),
    "depth-below": board(at(300, 150, hanging()), depth=DepthPlane(5, 0, 0)),
}


@pytest.mark.parametrize("rule", BY_PLACE)
def test_a_rule_about_a_place_goes_by_the_table(rule: str, rewritten: pytest.MonkeyPatch) -> None:
    """Every cell of the rule is emptied, and it is silent; with those of one kind alone it speaks of that kind."""
    checked = WHERE[rule]
    before = found(checked, rule)
    assert before
    cells = [k for k, cell in AGAINST.items() if rule in cell.rules]
    rewritten.setattr(pair_table, "AGAINST", without(AGAINST, *cells))
    forget()
    assert not found(checked, rule)
    for what in kinds_of(before):
        others = [k for k in cells if WORDS[k[0]] != what]
        rewritten.setattr(pair_table, "AGAINST", without(AGAINST, *others))
        forget()
        assert kinds_of(found(checked, rule)) == {what}


def kinds_of(findings: Iterable[Finding]) -> set[str]:
    return {kind for f in findings for kind in f.detail.things}


def test_every_rule_about_two_things_was_tried() -> None:
    assert {rule for rule, *_ in TAKEN} == set(PAIR_RULES)
