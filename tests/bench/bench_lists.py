"""The lists for the bench: all their tables for a two-player deck, and at 10, 100 and 1,000 centres.

Beside them, in the same run, the least lines by scipy's matching, which no marking can do without: a general-purpose
library has nothing that makes a whole list.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.sparse import coo_array
from scipy.sparse.csgraph import maximum_bipartite_matching

from app.arrange.new_deck.new_deck_spec import NewDeck
from app.catalogue.load import catalogue, paper_by_text
from app.document.resolve import resolve
from app.document.schema import Design
from app.model.printing import Printing
from app.model.resolved import ResolvedBoard
from app.paper.kinds import FILES
from app.paper.sheet_kind import SheetJob
from app.service import new_design
from app.shop.centres import centres_of
from tests.bench.boards import grid
from tests.bench.timing import Aim, in_turns, ms, print_table

ALL: Final = 300.0
"""How long all tables of a two-player deck with eight buttons each may take together [ms]."""

ONE: Final = 1000.0
"""How long those of a board of 1,000 parts may take [ms]: no aim but our own, so that its page is quick."""

READING: Final = 0.5
_PRINTING: Final = Printing(paper_by_text("a4"))


def deck() -> Design:
    """A deck for two, with eight buttons each."""
    return new_design(NewDeck(title="Two players", players=2, buttons=8, width=900.0, depth=300.0))


def all_tables(board: ResolvedBoard) -> int:
    """Every table of every list of a board, made anew, and how many rows they have."""
    job = SheetJob(board, _PRINTING)
    return sum(len(table.rows) for kind in FILES.values() if kind.tables is not None for table in kind.tables(job))


def said(board: ResolvedBoard) -> int:
    """What is said before the tables, with the rules run again on the rounded places."""
    job = SheetJob(board, _PRINTING)
    return sum(len(kind.said(job)) for kind in FILES.values() if kind.tables is not None)


def matched(board: ResolvedBoard) -> int:
    """How few lines carry all centres, by scipy."""
    centres = centres_of(board, READING)
    left, column = np.unique([c.left_marked for c in centres], return_inverse=True)
    front, row = np.unique([c.front_marked for c in centres], return_inverse=True)
    graph = coo_array((np.ones(len(centres)), (row, column)), (len(front), len(left))).tocsr()
    return int((maximum_bipartite_matching(graph, perm_type="column") >= 0).sum())


def measure() -> list[Aim]:
    """Measure, print the table, and return the aims."""
    boards = {"two players, 8 buttons each": resolve(deck(), None, None, catalogue())}
    boards |= {f"{many:,} parts": resolve(grid(many), None, None, catalogue()) for many in (10, 100, 1000)}
    rows, aims = [], []
    for name, board in boards.items():
        repeats = 3 if "1,000" in name else 7
        tables, words, theirs = in_turns(
            [lambda b=board: all_tables(b), lambda b=board: said(b), lambda b=board: matched(b)],  # type: ignore[misc]
            repeats,
        )
        rows.append([name, ms(tables), ms(words), ms(theirs)])
        if name.startswith("two"):
            aims.append(
                Aim("lists of two players", f"{ms(tables + words)} ms", f"< {ALL:.0f} ms", tables + words < ALL)
            )
        elif "1,000" in name:
            aims.append(Aim("lists of 1,000 parts", f"{ms(tables)} ms", f"< {ONE:.0f} ms", tables < ONE))
    print_table("Lists for the bench [ms]", ["board", "tables", "rules, rounded", "lines by scipy"], rows)
    return aims


if __name__ == "__main__":
    measure()
