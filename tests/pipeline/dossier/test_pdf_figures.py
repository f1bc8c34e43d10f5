"""Charts, stills and lines to sign on, as they lie on the pages of the PDF."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.dossier.document import (
    Chart,
    Section,
    SignOff,
    Space,
    Still,
)
from pipeline.dossier.pdf import Paper, pdf_of
from tests.pipeline.dossier.pdf_read import (
    box_of,
    pictures_of,
    read,
    reader_of,
    squeezed,
    tagged,
)
from tests.pipeline.dossier.printed import ALT, PICTURES, SVG, of

POINTS = 72.0 / 25.4
CHART = Chart("rg", "Low RG over ball weight", ALT, SVG)


def test_a_chart_is_lines_and_letters() -> None:
    page = read(CHART).pages[0]
    assert not pictures_of(page)
    assert squeezed("low RG after ? 2.545 in") in squeezed(page.extract_text())


def test_stills_are_the_pixels_they_were_made_of() -> None:
    (image,) = pictures_of(read(Still("cutaway", "a", "b")).pages[0])
    assert (image["/Width"], image["/Height"]) == (960, 540)


def test_a_still_alone_is_no_taller_than_120_mm() -> None:
    ((_, bottom, _, top),) = map(box_of, tagged(read(Still("tall", "a", "b")), "/Figure"))
    assert top - bottom == pytest.approx(120.0 * POINTS, abs=0.1)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_two_stills_share_a_page_with_their_heading(paper: Paper) -> None:
    many = Space((*(Still(key, "c " * 90, "d") for key in ("tall", "cutaway")),) * 3)
    document = replace(of(many), sections=(Section("a", "A", (many,)),) * 2)
    pages = reader_of(pdf_of(document, PICTURES, paper)).pages
    assert {len(pictures_of(page)) for page in pages[1:-1]} == {2}
    assert sum(len(pictures_of(page)) for page in pages) == 12


def test_narrow_stills_stand_two_in_a_row() -> None:
    stills = Space(tuple(Still(key, "c", "d") for key in ("left", "right")))
    one, two = (box_of(figure) for figure in tagged(read(stills), "/Figure"))
    assert two[1] == pytest.approx(one[1])
    assert two[0] > one[2]


def test_stills_keep_their_shape() -> None:
    for key in PICTURES:
        ((left, bottom, right, top),) = map(box_of, tagged(read(Still(key, "a", "b")), "/Figure"))
        drawn = (right - left) / (top - bottom)
        assert drawn == pytest.approx(PICTURES[key].width_px / PICTURES[key].height_px, rel=1e-3)


def test_each_role_has_a_line_for_each_column() -> None:
    page = read(SignOff(("Maker", "Reviewer"), ("Name", "Date"))).pages[0]
    content = page.get_contents()
    assert content is not None
    signed, at, pen = [], (0.0, 0.0), 0.0
    for operands, operator in content.operations:
        if operator == b"cm":
            at = (float(operands[4]), float(operands[5]))
        elif operator == b"w":
            pen = float(operands[0])
        elif operator == b"S" and pen == 0.5:
            signed.append(at)
    assert len(signed) == 4
    rows = sorted({y for _, y in signed})
    assert rows[1] - rows[0] == pytest.approx(9.0 * POINTS, abs=0.1)


def test_roles_and_columns_are_named_where_they_are_signed() -> None:
    page = read(SignOff(("Maker", "Reviewer"), ("Name", "Date"))).pages[0]
    last = page.extract_text().splitlines()[-4:-1]
    assert [line.strip() for line in last] == ["role Name Date", "Maker", "Reviewer"]
