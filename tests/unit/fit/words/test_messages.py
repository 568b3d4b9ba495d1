"""Every rule's finding in sentences with its numbers, in millimetres and in inches."""

from __future__ import annotations

import math
import re

import pytest

from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.errors import HolewiseError
from app.fit.finding import Finding
from app.fit.registry import RULES
from app.fit.report.report import check
from app.fit.words.lengths import least, most, say, say_both, sizes
from app.fit.words.messages import fix_label, message, remedy
from app.geometry.outline import Corner, Outline
from app.geometry.shapes import rectangle
from app.model.board import DepthPlane, EdgeFeature, KeepClear
from app.model.fix import BuyBit, CounterboreAt, MoveBy, RecessAt, SwapPart
from app.model.legend import Legend
from app.model.material import Layer, Material, Strength
from app.model.part import Cutout, NutFixing, ScrewFixing, SnapFixing
from app.model.resolved import Recess, ResolvedBoard
from app.model.tooling import Bit
from app.units import Unit, format_named
from app.values import replace
from tests.folding import each
from tests.reading.following import FORMS, promises
from tests.reading.remedy_words import LENGTH
from tests.unit.fit.boards import (
    CATALOGUE,
    FORSTNER,
    HAND,
    MDF,
    SOURCE,
    at,
    board,
    button,
    catalogue,
    found,
    hanging,
    nut,
    plate,
    stick,
)
from tests.unit.fit.lettered import lettered
from tests.unit.fit.made_boards import made_board
from tests.unit.fit.wired_boards import encoder, hemmed, row, wired, wired_board

HANGING = hanging(wiring=True)
NUT = button(20, fixing=nut(14, height=3, width=22))  # a counterbore for it is 22 + 2 · 3 = 28 wide
TWELVE = board(bits=(Bit("forstner", 12, 55),)).tooling
STUBBY, SHORT = (board(bits=(Bit("forstner", 28, reach),)).tooling for reach in (8, 10))
ROUTED = (*FORSTNER, Bit("router", 4, 30))
INCH_BIT = (Bit("forstner", 28.575, 55, inch=True),)
RAIL, SLOT = (EdgeFeature("left", rail=19),), (EdgeFeature("front", slot_depth=10),)
AREA = KeepClear("under", rectangle(80, 40, 300, 150), "hinge")


def window(x0: float, y0: float, x1: float, y1: float) -> Outline:
    """A rectangular opening between two corners."""
    return Outline(tuple(Corner(x, y) for x, y in ((x0, y0), (x1, y0), (x1, y1), (x0, y1))))


OPENING = window(250, 100, 350, 200)
SCREWED = button(fixing=plate("under", 90, 60, (-40, 25), (40, 25)))
SWEEP = 35 / 2 + 76 * math.sin(math.radians(15))  # how far from its middle the knob of a leaning lever reaches
LEVERS = tuple(stick(screws=plate("under", 30, 60, (0, -25), (0, 25))) for _ in range(2))


def driven(length: float) -> ScrewFixing:
    """A plate 90 × 60 mm, 2 mm thick, below the board on screws of that length."""
    return replace(plate("under", 90, 60, (-40, -25), (40, 25)), screw_length=length)


def soft(shear: float) -> Material:
    """MDF that shears at so many MPa and bends at three times as many."""
    return replace(MDF, strengths=(Strength(100, 3 * shear, shear, 2500, 0.3, SOURCE),))


def square(x: float) -> Legend:
    """A filled square of 5 mm, its middle so far to the right of its part's."""
    return Legend(sign="stop", height=5.0, place="free", x=x)


