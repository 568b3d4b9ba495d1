"""Legends on paper and for a plotter, read by programs that had no part in writing them.

SVG by svgelements, by its own bounding boxes; PDF by PyMuPDF, by its drawings; letter heights by NUREG-0700.
"""

from __future__ import annotations

import io
import json
from functools import cache

import pymupdf
import pytest
import svgelements

from app import service
from app.arrange.new_deck.new_deck_spec import NewDeck
from app.arrange.placement.legends import letter_legends, set_legend, set_lettering
from app.catalogue.load import catalogue
from app.document.resolve import resolve
from app.document.schema import Design
from app.errors import NotFoundError, PaperError, ProofError
from app.fit.features.layout import layout_of
from app.fit.report.findings import findings_of
from app.geometry.contours import Contour, Pose, box_of
from app.proof import prove_cut

MM = 25.4 / 72
PX = 25.4 / 96
WITHIN = 0.01


@cache
def design(colour: str = "black") -> Design:
    made = service.new_design(NewDeck(title="Two-seater", players=2, width=760.0, depth=260.0))
    first, second, third, *_ = (p.id for p in made.boards[0].arrangements[0].placements)
    made = set_legend(made, None, None, first, text="Jump, Åé 8&", place="ring", turn=170).design
    made = set_legend(made, None, None, second, sign="volume", height=9.0, place="right").design
    made = set_legend(made, None, None, third, text="Go on to the end of it all", turn=30, place="front").design
    made = letter_legends(made, None, None, catalogue()).design
    return set_lettering(made, None, colour=colour).design


def wanted(mirrored: bool = False) -> list[tuple[float, float]]:
    """Width and height of every ring of every legend, by the board's own geometry [mm]."""
    board = resolve(design(), None, None, catalogue())
    found = []
    for one in layout_of(board, catalogue()).legends:
        rings = [c for p in one.ink.pieces for c in p.contours] if one.straight else one.contours
        for ring in rings:
            x0, y0, x1, y1 = ring.placed(Pose(mirrored=mirrored)).box
            found.append((x1 - x0, y1 - y0))
    return sorted((round(w, 3), round(h, 3)) for w, h in found)


def read(data: bytes) -> tuple[svgelements.SVG, dict[str, list[svgelements.Path]]]:
    root = svgelements.SVG.parse(io.BytesIO(data), reify=True, ppi=96)
    layers: dict[str, list[svgelements.Path]] = {}
    for element in root.elements():
        if isinstance(element, svgelements.Path):
            for part in element.as_subpaths():
                layers.setdefault(element.values["data-layer"], []).append(svgelements.Path(part))
    return root, layers


def pages(data: bytes) -> list[pymupdf.Page]:
    file = pymupdf.open(stream=data, filetype="pdf")
    return [file[k] for k in range(file.page_count)]


def sizes(paths: list[svgelements.Path]) -> list[tuple[float, float]]:
    boxes = [path.bbox() for path in paths]
    return sorted((round((b[2] - b[0]) * PX, 3), round((b[3] - b[1]) * PX, 3)) for b in boxes)


@pytest.mark.parametrize("face", ["top", "under"])
def test_a_plotter_file_has_every_letter_at_its_size(face: service.Face) -> None:
    made = service.plotter_file("legends", design(), face=face)
    root, layers = read(made.data)
    assert set(layers) == {"LETTERING", "WEEDING_BOXES", "REGISTRATION", "NAMES_NOT_CUT"}
    found = sizes(layers["LETTERING"])
    assert len(found) == len(wanted())
    for mine, theirs in zip(wanted(), found, strict=True):
        assert mine == pytest.approx(theirs, abs=WITHIN)
    assert not [e for e in root.elements() if isinstance(e, svgelements.Text)]
    strokes = {layer: {str(path.stroke) for path in paths} for layer, paths in layers.items()}
    assert all(len(colours) == 1 for colours in strokes.values())
    assert len(set.union(*strokes.values())) == len(strokes)  # one colour a layer


