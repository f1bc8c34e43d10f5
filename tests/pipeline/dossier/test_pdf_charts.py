"""Charts for print: the weights of the page's own letters, and whole for any chart of ours."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

import pytest

from pipeline.dossier.document import Chart, Words
from pipeline.dossier.pdf import pdf_of
from pipeline.dossier.pdf_charts import printed
from pipeline.errors import KernelFault
from tests.pipeline.dossier.pdf_read import box_of, reader_of, squeezed, tagged
from tests.pipeline.dossier.printed import SVG, of

HIGH = '<svg viewBox="0 0 100 400"><rect width="100" height="400" fill="#1F4E5F"/></svg>'


def words_by_face(svg: str) -> dict[str, str]:
    """The words of a page with a chart, squeezed, by the face that they are set in."""
    reader = reader_of(pdf_of(of(Words("Plain words."), Chart("c", "Below", "alt", svg)), {}, "a4"))
    found: dict[str, str] = defaultdict(str)

    def note(text: str, _: Any, __: Any, face: Any, ___: float) -> None:
        if face is not None:
            found[face["/BaseFont"]] += squeezed(text)

    reader.pages[0].extract_text(visitor_text=note)
    return found


def test_letters_of_a_chart_have_the_two_weights_of_the_page() -> None:
    faces = words_by_face(SVG)
    (plain,) = (words for words in faces.values() if "Plainwords." in words)
    (bold,) = (words for words in faces.values() if "Contents" in words)
    assert len(faces) == 2
    assert "ballweight,lb" in plain
    assert "2.55" in plain
    assert "lowRGafter?2.545in" in bold
    assert "thenbold" in bold


@pytest.mark.parametrize("weight", ["500", "700", "bold"])
def test_every_heavier_weight_is_the_bold_one(weight: str) -> None:
    faces = words_by_face(SVG.replace('font-weight="600"', f'font-weight="{weight}"'))
    assert len(faces) == 2


def test_a_group_gives_its_weight_to_its_words() -> None:
    svg = '<svg viewBox="0 0 9 9"><g font-weight="bold"><text x="1" y="5">within</text></g></svg>'
    (bold,) = (words for words in words_by_face(svg).values() if "Contents" in words)
    assert "within" in bold


def test_a_chart_is_as_wide_as_the_line() -> None:
    reader = reader_of(pdf_of(of(Chart("c", "Below", "alt", SVG)), {}, "letter"))
    (figure,) = tagged(reader, "/Figure")
    left, bottom, right, top = box_of(figure)
    assert right - left == pytest.approx((215.9 - 40.0) * 72.0 / 25.4, abs=0.1)
    assert (right - left) / (top - bottom) == pytest.approx(640.0 / 300.0, rel=1e-3)


def test_a_high_chart_stays_on_its_page() -> None:
    reader = reader_of(pdf_of(of(Chart("c", "Below", "alt", HIGH)), {}, "letter"))
    _, bottom, _, top = box_of(tagged(reader, "/Figure")[0])
    assert bottom > 0.0
    assert top < float(reader.pages[0].mediabox.height)


def test_the_shape_is_that_of_the_view_box() -> None:
    assert printed(HIGH)[1] == 0.25


@pytest.mark.parametrize(
    "svg", ["", "<svg", "<svg/>", '<svg viewBox="0 0 1"/>', '<svg viewBox="0 0 1 0"/>']
)
def test_what_is_no_chart_is_a_fault(svg: str) -> None:
    with pytest.raises(KernelFault, match="no SVG with a viewBox"):
        printed(svg)
