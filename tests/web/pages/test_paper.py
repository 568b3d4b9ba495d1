"""Paper and printer: settings, pages one by one, proof beside the download, check sheet, doctor, kept corrections."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pymupdf
import pytest
from starlette.testclient import TestClient

from app.errors import NotFoundError
from app.service.workshop import Workshop, open_workshop

POINT = 25.4 / 72  # mm: ISO 32000-1, 8.3.2.3


def page_of(client: TestClient, deck: str, path: str = "paper", **query: str) -> str:
    answer = client.get(f"/designs/{deck}/{path}", params=query)
    assert answer.status_code == 200, answer.text
    return unescape(answer.text)


def measure(client: TestClient, deck: str, values: dict[str, str], verb: str = "diagnose", status: int = 200) -> str:
    answer = client.post(f"/designs/{deck}/printer/{verb}", data={"paper": "a4", "unit": "mm", **values})
    assert answer.status_code == status, answer.text
    return unescape(answer.text)


def bar_widths(data: bytes) -> list[float]:
    """Widths of every filled drawing on the second page, the first sheet [mm]."""
    page = list(pymupdf.open(stream=data).pages())[1]
    return [d["rect"].width * POINT for d in page.get_drawings() if d["fill"]]


def test_every_page_is_shown_at_its_own_proportions(client: TestClient, deck: str) -> None:
    page = page_of(client, deck)
    pictures = re.findall(r'<img src="([^"]+sheet\.svg[^"]+)"', page)
    pdf = pymupdf.open(stream=client.get(f"/designs/{deck}/template.pdf").content)
    assert len(pictures) == pdf.page_count
    for number, address in enumerate(pictures):
        svg = client.get(address)
        assert svg.headers["content-type"].startswith("image/svg+xml")
        root = svg.text[svg.text.index("<svg") :].partition(">")[0]
        width, height = (float(re.findall(rf'{side}="([\d.]+)mm"', root)[0]) for side in ("width", "height"))
        box = pdf[number].rect
        assert (width, height) == pytest.approx((box.width * POINT, box.height * POINT), abs=0.01)
    assert "COVER SHEET" in client.get(pictures[0]).text
    assert "TOP FACE" in client.get(pictures[1]).text
    assert client.get(f"/designs/{deck}/sheet.svg?leaf={len(pictures) + 1}").status_code == 404
    for odd in ("0", "-1", "x", "9999999999"):
        assert client.get(f"/designs/{deck}/sheet.svg?leaf={odd}").status_code == 404


def test_margin_and_overlap_are_taken_in_either_unit_and_refused_beside_their_fields(
    client: TestClient, deck: str
) -> None:
    page = page_of(client, deck, overlap="1/2 in")
    assert 'id="wrong-overlap"' not in page
    assert "overlap=1%2F2+in" in page
    for field, typed, said in (
        ("overlap", "2", "marks"),
        ("margin", "wide", "wide"),
        ("margin", "70", "smaller margin"),
    ):
        page = page_of(client, deck, **{field: typed})
        wrong = re.search(rf'id="wrong-{field}">([^<]*)<', page)
        assert wrong
        assert said in wrong[1]
        assert f'value="{typed}"' in page
        assert "download-template" not in page
        assert client.get(f"/designs/{deck}/template.pdf", params={field: typed}).status_code == 422
    assert "weighed" not in page_of(client, deck)


def test_lines_on_a_turned_board_are_told_from_the_edge_that_is_now_at_the_right(client: TestClient, deck: str) -> None:
    assert "From the left edge: " in page_of(client, deck)
    page = page_of(client, deck, face="under")
    said = re.search(r"From the left edge, now on your right: ([^<]*)", page)
    assert said
    distances = [float(mm) for mm in re.findall(r"([\d.]+) mm", said[1])]
    assert distances
    assert distances == sorted(distances)


def test_a_roll_and_one_bit_alone(client: TestClient, deck: str) -> None:
    page = page_of(client, deck, paper="roll 610")
    assert "1 piece of roll 610 mm wide" in page
    whole = client.get(f"/designs/{deck}/template.pdf?paper=roll+610").content
    assert pymupdf.open(stream=whole).page_count == 2  # the cover and the board
    page = page_of(client, deck, only="28")
    assert "ONLY what the 28 mm Forstner bit drills" in page
    data = client.get(f"/designs/{deck}/template.pdf?only=28").content
    text = "".join(p.get_text() for p in list(pymupdf.open(stream=data).pages())[1:])
    assert "24 mm" not in text
    assert 'id="wrong-only"' in page_of(client, deck, only="27") or "No bit 27 mm" in page_of(client, deck, only="27")
    assert client.get(f"/designs/{deck}/template.pdf?only=27").status_code in (400, 404)


@pytest.mark.parametrize("of", ["template", "svg", "dxf"])
def test_the_proof_stands_beside_the_download(client: TestClient, workshop: Workshop, deck: str, of: str) -> None:
    """As many holes as the document has drilled; each file read by a library that did not write it."""
    page = page_of(client, deck, "proof", of=of)
    assert "largest difference 0.00 mm" in page
    count = re.search(r"The file agrees with the design: (\d+) holes", page)
    assert count
    holes = 16  # two sticks, twelve buttons, two admin buttons
    assert int(count[1]) >= holes
    block = client.get(f"/designs/{deck}/proof?of={of}", headers={"HX-Request": "true", "HX-Target": f"proof-{of}"})
    assert "<html" not in block.text
    assert "The file agrees with the design:" in block.text
    assert "Cannot be built" not in block.text
    assert client.get(f"/designs/{deck}/proof?of=cake").status_code == 422
    # Read without scripts, the way back leads to the same sheets.
    assert "paper=letter&margin=12" in page_of(client, deck, "proof", of=of, paper="letter", margin="12")


@pytest.mark.parametrize("of", ["template", "svg", "dxf"])
def test_a_file_that_agrees_is_not_shown_as_a_board_that_can_be_built(
    client: TestClient, workshop: Workshop, deck: str, of: str
) -> None:
    """Its first two parts on one spot: the file shows just that, and what is said of it begins with the stops."""
    _, design = workshop.design(deck)
    document = design.model_dump(mode="json")
    placements = document["boards"][0]["arrangements"][0]["placements"]
    placements[1] |= {"x": placements[0]["x"] + 1.0, "y": placements[0]["y"]}
    bad = workshop.open_file(json.dumps(document).encode()).design.id
    block = page_of(client, bad, "proof", of=of).partition("<main")[2]
    assert re.search(r"Cannot be built as drawn: [1-9]\d* stops?\.</strong> The file agrees with the design", block)
    assert "proof stop" in block and "proof clear" not in block
    assert "proof clear" in page_of(client, deck, "proof", of=of)


def test_a_file_that_does_not_agree_is_refused(client: TestClient, deck: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The writer is made to shift every page by a millimetre: the proof catches it, and nothing is handed out."""
    from app.writers import pdf

    write = pdf.write

    def shifted(pages, **more):  # type: ignore[no-untyped-def]
        from app.scene.primitives import Group
        from app.values import replace

        return write([replace(p, items=(Group(p.items, shift=(1.0, 0.0)),)) for p in pages], **more)

    monkeypatch.setattr(pdf, "write", shifted)
    assert "Do not use it." in page_of(client, deck, "proof", of="template")
    # Beside its download, the link to the file goes as well, and only that one.
    asking = {"HX-Request": "true", "HX-Target": "proof-other"}
    block = client.get(f"/designs/{deck}/proof?of=template&face=under", headers=asking).text
    assert re.findall(r'<a id="([^"]+)" hx-swap-oob="delete">', block) == ["download-other"]
    asking["HX-Target"] = "proof-svg"
    assert "hx-swap-oob" not in client.get(f"/designs/{deck}/proof?of=svg", headers=asking).text
    answer = client.get(f"/designs/{deck}/template.pdf")
    assert answer.status_code >= 400
    assert not answer.content.startswith(b"%PDF")