def test_weeding_boxes_hold_their_letters_and_crosses_stand_outside() -> None:
    _, layers = read(service.plotter_file("legends", design()).data)
    boxes = [path.bbox() for path in layers["WEEDING_BOXES"]]
    assert len(boxes) == len(design().boards[0].arrangements[0].placements)
    for path in layers["LETTERING"]:
        x0, y0, x1, y1 = path.bbox()
        assert sum(a <= x0 and b <= y0 and c >= x1 and d >= y1 for a, b, c, d in boxes) == 1
    for k, one in enumerate(boxes):
        assert not any(
            one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]
            for other in boxes[k + 1 :]
        )
    assert len(layers["REGISTRATION"]) == 8


def test_a_mirrored_file_is_the_image_of_the_other() -> None:
    """Letter by letter about the middle of its weeding box."""
    (_, plain), (_, turned) = (read(service.plotter_file("legends", design(), face=f).data) for f in ("top", "under"))
    assert [p.bbox() for p in plain["WEEDING_BOXES"]] == [p.bbox() for p in turned["WEEDING_BOXES"]]
    box = plain["WEEDING_BOXES"][0].bbox()
    inside = [
        [
            p.bbox()
            for p in layers["LETTERING"]
            if box[0] < p.bbox()[0] and p.bbox()[2] < box[2] and p.bbox()[3] < box[3]
        ]
        for layers in (plain, turned)
    ]
    image = sorted((box[0] + box[2] - x1, y0, box[0] + box[2] - x0, y1) for x0, y0, x1, y1 in inside[0])
    assert inside[0] and sorted(inside[1]) == [pytest.approx(row, abs=1e-3) for row in image]


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("colour", ["black", "white"])
def test_printed_letters_have_their_sizes_and_stay_where_both_papers_print(paper: str, colour: str) -> None:
    """The area common to A4 and Letter, 210 × 279.4 mm less margins, about the middle of the page."""
    made = service.sheet_file("legends", design(colour), paper=paper)
    found: list[tuple[float, float]] = []
    for page in pages(made.data):
        wide, high = page.rect.width * MM, page.rect.height * MM
        for drawing in page.get_drawings():
            x0, y0, x1, y1 = (v * MM for v in drawing["rect"])
            assert abs(x0 - wide / 2) <= 105 and abs(x1 - wide / 2) <= 105
            assert abs(y0 - high / 2) <= 139.7 and abs(y1 - high / 2) <= 139.7
            found.append((x1 - x0, y1 - y0))
    board = resolve(design(colour), None, None, catalogue())
    for one in layout_of(board, catalogue()).legends:
        x0, y0, x1, y1 = one.ink.box if one.straight else box_of(one.contours)
        near = (
            0.02 if one.legend.text and one.straight else 0.5
        )  # of other curves PyMuPDF takes the box of their handles
        assert any(abs(w - (x1 - x0)) < near and abs(h - (y1 - y0)) < near for w, h in found), one.legend


def test_the_words_of_a_legend_are_outlines_on_paper() -> None:
    made = service.sheet_file("legends", design())
    text = "".join(page.get_text() for page in pages(made.data))
    assert text.count("Jump, Åé 8&") == 1  # in the table; the legend itself is drawn


