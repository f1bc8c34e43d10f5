"""The document as a PDF, read back by pypdf: all of it, in order, tagged, and the same again."""

from __future__ import annotations

import itertools
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline import fonts
from pipeline.dossier.document import (
    Cell,
    Chart,
    Column,
    Items,
    Section,
    SignOff,
    Space,
    Still,
    Table,
    Terms,
    Words,
)
from pipeline.dossier.pdf import Paper, pdf_of
from pipeline.errors import KernelFault
from tests.pipeline.dossier.pdf_read import (
    faces_of,
    read,
    reader_of,
    squeezed,
    words_of,
)
from tests.pipeline.dossier.printed import (
    HOSTILE,
    LONG,
    PICTURES,
    SVG,
    numbers,
    of,
    sample,
)

SHEETS: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
POINTS = 72.0 / 25.4
SIDE = 20.0 * POINTS
ROOT = str(Path(__file__).parents[3])


@pytest.fixture(scope="module")
def whole() -> pypdf.PdfReader:
    return reader_of(pdf_of(sample(), PICTURES, "a4"))


# --- pages


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_every_page_is_of_the_paper_asked_for(paper: Paper) -> None:
    high = {round(float(p.mediabox.height), 1) for p in read(Words("a"), paper=paper).pages}
    wide = {round(float(p.mediabox.width), 1) for p in read(Words("a"), paper=paper).pages}
    assert (wide, high) == tuple({round(mm * POINTS, 1)} for mm in SHEETS[paper])


def test_only_the_wide_table_lies_in_landscape(whole: pypdf.PdfReader) -> None:
    flat = [p for p in whole.pages if p.mediabox.width > p.mediabox.height]
    assert len(flat) == 1
    assert "Twelve columns" in flat[0].extract_text()


def test_each_page_says_title_and_number_at_its_foot(whole: pypdf.PdfReader) -> None:
    feet = [page.extract_text().splitlines()[-1] for page in whole.pages]
    many = len(feet)
    assert feet == [f"Dunlin, revision C page {n} of {many}" for n in range(1, many + 1)]


def test_contents_name_the_pages_where_the_headings_stand(whole: pypdf.PdfReader) -> None:
    front = whole.pages[0].extract_text()
    contents = front[front.index("Contents") : front.rindex("Identity")]
    told = [int(number) for number in re.findall(r" (\d+)$", contents, re.MULTILINE)]
    marks = [mark for mark in whole.outline if not isinstance(mark, list)]
    assert told == [(whole.get_destination_page_number(mark) or 0) + 1 for mark in marks]


def test_the_outline_has_every_section(whole: pypdf.PdfReader) -> None:
    assert [squeezed(mark["/Title"]) for mark in whole.outline] == [
        squeezed(section.title) for section in sample().sections
    ]


def test_no_word_runs_out_of_the_line(whole: pypdf.PdfReader) -> None:
    """Letters are measured as Pillow does, in the lighter weight."""
    ends = []
    for page in whole.pages:
        right = float(page.mediabox.width) - SIDE

        def note(text: str, cm: list[float], tm: list[float], _: object, size: float,
                 right: float = right) -> None:  # fmt: skip
            text = text.strip().replace("\u200b", "").replace("\n", "")
            scale = abs(cm[0] * tm[0])
            end = cm[4] + cm[0] * tm[4] + scale * fonts.width(text, 48.0) * size / 48.0
            ends.append((end - right, text))

        page.extract_text(visitor_text=note)
    assert max(ends)[0] < 1.0, max(ends)


# --- words


def test_every_section_is_there_in_reading_order(whole: pypdf.PdfReader) -> None:
    words, at = words_of(whole), 0
    words = words[words.index("Contents") :]
    at = words.index(squeezed("The Dunlin is a symmetrical ball of Saltmarsh"))
    for said in [
        "Name", "and what it is", "Figures are those of the undrilled ball.", "Caution.",
        "✗ Fails. The wall", "Checks", "Checks of the Dunlin, revision C", "total differential",
        "✓ pass", "✗ fails", "? not determined", "First sentence.", "Curves", "Low RG over",
        "Every weight of the line", "row 1 of Godwit", "row 40 of Godwit",
        "All figures of the line", "Twelve columns", "row 12 of Godwit", "After the wide table.",
        "Pictures", "The cut ball", "From the left", "From the right", "The core alone",
        HOSTILE, HOSTILE, LONG, HOSTILE, LONG[:900], HOSTILE, HOSTILE, LONG[:300], HOSTILE,
        "Sign-off", "role", "Name", "Signature", "Date", "Core engineer", "Pour room", "Reviewer",
    ]:  # fmt: skip
        assert squeezed(said) in words[at:], said[:60]
        at = words.index(squeezed(said), at) + len(squeezed(said))


def test_no_sign_acts_as_markup_anywhere() -> None:
    h = HOSTILE
    table = Table(h, (Column(h), Column(h, True)), ((Cell(h), Cell(h, "fail")),))
    section = Section("h", h, (
        Words(h), Words(h, "note"), Words(h, "caution"), Words(h, "fail"), Items((h,)),
        Terms(((h, h), ("a", h))), table, Chart("c", h, h, SVG), Still("left", h, h),
        Space((Still("tall", h, h),)), SignOff((h,), (h,)),
    ))  # fmt: skip
    document = replace(sample(), title=h, line=h, sections=(section,))
    reader = reader_of(pdf_of(document, PICTURES, "a4", {h: b"a"}))
    # title, line, contents, heading, four paragraphs, an item, three of the terms, five of the
    # table, of chart and stills a caption each, and two to sign by
    assert words_of(reader).count(squeezed(h)) == 22
    assert reader.metadata is not None
    assert reader.metadata.title == h


