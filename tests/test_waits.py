"""No test of a page waits for a clock: on a busy machine a moment is too short, and on a quiet one it is time lost.

Wait for a state, an event, a picture painted, or an answer that the test itself held back: `tests/browser/bench.py`.
"""

from __future__ import annotations

import re

import pytest

from tests.tools import ROOT

CLOCK = re.compile(r"wait_for_timeout|\bsleep\(|setTimeout|setInterval|\.fast_forward\(|\.run_for\(")


def waits(text: str) -> list[str]:
    return CLOCK.findall(text)


@pytest.mark.parametrize("folder", ["browser", "web"])
def test_no_test_of_a_page_waits_for_a_clock(folder: str) -> None:
    found = {file.name: waits(file.read_text("utf-8")) for file in sorted((ROOT / "tests" / folder).glob("*.py"))}
    assert found, "no tests there"
    assert {name: words for name, words in found.items() if words} == {}


@pytest.mark.parametrize(
    "line",
    [
        "page.wait_for_timeout(100)",
        "time.sleep(0.8)",
        "await asyncio.sleep(1)",
        'page.evaluate("() => new Promise((go) => setTimeout(go, 40))")',
    ],
)
def test_a_wait_for_a_clock_is_found(line: str) -> None:
    assert waits(line)
