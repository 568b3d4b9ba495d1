"""Measuring what was written with programs that had no part in writing it.

Three independent ways to find circles, all in mm, x right, y up, origin at the page's lower left corner:
the vectors of a PDF page as PyMuPDF reads them, the pixels of a page that pdftoppm (poppler) has drawn at
600 dpi, and the path data of an SVG as svgpathtools reads it.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import numpy.typing as npt
import pymupdf
import pytest
from msgspec import Struct
from svgpathtools import Arc, Document

POINT = 25.4 / 72.0
"""A PDF point [mm]: ISO 32000-1, 8.3.2.3: 72 to the inch."""

Floats = npt.NDArray[np.float64]


class Found(Struct, frozen=True):
    """A circle that was measured.

    Args:
        x: centre, from the left edge of the page [mm].
        y: centre, from the bottom edge of the page [mm].
        diameter: of the middle of its line [mm].
        spread: largest distance of a measured point from the circle fitted through all of them [mm].
        width: line width [mm]; 0 where it was not measured.
    """

    x: float
    y: float
    diameter: float
    spread: float
    width: float = 0.0


def fit_circle(points: Floats) -> Found:
    """The circle with the least squared algebraic distance from ``points`` [mm].

    x² + y² = 2ax + 2by + c is linear in a, b and c. Exact for points on a circle, and without
    bias for points all around one.
    """
    middle = points.mean(axis=0)
    x, y = (points - middle).T
    system = np.column_stack((2 * x, 2 * y, np.ones_like(x)))
    (a, b, c), *_ = np.linalg.lstsq(system, x * x + y * y, rcond=None)
    radius = float(np.sqrt(c + a * a + b * b))
    spread = float(np.abs(np.hypot(x - a, y - b) - radius).max())
    return Found(float(a + middle[0]), float(b + middle[1]), 2 * radius, spread)


def page_sizes(pdf: bytes) -> list[tuple[float, float]]:
    """Width and height of each page's MediaBox [mm]."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        return [(page.mediabox.width * POINT, page.mediabox.height * POINT) for page in document]


def pdf_circles(pdf: bytes, page: int = 0) -> list[Found]:
    """Every closed outline of a page that is made of curves only and is a circle within 0.02 mm.

    Args:
        pdf: the file.
        page: index of the page from 0.
    """
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        sheet = document[page]
        height = float(sheet.mediabox.height)
        found = []
        for drawing in sheet.get_drawings():
            for outline in _curved_outlines(drawing["items"]):
                points = np.array([(x * POINT, (height - y) * POINT) for x, y in outline])
                circle = fit_circle(points)
                if circle.spread < 0.02 and np.hypot(*(points[0] - points[-1])) < 0.02:
                    width = (drawing["width"] or 0.0) * POINT
                    found.append(Found(circle.x, circle.y, circle.diameter, circle.spread, width))
    return found


