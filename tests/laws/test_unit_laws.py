"""Laws of units: whatever unit is shown, the same is found and offered, and what is too little is seen to be."""

from __future__ import annotations

import re

from hypothesis import example, given
from hypothesis import strategies as st

from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.fit.changes.changed_board import with_fix
from app.fit.changes.trial import is_fresh, known_of, still
from app.fit.finding import Finding
from app.fit.report.groups import phrase
from app.fit.report.report import check
from app.fit.words.figures import figures
from app.fit.words.messages import message, remedy
from app.model.material import Layer, Material
from app.model.part import NutFixing, Part, SnapFixing
from app.model.resolved import ResolvedBoard
from app.units import Unit
from app.values import replace
from tests.long_run import examples
from tests.oracle.documents import document, loaded
from tests.reading.following import read
from tests.reading.remedy_words import LENGTH
from tests.reading.sentence_words import quarrels
from tests.unit.fit.boards import at, board

HELD = tuple(p for p in catalogue().parts.values() if isinstance(p.fixing, NutFixing | SnapFixing))
SHEETS = tuple(catalogue().materials.values())
SHOPS = (catalogue().bit_sets["metric"], catalogue().bit_sets["inch"], ())
NEAR = (-0.0051, -0.005, -0.0049, -1e-7, 0.0, 1e-7, 0.0049, 0.005, 0.0051, 0.01, 0.02)
THOUSANDTH = 0.5 * 25.4 / 1000 + 1e-6  # a decimal of an inch, to the nearest thousandth, is no further off [mm]


@st.composite
def decks(draw: st.DrawFn) -> ResolvedBoard:
    """A part of the catalogue with a nut or clips on a sheet, often as thick as it just holds, or just does not."""
    part: Part = draw(st.sampled_from(HELD))
    assert isinstance(part.fixing, NutFixing | SnapFixing)
    most = part.fixing.grip if isinstance(part.fixing, NutFixing) else part.fixing.grip_max
    steps = st.one_of(st.integers(0, 30).map(lambda k: k * 0.5), st.integers(0, 38).map(lambda k: k * 25.4 / 64))
    on_edge = st.tuples(steps, st.sampled_from(NEAR)).map(lambda t: most + sum(t))
    thick = draw(st.one_of(st.integers(30, 250).map(lambda k: k / 10), st.floats(3.0, 25.0), on_edge))
    sheet: Material = draw(st.sampled_from(SHEETS))
    layers = (Layer(sheet, min(max(thick, 3.0), 25.0)),)
    bits = draw(st.sampled_from(SHOPS))
    bore = draw(st.sampled_from([None, None, None, (35.0, 4.0), (28.575, 9.5)]))
    placed = at(200, 150, part, shop=board(bits=bits).tooling, bore=bore)
    return board(placed, layers=layers, bits=bits, paint=draw(st.sampled_from([0.0, 0.0, 0.15])))


@examples(50)
@given(decks())
def test_whatever_unit_is_shown_the_same_is_found_and_offered(deck: ResolvedBoard) -> None:
    reports = [check(replace(deck, units=unit), catalogue()) for unit in ("mm", "inch")]
    assert reports[0].findings == reports[1].findings
    was = known_of(reports[0].findings)
    for finding in reports[0].findings:
        said = [remedy(finding, report, unit) for report, unit in zip(reports, Unit, strict=True)]
        assert kind(said[0]) == kind(said[1])
        fixes = [report.fix_for(finding) for report in reports]
        assert type(fixes[0]) is type(fixes[1]), said
        for fix in fixes:
            if fix is not None:
                after = check(with_fix(deck, fix, catalogue()), catalogue()).findings
                assert not still(finding, after), (finding, fix)
                assert not [f for f in after if is_fresh(f, was)], (finding, fix)
        assert_said(finding, deck)


@examples(20)
@example(1005)  # a bit of the width that a hole may have, as both are read in inches
@example(1023)  # a hole made with a bit of its own width, as both are read in inches
@example(1036)  # a lever that leans over an area to keep clear
@example(1121)  # a part that hangs as deep as is free, as both are read in inches
@example(1193)  # a counterbore as wide as the bit that does not make it, as both are read in inches
@example(325664)  # a part that ends within the board, so that only its wires are too near
@example(437274)  # a ledge just as wide as bends by plate theory, where a shade more bears enough
@example(876568)  # an opening that just reaches an area to keep clear
@example(6205073)  # a top layer alone that bears more than with a little of the next one
@given(st.integers(300_000, 10_000_000))
def test_what_is_too_little_is_seen_to_be_in_either_unit(seed: int) -> None:
    found = resolve(loaded(document(seed)), None, None, catalogue())
    called = tuple(replace(p, label=f"P{k}") for k, p in enumerate(found.placements))
    checked = found.populated(called)
    for finding in check(checked, catalogue()).findings:
        assert_said(finding, checked)


def kind(said: str) -> str:
    """A remedy without its lengths, and whatever bit is sold in the unit for any bit."""
    return re.sub(r"(?<=a … )[\w ]+? (?:bit|saw)\b", "bit", re.sub(LENGTH, "…", said))


def assert_said(finding: Finding, checked: ResolvedBoard) -> None:
    """In its sentence, its title and its bar a finding never says that enough is there, nor that it lacks nothing."""
    for unit in Unit:
        said = message(finding, checked, unit)
        assert not list(quarrels(said)), (list(quarrels(said)), said, finding)
        title = phrase([finding], checked, unit)
        assert not re.search(r'(?<![\d./])(?:-[\d./ ]+|0(?:\.0+)?)(?: mm|")', title), title
        told = figures(finding, unit)
        if told is None:
            continue
        there, wanted = (_read(text) for text in (told.there, told.wanted))
        if told.at_most:
            assert there > wanted and there >= told.there_mm - THOUSANDTH and wanted <= told.wanted_mm + THOUSANDTH
        else:
            assert there < wanted and there <= told.there_mm + THOUSANDTH and wanted >= told.wanted_mm - THOUSANDTH


def _read(length: str) -> float:
    return -read(length[1:]) if length.startswith("-") else read(length)
