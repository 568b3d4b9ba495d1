"""How much a design may hold: every limit as one row, with the reason for its value.

A limit is kept for what is new: a file that is opened, a new design, each change, judged as it would be stored. What is
in a store already is read whatever it holds. The times beside the rows were measured once, on two cores of an ordinary
computer that had other work as well: they say how large, not how fast. Where no time or size stands, the reason is a
judgement of what builders make.
"""

from __future__ import annotations

from typing import Final

from msgspec import Struct


class DesignLimit(Struct, frozen=True):
    """One limit.

    Args:
        name: short, as ``parts``.
        most: largest value that is taken.
        unit: what is counted, in the plural: ``parts``, ``mm``, ``characters``, ``bytes``.
        holder: what may hold so many, to begin a sentence with.
        remedy: what to do where there is more.
        why: the reason for the value.
        least: smallest value that is taken.
    """

    name: str
    most: int
    unit: str
    holder: str
    remedy: str
    why: str
    least: int = 0

    def said(self, got: int) -> str:
        """The sentence for ``got`` of the unit: what is allowed, what there is and what to do."""
        return f"{self.holder} has up to {self.most:,} {self.unit}, got {got:,}. {self.remedy}"


BOARD_SIDE: Final = DesignLimit(
    "board-side", 5000, "mm", "A board", "Enter its size again, and check the unit.",
    "No sheet of board is longer; below 20 mm there is room for no hole and its edges. Common practice, no source.",
    least=20,
)  # fmt: skip

PLACE: Final = DesignLimit(
    "place", 10_000, "mm", "A part", "Enter its position again, and check the unit.",
    "Twice as far as the longest board reaches, on either side: what is laid aside has room there, and what is farther "
    "off is a slip of the keyboard, for which every drawing grows. Choice of this program.",
    least=-10_000,
)  # fmt: skip

PARTS: Final = DesignLimit(
    "parts", 1500, "parts", "An arrangement", "Delete some.",
    "The most that every page and drawing is still quick for; a deck for four has about a hundred. Choice of this "
    "program.",
)  # fmt: skip
PARTS_IN_ALL: Final = DesignLimit(
    "parts-in-all", 3000, "parts", "A design", "Delete some, or split it into two designs.",
    "The shelf judges every arrangement of a deck: room for two full ones.",
)  # fmt: skip
HOLES: Final = DesignLimit(
    "holes", 64, "holes", "A part", "Split it into two parts.",
    "No item of hardware needs a dozen; a speaker's grille of drilled holes has the most.",
)  # fmt: skip
HOLES_IN_ARRANGEMENT: Final = DesignLimit(
    "holes-in-arrangement", 6000, "holes and screws", "An arrangement", "Delete some parts.",
    "Four for each of as many parts as there may be. A loudspeaker's grille has up to five thousand, and nobody drills "
    "more by hand: at ten seconds each they take fourteen hours. Choice of this program.",
)  # fmt: skip
SCREWS: Final = DesignLimit(
    "screws", 50, "screws", "A part", "Leave some out.", "A plate is held by four to eight."
)  # fmt: skip
OWN_PARTS: Final = DesignLimit(
    "own-parts", 200, "parts of its own", "A design", "Delete what is not used.",
    "Each is drawn for the list of hardware; the catalogue itself has fewer.",
)  # fmt: skip

BOARDS: Final = DesignLimit(
    "boards", 20, "boards", "A design", "Split it into two designs.", "A cabinet with all its panels has a dozen."
)  # fmt: skip
ARRANGEMENTS: Final = DesignLimit(
    "arrangements", 50, "arrangements", "A board", "Delete some.", "Each is judged for the shelf and drawn small."
)  # fmt: skip
ARRANGEMENTS_IN_ALL: Final = DesignLimit(
    "arrangements-in-all", 100, "arrangements", "A design", "Delete some, or split it into two designs.",
    "A file that is opened is put together once for each; a hundred that are empty took 0.03 s.",
)  # fmt: skip
GONE_BOARDS: Final = DesignLimit(
    "gone-boards", 1000, "deleted boards", "A design",
    "Leave the oldest out, but keep the highest number of “board-1”, “board-2” and so on.",
    "One tried and deleted every evening for some years; after that, ids are counted on from the highest.",
)  # fmt: skip
GONE: Final = DesignLimit(
    "gone", 1000, "deleted arrangements", "A board", "Leave the oldest out.",
    "One tried and taken out every evening for some years.",
)  # fmt: skip
PATTERNS: Final = DesignLimit(
    "patterns", 50, "patterns", "A design", "Delete some.", "Two grilles, a fan and the vents of a door are four.",
)  # fmt: skip
PATTERN_HOLES: Final = DesignLimit(
    "pattern-holes", 5000, "holes", "A pattern", "Widen the pitch, or make the pattern smaller.",
    "Nobody drills more by hand: at ten seconds each they take fourteen hours. Choice of this program.",
)  # fmt: skip
NUMBERS: Final = DesignLimit(
    "numbers", 10_000, "numbered holes", "A pattern", "Leave the oldest out.",
    "Twice as many as there may be holes: numbers of holes that are gone are not given again.",
)  # fmt: skip
MAKERS: Final = DesignLimit(
    "makers", 50, "makers", "An arrangement", "Delete some.",
    "A side panel with two grilles, a fan and sockets has four.",
)  # fmt: skip
MEASURES: Final = DesignLimit(
    "measures", 50, "measures", "A maker", "Leave some out.", "A handful each; a display has twenty.",
)  # fmt: skip
BUILD_STEPS: Final = DesignLimit(
    "build-steps", 5000, "steps", "A list of steps", "Reset the order of the steps.",
    "A dozen for each board, and one for each kind of part on it: twenty boards with all the parts there may be have "
    "some 3,300.",
)  # fmt: skip
WORDED_STEPS: Final = DesignLimit(
    "worded-steps", 1000, "steps with words of its own", "A design", "Reset those you no longer need.",
    "Each has words that somebody typed.",
)  # fmt: skip
ADDED_STEPS: Final = DesignLimit(
    "added-steps", 200, "added steps", "A design", "Delete those you no longer need.",
    "Each was typed by somebody; a plan has thirty or forty steps in all.",
)  # fmt: skip
STATIONS: Final = DesignLimit(
    "stations", 20, "stations", "An arrangement", "Delete some.", "Ten players sit at no deck."
)
STEPS: Final = DesignLimit("steps", 20, "steps", "A station", "Leave some out.", "One for each column of its buttons.")

