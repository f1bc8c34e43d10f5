from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest

from pipeline.drafting import Paper, Stroke, Words
from pipeline.typeset import typeset

HOSTILE = [
    "#set page(fill: red)", "$x$ * _y_ `z` <l> @r // c", 'a "b" \\ \\" c', "\\u{41} #{panic()}",
    "]) #import", "~ -- --- ... '",
]  # fmt: skip


def page(*words: str) -> Paper:
    marks = tuple(Words((20.0, 200.0 - 10.0 * k), text) for k, text in enumerate(words))
    return Paper(210.0, 297.0, (*marks, Stroke(((0.0, 0.0), (9.0, 9.0)), "chain")), words[0])


def text_of(pdf: bytes) -> str:
    return pypdf.PdfReader(io.BytesIO(pdf)).pages[0].extract_text()


@pytest.mark.parametrize("words", HOSTILE)
def test_no_sign_acts_as_markup(words: str) -> None:
    assert words.split() == text_of(typeset(page(words), "pdf")).split()


def test_a_letter_that_the_face_lacks_is_a_question_mark() -> None:
    assert "Gr\u00e8be ??" in text_of(typeset(page("Gr\u00e8be \u6838\u5fc3"), "pdf"))


def test_the_faces_are_embedded_and_ours() -> None:
    reader = pypdf.PdfReader(io.BytesIO(typeset(page("R 5.08"), "pdf")))
    fonts = [f.get_object() for f in reader.pages[0]["/Resources"]["/Font"].values()]
    inner = [f["/DescendantFonts"][0].get_object() for f in fonts]
    assert all("SourceSans" in str(f["/BaseFont"]) for f in inner)
    assert all("/FontFile2" in d or "/FontFile3" in d for d in (
        f["/FontDescriptor"].get_object() for f in inner))  # fmt: skip


def test_without_a_date_the_file_has_none() -> None:
    made = pypdf.PdfReader(io.BytesIO(typeset(page("a"), "pdf"))).metadata
    assert made is not None
    assert "/CreationDate" not in made
    assert "/ModDate" not in made


@pytest.mark.parametrize("form", ["pdf", "svg"])
def test_another_process_gives_the_same_bytes(form: str) -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from pipeline.drafting import *; from pipeline.typeset import typeset\n"
        "p = Paper(210.0, 297.0, (Words((20.0, 200.0), 'a'), Words((20.0, 190.0), 'b'),"
        " Stroke(((0.0, 0.0), (9.0, 9.0)), 'chain')), 'a')\n"
        "sys.stdout.buffer.write(typeset(p, sys.argv[2]))"
    )
    root = str(Path(__file__).parents[2])
    done = subprocess.run([sys.executable, "-c", code, root, form], capture_output=True, check=True)
    assert done.stdout == typeset(page("a", "b"), form)  # type: ignore[arg-type]