# A board for each thing a rule can say, and the numbers it has to say [mm].
CASES: list[tuple[str, str, ResolvedBoard, tuple[float, ...]]] = [
    ("outside-board", "stop", board(at(8, 150)), (6,)),
    ("edge-distance", "stop", board(at(18, 150)), (4, 6)),
    ("edge-distance", "caution", board(at(24, 150)), (10, 12)),
    ("edge-distance", "stop", board(at(14.5, 150), allowance=HAND), (1, 6)),
    ("edge-distance", "caution", board(at(226, 150), openings=(OPENING,)), (10, 12)),
    ("edge-distance", "caution", board(at(108, 150, button(fixing=plate("under", 210, 40, (-100, 0))))), (8, 12)),
    ("edge-slot", "stop", board(at(300, 22), edges=SLOT), (2, 10)),
    ("edge-slot", "caution", board(at(300, 26), edges=SLOT), (2, 10, 3)),
    ("web", "stop", board(at(200, 150), at(230, 150, name="b")), (2, 3)),
    ("web", "caution", board(at(200, 150), at(232, 150, name="b")), (4, 5)),
    ("web", "stop", board(at(200, 150), at(226, 150, name="b")), (2, 3)),
    ("web", "caution", board(at(200, 150, button(more=(rectangle(10, 10, 21, 0),)))), (2, 3)),
    ("flange-overlap", "stop", board(at(200, 150), at(229, 150, name="b")), (3,)),
    ("flange-overlap", "caution", board(at(200, 150), at(232.25, 150, name="b")), (0.25, 0.5)),
    ("flange-overhang", "stop", board(at(15, 150)), (1,)),
    ("flange-overhang", "caution", board(at(16.25, 150)), (0.25, 0.5)),
    ("under-clash", "stop", board(at(200, 150, HANGING), at(238, 150, HANGING, name="b")), (2,)),
    ("under-clash", "caution", board(at(200, 150, HANGING), at(241, 150, HANGING, name="b")), (1, 2)),
    ("under-clash", "caution", board(at(200, 150, bore=(40, 5)), at(244, 150, name="b", bore=(40, 5))), (4, 5)),
    ("under-clash", "caution", board(at(200, 150, NUT), at(224, 150, NUT, name="b")), (2, 3)),
    ("rail-clash", "stop", board(at(36, 150, HANGING), edges=RAIL), (3,)),
    ("rail-clash", "caution", board(at(39.5, 150, HANGING), edges=RAIL), (0.5, 1)),
    ("rail-clash", "stop", board(at(357, 150, HANGING), keep_clear=(AREA,)), (3,)),
    ("rail-clash", "caution", board(at(353, 150, NUT), keep_clear=(AREA,)), (2, 3)),
    ("depth-below", "stop", board(at(200, 150, HANGING), depth=DepthPlane(20, 0, 0)), (22, 20, 2)),
    ("depth-below", "caution", board(at(200, 150, HANGING), depth=DepthPlane(30, 0, 0)), (22, 30, 8, 15)),
    ("thread-reach", "stop", board(at(200, 150, NUT), layers=(Layer(MDF, 19.05),)), (14, 4, 19.05)),
    ("thread-reach", "caution", board(at(200, 150, button(fixing=nut(24.5)))), (0.5, 1)),
    ("thread-reach", "stop", board(at(200, 150, NUT, bore=(28, 14))), (4, 5)),
    ("thread-reach", "stop", board(at(200, 150, NUT, bore=(28, 18))), (18,)),
    ("thread-reach", "stop", board(at(200, 150, NUT, bore=(21, 8))), (21, 22)),
    ("thread-reach", "caution", board(at(200, 150, NUT, bore=(24, 8))), (24, 28)),
    ("snap-grip", "stop", board(at(200, 150, button(fixing=SnapFixing(1.5, 5)))), (1.5, 5, 18)),
    ("snap-grip", "caution", board(at(200, 150, button(fixing=SnapFixing(20, 25)))), (20, 25, 18)),
    (
        "snap-grip",
        "caution",
        board(at(200, 150, button(fixing=SnapFixing(1.5, 10), flange=40), bore=(30, 8))),
        (30, 32),
    ),
    ("bit-match", "stop", board(at(200, 150, button(26, smallest=25.5, largest=27)), bits=INCH_BIT), (26, 25.5, 27)),
    ("bit-match", "caution", board(at(200, 150, bore=(42, 5))), (42, 40, 2)),
    ("ledge", "stop", board(at(200, 150, bore=(45, 12)), layers=(Layer(soft(0.35), 18),)), (6,)),
    ("ledge", "caution", board(at(200, 150, bore=(45, 12)), layers=(Layer(soft(0.6), 18),)), (6,)),
    ("deck-strength", "caution", board(layers=(Layer(soft(6), 6),)), (6, 600, 300)),
    ("lever-height", "caution", board(at(200, 150, stick(64))), (46, 50, 65)),
    ("lever-height", "caution", board(at(200, 150, stick(90))), (72, 50, 65)),
    ("recess", "stop", board(at(200, 150, stick(64), recess=Recess(100, 70, 6, 14))), (4, 5)),
    ("recess", "stop", board(at(200, 150, stick(), recess=Recess(100, 70, 6, 18))), (18,)),
    ("recess", "stop", board(at(200, 150, stick(), recess=Recess(88, 70, 2, 4)), bits=ROUTED), (90, 60, 1)),
    (
        "recess",
        "caution",
        board(at(200, 150, stick(), recess=Recess(90.5, 70, 2, 4)), bits=ROUTED),
        (90, 60, 0.25, 0.5),
    ),
    ("screw-hold", "stop", board(at(200, 150, stick(screws=driven(22)))), (22, 2, 18)),
    ("screw-hold", "caution", board(at(200, 150, stick(screws=driven(18)))), (2, 3)),
    ("screw-hold", "caution", board(at(200, 150, stick(60, 50, 65), recess=Recess(100, 70, 6, 9))), (6, 8)),
    ("part-measures", "stop", board(at(200, 150, button(flange=20))), (28, 4)),
    ("part-measures", "stop", board(at(200, 150, button(body=40))), (28, 6)),
    ("part-measures", "caution", board(at(200, 150, button(body=40, fixing=nut()))), (28, 6)),
    ("part-measures", "stop", board(at(200, 150, button(mount="under"))), (28,)),
    ("part-measures", "stop", board(at(200, 150, button(fixing=nut(width=27)))), (28,)),
    ("part-measures", "stop", board(at(200, 150, button(12, fixing=plate("under", 90, 60, (0, 0))))), (12,)),
    ("part-measures", "stop", board(at(200, 150, button(fixing=plate("under", 90, 60, (-48, 0))))), (3,)),
    ("opening-distance", "stop", board(openings=(window(250, 4, 350, 50),)), (4, 6)),
    ("opening-distance", "caution", board(openings=(window(250, 10, 350, 50),)), (10, 12)),
    ("opening-distance", "caution", board(openings=(OPENING, window(354, 100, 450, 200))), (4, 5)),
    ("opening-distance", "stop", board(openings=(window(17, 100, 80, 200),), edges=RAIL), (2,)),
    ("opening-distance", "caution", board(openings=(window(200, 12, 300, 80),), edges=SLOT), (2, 3)),
    ("opening-distance", "caution", board(openings=(window(340.5, 100, 400, 200),), keep_clear=(AREA,)), (0.5, 1)),
    ("under-overhang", "stop", board(at(18, 150, HANGING)), (2,)),
    ("under-overhang", "caution", board(at(20.25, 150, HANGING)), (0.25, 0.5)),
    ("under-overhang", "caution", board(at(232, 150, HANGING), openings=(OPENING,)), (2, 0.5)),
    ("screw-distance", "stop", board(at(200, 150, SCREWED), at(258, 175, name="b")), (2, 3)),
    ("screw-distance", "caution", board(at(200, 150, SCREWED), at(260, 175, name="b")), (4, 5)),
    ("screw-distance", "caution", board(at(200, 150, button(fixing=plate("under", 90, 60, (18, 0))))), (2, 3)),
    ("lever-sweep", "caution", board(at(200, 150, LEVERS[0]), at(198 + 2 * SWEEP, 150, LEVERS[1], name="b")), (2,)),
    (
        "lever-sweep",
        "stop",
        board(at(200, 150, LEVERS[0]), at(234, 150, LEVERS[1], name="b")),
        (2 * SWEEP - 34,),
    ),
    ("bit-depth", "stop", board(at(200, 150, shop=STUBBY), bits=STUBBY.bits), (28, 8, 18)),
    ("bit-depth", "note", board(at(200, 150, shop=SHORT), bits=SHORT.bits), (28, 10, 18)),
    ("bit-depth", "stop", board(at(200, 150, bore=(28, 9)), bits=(Bit("forstner", 28, 8.5),)), (28, 8.5, 9)),
    ("bit-match", "caution", board(at(200, 150, stick(), recess=Recess(100, 70, 6, 4))), (12,)),
    ("cone-area", "caution", made_board("grille", hole=5.0), ()),
    ("cone-cover", "caution", made_board("grille", holes="square", pitch=18.0, field=110.0), (math.hypot(9, 45) - 43,)),
    ("finger-guard", "caution", made_board("fan", vent=23, holes="square", hole=8.0, pitch=16.0), (8, 20, 12)),
    ("finger-guard", "caution", made_board("fan", vent=23, guard=False), (117, 850, 9)),
    ("air-flow", "caution", made_board("fan", vent=3), ()),
    ("air-flow", "note", made_board("fan"), ()),
    ("door-clearance", "stop", replace(made_board("door", gap=0.1), paint=0.2), (0.3,)),
    ("door-clearance", "caution", made_board("door", gap=1.25), (0.25, 0.5)),
    ("door-clearance", "caution", made_board("door", gap=0.5), (0.5,)),
    ("door-swing", "caution", made_board("door", sized="door", width=100.0, gap=1.0), ()),
    ("door-swing", "stop", made_board("door", sized="door", width=40.0, gap=0.5, held="catch"), ()),
    ("display-fit", "caution", made_board("display", room=443.5), (1.5, 2)),
    ("display-fit", "caution", made_board("display", room=440.25), ()),
    ("display-fit", "caution", made_board("display", room=443.0, fit="press"), (1, 3)),
    ("display-fit", "caution", made_board("display", opening_width=434.0), (2.5, 3)),
    ("display-fit", "caution", made_board("display", opening_width=439.5), (3,)),
    ("display-fit", "stop", made_board("display", opening_width=440.0), ()),
    ("display-fit", "caution", made_board("display", opening_width=395.6), (7, 5)),
    ("display-fit", "note", made_board("display", opening_width=411.6), (1.5,)),
    ("mount-screw", "stop", made_board("display", screw_length=22.0), (22, 10, 2)),
    ("mount-screw", "caution", made_board("display", screw_length=19.5), (19.5, 0.5, 1)),
    ("mount-screw", "stop", made_board("display", screw_length=10.0), (10, 4)),
    ("mount-screw", "caution", made_board("display", screw_length=13.0), (13, 3, 4)),
    ("plate-bending", "caution", made_board("display", plate=6.0), (450, 6, 1.5)),
    ("plate-bending", "caution", made_board("display", height=25.0, past=True), (450,)),
    ("inputs", "stop", wired_board(*row(3), at(300, 220, encoder(2), name="x")), ()),
    (
        "inputs",
        "stop",
        wired_board(
            *row(3),
            at(300, 220, encoder(9), name="x"),
            entry=WiringPlanEntry(pins=(FixedPinEntry(placement="b", tab=1, encoder="x", pin=10),)),
        ),
        (),
    ),
    ("light-current", "stop", wired_board(*row(4, wired(light=130)), at(300, 220, encoder(), name="x")), ()),
    ("wire-way", "stop", wired_board(*row(3), at(300, 220, encoder(), name="x"), keep_clear=hemmed(60, 60, 20)), ()),
    ("plug-room", "caution", made_board("sockets", spacing=60.0, plug=50.0), (8, 12)),
    ("plug-room", "caution", made_board("sockets", spacing=60.0, plug=58.0), (12,)),
    ("plug-room", "stop", made_board("sockets", spacing=60.0, plug=61.0), (1,)),
    ("plug-room", "caution", made_board("sockets", behind=60.0), (59, 60)),
    ("legend-clear", "stop", lettered(square(14.0)), (2.5,)),  # 5 mm wide, beside a hole 28 mm and a flange 32 mm wide
    ("legend-clear", "caution", lettered(square(19.0)), (0.5, 1)),
    ("legend-room", "caution", lettered(Legend("W" * 40, place="ring")), ()),
    ("legend-overlap", "caution", lettered(square(50.0), square(-46.0)), (1,)),
    ("legend-size", "caution", lettered(Legend("I", height=2.0)), (2, 700, 2.8)),
    ("legend-size", "note", lettered(Legend("I", height=3.5)), (3.5, 700, 4.2)),
    ("hinge-screw", "stop", made_board("door", frame=8.0), (10, 0.5, 8)),
    ("hinge-screw", "caution", made_board("door", frame=10.5), (10, 2, 10.5, 3)),
    ("hinge-screw", "caution", made_board("door", screw_length=5.5), (4, 6)),
    ("bit-match", "note", board(at(200, 150, button(27, smallest=26.5, largest=28.5))), (27, 28, 1, 26.5, 28.5)),
]


