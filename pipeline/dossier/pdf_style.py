"""How a printed document looks: white paper, ink, thin rules, one face."""

from __future__ import annotations

from typing import Literal

from pipeline.fonts import BOLD
from pipeline.palette import CLAY, INTERMEDIATE_AXIS, LOW_AXIS

Paper = Literal["a4", "letter"]

SIDE_MM, TOP_MM, FOOT_MM = 20.0, 18.0, 20.0  # of the margins
PAPERS_MM: dict[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_NAMES: dict[Paper, str] = {"a4": "a4", "letter": "us-letter"}

TITLE_PT, HEADING_PT, TEXT_PT, NOTE_PT, CAPTION_PT, FOOT_PT = 22.0, 14.0, 10.0, 8.5, 9.0, 8.0
INK, SOFT, RULE = "#22201D", "#5A544B", "#B9B1A2"
PASS, FAIL, UNSURE = LOW_AXIS, CLAY, INTERMEDIATE_AXIS  # as in the charts; dark enough to read


def line_mm(paper: Paper, flipped: bool = False) -> float:
    """How long a line of text may be, mm; flipped is landscape."""
    return PAPERS_MM[paper][1 if flipped else 0] - 2.0 * SIDE_MM


def high_mm(paper: Paper) -> float:
    """How high the text of an upright page may be, mm."""
    return PAPERS_MM[paper][1] - TOP_MM - FOOT_MM


def style(paper: Paper, foot: str) -> str:
    """The rules of the whole document, in typst's language.

    Args:
        paper: its sheets.
        foot: the words at the foot of each page, as a literal.
    """
    return "\n".join(
        [
            *(f"#let {name} = {value}" for name, value in _values().items()),
            f'#set page(paper: "{_NAMES[paper]}", margin: (x: {SIDE_MM}mm, top: {TOP_MM}mm, '
            f'bottom: {FOOT_MM}mm), numbering: "1", footer-descent: 6mm, footer: foot({foot}))',
            _TEXT,
            _PARTS,
        ]
    ).replace("#set page", _FOOT + "\n#set page", 1)


def _values() -> dict[str, str]:
    colours = {"ink": INK, "soft": SOFT, "pale": RULE, "well": PASS, "ill": FAIL, "unsure": UNSURE}
    return {**{name: f'rgb("{colour}")' for name, colour in colours.items()}, "heavy": str(BOLD)}


_FOOT = f"""\
#let foot(words) = context {{
  set text(size: {FOOT_PT}pt, fill: soft)
  line(length: 100%, stroke: 0.4pt + pale)
  v(-0.5em)
  let (n, m) = (counter(page).get().first(), counter(page).final().first())
  grid(columns: (1fr, auto), words, "page " + str(n) + " of " + str(m))
}}"""

_TEXT = f"""\
#set text(font: "Source Sans 3", fallback: false, size: {TEXT_PT}pt, fill: ink, lang: "en",
  region: "gb", hyphenate: false, ligatures: false, overhang: false)
#set par(leading: 0.6em, spacing: 0.9em, justify: false)
#set strong(delta: heavy - 400)
#set list(tight: false, marker: "•", body-indent: 0.6em, spacing: 0.65em)
#set terms(tight: false, separator: [], spacing: 0.65em)
#show list: set block(above: 4mm, below: 4mm)
#show terms: set block(above: 4mm, below: 4mm)
#set figure(numbering: none, supplement: none, gap: 2mm)
#set figure.caption(separator: none)
#set image(fit: "contain")
#show figure: set align(left)
#show figure: set block(above: 6mm, below: 6mm)
#show figure.caption: set align(left)
#show figure.caption: set text(size: {CAPTION_PT}pt)
#show figure.where(kind: table): set figure.caption(position: top)
#show figure.where(kind: table): it => {{
  show figure.caption: set text(weight: heavy)
  show figure.caption: set block(sticky: true)
  it
}}
#show title: set text(size: {TITLE_PT}pt, weight: heavy)
#show title: set block(below: 5mm)
#show heading: set text(size: {HEADING_PT}pt, weight: heavy)
#show heading: set block(above: 9mm, below: 4mm)
#show outline: it => {{
  show heading: set text(size: {TEXT_PT}pt)
  show heading: set block(above: 6mm, below: 3mm)
  it
}}
#show outline.entry: set block(above: 0.65em)
#set outline.entry(fill: line(
  length: 100%, stroke: (paint: pale, thickness: 0.8pt, dash: (0.8pt, 2.4pt))))"""

# what the blocks of a document are written with
_PARTS = f"""\
#let note(body) = par(text(size: {NOTE_PT}pt, fill: soft, body))
#let lead(body) = block(sticky: true, above: 0.9em, below: 0.9em, body)
#let whole(stays, body) = block(
  breakable: false, sticky: stays, above: 4mm, below: 4mm, body)
#let apart(paint, word, body) = block(
  stroke: (left: 1.6pt + paint), inset: (left: 3mm, y: 0.8mm), above: 4.5mm, below: 4.5mm,
  par(text(weight: heavy, fill: paint, word + " ") + body))
#let verdict(paint, body) = text(weight: heavy, fill: paint, body)
#let rows(size, whole, widths, sides, caption, heads, ..cells) = {{
  set text(size: size)
  set par(leading: 0.5em)
  set table(
    inset: (x: 1.4mm, y: 1.2mm),
    align: (x, y) => sides.at(x) + if y == 0 {{ bottom }} else {{ top }},
    stroke: (x, y) => if y == 0 {{ (top: 0.7pt + ink, bottom: 0.7pt + ink) }} else {{
      (bottom: 0.3pt + pale) }})
  show figure: set block(breakable: not whole)
  figure(caption: caption, table(columns: widths,
    table.header(..heads.map(head => text(weight: heavy, head))), ..cells))
}}
#let drawn(source, alt, wide, caption) = figure(
  image(bytes(source), format: "svg", alt: alt, width: wide), caption: caption)
#let still(name, alt, wide, high, caption) = figure(
  image(name, format: "png", alt: alt, width: wide, height: high), caption: caption)
#let pair(a, b) = grid(columns: (1fr, 1fr), column-gutter: 6mm, a, b)
#let signing(first, heads, roles) = {{
  set text(size: {CAPTION_PT}pt)
  let lines = heads.len() - 1
  block(breakable: roles.len() > 20, above: 6mm, below: 6mm, table(
    columns: (first,) + (1fr,) * lines, column-gutter: 4mm, inset: (x: 0mm, y: 1mm),
    align: left + bottom, stroke: (x, y) => if x > 0 and y > 0 {{ (bottom: 0.5pt + ink) }},
    table.header(..heads.map(head => text(weight: heavy, head))),
    ..roles.map(role => (role,) + (box(height: 9mm - 2mm),) * lines).flatten()))
}}"""
