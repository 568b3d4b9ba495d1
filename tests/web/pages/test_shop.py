"""The shop page: bits, the bit for each hole, method, thickness, paint; and what a change of bits changes."""

from __future__ import annotations

import io
import re
from html import unescape

import pytest
from ezdxf import filemanagement
from starlette.testclient import TestClient

from app.document.schema import Design
from app.document.where import Where
from app.service.checks.bits import BitUse, bit_uses
from app.service.workshop import Workshop
from tests.reading.measure import pdf_circles

INCH = 25.4


def shop(workshop: Workshop, deck: str) -> Design:
    return workshop.design(deck)[1]


def post(client: TestClient, deck: str, verb: str, **values: str) -> str:
    status = int(values.pop("status", "200"))
    answer = client.post(f"/designs/{deck}/shop/{verb}", data={"unit": "mm", **values})
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def dxf_widths(data: bytes) -> list[float]:
    """Diameters of every circle of the exchange drawing, as ezdxf reads them [mm]."""
    file = filemanagement.read(io.StringIO(data.decode("utf-8")))
    return [2 * float(circle.dxf.radius) for circle in file.modelspace().query("CIRCLE")]


def test_every_hole_has_its_bit_with_the_signed_difference(client: TestClient, workshop: Workshop, deck: str) -> None:
    page = unescape(client.get(f"/designs/{deck}/shop").text)
    assert "12 holes" in page
    assert "28 mm Forstner" in page
    post(client, deck, "bits-take", set="inch")
    page = unescape(client.get(f"/designs/{deck}/shop").text)
    # 1 1/8 in is 28.575 mm, 15/16 in 23.8125 mm, 1 in 25.4 mm (exact: 1 in = 25.4 mm).
    assert '1 1/8" Forstner' in page
    assert "+0.575 mm" in page
    assert "−0.188 mm" not in page, "a 15/16 in hole does not let a 24 mm body in"
    inch = unescape(client.get(f"/designs/{deck}/shop?units=inch").text)
    # 23.9 mm is 0.941 in: rounded to 15/16 in, 23.81 mm, the range would name a bit that will not do.
    assert '0.941" to 1" will do' in inch
    assert "15/16" not in inch.partition("In your workshop ·")[0]
    uses = {use.nominal: use for use in bit_uses(workshop.look(deck, Where()).checked) if use.sort == "hole"}
    assert uses[28.0].difference == pytest.approx(1.125 * INCH - 28.0, abs=1e-9)
    assert uses[24.0].difference == pytest.approx(INCH - 24.0, abs=1e-9)
    assert uses[28.0].enters and uses[28.0].covered and uses[28.0].reaches
    assert uses[24.0].enters and uses[24.0].covered


def test_another_bit_is_another_hole_on_every_drawing(client: TestClient, workshop: Workshop, deck: str) -> None:
    base = f"/designs/{deck}"
    before = dxf_widths(client.get(f"{base}/drawing.dxf").content)
    assert before.count(28.0) == 14
    post(client, deck, "bits-take", set="inch")
    after = dxf_widths(client.get(f"{base}/drawing.dxf").content)
    wide = [w for w in after if w == pytest.approx(28.575, abs=1e-6)]
    assert len(wide) == 14
    assert 28.0 not in after
    assert len(after) == len(before)
    svg = client.get(f"{base}/drawing.svg").text
    assert len(re.findall(r'\br="14\.2875"', svg)) >= 14
    paper = pdf_circles(client.get(f"{base}/template.pdf?paper=900x1200").content, 1)
    assert sum(c.diameter == pytest.approx(28.575, abs=0.01) for c in paper) == 14
    assert not any(c.diameter == pytest.approx(28.0, abs=0.1) for c in paper)
    holes = [h for p in workshop.look(deck, Where()).checked.resolved.placements for h in p.holes]
    assert {h.diameter for h in holes} == {28.575, 25.4}


def test_metric_hardware_keeps_its_name_in_inches(client: TestClient, deck: str) -> None:
    """A 28 mm hole is one in inches too, whatever bit makes it; 1 7/64", the nearest fraction, is on no label."""
    post(client, deck, "bits-take", set="inch")
    board, bits = (
        unescape(client.get(f"/designs/{deck}{path}").text) for path in ("?units=inch&select=b", "/shop?units=inch")
    )
    assert '28 mm hole (1 1/8" Forstner bit)' in board
    assert "Needs <strong>28 mm</strong>" in bits
    assert '1 7/64"' not in board + bits


