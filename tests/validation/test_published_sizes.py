"""Sizes in the catalogue against the standards and tables that publish them.

Expected values are the published figures themselves or formulas; the source stands beside each.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from app.catalogue.load import catalogue
from app.model.part import NutFixing, Part, ScrewFixing
from app.model.tooling import Bit, Tooling

INCH = Fraction(254, 10)  # exact by definition, since 1959


def inch(text: str) -> float:
    """``"1 1/8"`` as millimetres, rounded once."""
    return float(sum((Fraction(word) for word in text.split()), Fraction(0)) * INCH)


# Papers ---------------------------------------------------------------------------------------------------


def test_a_series_is_halved_from_one_square_metre() -> None:
    """ISO 216: A0 has 1 m², sides as 1 : √2; each next size is half the one before, rounded down."""
    a0 = (1000 / 2**0.25, 1000 * 2**0.25)
    width, height = (round(side) for side in a0)
    assert (width, height) == (841, 1189)
    sizes = {}
    for n in range(5):
        sizes[f"a{n}"] = (width, height)
        width, height = height // 2, width
    papers = catalogue().papers
    for name in ("a3", "a4"):
        assert (papers[name].width, papers[name].height) == sizes[name]


@pytest.mark.parametrize(
    ("name", "width", "height"),
    [("letter", "8 1/2", "11"), ("tabloid", "11", "17"), ("legal", "8 1/2", "14")],
)
def test_inch_papers(name: str, width: str, height: str) -> None:
    """ASME Y14.1: size A 8.5 × 11, size B 11 × 17 in; legal, 8.5 × 14 in, is a trade size."""
    paper = catalogue().papers[name]
    assert (paper.width, paper.height) == (inch(width), inch(height))


# Bits -----------------------------------------------------------------------------------------------------

# Inch is exactly 25.4 mm; the decimals as printed in any drill table.
DRILL_TABLE = {
    "1/16": 1.5875, "5/64": 1.984375, "3/32": 2.38125, "7/64": 2.778125, "1/8": 3.175, "9/64": 3.571875,
    "5/32": 3.96875, "11/64": 4.365625, "3/16": 4.7625, "7/32": 5.55625, "1/4": 6.35, "5/16": 7.9375,
    "3/8": 9.525, "1/2": 12.7, "5/8": 15.875, "3/4": 19.05, "7/8": 22.225, "15/16": 23.8125, "1": 25.4,
    "1 1/16": 26.9875, "1 1/8": 28.575, "1 3/16": 30.1625, "1 1/4": 31.75, "1 3/8": 34.925,
}  # fmt: skip


def inch_bits() -> tuple[Bit, ...]:
    return catalogue().bit_sets["inch"]


@pytest.mark.parametrize(("text", "mm"), DRILL_TABLE.items())
def test_inch_bits_are_exact(text: str, mm: float) -> None:
    assert inch(text) == mm
    assert mm in {b.diameter for b in inch_bits()}


def test_every_inch_bit_is_a_fraction_a_rule_has() -> None:
    for bit in inch_bits():
        parts = Fraction(bit.diameter).limit_denominator(10**9) / INCH * 64
        assert parts.denominator == 1, bit


def test_inch_forstner_bits_go_by_eighths() -> None:
    """From 1/4 to 2-1/8 in by 1/8, and 15/16, 1-1/16, 1-3/16 in larger sets: trade, from memory."""
    by_eighths = {float(Fraction(n, 8) * INCH) for n in range(2, 18)}
    larger = {inch("15/16"), inch("1 1/16"), inch("1 3/16")}
    assert {b.diameter for b in inch_bits() if b.kind == "forstner"} == by_eighths | larger


def test_metric_forstner_bits() -> None:
    """Trade, from memory; 35 mm read in a hinge maker's catalogue."""
    sold = {10, 12, 15, 16, 18, 20, 22, 24, 25, 26, 28, 30, 32, 35, 38, 40, 45, 50}
    assert {b.diameter for b in catalogue().bit_sets["metric"] if b.kind == "forstner"} == sold


def test_every_metric_bit_is_a_tenth_of_a_millimetre() -> None:
    """ISO 235: drills go by 0.1 mm; from memory."""
    for bit in catalogue().bit_sets["metric"]:
        assert bit.diameter == round(bit.diameter, 1)


