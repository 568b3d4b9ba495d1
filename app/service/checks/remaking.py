"""What a maker made on a board, made anew of other measures to see what comes of it; nothing is kept."""

from __future__ import annotations

from msgspec import Struct, field

from app.catalogue.load import catalogue
from app.document.schema import Design
from app.errors import HolewiseError
from app.model.fix import Remake
from app.model.resolved import ResolvedBoard
from app.values import replace


class DesignRemaking(Struct, frozen=True, eq=False):
    """Boards of a design with other measures of a maker, each worked out once.

    Args:
        design: the design.
        board: id of the board.
        arrangement: id of the arrangement.
        units: display units of the board.
        known: boards worked out so far.
    """

    design: Design
    board: str
    arrangement: str
    units: str
    known: dict[Remake, ResolvedBoard | None] = field(default_factory=dict)

    def __call__(self, change: Remake) -> ResolvedBoard | None:
        """The board with a change made; None where nothing can be made of those measures."""
        if change not in self.known:
            self.known[change] = self._made(change)
        return self.known[change]

    def _made(self, change: Remake) -> ResolvedBoard | None:
        from app.arrange.design.apply_fix import apply_fix  # slow to import, and seldom asked for
        from app.document.as_built import with_held
        from app.document.resolve import resolve

        try:
            after = apply_fix(with_held(self.design), self.board, self.arrangement, change, catalogue()).design
            board = resolve(after, self.board, self.arrangement, catalogue())
        except HolewiseError:
            return None
        return replace(board, units=self.units)
