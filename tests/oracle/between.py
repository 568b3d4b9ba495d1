"""What is expected between two placements: whatever shares heights is judged by the gap seen from above."""

from __future__ import annotations

from itertools import combinations, product

from app.model.resolved import ResolvedBoard
from app.values import replace
from tests.oracle.flat import boxes_apart
from tests.oracle.items import TIE, Item, Limits, Looked, cut_layers, entered, web_limits
from tests.oracle.things import CUTS, Rule, Stuff, Thing, between, heights_between

BELOW = ("body", "plate", "nut", "screw head")
REACH = 40.0  # nothing further apart than this is judged [mm]


def between_placements(board: ResolvedBoard, stuff: list[Stuff], rule: Rule, looked: Looked) -> None:
    """Every pair of things of two placements that share heights and are near each other."""
    slack = 2 * board.tooling.drilling.position
    for one, other in combinations(stuff, 2):
        subjects = frozenset((one.id, other.id))
        for a, b in product(one.things, other.things):
            if boxes_apart(a.flat, b.flat) > REACH:
                continue
            for name, limits, sure in _judged(a, b, board, rule):
                looked.pairs += 1
                worst = between(a, b) - slack
                if worst >= max(limits.caution, limits.stop) + TIE:
                    continue
                kinds = frozenset((a.kind, b.kind))
                looked.items.append(Item(name, subjects, worst, worst, limits.stop, limits.caution, kinds, sure=sure))


def _judged(a: Thing, b: Thing, board: ResolvedBoard, rule: Rule) -> list[tuple[str, Limits, bool]]:
    """By which rule two things are judged, by which limits, and whether that is sure; none if they do no harm."""
    kinds = {a.kind, b.kind}
    if "screw" in kinds:
        return _screwed(a, b, board, rule)
    if heights_between(a, b) >= 0:
        return []
    if "lever" in kinds:
        return _levers(a, b)
    if kinds == {"hole"}:
        return [("web", web_limits(board.layers, max(a.width, b.width)), True)]
    cuts = [t for t in (a, b) if t.kind in CUTS]
    if cuts and kinds <= {"hole", *CUTS}:
        layers = cut_layers(board.layers, min(t.deep for t in cuts))
        return [("under-clash", web_limits(layers, max(a.width, b.width)), True)]
    if max(a.low, b.low) >= 0:
        return [("flange-overlap", Limits(0.0, rule("flange-gap")), True)]
    if "hole" in kinds:
        return [("under-clash", Limits(0.0, rule("mouth-gap")), True)]
    gap = rule("spanner-room") if "nut" in kinds else rule("body-gap")
    return [("under-clash", Limits(0.0, gap), True)]


def _levers(a: Thing, b: Thing) -> list[tuple[str, Limits, bool]]:
    kinds = {a.kind, b.kind}
    if kinds == {"lever"}:
        return [("lever-sweep", Limits(-a.throw - b.throw, 0.0), True)]
    if kinds == {"lever", "flange"}:
        lever, flange = (a, b) if a.kind == "lever" else (b, a)
        clear = flange.high - lever.low  # the heights are no distance seen from above, but a tie all the same
        return [("lever-sweep", Limits(-lever.throw, 0.0), clear > TIE)]
    return []


def _screwed(a: Thing, b: Thing, board: ResolvedBoard, rule: Rule) -> list[tuple[str, Limits, bool]]:
    """Screws against holes, what is cut, and screws, unless enough board lies between their heights."""
    if not {a.kind, b.kind} <= {"screw", "hole", *CUTS}:
        return []
    floor, gap = rule("screw-pilot-floor"), heights_between(a, b)
    same_face = "hole" not in (a.kind, b.kind) and a.face == b.face
    sure = gap < floor - TIE
    if gap >= floor + TIE and not same_face:
        return []
    if same_face and gap >= 0:
        sure = False  # one starts at the floor of its own recess, above the other: the text does not say
    width = max(a.width, b.width)
    cut = [entered(board.layers, t.face, t.deep, t.width) for t in (a, b) if t.kind == "screw"]
    found = [("screw-distance", web_limits([layer], width), sure) for layer in cut]
    if len(found) == 2:  # two faces of different materials: the stricter may be asked, the milder must
        mild = min(found, key=lambda f: (f[1].stop, f[1].caution))
        return [mild, *((name, limits, False) for name, limits, _ in found if limits != mild[1])]
    return found


def unsure(item: Item) -> Item:
    """The same item, of which a finding may come but need not."""
    return replace(item, sure=False)