def test_the_inch_bit_on_hand_for_a_metric_hole() -> None:
    """28 takes 1-1/8 (+0.575 mm), 30 takes 1-3/16 (+0.1625); 15/16 is 0.1875 too tight for 24."""
    c = catalogue()
    shop = Tooling(c.allowances["hand"], c.bit_sets["inch"], c.papers["letter"])

    def bit(part: str) -> Bit | None:
        cutout = c.parts[part].cutouts[0]
        return shop.bit_for(cutout.width, cutout.smallest, cutout.largest)

    for part, text in (("button-28-nut-long", "1 1/8"), ("button-30-snap", "1 3/16"), ("button-24-nut-long", "1")):
        found = bit(part)
        assert found is not None and found.diameter == inch(text)
    assert bit("button-24-snap") is None
    assert inch("15/16") - 24 == -0.1875


# Screws and nuts ------------------------------------------------------------------------------------------

# ISO 273, clearance holes: fine (H12), medium (H13), coarse (H14).
ISO_273 = {
    2.5: (2.7, 2.9, 3.1), 3: (3.2, 3.4, 3.6), 3.5: (3.7, 3.9, 4.2), 4: (4.3, 4.5, 4.8), 5: (5.3, 5.5, 5.8),
    6: (6.4, 6.6, 7.0), 8: (8.4, 9.0, 10.0),
}  # fmt: skip

# DIN 934 hexagon nuts: across flats, across corners (least), height. M3 to M8 read; M10 to M16 from memory.
DIN_934 = {
    3: (5.5, 6.01, 2.4), 4: (7, 7.66, 3.2), 5: (8, 8.79, 4), 6: (10, 11.05, 5), 8: (13, 14.38, 6.5),
    10: (17, 18.9, 8), 12: (19, 21.1, 10), 16: (24, 26.75, 13),
}  # fmt: skip


def through_screws() -> list[tuple[Part, ScrewFixing]]:
    """Parts whose screws go right through holes of their own."""
    return [
        (p, p.fixing)
        for p in catalogue().parts.values()
        if isinstance(p.fixing, ScrewFixing) and any(c.shape.centre in p.fixing.holes for c in p.cutouts)
    ]


@pytest.mark.parametrize(("part", "fixing"), through_screws(), ids=[p.id for p, _ in through_screws()])
def test_holes_for_screws_are_iso_273_medium(part: Part, fixing: ScrewFixing) -> None:
    fine, medium, coarse = ISO_273[fixing.screw_diameter]
    holes = [c for c in part.cutouts if c.shape.centre in fixing.holes]
    assert len(holes) == len(fixing.holes)
    for hole in holes:
        assert (hole.smallest, hole.width, hole.largest) == (fine, medium, coarse)


# ASME B18.2.8, table 3b: inch drills for metric screws, normal fit. Number drills: #29 is 0.136 in, #16 0.177 in.
B18_2_8_METRIC = {3: 0.136 * INCH, 4: 0.177 * INCH, 5: 7 / 32 * INCH}
# The same standard, table 3a: holes for inch screws, close and normal, as mm drills; #8 is 0.164 in thick.
B18_2_8_INCH = {4: (0.164 * INCH, 4.6, 5.0)}


@pytest.mark.parametrize(("part", "fixing"), through_screws(), ids=[p.id for p, _ in through_screws()])
def test_holes_for_screws_take_the_drills_of_the_american_standard(part: Part, fixing: ScrewFixing) -> None:
    """Who drills by ASME B18.2.8 for the metric screw, or closely for the next inch one, is not turned away."""
    normal = B18_2_8_METRIC[int(fixing.screw_diameter)]
    for hole in (c for c in part.cutouts if c.shape.centre in fixing.holes):
        assert hole.smallest <= normal <= hole.largest
        assert normal == pytest.approx(hole.width, abs=0.1)
        for screw, close, loose in (B18_2_8_INCH[d] for d in B18_2_8_INCH if d == fixing.screw_diameter):
            assert screw < hole.smallest <= close <= hole.largest < loose, "an inch screw of normal fit is another hole"


@pytest.mark.parametrize("screw", sorted(B18_2_8_METRIC))
def test_the_two_standards_agree_to_a_drill_s_step(screw: int) -> None:
    fine, medium, coarse = ISO_273[screw]
    assert fine <= B18_2_8_METRIC[screw] <= coarse
    assert B18_2_8_METRIC[screw] == pytest.approx(medium, abs=0.1)


def test_every_screw_is_a_metric_size() -> None:
    """ISO 262 selected sizes; 3.5 as in ISO 273."""
    for part in catalogue().parts.values():
        if isinstance(part.fixing, ScrewFixing):
            assert part.fixing.screw_diameter in ISO_273, part.id


