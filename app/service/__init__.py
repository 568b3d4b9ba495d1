"""The use cases: the only door for the web and the command line.

Reading, checking, drawing and exporting a design are plain functions; designs on the shelf, with undo and
redo, are in :class:`Workshop`.
"""

from app.arrange.change import Edit
from app.arrange.new_deck_spec import NewDeck
from app.document.schema import Design
from app.document.where import Where
from app.model.part import Face
from app.model.printing import Printing
from app.model.source import Basis
from app.service.board_files import export_file, view_file
from app.service.changes import Change
from app.service.checking import CheckResult, check_design
from app.service.documents import part_rows, read_design, save_file, schema_json, write_design
from app.service.made_file import MadeFile, ProvedFile
from app.service.sheet_files import proved, sheet_file, template_file
from app.service.starting import new_design
from app.service.workshop import Workshop, open_workshop
from app.store import Head

__all__ = [
    "Basis",
    "Change",
    "CheckResult",
    "Design",
    "Edit",
    "Face",
    "Head",
    "MadeFile",
    "NewDeck",
    "Printing",
    "ProvedFile",
    "Where",
    "Workshop",
    "check_design",
    "export_file",
    "new_design",
    "open_workshop",
    "part_rows",
    "proved",
    "read_design",
    "save_file",
    "schema_json",
    "sheet_file",
    "template_file",
    "view_file",
    "write_design",
]
