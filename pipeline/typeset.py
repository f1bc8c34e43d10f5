"""The one door to typst: its markup, or a sheet of lines and words, as PDF, SVG or PNG.

Every text goes in as a string literal, so that no sign in it can act as markup.  Only the face
that ships with the package is used; in a sheet kerning and ligatures are off, so that words come
out as long as they were measured.
"""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import as_file
from importlib.resources import files as resources
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Literal

from pipeline import fonts
from pipeline.drafting import (
    CAPITALS,
    FAINT_MM,
    NARROW_MM,
    WIDE_MM,
    Fill,
    Kind,
    Mark,
    Paper,
    Stroke,
    Words,
    box,
)
from pipeline.errors import KernelFault

Form = Literal["pdf", "svg", "png"]
_PPI = 110.0  # of a picture: small words can just be read
# ISO 128-2, in widths of a narrow line: dashes 12 long, gaps 3; long dashes 24, dots 0.5
_STROKES: dict[Kind, str] = {
    "wide": f"(paint: black, thickness: {WIDE_MM}mm, cap: \"round\", join: \"round\")",
    "narrow": f"(paint: black, thickness: {NARROW_MM}mm, cap: \"round\", join: \"round\")",
    "faint": f"(paint: black, thickness: {FAINT_MM}mm)",
    "dashed": f"(paint: black, thickness: {NARROW_MM}mm, dash: (2.2mm, 0.7mm))",
    "chain": f"(paint: black, thickness: {NARROW_MM}mm, dash: (5.5mm, 1.1mm, 0.3mm, 1.1mm))",
}  # fmt: skip


def typeset(paper: Paper, form: Form) -> bytes:
    """The sheet as a file; the same sheet gives the same bytes.

    Raises:
        KernelFault: typst refused what it was given, which is ours to mend.
    """
    return compiled(markup(paper), form, f"the sheet '{paper.title}'")


def compiled(
    source: str,
    form: Form,
    called: str,
    files: Mapping[str, bytes] = {},
    accessible: bool = False,
) -> bytes:
    """Markup as a file, set in our face alone and without a clock.

    Args:
        source: in typst's own language.
        form: what to make of it.
        called: what it is, for a fault.
        files: what the markup reads, each under its name.
        accessible: whether a PDF is tagged and held to PDF/UA-1 (ISO 14289-1) by typst; a drawing
            has no order of reading to tag.

    Raises:
        KernelFault: typst refused what it was given, or made several pictures of it.
    """
    import typst

    with as_file(resources("pipeline").joinpath("fonts")) as fonts_in, TemporaryDirectory() as root:
        faces = typst.Fonts(False, False, [str(fonts_in)])  # neither the system's nor typst's own
        for name, data in files.items():
            Path(root, name).write_bytes(data)
        try:
            made = typst.Compiler(
                source.encode(), root=root, font_paths=faces, ignore_system_fonts=True
            ).compile(
                format=form,
                ppi=_PPI,
                timestamp=0,
                pdf_standards=["ua-1"] if accessible else [],
                pdf_tags=accessible,
            )
        except typst.TypstError as error:
            raise KernelFault(f"{called} could not be set: {error}") from error
    if not isinstance(made, bytes):
        raise KernelFault(f"{called} came out as more than one page")
    return made


def markup(paper: Paper) -> str:
    """The sheet in typst's own language."""
    date = "none" if paper.date is None else "datetime(year: {}, month: {}, day: {})".format(
        *paper.date
    )  # fmt: skip
    author = f", author: {quoted(paper.author)}" if paper.author.strip() else ""
    lines = [
        f"#set document(title: {quoted(paper.title)}{author}, date: {date})",
        f"#set page(width: {paper.width_mm}mm, height: {paper.height_mm}mm, margin: 0mm)",
        '#set text(font: "Source Sans 3", fallback: false, kerning: false, ligatures: false, '
        'top-edge: "baseline", bottom-edge: "baseline", hyphenate: false)',
        "#let at(x, y, body) = place(top + left, dx: x * 1mm, dy: y * 1mm, body)",
        "#let line(pen, ..p) = { let q = p.pos(); place(top + left, curve(stroke: pen, "
        "curve.move(q.at(0)), ..q.slice(1).map(curve.line))) }",
        "#let area(paint, ..p) = place(top + left, polygon(fill: paint, ..p))",
        "#let words(x, y, size, weight, body) = at(x, y, box(width: 5000mm, text(size: size * 1mm, "
        "weight: weight, body)))",
        *(f"#let {kind} = {stroke}" for kind, stroke in _STROKES.items()),
        *(_written(mark, paper.height_mm) for mark in paper.marks),
    ]
    return "\n".join(lines)


def _written(mark: Mark, height: float) -> str:
    if isinstance(mark, Words):
        size = mark.height_mm / CAPITALS
        weight = fonts.BOLD if mark.bold else fonts.PLAIN
        x, y = box(mark).left, height - mark.at[1]
        shown = quoted(fonts.written(mark.text))
        return f"#words({x:.4f}, {y:.4f}, {size:.4f}, {weight}, {shown})"
    points = ", ".join(f"({x:.4f}mm, {height - y:.4f}mm)" for x, y in mark.points)
    if isinstance(mark, Stroke):
        return f"#line({mark.kind}, {points})"
    assert isinstance(mark, Fill)
    return f"#area({'white' if mark.white else 'black'}, {points})"


def quoted(text: str) -> str:
    r"""A string literal of typst that stands for any text.

    >>> quoted('a "b" #c \\ $')
    '"a \\"b\\" #c \\\\ $"'
    """
    safe = (f"\\u{{{ord(c):x}}}" if ord(c) < 0x20 else f"\\{c}" if c in '"\\' else c for c in text)
    return f'"{"".join(safe)}"'