def pdf_curves(pdf: bytes, page: int = 0) -> list[Floats]:
    """Points along every connected run of Béziers of a page, as rows of x and y [mm]."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        sheet = document[page]
        height = float(sheet.mediabox.height)
        runs = [run for drawing in sheet.get_drawings() for run in _curved_outlines(drawing["items"])]
    return [np.array([(x * POINT, (height - y) * POINT) for x, y in run]) for run in runs]


def _curved_outlines(items: list[Any]) -> list[list[tuple[float, float]]]:
    """Points along each run of Béziers that hang together, 8 to a piece."""
    outlines: list[list[tuple[float, float]]] = []
    end = None
    for item in items:
        if item[0] != "c":
            end = None
            continue
        start, one, two, stop = ((point.x, point.y) for point in item[1:5])
        if end is None or np.hypot(start[0] - end[0], start[1] - end[1]) > 1e-3:
            outlines.append([start])
        t = np.linspace(0.125, 1.0, 8)[:, None]
        curve = (
            (1 - t) ** 3 * np.array(start)
            + 3 * t * (1 - t) ** 2 * np.array(one)
            + 3 * t**2 * (1 - t) * np.array(two)
            + t**3 * np.array(stop)
        )
        outlines[-1].extend((float(x), float(y)) for x, y in curve)
        end = stop
    return outlines


def pdf_lines(pdf: bytes, page: int = 0) -> list[tuple[float, float, float, float]]:
    """Every straight line of a page as (x0, y0, x1, y1) [mm]; rectangles by their four sides."""
    with pymupdf.open(stream=pdf, filetype="pdf") as document:
        sheet = document[page]
        height = float(sheet.mediabox.height)
        pairs = []
        for drawing in sheet.get_drawings():
            for item in drawing["items"]:
                if item[0] == "l":
                    pairs.append((item[1], item[2]))
                elif item[0] == "re":
                    r = item[1]
                    pairs += [(r.tl, r.tr), (r.tr, r.br), (r.br, r.bl), (r.bl, r.tl)]
    return [(a.x * POINT, (height - a.y) * POINT, b.x * POINT, (height - b.y) * POINT) for a, b in pairs]


def raster(pdf: bytes, page: int = 0, dpi: int = 600) -> npt.NDArray[np.uint8]:
    """A page as pdftoppm draws it: grey values, 0 black, first row at the top. Skips the test without it."""
    tool = shutil.which("pdftoppm")
    if tool is None:
        pytest.skip("pdftoppm is not on PATH")
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "page.pdf"
        file.write_bytes(pdf)
        number = str(page + 1)
        subprocess.run(
            [tool, "-r", str(dpi), "-gray", "-singlefile", "-f", number, "-l", number, str(file), str(file)],
            check=True,
            capture_output=True,
        )
        image = cv2.imread(f"{file}.pgm", cv2.IMREAD_GRAYSCALE)
    assert image is not None
    return np.asarray(image, dtype=np.uint8)


def raster_circle(
    image: npt.NDArray[np.uint8], expected: tuple[float, float, float], *, dpi: int = 600, reach: float = 0.6
) -> Found:
    """Measure one drawn circle in a page's pixels.

    Along 360 rays from the expected centre, the middle of the ink within ``reach`` of the expected radius is
    found by its darkness-weighted mean; a circle is fitted to these points, and again without those that
    other ink (a cross, a label, another circle) pulled away by more than a pixel. So nothing of the result is
    taken from what was expected, except where to look.

    Args:
        image: grey values of the page, 0 black, first row at the top.
        expected: centre x and y from the lower left corner of the page, and diameter [mm].
        dpi: resolution of the image [1/in].
        reach: how far inside and outside the expected line to look [mm].
    """
    scale = dpi / 25.4
    rows = image.shape[0]
    x, y, diameter = expected
    radii = np.arange(diameter / 2 - reach, diameter / 2 + reach, 0.25 / scale)
    angles = np.radians(np.arange(360.0))[:, None]
    # Pixel n covers n to n + 1, so what is at its middle is at n + 0.5.
    columns = ((x + radii * np.cos(angles)) * scale - 0.5).astype(np.float32)
    lines = (rows - (y + radii * np.sin(angles)) * scale - 0.5).astype(np.float32)
    ink = 255.0 - cv2.remap(image, columns, lines, cv2.INTER_LINEAR, borderValue=255).astype(np.float64)
    total = ink.sum(axis=1)
    clear = total > 0.3 * np.median(total)
    middle = (ink[clear] * radii).sum(axis=1) / total[clear]
    points = np.column_stack((x + middle * np.cos(angles[clear, 0]), y + middle * np.sin(angles[clear, 0])))
    circle = fit_circle(points)
    for _ in range(3):
        distance = np.abs(np.hypot(points[:, 0] - circle.x, points[:, 1] - circle.y) - circle.diameter / 2)
        near = distance <= max(1.0 / scale, 1.5 * float(np.median(distance)))
        assert near.sum() >= 120, "too little of the circle is visible to measure it"
        circle = fit_circle(points[near])
    return circle


def svg_circles(svg: str) -> list[Found]:
    """Every closed outline of an SVG file that is made of arcs only and is a circle within 0.02 mm.

    Centres are measured from the lower left corner of the drawing, and lengths by what the file says of its
    own size: its height against that of its viewBox.
    """
    document = Document.from_svg_string(svg)
    root = document.root
    unit = re.fullmatch(r"([0-9.]+)(mm|cm|in|pt|px)?", root.get("height"))
    assert unit, root.get("height")
    # CSS Values and Units, absolute lengths: 1in = 2.54cm = 25.4mm = 72pt = 96px.
    height = float(unit[1]) * {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72}.get(unit[2], 25.4 / 96)
    left, top, _, box_height = (float(number) for number in root.get("viewBox").split())
    scale = height / box_height
    found = []
    for path in document.paths():
        # A float's last digit may leave a closing line without length.
        steps = [step for step in path if isinstance(step, Arc) or abs(step.end - step.start) > 1e-6]
        if not steps or not all(isinstance(step, Arc) for step in steps):
            continue
        if abs(steps[0].start - steps[-1].end) * scale > 0.02:
            continue
        points = [step.point(t) for step in steps for t in np.linspace(0.0, 1.0, 9)]
        plane = np.array([((p.real - left) * scale, height - (p.imag - top) * scale) for p in points])
        circle = fit_circle(plane)
        if circle.spread < 0.02:
            found.append(circle)
    return found


def nearest(found: list[Found], x: float, y: float, diameter: float) -> Found:
    """The measured circle that differs least from a wanted one [mm]."""
    assert found, "no circle was found at all"
    return min(found, key=lambda circle: (circle.x - x) ** 2 + (circle.y - y) ** 2 + (circle.diameter - diameter) ** 2)
