"""Many small cases in one test, each named where it fails: a test of its own costs more than a millisecond."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Iterable
from typing import Any

_MOST_SHOWN, _LONGEST = 5, 150


def each(names: str, rows: Iterable[Any]) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Like ``pytest.mark.parametrize``, but one test that tries every row and names those that fail.

    For cases that share nothing that one of them could change. Several of them on one test try all combinations.

    Args:
        names: of the arguments, with commas between.
        rows: a value for each case, or a tuple where there are several names.

    Raises:
        AssertionError: on decorating, if there are no rows.
    """
    keys = [name.strip() for name in names.split(",")]
    cases = [dict(zip(keys, row if len(keys) > 1 else (row,), strict=True)) for row in rows]
    assert cases, "nothing would be tried"

    def folded(test: Callable[..., None]) -> Callable[..., None]:
        @functools.wraps(test)
        def all_of_them(**fixtures: Any) -> None:
            failed: list[Exception] = []
            for case in cases:
                try:
                    test(**fixtures, **case)
                except Exception as error:  # noqa: BLE001 - whatever it is, the other cases are tried, and it is told
                    error.add_note(_told(case))
                    failed.append(error)
            if len(failed) == 1:
                raise failed[0]
            if failed:
                raise ExceptionGroup(f"{len(failed)} of {len(cases)} cases failed; the first", failed[:_MOST_SHOWN])

        signature = inspect.signature(test)
        kept = [value for key, value in signature.parameters.items() if key not in keys]
        all_of_them.__signature__ = signature.replace(parameters=kept)  # type: ignore[attr-defined]
        return all_of_them

    return folded


def _told(case: dict[str, Any]) -> str:
    return "where " + ", ".join(f"{name} = {repr(value)[:_LONGEST]}" for name, value in case.items())
