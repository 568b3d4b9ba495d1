"""What is written is read again, byte for byte; display units change nothing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given

from app.arrange.change import with_arrangement
from app.arrange.design.settings import set_units
from app.catalogue.load import catalogue
from app.document.dump import dumps, save
from app.document.load import load, loads
from app.document.resolve import resolve
from app.document.schema import Design
from app.document.wiring_schema import FixedPinEntry, WiringPlanEntry
from app.errors import DocumentError
from app.units import INCH, Unit, format_length, parse_length
from tests.unit.document.designs import designs, small_design


@given(designs())
def test_a_design_read_from_its_own_text_is_the_same_design(design: Design) -> None:
    assert loads(dumps(design)) == design


@given(designs())
def test_text_written_after_reading_is_the_same_bytes(design: Design) -> None:
    text = dumps(design).encode("utf-8")
    assert dumps(loads(text)).encode("utf-8") == text


@given(designs())
def test_the_text_is_plain_json_with_the_schema_s_own_names(design: Design) -> None:
    raw = json.loads(dumps(design))
    assert raw["format"] == "holewise-design"
    assert [board["id"] for board in raw["boards"]] == [board.id for board in design.boards]
    assert dumps(design).endswith("}\n")


def test_a_thousand_unit_switches_leave_the_file_byte_identical() -> None:
    design = small_design()
    before = dumps(design)
    for _ in range(500):
        design = set_units(set_units(design, "inch").design, "mm").design
    assert dumps(design) == before


def test_units_of_display_touch_no_length() -> None:
    metric, inch = small_design(), set_units(small_design(), "inch").design
    assert dumps(inch) == dumps(metric).replace('"units": "mm"', '"units": "inch"')


def test_three_quarters_of_an_inch_is_19_05_mm_in_the_file() -> None:
    # 1 in is 25.4 mm exactly (international inch, 1959)
    assert parse_length("3/4", Unit.MM) == 19.05 == pytest.approx(0.75 * INCH, abs=1e-12)
    assert format_length(19.05, Unit.INCH) == '3/4"'


def test_a_byte_order_mark_is_read_over() -> None:
    text = dumps(small_design()).encode("utf-8")
    assert loads(b"\xef\xbb\xbf" + text) == small_design()


def test_saving_and_loading_a_file_gives_the_same_design(tmp_path: Path) -> None:
    save(small_design(), tmp_path / "deck.json")
    assert load(tmp_path / "deck.json") == small_design()
    assert [path.name for path in tmp_path.iterdir()] == ["deck.json"], "no part files are left"


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match=r"deck\.json cannot be read: No such file"):
        load(tmp_path / "deck.json")


def test_a_folder_that_is_not_there_says_so(tmp_path: Path) -> None:
    with pytest.raises(DocumentError, match=r"cannot be written: No such file or directory\. Choose another folder"):
        save(small_design(), tmp_path / "nowhere" / "deck.json")


def test_wiring_is_written_and_read_again_and_a_design_without_any_says_nothing_of_it() -> None:
    """What is left out is as usual: a file from before there was wiring reads as it did."""
    design = small_design()
    assert '"wiring"' not in dumps(design).partition('"arrangements"')[2]
    wiring = WiringPlanEntry(
        supply="usb-3", grounds="tree", slack=0.0, step=25.4, apart=("a",), signal_colour="white",
        pins=(FixedPinEntry(placement="b", tab=1, encoder="e", pin=7),),
    )  # fmt: skip
    wired = with_arrangement(design, None, None, lambda a: a.model_copy(update={"wiring": wiring}))
    assert loads(dumps(wired)) == wired
    plan = resolve(wired, None, None, catalogue()).wiring
    assert plan is not None
    assert (plan.supply.id, plan.grounds, plan.slack, plan.step) == ("usb-3", "tree", 0.0, 25.4)
    assert plan.service == catalogue().rule("wire-service"), "as usual"


def test_a_supply_or_colour_that_is_not_there_any_more_is_as_usual_and_told() -> None:
    gone = WiringPlanEntry(supply="usb-9", signal_colour="plaid")
    wired = with_arrangement(small_design(), None, None, lambda a: a.model_copy(update={"wiring": gone}))
    plan = resolve(wired, None, None, catalogue()).wiring
    assert plan is not None
    assert (plan.supply.id, plan.signal_colour) == ("usb-2", "")
    assert {field for field, _ in plan.problems} == {"supply", "signal_colour"}