def first(checked: ResolvedBoard, rule: str, severity: str) -> Finding:
    wanted = [f for f in found(checked, rule) if f.severity == severity]
    assert wanted, found(checked, rule)
    return wanted[0]


@each("unit", list(Unit))
@each("rule, severity, checked, numbers", CASES)
def test_a_message_has_its_numbers_and_its_subjects(
    rule: str, severity: str, checked: ResolvedBoard, numbers: tuple[float, ...], unit: Unit
) -> None:
    finding = first(checked, rule, severity)
    text = message(finding, checked, unit)
    for number in numbers:
        in_full = (sizes(number, (), unit)(number), format_named(number, unit))  # as bits and their holes are said
        assert any(one in text for one in in_full) or any(
            rounded(number, unit) in text for rounded in (say, least, most)
        )
    for subject in finding.subjects:
        assert subject.upper() in text  # labels are the ids in capitals
    for sentence in (text, remedy(finding, check(checked, CATALOGUE), unit)):
        assert sentence[0].isupper() and sentence.endswith(".") and "nan" not in sentence and "None" not in sentence
        other = {Unit.MM: '"', Unit.INCH: " mm"}[unit]
        called = rf"{LENGTH}(?= (?:[\w ]+ bit|hole saw|wide|hole)\b)|(?<=flat-bottomed bit of ){LENGTH}"
        bare = re.sub(called, "", sentence)  # bits are called as sold, and what they are for likewise
        assert other not in bare