def test_letters_that_the_face_lacks_are_question_marks() -> None:
    said = words_of(read(Words("a שלום \u2068x\u2069 🙂 \u202eb 核 \ufeffc \ud800 \x00d\u3000e")))
    assert said.endswith("a????x??b??c??de")


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=60))
def test_any_text_can_be_printed(text: str) -> None:
    table = Table(text, (Column(text),), ((Cell(text, "fail"),),))
    document = replace(of(Words(text), Items((text,)), table), line=text)
    assert len(reader_of(pdf_of(document, {}, "letter")).pages) >= 1


def test_ten_thousand_letters_without_a_space_are_all_printed_anywhere() -> None:
    table = Table(LONG, (Column(LONG), Column("b")), ((Cell(LONG), Cell("c")),))
    document = replace(of(Words(LONG, "caution"), table, Terms(((LONG, "d"),))), title=LONG)
    reader = reader_of(pdf_of(document, {}, "a4"))
    assert words_of(reader).count("Dunlin") >= 4 * 1700


def test_no_unit_is_parted_at_its_stroke() -> None:
    lines = read(Words("a 2.33 g/cm3 " * 90)).pages[0].extract_text().splitlines()
    assert sum(line.count("g/cm3") for line in lines) == 90


def test_manners_begin_with_their_word() -> None:
    words = words_of(read(Words("Thin wall.", "caution"), Words("Too thin.", "fail")))
    assert words.endswith("Caution.Thinwall.✗Fails.Toothin.")


def test_heads_of_a_long_table_are_on_each_of_its_pages() -> None:
    pages = [page.extract_text() for page in read(numbers(80)).pages]
    assert all("Low RG, in" in text for text in pages if "of Godwit" in text)
    assert len(pages) > 1


# --- the file


def test_all_faces_are_embedded_and_ours(whole: pypdf.PdfReader) -> None:
    faces = list(itertools.chain.from_iterable(map(faces_of, whole.pages)))
    assert all("SourceSans3" in face["/BaseFont"] for face in faces)
    assert all("/FontFile2" in face["/FontDescriptor"].get_object() for face in faces)
    assert len(faces) > 8


def test_the_only_time_is_the_design_s_own() -> None:
    meta = reader_of(pdf_of(of(Words("a")), {}, "a4")).metadata
    assert meta is not None
    assert meta["/CreationDate"] == "D:20261125000000Z"
    undated = reader_of(pdf_of(replace(of(Words("a")), date=""), {}, "a4", {"a.yaml": b"b"}))
    xmp = undated.trailer["/Root"]["/Metadata"].get_object().get_data()
    assert b"Date" not in xmp
    assert not [key for key in undated.metadata or {} if "Date" in key]


def test_files_travel_inside_it_with_their_kind() -> None:
    data = {"dunlin.yaml": b"name: Dunlin\n", "figures.json": bytes(range(256)), "a": b""}
    reader = reader_of(pdf_of(of(Words("a")), {}, "a4", data))
    assert {name: found[0] for name, found in reader.attachments.items()} == data
    specs = [s.get_object() for s in reader.trailer["/Root"]["/Names"]["/EmbeddedFiles"]["/Names"]]
    kinds = {s["/UF"]: s["/EF"]["/F"]["/Subtype"] for s in specs if "/UF" in s}
    assert kinds == {
        "dunlin.yaml": "/application/yaml",
        "figures.json": "/application/json",
        "a": "/application/octet-stream",
    }


def test_a_name_of_an_attached_file_has_no_folder() -> None:
    reader = reader_of(pdf_of(of(Words("a")), {}, "a4", {"../a\\b/c.yaml": b"x"}))
    assert list(reader.attachments) == ["..-a-b-c.yaml"]


def test_another_process_gives_the_same_bytes() -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from tests.pipeline.dossier.printed import PICTURES, sample\n"
        "from pipeline.dossier.pdf import pdf_of\n"
        "sys.stdout.buffer.write(pdf_of(sample(), PICTURES, 'a4', {'a.yaml': b'a'}))"
    )
    done = subprocess.run([sys.executable, "-c", code, ROOT], capture_output=True, check=True)
    assert done.stdout == pdf_of(sample(), PICTURES, "a4", {"a.yaml": b"a"})


# --- faults of ours


def test_a_picture_that_was_not_made_is_a_fault() -> None:
    with pytest.raises(KernelFault, match="'absent', which was not made"):
        read(Still("absent", "a", "b"))


def test_a_picture_without_words_is_a_fault() -> None:
    with pytest.raises(KernelFault, match="alt text"):
        read(Still("left", "a", ""))


def test_a_picture_that_is_none_is_a_fault() -> None:
    broken = replace(PICTURES["left"], png=b"no picture")
    with pytest.raises(KernelFault, match="could not be set"):
        pdf_of(of(Still("left", "a", "b")), {"left": broken}, "a4")


def test_a_date_that_is_none_is_a_fault() -> None:
    with pytest.raises(KernelFault, match="'25 November' is no day"):
        pdf_of(replace(sample(), date="25 November"), PICTURES, "a4")


def test_a_document_without_a_title_is_a_fault() -> None:
    with pytest.raises(KernelFault, match="title"):
        pdf_of(replace(sample(), title=""), PICTURES, "a4")
