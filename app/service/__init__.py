"""The use cases: the only door for the web and the command line.

Reading, checking, drawing and exporting a design are plain functions; designs on the shelf, with undo and
redo, are in :class:`Workshop`. Each is imported when it is first asked for, so that a command waits only for what it
uses, and nobody for all of it before the first page.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:  # as mypy has to be told that they are handed on
    from app.arrange.change import Edit as Edit
    from app.arrange.family.wanted import BringSource as BringSource
    from app.arrange.family.wanted import BringWays as BringWays
    from app.arrange.family.wanted import Wanted as Wanted
    from app.arrange.family.wanted import checked_wanted as checked_wanted
    from app.arrange.family.wanted import wanted_of as wanted_of
    from app.arrange.new_deck.new_deck_spec import NewDeck as NewDeck
    from app.document.schema import Design as Design
    from app.document.where import Where as Where
    from app.model.part import Face as Face
    from app.model.printing import Printing as Printing
    from app.model.source import Basis as Basis
    from app.service.checks.checking import CheckResult as CheckResult
    from app.service.checks.checking import check_design as check_design
    from app.service.drawings.board_files import export_file as export_file
    from app.service.drawings.board_files import view_file as view_file
    from app.service.drawings.compare_files import StatesAsked as StatesAsked
    from app.service.drawings.compare_files import compare_file as compare_file
    from app.service.drawings.list_files import list_file as list_file
    from app.service.drawings.made_file import MadeFile as MadeFile
    from app.service.drawings.made_file import ProvedFile as ProvedFile
    from app.service.drawings.plotter_files import plotter_file as plotter_file
    from app.service.drawings.printing import counted_for as counted_for
    from app.service.drawings.printing import plotted as plotted
    from app.service.drawings.retrofit_files import retrofit_file as retrofit_file
    from app.service.drawings.sheet_files import proved as proved
    from app.service.drawings.sheet_files import sheet_file as sheet_file
    from app.service.drawings.sheet_files import template_file as template_file
    from app.service.edits.changes import DesignChange as DesignChange
    from app.service.edits.makers import board_made as board_made
    from app.service.edits.makers import figure_words as figure_words
    from app.service.edits.makers import figures_for as figures_for
    from app.service.edits.makers import made_on_board as made_on_board
    from app.service.edits.makers import maker_rows as maker_rows
    from app.service.edits.makers import makers_json as makers_json
    from app.service.edits.makers import measures_typed as measures_typed
    from app.service.family.offered import offers_of as offers_of
    from app.service.family.trial import trial_lines as trial_lines
    from app.service.family.trial import tried as tried
    from app.service.own_bits import without_bits as without_bits
    from app.service.pack.packing import made_pack as made_pack
    from app.service.pack.place import place_for as place_for
    from app.service.pack.request import PackRequest as PackRequest
    from app.service.pack.request import Since as Since
    from app.service.photo import measured_file as measured_file
    from app.service.screens.bench.photo_seen import photo_seen as photo_seen
    from app.service.screens.bench.photo_text import photo_json as photo_json
    from app.service.screens.bench.photo_text import photo_lines as photo_lines
    from app.service.screens.plans.compare_seen import compare_json as compare_json
    from app.service.screens.plans.compare_seen import compare_lines as compare_lines
    from app.service.screens.plans.retrofit_seen import RetrofitAsked as RetrofitAsked
    from app.service.screens.plans.retrofit_seen import retrofit_json as retrofit_json
    from app.service.screens.plans.retrofit_seen import retrofit_lines as retrofit_lines
    from app.service.screens.plans.retrofit_seen import retrofit_seen as retrofit_seen
    from app.service.shelf.documents import part_rows as part_rows
    from app.service.shelf.documents import read_design as read_design
    from app.service.shelf.documents import save_file as save_file
    from app.service.shelf.documents import schema_json as schema_json
    from app.service.shelf.documents import with_named_bits as with_named_bits
    from app.service.shelf.documents import write_design as write_design
    from app.service.shelf.starting import new_design as new_design
    from app.service.workshop import Workshop as Workshop
    from app.service.workshop import open_workshop as open_workshop
    from app.store import Head as Head

_KEPT_IN: Final = {
    "app.arrange.change": ("Edit",),
    "app.arrange.family.wanted": ("BringSource", "BringWays", "Wanted", "checked_wanted", "wanted_of"),
    "app.arrange.new_deck.new_deck_spec": ("NewDeck",),
    "app.document.schema": ("Design",),
    "app.document.where": ("Where",),
    "app.model.part": ("Face",),
    "app.model.printing": ("Printing",),
    "app.model.source": ("Basis",),
    "app.service.drawings.board_files": ("export_file", "view_file"),
    "app.service.edits.changes": ("DesignChange",),
    "app.service.edits.makers": (
        "board_made",
        "figure_words",
        "figures_for",
        "made_on_board",
        "maker_rows",
        "makers_json",
        "measures_typed",
    ),
    "app.service.family.offered": ("offers_of",),
    "app.service.family.trial": ("trial_lines", "tried"),
    "app.service.own_bits": ("without_bits",),
    "app.service.checks.checking": ("CheckResult", "check_design"),
    "app.service.pack.packing": ("made_pack",),
    "app.service.pack.place": ("place_for",),
    "app.service.pack.request": ("PackRequest", "Since"),
    "app.service.photo": ("measured_file",),
    "app.service.screens.bench.photo_seen": ("photo_seen",),
    "app.service.screens.bench.photo_text": ("photo_json", "photo_lines"),
    "app.service.screens.plans.compare_seen": ("compare_json", "compare_lines"),
    "app.service.screens.plans.retrofit_seen": ("RetrofitAsked", "retrofit_json", "retrofit_lines", "retrofit_seen"),
    "app.service.shelf.documents": (
        "part_rows",
        "read_design",
        "save_file",
        "schema_json",
        "with_named_bits",
        "write_design",
    ),
    "app.service.drawings.compare_files": ("StatesAsked", "compare_file"),
    "app.service.drawings.list_files": ("list_file",),
    "app.service.drawings.plotter_files": ("plotter_file",),
    "app.service.drawings.printing": ("counted_for", "plotted"),
    "app.service.drawings.retrofit_files": ("retrofit_file",),
    "app.service.drawings.made_file": ("MadeFile", "ProvedFile"),
    "app.service.drawings.sheet_files": ("proved", "sheet_file", "template_file"),
    "app.service.shelf.starting": ("new_design",),
    "app.service.workshop": ("Workshop", "open_workshop"),
    "app.store": ("Head",),
}
_MODULES: Final = {name: module for module, names in _KEPT_IN.items() for name in names}


def __getattr__(name: str) -> object:
    """What this package hands out, imported when it is first asked for (PEP 562)."""
    if name not in _MODULES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    found: object = getattr(import_module(_MODULES[name]), name)
    globals()[name] = found
    return found
