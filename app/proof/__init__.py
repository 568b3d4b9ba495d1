"""Proof by reading back: each file is parsed again by another library and compared with the model.

PDF is read by PDFium (through pypdfium2), SVG by svgelements, DXF by a tag reader of our own, none of which had a part
in writing the file. What has to be there comes straight from the resolved board, not from the drawing that was written.
"""

from app.proof.drawing import prove_drawing
from app.proof.drawing_reader import DXF_READER, SVG_READER, DrawingReader
from app.proof.legends import prove_cut
from app.proof.result import TOLERANCE, Proof
from app.proof.sheets import PROVERS, prove_sheets
from app.proof.template import prove_template

__all__ = [
    "DXF_READER",
    "PROVERS",
    "SVG_READER",
    "TOLERANCE",
    "DrawingReader",
    "Proof",
    "prove_cut",
    "prove_drawing",
    "prove_sheets",
    "prove_template",
]