def test_the_doctor_names_a_wrong_paper_and_corrects_nothing(client: TestClient, workshop: Workshop, deck: str) -> None:
    """A4 shrunk onto Letter: 279.4 / 297 = 94.07 %; of 190 and 250 mm that leaves 178.7 and 235.2 mm."""
    page = measure(client, deck, {"bar-A": "178.7", "bar-C": "235.2"})
    assert "Letter" in re.search(r'id="diagnosis".*?</div>', page, re.S)[0]  # type: ignore[index]
    assert "Save and print corrected" not in page
    measure(client, deck, {"bar-A": "178.7", "bar-C": "235.2", "printer-name": "Any"}, "keep", 422)
    assert workshop.printers.all() == ()


def test_a_printers_own_error_is_corrected_kept_and_told_wherever_it_is_in_force(
    client: TestClient, workshop: Workshop, deck: str
) -> None:
    """190 mm came out as 189.24 (99.6 %) and 250 mm as 250.75 (100.3 %): x by 1 / 0.996, y by 1 / 1.003."""
    values = {
        "bar-A": "189.24",
        "bar-B": "189.24 mm",
        "bar-C": "250.75",
        "bar-D": '9.872"',
        "printer-name": " Workshop  laser ",
    }
    page = measure(client, deck, values)
    assert "x 1.0040 y 0.9970" in page
    page = measure(client, deck, values, "keep")
    assert "corrected x 1.0040 y 0.9970 for Workshop laser" in page
    (kept,) = workshop.printers.all()
    assert (kept.printer, kept.paper) == ("Workshop laser", "a4")
    assert kept.x == pytest.approx(1 / 0.996, abs=1e-4)
    assert kept.y == pytest.approx(250 / 250.75, abs=2e-4)
    data = client.get(f"/designs/{deck}/template.pdf?paper=a4&printer=Workshop+laser").content
    lying = "lying" in page  # then the page's width is the paper's long side
    assert any(w == pytest.approx(100 * (kept.y if lying else kept.x), abs=0.01) for w in bar_widths(data))
    plain = client.get(f"/designs/{deck}/template.pdf?paper=a4").content
    assert any(w == pytest.approx(100.0, abs=0.01) for w in bar_widths(plain))
    without = re.search(r'<a href="([^"]+)">Print uncorrected</a>', page)
    assert without
    assert "corrected x" not in unescape(client.get(unescape(without[1])).text)
    # Another paper has no such profile, and says so instead of printing something else.
    assert "No correction is saved" in page_of(client, deck, paper="letter", printer="Workshop laser")
    assert client.get(f"/designs/{deck}/template.pdf?paper=letter&printer=Workshop+laser").status_code == 422
    page = page_of(client, deck, "printer", paper="a4", printer="Workshop laser")
    assert "corrected x 1.0040" in page
    client.post(f"/designs/{deck}/printer/forget", data={"paper": "a4", "whose": "Workshop laser", "kept-paper": "a4"})
    assert workshop.printers.all() == ()


