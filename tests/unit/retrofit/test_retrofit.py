"""What becomes of each hole of a drilled board: kept, enlarged, plugged, covered, or the board made anew.

Expected figures are the moves and sizes that the test itself makes, with the catalogue's own rows: MDF keeps a web of
3 mm, a drill press is off by 0.5 mm (both common practice, no source).
"""

from __future__ import annotations

import pytest

from app.catalogue.load import catalogue
from app.errors import EditError
from app.fit.report.report import check
from app.model.as_built import AsBuilt, CutKey, Mark
from app.model.resolved import ResolvedBoard
from app.retrofit.retrofit import OldStep, Retrofit, retrofit
from app.retrofit.words import minutes_words, new_words, old_words, verdict_words
from app.units import Unit
from app.values import replace
from tests.boards.dense_boards import dense_board
from tests.boards.drilled_boards import NUT_24, NUT_28, NUT_30, Button, drilled_board

STICK = "stick-plate-95x53"
OLD: list[Button] = [("p0", 60, 100, NUT_28), ("p1", 150, 100, NUT_28), ("p2", 240, 100, NUT_28)]
RULE = catalogue().rule
OFF = 2 * drilled_board(OLD).tooling.drilling.position


def found(new: list[Button], old: list[Button] = OLD, **chosen: str) -> Retrofit:
    return retrofit(drilled_board(old), drilled_board(new), catalogue(), {f"{k}/hole-1": v for k, v in chosen.items()})


def step(of: Retrofit, placement: str) -> OldStep:
    return next(s for s in of.old_steps if s.cut.key == CutKey(placement, "hole"))


def one(x: float, y: float, part: str = NUT_28) -> list[Button]:
    """The board with its middle button elsewhere, or another."""
    return [OLD[0], ("p1", x, y, part), OLD[2]]


def said(of: Retrofit, placement: str = "p1") -> str:
    return old_words(step(of, placement), of, Unit.MM)


def test_a_wider_hole_about_the_same_centre_is_enlarged_with_a_guide() -> None:
    wider = found(one(150, 100, NUT_30))
    assert step(wider, "p1").taken.kind == "enlarge" and step(wider, "p1").guide
    assert wider.minutes == RULE("retrofit-drill") + RULE("retrofit-guide")
    assert said(wider) == "Enlarge it to 30 mm for B, with a guide block: its centre is the old one."
    assert wider.verdict == "retrofit" and not wider.gained


@pytest.mark.parametrize(("off", "kind"), [(0.45, "enlarge"), (0.55, "plug")])
def test_a_guide_block_takes_an_old_hole_only_where_the_new_one_holds_it_at_worst(off: float, kind: str) -> None:
    """30 mm hold 28 mm that are 0.5 mm aside, and the guide's own 0.5 mm: 15 − 14 − 0.5 = 0.5."""
    assert step(found(one(150 + off, 100, NUT_30)), "p1").taken.kind == kind


def test_a_hole_that_moved_far_is_plugged_and_drilled_anew() -> None:
    far = found(one(150, 50))
    assert step(far, "p1").taken.kind == "plug" and step(far, "p1").taken.wide == 28
    assert far.minutes == RULE("retrofit-plug") + RULE("retrofit-drill")
    assert said(far) == "Glue in a plug of 28 mm, its grain along the board’s."
    new = next(s for s in far.new_steps if s.kept is None)
    assert new_words(new, Unit.MM) == "Drill 28 mm, at 150 mm from the left and 50 mm from the front."


def test_a_hole_beside_its_plug_keeps_the_web_or_the_plug_is_made_wider() -> None:
    least = 3.0 + OFF  # between rims, at worst
    clear = found(one(150, 100 + 28 + least))
    assert not step(clear, "p1").taken.bored
    near = found(one(150, 100 + 28 + least - 0.5))
    assert step(near, "p1").taken.bored
    wide = step(near, "p1").taken.wide
    assert wide > 28 and (27.5 + least) - wide / 2 - 14 < 0  # it runs into the plug instead
    assert near.minutes == clear.minutes + RULE("retrofit-guide") + RULE("retrofit-drill")
    assert "Bore it out to" in said(near) and "What is cut for B goes into it." in said(near)
    assert "wait until the glue is dry" in new_words(next(s for s in near.new_steps if s.kept is None), Unit.MM)


def test_a_narrower_hole_leaves_enough_of_the_plug() -> None:
    narrower = found(one(150, 100, NUT_24))
    taken = step(narrower, "p1").taken
    assert taken.kind == "plug"
    assert (taken.wide - 24) / 2 >= 3.0 + OFF  # a ring that holds
    assert (taken.wide - 1 - 24) / 2 < 3.0 + OFF  # and a plug one step narrower would not do