@each("unit", list(Unit))
@each("rule, severity, checked", [case[:3] for case in CASES])
def test_every_clause_of_a_remedy_can_be_followed_or_promises_nothing(
    rule: str, severity: str, checked: ResolvedBoard, unit: Unit
) -> None:
    report = check(checked, CATALOGUE)
    finding = first(checked, rule, severity)
    promised = promises(remedy(finding, report, unit))  # an error if it cannot be read
    assert len(promised) == len(report.advice_for(finding).ways)
    assert promises(remedy(finding, report, unit, tried=False)) == []


def test_every_form_of_a_promise_is_said_somewhere() -> None:
    """So that what reads remedies reads no form that is said no more."""
    slack = catalogue(parts=(button(fixing=SnapFixing(1, 30), part_id="thick"),))
    rows = [(checked, CATALOGUE) for *_, checked, _numbers in CASES]
    rows.append((board(at(200, 150, button(fixing=SnapFixing(1, 2)))), slack))  # another part holds
    rows.append((board(at(200, 150, stick(76, 40, 80), recess=Recess(100, 70, 6, 9)), bits=ROUTED), CATALOGUE))
    switch = Cutout(rectangle(22, 14), 13.9, 14.6)
    rows.append((board(at(200, 150, replace(button(), cutouts=(switch,))), paint=0.15), CATALOGUE))
    said = set[str]()
    for checked, known in rows:
        report = check(checked, known)
        for finding in report.findings:
            said.update(promises(remedy(finding, report, Unit.MM)))
    unsaid = [form for form, _ in FORMS if not any(re.fullmatch(form, clause) for clause in said)]
    assert not unsaid