@pytest.mark.parametrize(("thread", "flats"), [(12, 14), (16, 19)])
def test_panel_nuts_are_smaller_than_the_full_nut_of_their_thread(thread: int, flats: float) -> None:
    """A hexagon is wider across corners by 1/cos 30°; DIN 934 gives the full nut. Panel nuts: trade, from memory."""
    nut = catalogue().parts[f"button-{thread}-nut-short"].fixing
    assert isinstance(nut, NutFixing)
    assert nut.nut_width == pytest.approx(flats / math.cos(math.radians(30)), abs=0.1)
    full_flats, full_corners, full_height = DIN_934[thread]
    assert thread < flats <= full_flats
    assert nut.nut_width < full_corners
    assert nut.nut_height < full_height


def test_the_nut_table_is_a_table_of_hexagons() -> None:
    """Guards the figures above against a slip of the pen: least corners are 1.09 to 1.155 times the flats."""
    for flats, corners, height in DIN_934.values():
        assert 1.09 < corners / flats < 1 / math.cos(math.radians(30)) + 1e-9
        assert height < flats


# Boards ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("material", "text", "mm"),
    [("mdf", "3/4", 19.05), ("mdf", "5/8", 15.875), ("mdf", "1/2", 12.7), ("plywood", "3/4", 19.05),
     ("acrylic", "1/4", 6.35), ("acrylic", "1/8", 3.175)],
)  # fmt: skip
def test_inch_boards_are_exact(material: str, text: str, mm: float) -> None:
    assert inch(text) == mm
    assert mm in catalogue().materials[material].thicknesses


def test_metric_boards() -> None:
    """Metric stock 3, 6, 9, 12, 15, 16, 18, 22, 25 mm: trade, from memory."""
    assert {3, 6, 9, 12, 15, 16, 18, 22, 25} <= set(catalogue().materials["mdf"].thicknesses)


def test_18_mm_is_not_three_quarters_of_an_inch() -> None:
    sizes = catalogue().materials["mdf"].thicknesses
    assert {18.0, 19.05} <= set(sizes)
    assert inch("3/4") - 18 == pytest.approx(1.05)


# US PS 1-19, unsanded plywood: least and greatest thickness by performance category.
PS_1 = {
    "1/4": (5.56, 7.14), "3/8": (8.73, 10.32), "15/32": (11.11, 12.70), "1/2": (11.91, 13.49),
    "19/32": (14.29, 15.88), "5/8": (15.08, 16.67), "23/32": (17.46, 19.05), "3/4": (18.26, 19.84),
}  # fmt: skip


@pytest.mark.parametrize(("category", "least", "most"), [(k, *v) for k, v in PS_1.items()])
def test_a_plywood_category_is_a_range_not_a_thickness(category: str, least: float, most: float) -> None:
    """PS 1: ±1/32 in on categories up to 13/16, so the name tells the board only to 1.6 mm."""
    assert least == pytest.approx(inch(category) - inch("1/32"), abs=0.006)
    assert most == pytest.approx(inch(category) + inch("1/32"), abs=0.006)


LONG = [p for p in catalogue().parts.values() if p.id.endswith("nut-long")]


@pytest.mark.parametrize("part", LONG, ids=[p.id for p in LONG])
def test_long_threads_hold_the_thickest_three_quarter_plywood(part: Part) -> None:
    assert isinstance(part.fixing, NutFixing)
    assert part.fixing.grip >= PS_1["3/4"][1]


def test_a_short_thread_needs_the_measured_thickness() -> None:
    """Over the range of 3/4 in plywood a counterbore's depth changes by three steps of half a millimetre."""
    nut = catalogue().parts["button-28-nut-short"].fixing
    assert isinstance(nut, NutFixing)
    step = catalogue().rule("counterbore-step-mm")
    depths = [math.ceil((thickness - nut.grip) / step) * step for thickness in PS_1["3/4"]]
    assert depths[1] - depths[0] >= 1.5


@pytest.mark.parametrize(
    ("material", "least", "most"),
    [
        ("mdf", 497, 881),  # 31 to 55 lb/ft³, panel glossary
        ("plywood", 400, 750),  # 400 to 600 in a handbook for softwood; birch to 700 and more, from memory
        ("acrylic", 1180, 1200),  # 1.19 in five data sheets
        ("aluminium", 2680, 2700),  # data sheets of 5052-H32 and 6061-T6
        ("steel", 7850, 7850),  # EN 1991-1-1, from memory
    ],
)
def test_densities(material: str, least: float, most: float) -> None:
    assert least <= catalogue().materials[material].density <= most