def test_wrong_measures_are_told_beside_their_fields_and_kept(client: TestClient, deck: str) -> None:
    page = measure(client, deck, {"bar-A": "long", "bar-C": "250"}, status=422)
    assert 'id="wrong-bar-A"' in page
    assert 'value="long"' in page
    page = measure(client, deck, {"bar-A": "190"}, status=422)
    assert 'role="alert"' in page
    page = measure(client, deck, {"bar-A": "189.2", "bar-C": "250.8", "printer-name": ""}, "keep", 422)
    assert 'id="wrong-printer-name"' in page


def test_the_check_sheet_is_the_papers_own_size_with_its_bars(client: TestClient, deck: str) -> None:
    """ISO 216: A4 is 210 × 297 mm."""
    data = client.get(f"/designs/{deck}/check-sheet.pdf?paper=a4").content
    (page,) = pymupdf.open(stream=data).pages()
    assert (page.rect.width * POINT, page.rect.height * POINT) == pytest.approx((210, 297), abs=0.01)
    sizes = [d["rect"] for d in page.get_drawings() if d["fill"]]
    assert any(r.width * POINT == pytest.approx(190, abs=0.01) for r in sizes)
    assert any(r.height * POINT == pytest.approx(250, abs=0.01) for r in sizes)


def test_profiles_outlive_a_restart_and_belong_to_no_design(tmp_path: Path) -> None:
    first = open_workshop(tmp_path)
    first.printers.keep("Desk", "a4", 1.001, 0.999, "A 189.8 mm")
    first.printers.keep("Desk", "a4", 1.002, 0.998, "A 189.6 mm")
    first.printers.keep("Desk", "letter", 1.0, 1.01, "C 247 mm")
    first.close()
    again = open_workshop(tmp_path)
    assert [(p.printer, p.paper, p.x, p.y) for p in again.printers.all()] == [
        ("Desk", "a4", 1.002, 0.998),
        ("Desk", "letter", 1.0, 1.01),
    ]
    with pytest.raises(NotFoundError, match="check sheet"):
        again.printers.get("Desk", "a3")
    again.close()