def test_a_bit_that_is_taken_out_is_missed_and_bought_again(client: TestClient, workshop: Workshop, deck: str) -> None:
    held = "".join(re.findall(r'value="(forstner 28\.0 55\.0)"', client.get(f"/designs/{deck}/shop").text))
    assert held == "forstner 28.0 55.0"
    for bit in ("forstner 28.0 55.0", "step 28.0 5.0", "forstner 30.0 55.0", "step 30.0 5.0"):
        post(client, deck, "bit-remove", bit=bit)
    page = post(client, deck, "bit-remove", status="422", bit="forstner 28.0 55.0")
    assert "no longer in your list" in page
    uses = {(u.nominal, u.part.kind): u for u in bit_uses(workshop.look(deck, Where()).checked)}
    button = uses[28.0, "button"]
    assert button.bit is None
    assert button.nearest is not None and button.nearest.diameter == 26.0
    assert button.enters is False
    assert button.buy is not None and (button.buy.kind, button.buy.diameter) == ("forstner", 28.0)
    page = unescape(client.get(f"/designs/{deck}/shop").text)
    assert "None will do; the nearest is the 26 mm Forstner" in page
    assert "The body does not fit: the hole is 1.9 mm too small" in page  # 27.9 − 26
    buy = dict(re.findall(r'type="hidden" name="(kind|diameter|reach)" value="([^"]+)"', page))
    assert buy == {"kind": "forstner", "diameter": "28.0 mm", "reach": "55.0 mm"}
    post(client, deck, "bit-add", **buy)
    assert bit_uses(workshop.look(deck, Where()).checked)[0].bit is not None
    assert workshop.look(deck, Where()).checked.report.stops == ()


def test_a_bit_is_typed_in_either_unit_with_its_reach(client: TestClient, workshop: Workshop, deck: str) -> None:
    post(client, deck, "bit-add", kind="hole-saw", diameter="1 9/16", reach="1 1/2in")
    bit = shop(workshop, deck).shop.bits[-1]
    assert (bit.kind, bit.diameter, bit.reach, bit.inch) == ("hole-saw", 39.6875, 38.1, True)
    page = post(client, deck, "bit-add", status="422", kind="hole-saw", diameter="wide", reach="deep")
    assert 'id="wrong-diameter"' in page
    assert 'id="wrong-reach"' in page
    assert 'value="wide"' in page
    page = post(client, deck, "bit-add", status="422", kind="hole-saw", diameter="-3")
    assert 'id="wrong-diameter"' in page
    assert 'id="wrong-kind"' in post(client, deck, "bit-add", status="422", kind="laser", diameter="10")
    assert shop(workshop, deck).shop.bits[-1] == bit