def test_a_spoilt_plotter_file_is_withheld() -> None:
    data = service.plotter_file("legends", design()).data
    board = resolve(design(), None, None, catalogue())
    prove_cut(data, board, mirrored=False)
    text = data.decode()
    first = text.index('d="M', text.index('id="LETTERING"'))
    comma = text.index(",", first)
    moved = text[: first + 4] + str(float(text[first + 4 : comma]) + 0.05) + text[comma:]
    whole = text.index("<path", text.index('id="LETTERING"'))
    spoilt = {
        "a point of a letter moved by 0.05 mm": moved,
        "a legend left out": text[:whole] + text[text.index("<path", whole + 5) :],
        "another size": text.replace('height="', 'height="1', 1),
        "weeding boxes left out": text.replace("WEEDING_BOXES", "ELSEWHERE"),
        "crosses left out": text.replace("REGISTRATION", "ELSEWHERE"),
        "words of a font": text.replace("</svg>", '<text x="5" y="5">A</text></svg>'),
    }
    passed = []
    for what, wrong in spoilt.items():
        try:
            prove_cut(wrong.encode(), board, mirrored=False)
        except ProofError:
            continue
        passed.append(what)
    assert not passed
    with pytest.raises(ProofError):
        prove_cut(data, board, mirrored=True)


def test_table_csv_and_json_say_the_same() -> None:
    rows = [
        line.split(",")
        for line in service.list_file("legends", design(), fmt="csv").data.decode("utf-8-sig").splitlines()
    ]
    told = json.loads(service.list_file("legends", design(), fmt="json").data)
    board = resolve(design(), None, None, catalogue())
    assert len(rows) - 1 == len(layout_of(board, catalogue()).legends)
    assert "Jump, Åé 8&" in json.dumps(told, ensure_ascii=False)


def test_a_letter_too_large_for_the_paper_is_refused_and_a_plotter_cuts_it() -> None:
    first = design().boards[0].arrangements[0].placements[0].id
    large = set_legend(design(), None, None, first, text="WO", height=200.0, place="free").design
    with pytest.raises(PaperError, match="Choose a larger paper"):
        service.sheet_file("legends", large)
    assert service.plotter_file("legends", large).proof.holes


def test_a_long_legend_is_cut_between_letters_on_paper() -> None:
    first = design().boards[0].arrangements[0].placements[0].id
    long = set_legend(design(), None, None, first, text="W" * 40, height=12.0, place="free").design
    text = "".join(page.get_text() for page in pages(service.sheet_file("legends", long).data))
    assert "A, 1 of" in text


def test_a_board_without_legends_has_an_empty_list_and_an_empty_film() -> None:
    bare = service.new_design(NewDeck(title="Bare", players=1, width=600.0, depth=220.0))
    assert "Set one on the page Legends" in pages(service.sheet_file("legends", bare).data)[0].get_text()
    assert service.plotter_file("legends", bare).proof.words == "0 legends, largest difference 0.00 mm"
    with pytest.raises(NotFoundError, match="cut by a plotter"):
        service.plotter_file("parts", bare)


@pytest.mark.parametrize(
    ("distance", "height", "severity"),
    [
        (700, 2.8, "note"),
        (700, 2.79, "caution"),
        (700, 4.2, ""),
        (700, 4.19, "note"),
        (2000, 7.9, "caution"),
        (500, 3, ""),
    ],
)
def test_letter_height_goes_by_its_distance(distance: float, height: float, severity: str) -> None:
    """NUREG-0700, 11.4.1.5-1: 0.004 of the distance at least, 0.006 preferred; 700 mm: 2.8 and 4.2 mm."""
    first = design().boards[0].arrangements[0].placements[0].id
    bare = service.new_design(NewDeck(title="Bare", players=1, width=600.0, depth=220.0))
    one = set_legend(bare, None, None, first, text="H", height=height).design
    one = set_lettering(one, None, distance=float(distance)).design
    found = findings_of(resolve(one, None, None, catalogue()), catalogue())
    assert [f.severity for f in found if f.rule == "legend-size"] == ([severity] if severity else [])


def test_rings_that_a_pose_moves_keep_their_area() -> None:
    ring = Contour((0.0, 0.0), (((4.0, 0.0),), ((4.0, 3.0),)))
    assert ring.placed(Pose(x=5, y=6, cos=0.6, sin=0.8)).area == pytest.approx(6.0)
