"""Memory bounded by bytes, and the code that names the state of the program."""

from __future__ import annotations

from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from app.document.dump import dumps
from app.service.background.memory import Memory
from app.service.background.program import code_of
from app.service.checks import checking
from app.service.checks.checking import Revised, parsed
from tests.bench.boards import grid


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 60)), max_size=60))
def test_it_never_takes_more_room_than_it_may(asked: list[tuple[int, int]]) -> None:
    memory: Memory[int] = Memory(100)
    for key, size in asked:
        assert memory.once((key, size), lambda size=size: size, lambda made: made) == size  # type: ignore[misc]
        assert 0 <= memory.held <= 100


def test_the_least_lately_used_goes_first() -> None:
    memory: Memory[str] = Memory(3)
    for key in "abc":
        memory.put(key, key, 1)
    memory.get("a")
    memory.put("d", "d", 1)
    assert [memory.get(key) for key in "abcd"] == ["a", None, "c", "d"]


def test_what_needs_more_than_all_room_is_remembered_alone() -> None:
    memory: Memory[str] = Memory(3)
    memory.put("small", "s", 1)
    assert memory.once("large", lambda: "l", lambda _: 4) == "l"
    assert (memory.get("large"), memory.get("small"), memory.held) == ("l", None, 4)
    memory.put("small", "s", 1)
    assert (memory.get("large"), memory.get("small"), memory.held) == (None, "s", 1)


def test_revisions_of_a_large_board_take_no_more_room_than_there_is() -> None:
    text = dumps(grid(1000))
    for k in range(60):
        parsed(Revised(f"large-{k}", text))
    assert 60 * checking._OF_DESIGN * len(text) > 64_000_000
    assert checking._DESIGNS.held <= 64_000_000


def test_a_value_put_again_counts_once() -> None:
    memory: Memory[str] = Memory(10)
    memory.put("a", "long", 8)
    memory.put("a", "short", 2)
    assert (memory.get("a"), memory.held) == ("short", 2)


def test_the_code_changes_with_a_rule_or_a_default_and_with_nothing_else(tmp_path: Path) -> None:
    (tmp_path / "data").mkdir()
    rule, row = tmp_path / "rule.py", tmp_path / "data" / "limits.toml"
    rule.write_text("LEAST = 3.0\n")
    row.write_text("web = 3.0\n")
    before = code_of(tmp_path)
    (tmp_path / "notes.txt").write_text("nothing")
    rule.touch()
    assert code_of(tmp_path) == before
    seen = {before}
    for change in (
        lambda: rule.write_text("LEAST = 4.0\n"),
        lambda: row.write_text("web = 4.0\n"),
        lambda: row.rename(row.with_name("others.toml")),
        rule.unlink,
    ):
        change()
        assert code_of(tmp_path) not in seen
        seen.add(code_of(tmp_path))