def test_method_paper_thickness_and_paint_are_set_in_one_step(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    fields = {"drilling": "press", "paper": "a4", "other-paper": "", "thickness.was": "18 mm", "paint.was": "0 mm"}
    post(client, deck, "settings", **{**fields, "thickness": "17.8", "paint": "0.15"})
    design = shop(workshop, deck)
    assert (design.boards[0].layers[0].thickness, design.boards[0].paint, design.shop.drilling) == (17.8, 0.15, "press")
    page = post(client, deck, "settings", **{**fields, "thickness": "18 mm", "paint": "0 mm", "other-paper": "594x841"})
    assert shop(workshop, deck).boards[0].layers[0].thickness == 17.8, "what was not touched stays"
    assert shop(workshop, deck).shop.paper == "594x841"
    assert "after painting" in page
    for name, wrong in (("thickness", "-3"), ("paint", "5"), ("other-paper", "2x2"), ("drilling", "laser")):
        page = post(
            client, deck, "settings", status="422", **{**fields, "thickness": "18 mm", "paint": "0 mm", name: wrong}
        )
        assert f'id="wrong-{name}"' in page
    client.post(f"/designs/{deck}/undo", data={"page": "shop"})
    assert shop(workshop, deck).shop.paper == "a4"


def test_every_layer_is_measured_by_itself(client: TestClient, workshop: Workshop) -> None:
    deck = workshop.open_scenario("leaky-raft").design.id
    board = shop(workshop, deck).boards[0]
    layered = board.model_copy(update={"layers": (*board.layers, board.layers[0])})
    data = shop(workshop, deck).model_copy(update={"boards": (layered,)}).model_dump_json()
    deck = workshop.open_file(data.encode()).design.id
    page = unescape(client.get(f"/designs/{deck}/shop").text)
    assert "Layer 2, " in page
    fields = {"drilling": "hand", "paper": shop(workshop, deck).shop.paper}
    post(client, deck, "settings", **fields, **{"thickness-2": "6.1"})
    assert [la.thickness for la in shop(workshop, deck).boards[0].layers] == [board.layers[0].thickness, 6.1]
    wrong = post(client, deck, "settings", status="422", **fields, **{"thickness-2": "0"})
    assert 'id="wrong-thickness-2"' in wrong


def test_undo_on_the_shop_page_stays_on_it(client: TestClient, deck: str) -> None:
    post(client, deck, "bit-remove", bit="forstner 28.0 55.0")
    # Bits belong to every design, so they are no step of this one: they have a way back of their own.
    answer = client.post(f"/designs/{deck}/undo", data={"page": "shop"})
    assert answer.url.path == f"/designs/{deck}/shop"
    assert "forstner 28.0 55.0" not in answer.text
    assert "common metric" in post(client, deck, "bits-swap").lower()
    assert "forstner 28.0 55.0" in client.get(f"/designs/{deck}/shop").text


def test_bits_are_kept_once_and_used_for_every_design(client: TestClient, workshop: Workshop, deck: str) -> None:
    """Three ticks and a button; the other design is judged with them, its file keeps what it listed."""
    other = workshop.open_scenario("leaky-raft").design.id
    files = [client.get(f"/designs/{each}/design.json").content for each in (deck, other)]
    before = client.get("/").text
    names = ("forstner 24.0 55.0", "forstner 30.0 55.0", "brad-point 3.0 70.0")
    page = post(client, deck, "bits-keep", **{f"keep-{name}": "on" for name in names})
    assert "Your own list" in page and "3 bits" in page
    for each in (deck, other):
        assert {(b.kind, b.diameter) for b in workshop.look(each, Where()).checked.resolved.tooling.bits} == {
            ("forstner", 24.0), ("forstner", 30.0), ("brad-point", 3.0)
        }  # fmt: skip
    assert [client.get(f"/designs/{each}/design.json").content for each in (deck, other)] == files
    assert re.findall(r"\d+ stops?", client.get("/").text) != re.findall(r"\d+ stops?", before) or (
        not workshop.look(deck, Where()).checked.report.stops
    ), "no verdict of other bits is shown"
    post(client, deck, "bits-carry")
    assert len(workshop.written(deck).shop.bits) == 3
    assert "No bit is ticked" in post(client, deck, "bits-keep", status="422")
    page = post(client, deck, "bits-clear")
    assert "0 bits" in page
    assert workshop.look(other, Where()).checked.report.stops
    post(client, deck, "bit-add", kind="forstner", diameter="30")
    assert len(workshop.look(other, Where()).checked.resolved.tooling.bits) == 1


@pytest.mark.parametrize(
    ("verb", "values", "status"),
    [("explode", {}, 404), ("bit-remove", {}, 422), ("bit-remove", {"bit": "forstner wide"}, 422),
     ("bits-take", {"set": "cubits"}, 422), ("bit-remove", {"bit": "forstner nan"}, 422)],
)  # fmt: skip
def test_nonsense_changes_nothing(
    client: TestClient, workshop: Workshop, deck: str, verb: str, values: dict[str, str], status: int
) -> None:
    before = workshop.design(deck)[0]
    assert client.post(f"/designs/{deck}/shop/{verb}", data=values).status_code == status
    assert workshop.design(deck)[0] == before


def test_a_bit_too_short_is_told_and_a_longer_one_offered(client: TestClient, workshop: Workshop, deck: str) -> None:
    """A 28 mm bit that reaches 12 mm goes through 18 mm from both faces; one that reaches 8 mm does not."""
    for bit in ("forstner 28.0 55.0", "step 28.0 5.0", "forstner 30.0 55.0", "step 30.0 5.0"):
        post(client, deck, "bit-remove", bit=bit)
    page = post(client, deck, "bit-add", kind="forstner", diameter="28", reach="12")
    assert "It reaches only 12 mm of 18 mm: drill from both faces" in page
    assert "To buy:" not in page
    post(client, deck, "bit-remove", bit="forstner 28.0 12.0")
    page = post(client, deck, "bit-add", kind="forstner", diameter="28", reach="8")
    assert "It reaches only 8 mm of 18 mm: a longer one is needed" in page
    buy = dict(re.findall(r'type="hidden" name="(kind|diameter|reach)" value="([^"]+)"', page))
    post(client, deck, "bit-add", **buy)
    assert workshop.look(deck, Where()).checked.report.stops == ()
    assert all(u.reaches for u in bit_uses(workshop.look(deck, Where()).checked) if u.sort == "hole")


def test_paint_asks_for_a_wider_bit(client: TestClient, workshop: Workshop, deck: str) -> None:
    """0.3 mm of paint on the wall leaves 28 mm a hole of 27.4 mm, narrower than the 27.9 mm the body needs."""
    post(client, deck, "settings", drilling="hand", paper="a4", paint="0.3")
    use = next(u for u in bit_uses(workshop.look(deck, Where()).checked) if u.nominal == 28.0 and u.smallest == 27.9)
    assert use.bit is not None
    assert use.bit.diameter == 30.0
    assert use.room == pytest.approx(30.0 - 0.6 - 27.9, abs=1e-9)
    assert use.cover == pytest.approx(30.0 + 0.6 - 30.0, abs=1e-9)
    assert use.enters and use.covered


def recessed(client: TestClient, workshop: Workshop, deck: str, depth: str = "4", corner: str = "6") -> BitUse:
    """The row of the recess routed about the first stick, in a shop of the metric set."""
    size = {"recess-width": "110", "recess-height": "70", "recess-corner": corner, "recess-depth": depth}
    client.post(f"/designs/{deck}/edit/recess", data={"unit": "mm", "select": "a", **size})
    (use,) = [u for u in bit_uses(workshop.look(deck, Where()).checked) if u.sort == "recess"]
    return use


def test_a_recess_has_its_router_bit_with_the_signed_difference(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """Inside corners of radius 5 mm are left by a bit of 10 mm at most: of 6, 8 and 12 mm that is 8, 2 mm narrower."""
    use = recessed(client, workshop, deck, corner="5")
    assert use.bit is not None and (use.bit.kind, use.bit.diameter, use.nominal) == ("router", 8.0, 10.0)
    assert (use.difference, use.corner, use.reaches, use.buy) == (-2.0, -1.0, True, None)
    page = unescape(client.get(f"/designs/{deck}/shop").text)
    row = re.search(
        r'<li class="card use (\w+)">(?:(?!</form>|<li class="card).)*?1 recess · A.*?said">(.*?)</ul>', page, re.S
    )
    assert row
    assert row[1] == "good"
    assert "It cuts the corners as drawn" in row[2] and "It reaches 30 mm; 4 mm is needed" in row[2]
    assert "inside corners of 5 mm" in row[0] and "a router bit up to 10 mm leaves them" in row[0]
    assert "−2 mm" in row[0]
    assert "enters" not in row[0] and "body fits" not in row[0]


def test_a_router_bit_to_buy_is_named_where_none_leaves_the_corners(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    for bit in ("router 6.0 30.0", "router 8.0 30.0"):
        post(client, deck, "bit-remove", bit=bit)
    use = recessed(client, workshop, deck, corner="5")  # only the 12 mm bit is left: 1 mm rounder
    assert use.bit is None and use.nearest is not None and (use.nearest.diameter, use.corner) == (12.0, 1.0)
    assert use.buy is not None and (use.buy.kind, use.buy.diameter, use.buy.reach) == ("router", 8.0, 30.0)
    page = unescape(client.get(f"/designs/{deck}/shop").text)
    assert "None will do; the nearest is the 12 mm router" in page
    assert "It cuts the corners 1 mm rounder than drawn" in page
    buy = dict(re.findall(r'type="hidden" name="(kind|diameter|reach)" value="([^"]+)"', page))
    assert buy == {"kind": "router", "diameter": "8.0 mm", "reach": "30.0 mm"}
    post(client, deck, "bit-add", **buy)
    (use,) = [u for u in bit_uses(workshop.look(deck, Where()).checked) if u.sort == "recess"]
    assert use.bit is not None and use.bit.diameter == 8.0


def test_a_shop_without_a_router_bit_is_told_which_to_buy(client: TestClient, workshop: Workshop, deck: str) -> None:
    for bit in ("router 6.0 30.0", "router 8.0 30.0", "router 12.0 30.0"):
        post(client, deck, "bit-remove", bit=bit)
    use = recessed(client, workshop, deck)
    assert use.bit is None and use.nearest is None
    assert use.buy is not None and (use.buy.kind, use.buy.diameter) == ("router", 12.0)


def test_square_corners_of_a_recess_have_no_bit_to_buy(client: TestClient, workshop: Workshop, deck: str) -> None:
    use = recessed(client, workshop, deck, corner="0")
    assert use.bit is None and use.buy is None
    assert "None: chisel its corners square" in unescape(client.get(f"/designs/{deck}/shop").text)