def test_a_hole_wide_enough_for_its_part_is_kept() -> None:
    """A mark says that a hole came out 28.6 mm wide; the part takes up to its largest hole."""
    board = drilled_board(OLD)
    most = board.placements[1].part.cutouts[0].largest
    for wide, kind in ((most, "keep"), (most + 0.6, "plug")):
        mark = Mark(CutKey("p1", "hole"), "through", "top", (150.0, 100.0), (0.0, 0.0), 28.0, measured=wide, name="B")
        others = [
            Mark(CutKey(p.id, "hole"), "through", "top", (p.x, p.y), (0.0, 0.0), 28.0, name=p.label)
            for p in board.placements
            if p.id != "p1"
        ]
        real = retrofit(replace(board, as_built=AsBuilt((mark, *others))), board, catalogue())
        assert step(real, "p1").taken.kind == kind
        assert step(real, "p0").taken.kind == "keep"


def test_a_hole_that_would_harm_as_another_one_is_kept_as_its_own() -> None:
    """28 and 30 mm about one place: the wide one would do for the narrow part, but leave too little web beside it."""
    both = [("p1", 195.0, 67.5, NUT_28), ("p2", 195.0, 67.5, NUT_30)]
    moved = found([("p0", 163.5, 82.5, NUT_30), *both], [("p0", 157.5, 82.5, NUT_30), *both])
    assert [(s.kept and s.kept.key.placement) for s in moved.new_steps] == [None, "p1", "p2"]
    assert not moved.reasons and moved.verdict == "retrofit"


def marked(board: ResolvedBoard, *marks: Mark) -> ResolvedBoard:
    return replace(board, as_built=AsBuilt(marks))


def test_as_built_counts_only_what_was_drilled_where_it_really_is() -> None:
    board, off = drilled_board(OLD), drilled_board(OLD).tooling.drilling.position
    near = Mark(CutKey("p0", "hole"), "through", "top", (60.0, 100.0), (off, 0.0), 28.0, name="A")
    far = Mark(CutKey("p1", "hole"), "through", "top", (150.0, 100.0), (off + 2.5, 0.0), 28.0, name="B")
    real = retrofit(marked(board, near, far), board, catalogue())
    assert [s.cut.key.placement for s in real.old_steps] == ["p0", "p1"]
    assert step(real, "p0").taken.kind == "keep"
    assert step(real, "p1").taken.kind == "plug"
    assert step(real, "p1").cut.shape.centre == (150.0 + off + 2.5, 100.0)
    assert [s.cut.key.placement for s in real.new_steps if s.kept is None] == ["p1", "p2"]


def test_a_pilot_leads_the_bit_and_a_spoilt_hole_is_not_kept() -> None:
    board = drilled_board(OLD)
    pilot = Mark(CutKey("p0", "hole"), "pilot", "top", (60.0, 100.0), (0.0, 0.0), 3.0, name="A")
    spoilt = Mark(CutKey("p1", "hole"), "through", "top", (150.0, 100.0), (0.0, 0.0), 28.0, spoilt=True, name="B")
    real = retrofit(marked(board, pilot, spoilt), board, catalogue())
    assert step(real, "p0").taken.kind == "enlarge" and not step(real, "p0").guide
    assert step(real, "p1").taken.kind == "plug"


def test_a_small_hole_under_a_flange_stays_where_it_does_no_harm() -> None:
    """A small hole under a stick's washer has no web to the stick's hole, so it is plugged; within it, it goes."""
    small: list[Button] = [OLD[0], ("p3", 150, 100, "button-12-nut-short")]
    within = found([OLD[0], ("p1", 152, 101, STICK)], small)
    assert step(within, "p3").taken.kind == "enlarge"
    beside = found([OLD[0], ("p1", 166, 100, STICK)], small)
    assert step(beside, "p3").taken.kind == "plug"


def test_screw_pilots_below_stay_where_nothing_minds_them() -> None:
    old: list[Button] = [("p0", 100, 100, STICK), OLD[2]]
    gone = found([OLD[2]], old)
    kinds = {s.cut.name: s.taken for s in gone.old_steps if s.cut.key.sort == "screw"}
    assert len(kinds) == 4
    assert all(taken.kind == "open" and taken.hidden == "below" for taken in kinds.values())
    assert step(gone, "p0").taken.kind == "plug"
    assert gone.minutes == RULE("retrofit-plug")
    assert {i for f in gone.gained for i in f.subjects} == set()