def test_several_are_said_as_several() -> None:
    pair = board(*(at(x, 150, NUT, name=n, bore=(24, 8)) for x, n in ((100, "a"), (200, "b"))))
    report = check(pair, CATALOGUE)
    finding = first(pair, "thread-reach", "caution")
    told = message(finding, pair, Unit.MM)
    assert told == "The counterbores of A and B are 24 mm wide; turning the nut takes 28 mm."
    assert remedy(finding, report, Unit.MM) == "Make the counterbores of A and B 28 mm wide."
    tall = stick(90)
    two = board(*(at(x, 150, tall, name=n) for x, n in ((150, "a"), (350, "b"))))
    told = message(first(two, "lever-height", "caution"), two, Unit.MM)
    assert told == "The levers of A and B stand 72 mm above the top face; 50 mm to 65 mm is right."


def test_every_rule_is_covered_and_says_what_it_is() -> None:
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)
    assert {(rule, severity) for rule, severity, *_ in CASES} == {(r.name, s) for r in RULES for s in r.severities}
    assert all(rule.meaning.endswith(".") and rule.source for rule in RULES)


@pytest.mark.parametrize(
    ("fixing", "said"),
    [(nut(width=11), "The nut of A, 11 mm, is"), (plate("under", 90, 60, (0, 0)), "The bolt head of A, 8 mm, is")],
)
def test_a_nut_or_bolt_head_that_pulls_through_is_said_with_its_width(
    fixing: NutFixing | ScrewFixing, said: str
) -> None:
    checked = board(at(200, 150, button(12, fixing=fixing), shop=TWELVE), bits=TWELVE.bits)
    assert message(first(checked, "part-measures", "stop"), checked, Unit.MM) == (
        f"{said} no wider than the 12 mm hole, and pulls through."
    )