CORNERS: Final = DesignLimit(
    "corners", 500, "corners", "An outline or opening", "Draw it with fewer, longer lines.",
    "A curve taken from a file as arcs has a few dozen; each corner is checked against every other.",
)  # fmt: skip
CORNERS_IN_ALL: Final = DesignLimit(
    "corners-in-all", 5000, "corners in its outline and openings together", "A board", "Draw them with fewer lines.",
    "Shared out over an outline and 99 openings they were judged in about a second, ten times as many in 10 s.",
)  # fmt: skip
OPENINGS: Final = DesignLimit(
    "openings", 100, "openings", "A board", "Leave some out.", "A speaker's grille cut as slots has a few dozen."
)  # fmt: skip
LAYER: Final = DesignLimit(
    "layer", 100, "mm", "A layer", "Enter its thickness again, and check the unit.",
    "Four boards in one. Common practice, no source.",
)  # fmt: skip
THINNEST_LAYER: Final = 0.05
"""Least thickness of a layer [mm]: film for lettering has 0.06 to 0.1. Common practice, no source."""
CUT: Final = DesignLimit(
    "cut", 3000, "mm", "A hole or cut", "Enter its size again, and check the unit.",
    "No cabinet is as wide. Common practice, no source.",
)  # fmt: skip
NARROWEST_CUT: Final = 0.1
"""Least width of a hole, counterbore or recess [mm]: the finest twist drills sold are as thin. Common practice, no
source. Of cuts a millionth of a millimetre wide a file that is read back cannot be told from one without them."""
LAYERS: Final = DesignLimit(
    "layers", 10, "layers", "A board", "Leave some out.", "Board, art, cover: three are common."
)
AREAS: Final = DesignLimit("areas", 200, "areas to keep clear", "A board", "Delete some.", "A dozen is much.")

BITS: Final = DesignLimit(
    "bits", 500, "bits", "A workshop", "Delete what you do not own.", "A full drawer has a hundred."
)
ACCEPTED: Final = DesignLimit(
    "accepted", 1000, "accepted cautions", "An arrangement", "Withdraw some acceptances.",
    "Each has a reason that somebody typed.",
)  # fmt: skip
SUBJECTS: Final = DesignLimit(
    "subjects", 1500, "parts", "An accepted caution", "Accept it again.", "As many as an arrangement may have."
)  # fmt: skip
APART: Final = DesignLimit(
    "apart", 1500, "parts that are not wired", "An arrangement", "Leave some out.",
    "As many as an arrangement may have.",
)  # fmt: skip
FIXED_PINS: Final = DesignLimit(
    "fixed-pins", 2000, "pins of your choice", "An arrangement", "Let Holewise choose some.",
    "Ten of the largest encoder boards.",
)  # fmt: skip
RETIRED: Final = DesignLimit(
    "retired", 5000, "retired letters", "An arrangement", "Leave the oldest out.",
    "A part put in and taken out for every hour of a year's evenings.",
)  # fmt: skip
MARKS: Final = DesignLimit(
    "marks", 10_000, "marks of what was drilled", "An arrangement", "Clear marks that are not needed.",
    "Pilot and hole of a grille of five thousand, which take 1.6 MB as they are stored.",
)  # fmt: skip
TRIALS: Final = DesignLimit(
    "trials", 1000, "trial cuts", "A design", "Clear those that are not needed.",
    "One for each bit and part of ten full decks.",
)  # fmt: skip
REVISIONS: Final = DesignLimit(
    "revisions", 500, "published revisions", "A design", "Make a copy of the design, and go on with that.",
    "One a week for ten years.",
)  # fmt: skip
CHANGE_LINES: Final = DesignLimit(
    "change_lines", 200, "lines in the list of changes", "A revision", "Sum several of them up in one.",
    "More than anybody reads on paper.",
)  # fmt: skip
CHANGE_LINE: Final = DesignLimit(
    "change_line", 300, "characters", "A line in the list of changes", "Shorten it, or make two of it.",
    "Three lines of a sheet.",
)  # fmt: skip
BROUGHT: Final = DesignLimit(
    "brought", 500, "things brought from other designs", "A design", "Delete what is not used.",
    "Every board and arrangement that there may be, and as many cut-outs again.",
)  # fmt: skip
RENAMED: Final = DesignLimit(
    "renamed", 1500, "parts with another id", "What was brought", "Bring it once more.",
    "As many as an arrangement may have.",
)  # fmt: skip
FARTHEST_OFF: Final = 100.0
"""How far a hole may be off its place along either side [mm]: one farther off was drilled for something else, and is
marked spoilt. Choice of this program."""
WIDEST_MEASURED: Final = 300.0
"""How wide a hole may be measured [mm]: the widest bit is 200 mm, and no hole is half as wide again. Choice of this
program."""
LEAST_SURE: Final = 2.0
"""How unsure the place of a hole may be that is worked out from two distances [mm]: more than that, and they tell
nothing of whether its neighbours fit. Choice of this program."""

