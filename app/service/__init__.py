"""The use cases: the only door for the web and the command line.

Reading, checking, drawing and exporting a design are plain functions; designs on the shelf, with undo and
redo, are in :class:`Workshop`.
"""

from app.service.board_files import export_file, view_file
from app.service.checking import CheckResult, check_design
from app.service.documents import part_rows, read_design, schema_json, write_design
from app.service.made_file import MadeFile, ProvedFile
from app.service.sheet_files import sheet_file, template_file
from app.service.starting import new_design
from app.service.workshop import Workshop, open_workshop

__all__ = [
    "CheckResult",
    "MadeFile",
    "ProvedFile",
    "Workshop",
    "check_design",
    "export_file",
    "new_design",
    "open_workshop",
    "part_rows",
    "read_design",
    "schema_json",
    "sheet_file",
    "template_file",
    "view_file",
    "write_design",
]
