"""Laws of the list of steps: whatever a plan maker makes of it, and whatever becomes of the design, nothing is lost."""

from __future__ import annotations

from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from app.arrange.design.build_steps import add_step, hide_step, move_step, remove_step, reword_step, show_step
from app.document.dump import dumps
from app.document.load import loads
from app.document.own_steps import own_steps_of
from app.document.schema import Design
from app.model.own_steps import OwnSteps, OwnWords
from app.shop.build_steps.build_step import STAGES, BuildStep, stage_of
from app.shop.build_steps.listing import ListedStep, listed_steps
from tests.unit.document.designs import small_design
from tests.unit.fit.boards import board

KEYS = sorted((f"{work}/b{k}" for stage in STAGES for work in stage for k in range(2)), key=stage_of)
BOARD = board()


def there(keys: frozenset[str]) -> list[BuildStep]:
    """Steps that follow from a design, in the order of the work."""
    return [BuildStep(key, key.split("/")[0], (BOARD,)) for key in KEYS if key in keys]  # type: ignore[arg-type]


some = st.frozensets(st.sampled_from(KEYS), max_size=12)
owned = st.builds(
    lambda worded, added, hidden, order: OwnSteps(
        worded=tuple(OwnWords(key, f"Own {key}", "") for key in sorted(worded)),
        added=tuple(OwnWords(f"own/{k}", f"Added {k}", "") for k in sorted(added)),
        hidden=hidden,
        order=tuple(order),
    ),
    some,
    st.sets(st.integers(1, 6)),
    some,
    st.lists(st.sampled_from([*KEYS, *(f"own/{k}" for k in range(1, 7))]), unique=True),
)


def keys_of(listed: tuple[ListedStep, ...]) -> list[str]:
    return [step.key for step in listed]


@given(some, owned)
def test_every_step_is_there_once_in_the_order_that_was_chosen(keys: frozenset[str], own: OwnSteps) -> None:
    found = keys_of(listed_steps(there(keys), own))
    assert len(found) == len(set(found))
    assert set(found) == keys | {each.key for each in (*own.worded, *own.added)}
    chosen = [key for key in own.order if key in found]
    assert [key for key in found if key in chosen] == chosen


@given(some, owned)
def test_without_an_order_it_is_that_of_the_work(keys: frozenset[str], own: OwnSteps) -> None:
    plain = OwnSteps(worded=own.worded, hidden=own.hidden)
    stages = [stage_of(key) for key in keys_of(listed_steps(there(keys), plain))]
    assert stages == sorted(stages)


@given(some, some, owned)
def test_a_design_that_changes_and_changes_back_has_its_list_back(
    keys: frozenset[str], other: frozenset[str], own: OwnSteps
) -> None:
    before = listed_steps(there(keys), own)
    between = listed_steps(there(other), own)
    assert {step.key for step in between if step.own} >= {words.key for words in own.worded}, "no own words are lost"
    assert keys_of(listed_steps(there(keys), own)) == keys_of(before)


acts = st.lists(
    st.tuples(
        st.sampled_from(["add", "reword", "hide", "show", "move", "remove"]), st.integers(0, 40), st.integers(-3, 3)
    ),
    max_size=12,
)


@given(some.filter(bool), some, acts)
def test_whatever_is_done_one_after_the_other_can_be_kept_and_read_again(
    keys: frozenset[str], later: frozenset[str], done: list[tuple[str, int, int]]
) -> None:
    """Edits on a list from which steps come and go; each keeps all steps but the one that is deleted."""
    design = small_design()
    for index, (act, place, by) in enumerate(done):
        steps = there(keys if index % 2 else later | keys)
        listed = listed_steps(steps, own_steps_of(design))
        key = keys_of(listed)[place % len(listed)]
        design = _done(design, act, listed, key, by)
        after = keys_of(listed_steps(steps, own_steps_of(design)))
        if act == "add":
            assert len(after) == len(listed) + 1
            assert after[after.index(key) + 1].startswith("own/")
        elif act == "move":
            at = keys_of(listed).index(key)
            assert after.index(key) == min(max(at + by, 0), len(listed) - 1)
            assert [k for k in after if k != key] == [k for k in keys_of(listed) if k != key], "the others stay"
        elif act != "remove":
            assert set(after) >= set(keys_of(listed))
        assert loads(dumps(design)) == design


def _done(design: Design, act: str, listed: tuple[ListedStep, ...], key: str, by: int) -> Design:
    edits: dict[str, Any] = {
        "add": lambda: add_step(design, keys_of(listed), "Added", "How.", key),
        "reword": lambda: reword_step(design, key, "Usual", "Own", "One.\nTwo."),
        "hide": lambda: hide_step(design, key, "Title"),
        "show": lambda: show_step(design, key, "Title"),
        "move": lambda: move_step(design, keys_of(listed), key, by, "Title"),
        "remove": lambda: remove_step(design, key),
    }
    if act == "remove" and not key.startswith("own/"):
        return design
    made: Design = edits[act]().design
    return made