COLUMNS: Final = DesignLimit(
    "columns", 4, "columns of your own", "A parts list", "Delete one.",
    "A price, a shelf and a date are three; more do not fit on a sheet of paper beside the list's own.",
)  # fmt: skip
OWN_CELLS: Final = DesignLimit(
    "own-cells", 500, "entries", "A column of your own", "Clear some.",
    "The lists of twenty boards have some hundred different lines. Choice of this program.",
)  # fmt: skip
COLUMN_NAME: Final = DesignLimit(
    "column-name", 24, "characters", "The name of a column", "Make it shorter.", "It stands at the head of a column."
)
OWN_CELL: Final = DesignLimit(
    "own-cell", 60, "characters", "An entry in a column of your own", "Make it shorter.",
    "A price or a place is a few words; a sheet of paper has room for no more.",
)  # fmt: skip

WORDS: Final = DesignLimit(
    "words", 200, "characters", "A title, name or source", "Make it shorter.", "It fits on a sheet."
)
LABEL: Final = DesignLimit("label", 12, "characters", "A label", "Make it shorter.", "It stands beside its hole.")
NOTES: Final = DesignLimit("notes", 20_000, "characters", "The notes of a design", "Make them shorter.", "Five pages.")
REASON: Final = DesignLimit("reason", 500, "characters", "A reason", "Make it shorter.", "A few sentences.")
STEP_TEXT: Final = DesignLimit(
    "step-text", 2000, "characters", "The words of a step", "Make them shorter, or add another step.", "Half a page."
)
PAPER: Final = DesignLimit(
    "paper", 40, "characters", "The name of a paper", "Make it shorter.", "A name, or two sides."
)

LEGEND: Final = DesignLimit(
    "legend", 40, "characters", "A legend", "Make it shorter.",
    "In letters 5 mm high it is as long as a hand is wide; longer ones are read as words, on a page.",
)  # fmt: skip
LOWEST_LEGEND: Final = 1.0
"""Least height of a legend [mm]: no plotter cuts, and few eyes read, smaller capitals. Common practice, no source."""
TALLEST_LEGEND: Final = 200.0
"""Largest height of a legend [mm]: of taller letters a sheet of paper shows one. Choice of this program."""

STORED: Final = DesignLimit(
    "stored", 2_000_000, "bytes as stored", "A design", "Delete what is not used, or split it into two designs.",
    "Three thousand parts are 0.9 MB, with a counterbore and a recess each 1.4 MB. Each change is stored whole, and "
    "2 MB took 0.3 s to write and to read again.",
)  # fmt: skip
FILE: Final = DesignLimit(
    "file", 5_000_000, "bytes", "A design file", "Choose a file that Holewise saved.",
    "A design laid out for reading by another program, with a value to a line, is twice as long as it is stored.",
)  # fmt: skip
VALUES: Final = DesignLimit(
    "values", 500_000, "values", "A design file", "Choose a file that Holewise saved.",
    "Three thousand parts with every field have about 50,000; told by its commas before anything is read.",
)  # fmt: skip
NESTING: Final = DesignLimit(
    "nesting", 40, "lists and objects, one in another,", "A design file", "Choose a file that Holewise saved.",
    "A design needs a dozen; deeper ones would end the reader itself.",
)  # fmt: skip


def limits() -> tuple[DesignLimit, ...]:
    """Every limit, in the order they stand here."""
    return tuple(value for value in globals().values() if isinstance(value, DesignLimit))
