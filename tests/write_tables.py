"""Writes the tables of DEVELOPERS.md that the code knows better: ``python -m tests.write_tables``.

The rules come from their registry, everything against everything from its tables; each stands between two comments.
"""

from __future__ import annotations

from collections.abc import Iterable

from app.fit.limits.pair_table import rows_of_tables
from app.fit.registry import RULES
from tests.tools import ROOT

GUIDE = ROOT / "DEVELOPERS.md"
_SHORT = {
    "Two placements": "two placements",
    "One placement": "one placement",
    "A placement and the board": "placement, board",
    "The board itself": "board",
}
Pair = tuple[str, str]


def rules_table() -> str:
    """Each rule with what holds when it is kept, and how grave its findings can be."""
    held = ((rule, rule.meaning[0].lower() + rule.meaning[1:].removesuffix(".")) for rule in RULES)
    rows = (f"| `{rule.name}` | {meaning} | {', '.join(rule.severities)} |" for rule, meaning in held)
    return "\n".join(("| rule | holds when | levels |", "|---|---|---|", *rows))


def everything_table() -> str:
    """One row for each rule, or rules, with what they judge, then one for each sentence of no harm."""
    judged: dict[tuple[str, str], list[Pair]] = {}
    harmless: dict[tuple[str, str], list[Pair]] = {}
    for title, one, other, cell in rows_of_tables():
        said = ", ".join(f"`{rule}`" for rule in cell.rules) or cell.because
        (judged if cell.rules else harmless).setdefault((_SHORT[title], said), []).append((one, other))
    head = ("| things of | pairs | judged by, or why it does no harm |", "|---|---|---|")
    rows = (f"| {title} | {covered(pairs)} | {said} |" for (title, said), pairs in (*judged.items(), *harmless.items()))
    return "\n".join((*head, *rows))


def covered(pairs: Iterable[Pair]) -> str:
    """Pairs as briefly as they can be said: kinds any two of which are meant, then one lot against another."""
    left = dict.fromkeys(pairs)
    said = []
    among = _among(left)
    if len(among) > 1:
        said.append(f"any two of {', '.join(among)}")
        left = {(a, b): None for a, b in left if not {a, b} <= set(among)}
    others: dict[str, tuple[str, ...]] = {}
    for a, b in left:
        others[a] = (*others.get(a, ()), b)
    alike: dict[tuple[str, ...], list[str]] = {}
    for a, met in others.items():
        alike.setdefault(met, []).append(a)
    return "; ".join((*said, *(f"{', '.join(ones)} – {', '.join(met)}" for met, ones in alike.items())))


def _among(pairs: dict[Pair, None]) -> list[str]:
    """Kinds each of which meets itself and every other of them."""
    found: list[str] = []
    for kind in (a for a, b in pairs if a == b):
        if all((kind, other) in pairs or (other, kind) in pairs for other in found):
            found.append(kind)
    return found


TABLES = {"rules": rules_table, "everything": everything_table}


def written(text: str) -> str:
    """The guide with its tables as the code has them.

    Raises:
        ValueError: the comments round a table are not there.
    """
    for name, make in TABLES.items():
        begin, end = f"<!-- {name}: python -m tests.write_tables -->\n\n", f"\n\n<!-- end of {name} -->"
        before, there, rest = text.partition(begin)
        _, closed, after = rest.partition(end)
        if not there or not closed:
            raise ValueError(f"DEVELOPERS.md has no place for the table of {name}.")
        text = f"{before}{begin}{make()}{end}{after}"
    return text


if __name__ == "__main__":
    GUIDE.write_text(written(GUIDE.read_text("utf-8")), "utf-8")