def test_a_nut_that_cannot_reach_is_said_as_on_the_bench() -> None:
    checked = board(at(200, 150, replace(NUT, fixing=nut(14, height=3, width=26))), layers=(Layer(MDF, 19.05),))
    finding = first(checked, "thread-reach", "stop")
    assert message(finding, checked, Unit.MM) == (
        "The nut of A cannot reach: the thread is 14 mm, nut and spare thread take 4 mm of it, "
        "and the board is 19.05 mm."
    )
    assert remedy(finding, check(checked, CATALOGUE), Unit.MM) == (
        "Counterbore A 35 mm wide, 9.5 mm deep from the underside; 9.55 mm of board is left."
    )


@pytest.mark.parametrize(
    ("measured", "required", "unit", "said"),
    [
        (4.0, 6.0, Unit.MM, ("4 mm", "6 mm")),
        (11.9999, 12.0, Unit.MM, ("11.99 mm", "12 mm")),  # there is no more than that
        (12.0001, 12.0, Unit.MM, ("12.01 mm", "12 mm")),
        (12.0, 12.0, Unit.MM, ("12 mm", "12 mm")),
        (9.525, 12.7, Unit.INCH, ('3/8"', '1/2"')),
        (12.0, 12.01, Unit.INCH, ('15/32"', '31/64"')),  # 12 / 25.4 · 64 = 30.2
        (0.2, 0.5, Unit.INCH, ('0.007"', '1/32"')),  # 0.2 / 25.4 = 0.0079, 0.5 / 25.4 · 64 = 1.3
    ],
)
def test_two_lengths_are_told_apart(measured: float, required: float, unit: Unit, said: tuple[str, str]) -> None:
    assert say_both(measured, required, unit) == said


def test_many_subjects_are_not_all_listed() -> None:
    row = [at(60 + 50 * k, 150, NUT, name=f"p{k}") for k in range(9)]
    checked = board(*row)
    text = message(first(checked, "thread-reach", "stop"), checked, Unit.MM)
    assert text.startswith("The nuts of P0, P1, P2, P3, P4 and 4 more cannot reach")


