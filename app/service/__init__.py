"""The use cases: the only door for the web and the command line.

Reading, checking, drawing and exporting a design are plain functions; designs on the shelf, with undo and
redo, are in :class:`Workshop`.
"""

from app.arrange.new_deck_spec import NewDeck
from app.document.where import Where
from app.service.checking import CheckResult, check_design
from app.service.documents import part_rows, read_design, schema_json, write_design
from app.service.drawings import export_drawing, template_pdf, view_file
from app.service.file_names import export_name, template_name
from app.service.proving import ProvedFile, export_file, stops_of, template_file
from app.service.starting import new_design
from app.service.workshop import Workshop, open_workshop

__all__ = [
    "CheckResult",
    "NewDeck",
    "ProvedFile",
    "Where",
    "Workshop",
    "check_design",
    "export_drawing",
    "export_file",
    "export_name",
    "new_design",
    "open_workshop",
    "part_rows",
    "read_design",
    "schema_json",
    "stops_of",
    "template_file",
    "template_name",
    "template_pdf",
    "view_file",
    "write_design",
]