def test_thickness_and_outline_ask_for_a_new_board() -> None:
    old = drilled_board(OLD)
    thinner = retrofit(old, drilled_board(OLD, thickness=12.0), catalogue())
    assert thinner.verdict == "anew" and thinner.reasons == ("It is 18 mm thick, and the new one is 12 mm.",)
    larger = retrofit(old, drilled_board(OLD, size=(320.0, 200.0)), catalogue())
    assert larger.verdict == "anew" and "wood is missing" in larger.reasons[0]
    smaller = retrofit(old, drilled_board(OLD, size=(290.0, 200.0)), catalogue())
    assert smaller.verdict == "retrofit" and smaller.minutes == RULE("retrofit-trim")
    through = retrofit(old, drilled_board(OLD[:2], size=(245.0, 200.0)), catalogue())
    assert through.verdict == "anew" and "would run through the old hole of C" in through.reasons[0]


def test_a_board_is_made_anew_where_that_is_less_work() -> None:
    moved = [(ident, x, 60.0, part) for ident, x, _, part in OLD]
    few = found(moved)
    assert few.minutes == 3 * (RULE("retrofit-plug") + RULE("retrofit-drill")) < few.anew
    old: list[Button] = [(f"p{k}", 40 + 55 * (k % 5), 50 + 60 * (k // 5), NUT_28) for k in range(10)]
    new = [(ident, x, y + 6, part) for ident, x, y, part in old]
    many = found(new, old)
    assert many.anew == RULE("retrofit-board") + 10 * RULE("retrofit-drill")
    assert many.verdict == "dearer" and many.minutes > many.anew
    assert verdict_words(many).startswith("A new board is less work: about 2 h 40 min")


def test_a_hole_too_wide_to_plug_asks_for_a_new_board() -> None:
    """A mark of a hole of 80 mm, wider than any plug."""
    board = drilled_board(OLD)
    wide = Mark(CutKey("x", "hole"), "through", "top", (150.0, 100.0), (0.0, 0.0), 80.0, name="X")
    real = retrofit(marked(board, wide), drilled_board([OLD[0]]), catalogue())
    assert real.verdict == "anew"
    assert real.reasons == ("The old hole of X is too wide to plug, and nothing covers it.",)
    assert verdict_words(real).startswith("This takes a new board")


def test_the_builder_chooses_another_way() -> None:
    plugged = found(one(150, 100, NUT_30), p1="plug")
    assert step(plugged, "p1").taken.kind == "plug" and step(plugged, "p1").wanted
    open_one = found([OLD[0], OLD[2]], p1="open")
    assert open_one.minutes == 0 and open_one.told == ("The old hole of B stays open in the top face.",)
    assert open_one.final.placed("~old/p1/hole-1") is not None
    with pytest.raises(EditError, match=r"cannot be dealt with by “enlarge”. Choose one of: plug, open"):
        found([OLD[0], OLD[2]], p1="enlarge")


def test_an_open_hole_beside_a_new_one_is_found_by_the_rules() -> None:
    """Left open by choice, 2 mm from the new hole: MDF asks for 3 mm."""
    near = found([OLD[0], ("p4", 180, 100, NUT_28), OLD[2]], p1="open")
    assert any(f.rule == "web" and f.severity == "stop" and "~old/p1/hole-1" in f.subjects for f in near.gained)
    assert near.verdict == "anew"


@pytest.mark.parametrize(("minutes", "words"), [(0, "0 min"), (59, "59 min"), (60, "1 h"), (112, "1 h 50 min")])
def test_minutes_are_said_as_a_builder_says_them(minutes: float, words: str) -> None:
    assert minutes_words(minutes) == words


def test_an_old_counterbore_about_a_kept_hole_stays_where_its_part_does_not_mind() -> None:
    """The nut of the same button holds the board as well where the counterbore was for it, and not where it is deep."""
    bored, plain = dense_board(4, 60.0, 24.0), dense_board(4, 60.0)
    back = retrofit(bored, plain, catalogue())
    pockets = [s for s in back.old_steps if s.cut.work == "counterbore"]
    assert len(pockets) == 4 and not back.reasons
    assert {s.taken.kind for s in pockets} <= {"open", "plug"}
    fresh = check(plain, catalogue()).findings
    lasting = check(bored, catalogue()).findings  # the same parts with the counterbore: what leaving it comes to
    worse = {f.subjects for f in lasting if f.severity != "note"} - {f.subjects for f in fresh}
    assert {s.taken.kind for s in pockets} == ({"plug"} if worse else {"open"})
    there = retrofit(plain, bored, catalogue())
    new = [s for s in there.new_steps if s.cut.work == "counterbore"]
    assert len(new) == 4 and all(s.guide for s in new)  # the hole is there: no wood for the point
    assert there.minutes == 4 * (RULE("retrofit-bore") + RULE("retrofit-guide"))