# Plates ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("frame", "spacing", "bore"),
    [(40, 32, 37), (60, 50, 57), (80, 71.5, 75), (92, 82.5, 89), (120, 105, 116), (140, 124.5, 136)],
)
def test_fans(frame: int, spacing: float, bore: float) -> None:
    """Hole spacing as published by an open library of parts and makers' drawings; so are bores, but 92 and 140."""
    fan = catalogue().parts[f"fan-{frame}"]
    assert isinstance(fan.fixing, ScrewFixing)
    assert set(fan.fixing.holes) == {(sx * spacing / 2, sy * spacing / 2) for sx in (-1, 1) for sy in (-1, 1)}
    opening = fan.cutouts[0]
    assert opening.smallest >= bore, "the opening is at least as wide as the rotor's bore"
    assert opening.largest <= frame - 1.5, "a maker recommends the frame less 1.5 mm"
    assert fan.body.shape.size == (frame, frame)
    web = math.hypot(spacing, spacing) / 2 - opening.largest / 2 - 4.8 / 2
    small = 40, 60  # their screws stand nearer to the opening: what is left there, the rules say
    assert frame in small or web >= catalogue().materials["mdf"].limits.web_caution.required(18)


def test_the_display_bracket() -> None:
    """Flat display mounting interface, size D: 100 × 100 mm, M4; corners 70.711 mm from the centre."""
    bracket = catalogue().parts["bracket-display-100"]
    assert [math.hypot(*c.shape.centre) for c in bracket.cutouts] == pytest.approx([100 / math.sqrt(2)] * 4)


def test_the_speaker() -> None:
    """4 in pattern: screws on a circle of 115 mm, so 115/√2 = 81.3 mm apart (80 published)."""
    speaker = catalogue().parts["speaker-100"]
    assert isinstance(speaker.fixing, ScrewFixing)
    for x, y in speaker.fixing.holes:
        assert 2 * math.hypot(x, y) == pytest.approx(115, abs=0.02)
    assert speaker.flange is not None
    assert speaker.cutouts[0].largest < 115 < speaker.flange.shape.size[0], "cut-out < screws < flange"


def test_the_round_socket() -> None:
    """Hole 24, screws at 19 × 24, flange 26 × 31 mm: trade, from memory."""
    socket = catalogue().parts["socket-round-24"]
    assert isinstance(socket.fixing, ScrewFixing) and socket.flange is not None
    (ax, ay), (bx, by) = socket.fixing.holes
    assert (abs(ax - bx), abs(ay - by)) == (19, 24)
    assert socket.flange.shape.size == (26, 31)
    assert socket.cutouts[0].width == 24


def test_the_flat_data_socket() -> None:
    """Connector drawing: opening 13.55 × 6.00 recommended, 13.05 × 5.5 least; shell 12.5 × 5.12 mm."""
    opening = catalogue().parts["socket-plug-14x6"].cutouts[0]
    assert opening.shape.size == pytest.approx((13.55, 6.0))
    assert opening.smallest == 5.5 > 5.12


@pytest.mark.parametrize(("part", "ball"), [("trackball-57", "2 1/4"), ("trackball-76", "3")])
def test_a_trackball_passes_its_hole(part: str, ball: str) -> None:
    assert catalogue().parts[part].cutouts[0].smallest > inch(ball)


# Defaults -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("finger-gap-one", 13),  # NUREG-0700 Rev. 3, Table 11.5
        ("check-bar-inch", 4 * 25.4),
        ("reference-square-inch", 2 * 25.4),
        ("counterbore-step-inch", 25.4 / 64),
        ("marking-step-inch", 25.4 / 32),
        ("paper-margin-least", 25.4 / 4),
        ("paper-most", 200 * 25.4),  # ISO 32000-1, annex C: 14 400 units of 1/72 in
        ("screw-edge", 12),  # a panel trade body's advice for MDF
        ("screw-corner", 25),
    ],
)
def test_defaults_that_somebody_publishes(name: str, value: float) -> None:
    assert catalogue().rule(name) == pytest.approx(value, abs=1e-9)


def test_sheets_overlap_by_more_than_a_paper_may_be_off() -> None:
    """ISO 216: sides from 150 to 600 mm may be off by 2 mm; from memory."""
    assert catalogue().rule("tile-overlap") > 2