def test_a_part_without_a_letter_is_called_by_its_name() -> None:
    checked = board(replace(at(8, 150), label=""))
    assert message(first(checked, "outside-board", "stop"), checked, Unit.MM).startswith("The hole of Button reaches")


def test_fixes_are_named_for_what_they_do() -> None:
    checked, part = board(at(200, 150), at(300, 150, name="b")), button(part_id="long", name="Button, long thread")
    assert fix_label(MoveBy("a", -3.2, 1.0), checked, Unit.MM) == "Move A 3.2 mm to the left and 1 mm to the back"
    assert fix_label(MoveBy("b", 0.0, -25.4), checked, Unit.INCH) == 'Move B 1" to the front'
    bore = CounterboreAt(("a", "b"), 35, 9.5)
    assert fix_label(bore, checked, Unit.MM) == "Counterbore A and B: 35 mm wide, 9.5 mm deep"
    assert fix_label(BuyBit("hole-saw", 57.15), checked, Unit.INCH) == 'Add a 2 1/4" hole saw bit'
    swap = SwapPart(("a",), "long")
    assert fix_label(swap, checked, Unit.MM, catalogue(parts=(part,))) == "Use “Button, long thread” for A"
    assert fix_label(swap, checked, Unit.MM) == "Use “long” for A"


def test_a_button_says_of_a_cut_only_what_it_changes() -> None:
    checked = board(at(200, 150, stick(), recess=Recess(100, 70, 6, 9)), at(400, 150, name="b", bore=(35, 9)))
    labels = (
        (RecessAt(("a",), 100, 70, 6, 8.5), "Recess A: 8.5 mm deep"),
        (RecessAt(("a",), 110, 70, 6, 9), "Recess A: 110 mm × 70 mm, as deep as now"),
        (RecessAt(("a",), 110, 70, 6, 8.5), "Recess A: 110 mm × 70 mm, 8.5 mm deep"),
        (CounterboreAt(("b",), 38, 9), "Counterbore B: 38 mm wide"),
        (CounterboreAt(("b",), 35, 8.5), "Counterbore B: 35 mm wide, 8.5 mm deep"),
    )
    for fix, said in labels:
        assert fix_label(fix, checked, Unit.MM) == said


def test_a_report_sorts_what_is_gravest_first_whatever_the_order_of_placements() -> None:
    placements = [at(18, 150, HANGING), at(300, 150, NUT, name="b"), at(330.5, 150, name="c"), at(24, 40, name="d")]
    one, other = (check(board(*p), CATALOGUE) for p in (placements, reversed(placements)))
    assert one.findings == other.findings
    gravity = [("stop", "caution", "note").index(f.severity) for f in one.findings]
    assert gravity == sorted(gravity) and one.worst == "stop"
    assert one.stops + one.cautions + one.notes == one.findings and one.stops and one.cautions
    assert one.of("d") == tuple(f for f in one.findings if "d" in f.subjects) != ()
    assert check(board(), CATALOGUE).worst is None


def test_a_default_that_is_missing_is_an_error_and_not_a_pass() -> None:
    lacking = catalogue(rules={"flange-gap": 0.5})
    with pytest.raises((KeyError, HolewiseError)):
        check(board(at(200, 150), edges=(EdgeFeature("front", 10),)), lacking)


@pytest.mark.parametrize(("width", "called"), [(28.0, "28 mm"), (25.4 * 9 / 8, '1 1/8"')])
def test_a_hole_keeps_the_name_of_its_size_in_inches(width: float, called: str) -> None:
    """Hardware for a 28 mm hole is known by it wherever it is sold; only what is a fraction is said as one."""
    checked = board(at(200, 150, button(width), shop=TWELVE), bits=TWELVE.bits)
    finding = first(checked, "bit-match", "stop")
    assert message(finding, checked, Unit.INCH).startswith(f"You have no bit for the {called} hole of A, ")
